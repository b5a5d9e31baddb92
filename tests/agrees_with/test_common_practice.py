"""Facts of the trade that no published source was found for: common practice, no published source.

They are held here so that a change to the plan that leaves the trade's habits is seen; none of them is proof.
"""

from __future__ import annotations

import pytest
from tests.invented import facts

from ventwright.plan import Plan, make_plan
from ventwright.quantity import TEMPERATURE, VOLTAGE, read
from ventwright.tables.kit import Kit, Term
from ventwright.tables.shelf import find


@pytest.fixture(scope="module")
def plan() -> Plan:
    """Plan of an invented two-speed unit."""
    return make_plan(facts())


def planned(plan: Plan, means: Term) -> float:
    """Planned value of a setting. [°F]"""
    return next(one.si for one in plan.settings if one.means is means) * 1.8 + 32


@pytest.mark.parametrize(
    ("volts", "share"), [(2, 0), (3, 0.125), (4, 0.25), (5, 0.375), (6, 0.5), (8, 0.75), (10, 1)]
)
def test_two_to_ten_volts(volts: float, share: float) -> None:
    """A 2 to 10 V damper stands at (V - 2) / 8 of its stroke (common practice, no published source)."""
    kit = find("kits", "two-speed-dry-bulb", Kit)

    assert kit.share_of_stroke(read(f"{volts} V", VOLTAGE)) == pytest.approx(share)
    assert kit.signal_at(share) == pytest.approx(volts)


def test_mixed_air_in_the_low_fifties(plan: Plan) -> None:
    """Mixed air is held in the low fifties Fahrenheit while economizing (common practice, no published source)."""
    assert 50 <= planned(plan, Term.MIXED_AIR_SET_POINT) <= 55


@pytest.mark.parametrize(
    ("control", "low", "high"), [("fitted", 30, 40), ("not fitted", 50, 55), ("unknown", 50, 55)]
)
def test_compressor_lockout(control: str, low: float, high: float) -> None:
    """Near freezing with low-ambient control, 50 to 55 °F without (common practice, no published source)."""
    lockout = round(
        planned(make_plan(facts(unit={"low_ambient_control": control})), Term.COMPRESSOR_LOCKOUT), 6
    )

    assert low <= lockout <= high


def test_the_slow_fan_needs_the_larger_opening(plan: Plan) -> None:
    """The slow fan needs the larger share, and so the larger damper position (common practice, no published source)."""
    fast, slow = plan.speeds

    assert slow.target_outdoor_air_fraction > fast.target_outdoor_air_fraction
    assert (slow.first_signal or 0) > (fast.first_signal or 1)


def test_per_cent_of_stroke_is_not_per_cent_of_air(plan: Plan) -> None:
    """The first guess is no copy of the wanted share, and says how far off it may be (common practice)."""
    fast = plan.speeds[0]

    assert fast.first_signal_low is not None
    assert fast.first_signal_high is not None
    assert fast.first_signal_high - fast.first_signal_low > 0.1


@pytest.mark.parametrize(("supply", "share"), [("2000 cfm", 0.294), ("1320 cfm", 0.445)])
def test_share_at_two_fan_speeds(supply: str, share: float) -> None:
    """470 cfm of classroom air over 0.8 is 587.5 cfm: 29.4 % of 2000 cfm, 44.5 % of 1320 cfm (62.1-2022, eq. 6-1 and 6-2)."""
    room = {
        "name": "Classroom",
        "use": "Education / Classroom, age 9 and up",
        "floor_area": "1000 ft2",
        "people": 35,
    }
    unit = {"fan_speeds": [{"name": "only", "supply_air": supply}]}
    plan = make_plan(facts(unit=unit, spaces=[room], ventilation={"drawn": None}))

    assert plan.speeds[0].target_outdoor_air_fraction == pytest.approx(share, abs=0.0005)


def test_high_limits_of_three_climates() -> None:
    """65 °F in 3A, 70 °F in 5A, 75 °F in 3C: 90.1-2019, Table 6.5.1.1.3 (open data of a US national laboratory)."""
    limits = {
        zone: make_plan(facts(site={"climate_zone": zone})).high_limit.dry_bulb for zone in ("3A", "5A", "3C")
    }

    assert limits == {
        zone: pytest.approx(read(text, TEMPERATURE).value)
        for zone, text in {"3A": "65 F", "5A": "70 F", "3C": "75 F"}.items()
    }
