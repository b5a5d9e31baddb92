"""What the practice roof shows against balances of mass, and its instruments against what "±" means.

Outside: conservation of dry air and of carbon dioxide where two streams meet (ASHRAE Handbook - Fundamentals 2017 (SI),
chapter 1, adiabatic mixing), so that temperatures, carbon dioxide and airflows tell one share; 95 % coverage of a maker's
"±" as the GUM (JCGM 100:2008, 6.2) has it, k = 2.
"""

from __future__ import annotations

from dataclasses import replace
from statistics import fmean, pstdev

import pytest

from ventwright.readings import Readings
from ventwright.readings.practice.code import PracticeCode
from ventwright.readings.practice.hidden import hidden_unit
from ventwright.readings.practice.instruments import TRUSTED, InstrumentErrors
from ventwright.readings.practice.opening import read_facts
from ventwright.readings.practice.shown import PracticeRoof, roof_of
from ventwright.readings.practice.streams import at_damper
from ventwright.words import Amount

COLD = 0
"""Place of the frosty morning: temperatures tell a share best."""


def roof(seed: int, number: int = 1) -> PracticeRoof:
    """Return a practice roof without its faults, at one reading."""
    code = PracticeCode(0, COLD, seed)
    hidden = hidden_unit(code)
    made = roof_of(str(code), read_facts(code), hidden.plan, Readings())
    sound = replace(made.standing, unit=hidden.sound, left=())
    return replace(made, standing=sound, number=number)


def number(shown: object) -> float:
    assert isinstance(shown, Amount)
    return shown.value


@pytest.mark.parametrize("seed", [11, 22, 33])
@pytest.mark.parametrize("signal", [0.25, 0.6])
def test_temperatures_and_carbon_dioxide_and_airflows_tell_one_share(seed: int, signal: float) -> None:
    temperatures, gases, flows = [], [], []
    for at in range(1, 25):
        here = roof(seed, at)
        speed = here.plan.speeds[0].name
        read = at_damper(here, "mixed-air", speed, signal)
        points = read["mixed_air"]
        assert isinstance(points, tuple)
        mixed = fmean(point.value for point in points)
        outdoor, returned = number(read["outdoor_air"]), number(read["return_air"])
        temperatures.append((returned - mixed) / (returned - outdoor))
        gas = at_damper(here, "carbon-dioxide", speed, signal)
        high, low, between = (number(gas[f"{name}_concentration"]) for name in ("return", "outdoor", "mixed"))
        gases.append((high - between) / (high - low))
        airflow = [
            number(at_damper(here, kind, speed, signal)["airflow"])
            for kind in ("outdoor-airflow", "supply-air")
        ]
        flows.append(airflow[0] / airflow[1])
    assert fmean(temperatures) == pytest.approx(fmean(gases), abs=0.03)
    # a volume of cold air weighs more than one of warm air: 9 % between frost and the supply air
    assert fmean(flows) == pytest.approx(fmean(gases), rel=0.15)


def test_the_offset_of_a_probe_is_what_its_band_says() -> None:
    """The probe's ± 0.5 °F is two standard uncertainties of 0.25 °F; the practice roof stays a tenth within."""
    shown = [
        InstrumentErrors(
            PracticeCode(0, COLD, seed), 1, read_facts(PracticeCode(0, COLD, 0)).instruments
        ).temperature(20.0)
        for seed in range(600)
    ]
    u = 0.5 / 1.8 / 2.0
    assert fmean(shown) == pytest.approx(20.0, abs=0.02)
    assert pstdev(shown) == pytest.approx(TRUSTED * u, rel=0.12)


def test_the_same_code_and_number_show_the_same_and_others_do_not() -> None:
    speed = roof(11).plan.speeds[0].name
    first = at_damper(roof(11), "mixed-air", speed, 0.5)
    assert at_damper(roof(11), "mixed-air", speed, 0.5) == first
    assert at_damper(roof(11, 2), "mixed-air", speed, 0.5) != first
    assert at_damper(roof(12), "mixed-air", roof(12).plan.speeds[0].name, 0.5) != first
