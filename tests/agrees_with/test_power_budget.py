"""Apparent power, transformer voltages, phase checks and Class 2 limits against published definitions and worked examples.

- Nilsson and Riedel, Electric Circuits, chapter 10 (two parallel loads), as a public page of solutions gives it.
- Ohio University, introductory electrical engineering, example 5-3 (load and line).
- Regulation: public page of a transformer maker (10 V at rated current, 11 V without load: 10 %).
- Voltage of other than rated primaries: a public heating forum (120 V to 24 V, fed with 125 V: about 25 V).
- Voltages between the legs of common supplies: 120/240 V split phase, 208Y/120 V and 480Y/277 V three phase (ANSI C84.1,
  nominal system voltages, from memory).
- Idle voltages seen: public answers by a supplier of parts (75 VA, 8 VA drawn, 123 V on 120 V: 28.3 V) and on a home
  owners' page (118 V on 120 V: 26.4 to 27.4 V).
- Class 2: a trade journal's article on NEC article 725 (30 V, 100 VA) and another on NEC chapter 9 (100 divided by 50 V is 2 A).
"""

from __future__ import annotations

import math
from typing import Any

import pytest

from ventwright.evidence import Verdict
from ventwright.facts.power import Power
from ventwright.physics import circuit
from ventwright.plan.power import PowerPlan, plan_power
from ventwright.tables.class_2 import class_2, highest_voltage


def planned(source: dict[str, Any], *loads: dict[str, Any]) -> PowerPlan:
    """Plan of one transformer."""
    return plan_power(Power.model_validate({"transformers": [{"name": "t"} | source], "loads": loads}))


def test_two_loads_of_a_textbook() -> None:
    """8 kW at 0.8 leading beside 20 kVA at 0.6 lagging: 22.36 kVA (Nilsson and Riedel, chapter 10)."""
    powers = [(10_000.0, -circuit.phase_angle(0.8)), (20_000.0, circuit.phase_angle(0.6))]
    assert circuit.vector_sum(powers) == pytest.approx(22_360, abs=5)


def test_load_and_line_of_a_course() -> None:
    """12 kW and 16 kvar beside 2.78 kW: 21.78 kVA (Ohio University, example 5-3)."""
    powers = [(20_000.0, circuit.phase_angle(0.6)), (2780.0, circuit.phase_angle(1.0))]
    assert circuit.vector_sum(powers) == pytest.approx(21_780, abs=5)


def test_regulation_by_its_definition() -> None:
    """11 V without load and 10 V at rated current are 10 % (public page of a transformer maker), and back again."""
    assert circuit.regulation(11.0, 10.0) == pytest.approx(0.1)
    assert circuit.loaded_voltage(10.0, 0.1, 0.0) == pytest.approx(11.0)
    assert circuit.loaded_voltage(10.0, 0.1, 1.0) == pytest.approx(10.0)


def test_primary_fed_with_another_voltage() -> None:
    """A transformer of 120 V to 24 V gives about 25 V when fed with 125 V (public heating forum)."""
    assert circuit.secondary_voltage(24.0, 125.0, 120.0) == pytest.approx(25.0, abs=0.05)


@pytest.mark.parametrize(
    ("leg", "angle", "between"),
    [(120, math.pi, 240), (120, 2 * math.pi / 3, 208), (277, 2 * math.pi / 3, 480), (120, 0.0, 0)],
    ids=lambda value: f"C84.1: {value:g}",
)
def test_voltage_between_two_legs(leg: float, angle: float, between: float) -> None:
    """A meter between two legs of a supply reads what the system is named for: to half a volt, names being rounded."""
    assert circuit.voltage_between(leg, leg, angle) == pytest.approx(between, abs=0.5)


def test_rated_current_of_a_common_transformer() -> None:
    """40 VA at 24 V is 1.67 A (public training pages of the trade)."""
    assert circuit.current(40.0, 24.0) == pytest.approx(1.67, abs=0.005)


def test_idle_voltage_that_a_supplier_was_asked_about() -> None:
    """75 VA with 8 VA on it, 123 V on 120 V: 28.3 V lies within what is expected (supplier's public answer)."""
    source = {"rating": "75 VA", "supply": "123 V ± 1 %", "tap": "120 V"}
    (budget,) = planned(source, {"name": "load", "apparent_power": "8 VA"}).transformers
    expected = budget.idle_voltage
    assert abs(expected.value - 28.3) < 2 * (expected.uncertainty or 0.0)


def test_idle_voltage_that_a_home_owner_saw() -> None:
    """118 V on 120 V without load: 26.4 V and 27.4 V, by two meters, lie within what is expected (home owners' page)."""
    (budget,) = planned({"rating": "40 VA", "supply": "118 V ± 1 %", "tap": "120 V"}).transformers
    expected = budget.no_load_voltage
    for seen in (26.4, 27.4):
        assert abs(expected.value - seen) < 2 * (expected.uncertainty or 0.0)


def test_class_2_ends_at_30_volts_and_100_voltamperes() -> None:
    """30 V and 100 VA (trade journal on NEC article 725); the largest fuse is 100 over the highest voltage (on chapter 9)."""
    assert highest_voltage() == 30.0
    limits = class_2(28.0)
    assert limits is not None
    assert limits.apparent_power == 100.0
    assert limits.fuse == pytest.approx(100.0 / 28.0)
    assert class_2(30.1) is None


def test_loads_of_the_demo_fill_four_fifths() -> None:
    """12, 5, 8 and 7 VA are 32 VA: 80 % of 40 VA, which common practice still accepts (no published source)."""
    loads = [
        {"name": str(number), "apparent_power": f"{power} VA"} for number, power in enumerate((12, 5, 8, 7))
    ]
    plan = planned({"rating": "40 VA"}, *loads)
    assert plan.transformers[0].loading_fraction == pytest.approx(0.8)
    assert next(one.verdict for one in plan.findings if one.name == "power.loading") is Verdict.PASSES


@pytest.mark.parametrize(
    ("supply", "tap", "secondary"),
    [(208, 240, 20.8), (208, 230, 21.7), (240, 208, 27.7), (208, 208, 24.0)],
    ids=lambda value: f"ratio of turns: {value}",
)
def test_secondary_on_the_wrong_tap(supply: float, tap: float, secondary: float) -> None:
    """24 V times supply over tap, by the ratio of turns: to the tenth of a volt that a meter shows."""
    assert circuit.secondary_voltage(24.0, supply, tap) == pytest.approx(secondary, abs=0.05)
