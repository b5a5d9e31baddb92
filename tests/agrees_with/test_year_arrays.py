"""Years by the thousand against the same year in plain Python: two writings of one model, to the last digits.

Outside: none; the plain one is held against outside figures in test_year_reference_runs.py.
"""

from __future__ import annotations

import random
from dataclasses import astuple

import pytest

from ventwright.physics.year.hours import Hours, hours_of
from ventwright.physics.year.many_years import columns_of, many_years
from ventwright.physics.year.one_year import one_year
from ventwright.physics.year.way import SensorErrors, Switch, Way
from ventwright.physics.year.year_unit import YearUnit

WAYS = (
    Way(switch=None),
    Way(switch=None, lockout=12.0),
    Way(switch=Switch(dry_bulb_limit=18.3)),
    Way(switch=Switch(dry_bulb_limit=23.9, enthalpy_limit=47_300.0), lockout=10.0),
    Way(switch=Switch(dry_bulb_limit=23.9, dew_point_limit=12.8)),
    Way(switch=Switch(return_gap=1.0), integrated=False),
    Way(switch=Switch(dry_bulb_limit=23.9, return_enthalpy=True)),
    Way(switch=Switch()),
)


def drawn_hours(dice: random.Random, count: int) -> Hours:
    """Draw hours of any weather."""
    dry = [dice.uniform(-20.0, 44.0) for _ in range(count)]
    dew = [one - dice.uniform(-0.5, 25.0) for one in dry]
    return hours_of(dry, dew, [dice.uniform(80e3, 103e3) for _ in dry], [dice.uniform(0.5, 3.0) for _ in dry])


def drawn_unit(dice: random.Random) -> YearUnit:
    """Draw a unit: one or two speeds, one to three stages, anything that can be."""
    surface = dice.uniform(7.0, 14.0)
    slow = dice.choice((1.0, dice.uniform(0.5, 0.9)))
    return YearUnit(
        dry_air=dice.uniform(0.5, 5.0), slow=slow,
        least_share=dice.uniform(0.0, 0.5), least_share_slow=dice.uniform(0.0, 0.6), most_share=dice.uniform(0.0, 1.0),
        return_air=dice.uniform(20.0, 26.0), mixed_set_point=dice.uniform(10.0, 17.0),
        balance_point=dice.uniform(4.0, 16.0), load_slope=dice.uniform(200.0, 3000.0),
        fan_power=1500.0, fan_power_slow=600.0 if slow < 1.0 else 1500.0,
        relief_power=400.0, relief_start=dice.uniform(0.2, 0.9),
        capacity=dice.uniform(8e3, 80e3), stages=dice.randint(1, 3), efficiency=dice.uniform(2.0, 4.0),
        efficiency_slope=dice.uniform(0.0, 0.03), capacity_slope=dice.uniform(0.0, 0.01), cycling_loss=dice.uniform(0.0, 0.3),
        coil_surface=surface, pressure=dice.uniform(80e3, 103e3),
        water_gain=dice.uniform(0.0, 0.003), most_water=dice.uniform(0.007, 0.011), required=dice.uniform(0.0, 1.0),
    )  # fmt: skip


@pytest.mark.parametrize("seed", range(12))
def test_arrays_and_plain_python_give_one_year(seed: int) -> None:
    """Every total of every way, to 1e-9 of itself."""
    dice = random.Random(seed)  # noqa: S311 - a repeatable sample, no secret
    hours = drawn_hours(dice, 400)
    units = [drawn_unit(dice) for _ in range(4)]
    errors = [SensorErrors(*(dice.gauss(0.0, 1.0) for _ in range(3)), *(dice.gauss(0.0, 3e3) for _ in range(2))) for _ in units]  # fmt: skip
    arrays = many_years(columns_of(hours), units, WAYS, errors)
    for unit, wrong, found in zip(units, errors, arrays, strict=True):
        for ours, theirs in zip(one_year(hours, unit, WAYS, wrong), found, strict=True):
            assert astuple(theirs) == pytest.approx(astuple(ours), rel=1e-9, abs=1e-6)


def test_a_year_without_any_call_for_cooling() -> None:
    """Frost alone: the fan runs, heat is bought, and nothing divides by nothing."""
    hours = hours_of([-10.0, -5.0], [-15.0, -9.0], [101_325.0] * 2)
    unit = YearUnit(dry_air=1.0, load_slope=1000.0, capacity=2e4, fan_power=500.0, fan_power_slow=500.0)
    ours = one_year(hours, unit, WAYS)
    theirs = next(many_years(columns_of(hours), [unit], WAYS, [SensorErrors()]))
    assert [astuple(one) for one in theirs] == [pytest.approx(astuple(one)) for one in ours]
    assert ours[0].compressor_energy == 0.0
    assert ours[0].heating_energy > 0.0
    assert ours[0].fan_energy == pytest.approx(2 * 3600 * 500.0)
