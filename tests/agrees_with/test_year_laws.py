"""What holds for every year, whatever the unit: no saving above the return's state, balances that close, air before praise.

Outside: laws of nature, and arithmetic.
"""

from __future__ import annotations

import random
from dataclasses import astuple, replace
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ventwright.physics import moist_air, saturation
from ventwright.physics.year.balance_point import from_gains, of_the_space, stops_at
from ventwright.physics.year.hours import Hours, hours_of
from ventwright.physics.year.one_hour import Outdoor, at_one_speed, mode_of, on_coil, return_water
from ventwright.physics.year.one_year import one_year
from ventwright.physics.year.way import Switch, Way, together
from ventwright.physics.year.year_unit import YearUnit

PRESSURE = 101_325.0


def saturated_water(temperature: float, pressure: float) -> float:
    """Water that saturated air of a temperature holds. [kg/kg]"""
    return moist_air.humidity_ratio(saturation.saturation_pressure(temperature), pressure)


def unit_with(share: float = 0.2, load: float = 1000.0, **more: float) -> YearUnit:
    plain = YearUnit(
        dry_air=2.2, least_share=share, least_share_slow=share, load_slope=load, capacity=200e3, efficiency_slope=0.018,
        water_gain=0.0015, most_water=0.0093, cycling_loss=0.2,
    )  # fmt: skip
    changes: dict[str, Any] = dict(more)
    return replace(plain, **changes)


@settings(max_examples=60, deadline=None)
@given(
    st.floats(0.0, 14.0), st.floats(1.0, 15.0), st.floats(0.05, 0.6), st.floats(200.0, 900.0), st.floats(8.0, 14.0)
)  # fmt: skip
def test_no_limit_above_the_return_state_saves(
    warmer: float, drier: float, share: float, load: float, surface: float
) -> None:
    """Air that is warmer than return air and holds more heat never saves, whatever lets it in.

    As long as the unit can meet its load: beyond that nobody can say what it would have taken.
    """
    unit = unit_with(share, load, coil_surface=surface)
    dry_bulb = unit.return_air + warmer
    water = saturated_water(min(dry_bulb - drier, 26.0), PRESSURE)
    outdoor = hours_of([dry_bulb], [min(dry_bulb - drier, 26.0)], [PRESSURE])
    returned = moist_air.enthalpy(unit.return_air, return_water(unit, water))
    if outdoor.enthalpy[0] < returned:
        return
    none, free = one_year(outdoor, unit, [Way(switch=None), Way(switch=Switch())])
    if none.short_of_cooling_hours or free.short_of_cooling_hours:
        return
    assert free.free_hours == 1.0
    assert free.compressor_energy >= none.compressor_energy * (1.0 - 1e-9)


@settings(max_examples=60, deadline=None)
@given(st.floats(12.0, 40.0), st.floats(0.0, 20.0), st.floats(0.0, 1.0), st.floats(300.0, 1500.0))
def test_the_balance_of_an_hour_closes(outdoor: float, drier: float, share: float, load: float) -> None:
    """Room: what supply air takes is what the space and the fan bring. Coil: heat of the air before it less that behind it."""
    unit = unit_with(0.2, load, fan_power=1500.0, fan_power_slow=1500.0)
    water = saturated_water(outdoor - drier, PRESSURE)
    air = on_coil(unit, Outdoor(outdoor, water, moist_air.enthalpy(outdoor, water)), share, slow=True)
    mode = mode_of(unit, air)
    if not 0.0 < air.sensible_load < mode.most_sensible:
        return
    drawn = at_one_speed(unit, mode, outdoor, 0.0)
    heat_capacity = 1006.0 + 1860.0 * air.humidity_ratio
    leaving = air.dry_bulb - air.sensible_load / (air.dry_air * heat_capacity)
    brought = load * (outdoor - unit.balance_point) + unit.fan_power
    assert air.dry_air * heat_capacity * (unit.return_air - leaving) == pytest.approx(brought, rel=1e-9)
    surface = max(2.0, min(unit.coil_surface, air.dry_bulb - 8.0))
    held = moist_air.humidity_ratio(saturation.saturation_pressure(surface), PRESSURE)
    part = (air.dry_bulb - leaving) / (air.dry_bulb - surface)
    behind = air.humidity_ratio - part * max(0.0, air.humidity_ratio - held)
    taken = air.dry_air * (air.enthalpy - moist_air.enthalpy(leaving, behind))
    assert drawn.heat == pytest.approx(taken, rel=5e-3)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000))
def test_more_limits_save_no_more_than_the_best_hours(seed: int) -> None:
    """The best one can do is to open in just those hours in which it saves: no high limit beats that."""
    hours, unit = drawn_hours(seed), unit_with()
    best = 0.0
    for number in range(len(hours)):
        none, free = one_year(one_row(hours, number), unit, [Way(switch=None), Way(switch=Switch())])
        best += min(none.compressor_energy, free.compressor_energy)
    for limit in (12.0, 18.0, 24.0, 40.0):
        year = one_year(hours, unit, [Way(switch=Switch(dry_bulb_limit=limit))])[0]
        assert year.compressor_energy >= best * (1.0 - 1e-9)


def drawn_hours(seed: int) -> Hours:
    dice = random.Random(seed)  # noqa: S311 - a repeatable sample, no secret
    dry = [dice.uniform(0.0, 38.0) for _ in range(24)]
    return hours_of(dry, [one - dice.uniform(0.0, 15.0) for one in dry], [PRESSURE] * len(dry))


def one_row(hours: Hours, number: int) -> Hours:
    return Hours(*(getattr(hours, name)[number : number + 1] for name in Hours.__slots__))


def test_energy_goes_with_the_hours() -> None:
    """Twice the hours, twice the energy, the same peak."""
    hours = drawn_hours(1)
    twice = replace(hours, lasts=tuple(2.0 * one for one in hours.lasts))
    once, doubled = (
        one_year(one, unit_with(), [Way(switch=Switch(dry_bulb_limit=20.0))])[0] for one in (hours, twice)
    )
    assert doubled.compressor_energy == pytest.approx(2.0 * once.compressor_energy)
    assert doubled.heating_energy == pytest.approx(2.0 * once.heating_energy)
    assert doubled.free_hours == 2.0 * once.free_hours
    assert doubled.peak_power == once.peak_power


def test_a_shut_damper_is_short_of_air_in_every_hour() -> None:
    """Whatever it saves, the hours without the air that people need are counted."""
    hours = drawn_hours(2)
    shut = replace(unit_with(0.02), most_share=0.02, required=0.4)
    year = one_year(hours, shut, [Way(switch=None)])[0]
    assert year.short_of_air_hours == len(hours)
    sound = replace(unit_with(0.25), required=0.4)
    assert one_year(hours, sound, [Way(switch=None)])[0].short_of_air_hours == 0.0


def test_a_lockout_leaves_the_load_unmet_and_says_so() -> None:
    """No compressor below the lockout: what is saved so is not saved, and the hours are counted."""
    hours = hours_of([15.0, 30.0], [5.0, 10.0], [PRESSURE] * 2)
    none, locked = one_year(hours, unit_with(load=1200.0), [Way(switch=None), Way(switch=None, lockout=18.0)])
    assert locked.compressor_energy < none.compressor_energy
    assert (none.short_of_cooling_hours, locked.short_of_cooling_hours) == (0.0, 1.0)


def test_the_balance_point_comes_back_from_the_hours_seen() -> None:
    """Compressors of a unit whose balance point is known run as they do: that point is found again."""
    load, design, balance, fan = 20e3, 35.0, 9.0, 1500.0
    ventilation = 2.2 * 1006.0 * 0.2
    slope = load / (design - balance)

    def share_running(outdoor: float) -> float:
        return (slope * (outdoor - balance) + fan + ventilation * (outdoor - 23.9)) / 40e3

    seen = [(outdoor, share_running(outdoor)) for outdoor in (16.0, 20.0, 24.0, 28.0, 32.0)]
    stop = stops_at(seen)
    assert stop is not None
    assert stop.uncertainty == pytest.approx(0.0, abs=1e-9)
    found = of_the_space(stop.value, load, design, fan, ventilation * (stop.value - 23.9))
    assert found == pytest.approx(balance, abs=1e-9)


@pytest.mark.parametrize(
    "seen", [[], [(20.0, 0.4), (25.0, 0.6)], [(20.0, 0.5)] * 4, [(20.0, 0.6), (25.0, 0.5), (30.0, 0.4)]]
)
def test_no_balance_point_from_what_tells_none(seen: list[tuple[float, float]]) -> None:
    """Too few hours, one temperature, or run time that falls as it gets warmer."""
    assert stops_at(seen) is None


def test_the_balance_point_by_what_is_given_off() -> None:
    """23.9 °C inside, 35 °C outside, 20 kW of load of which 8 kW are given off: 12 kW come through 11.1 K of walls."""
    found = from_gains(8e3, 20e3, 35.0, 23.9)
    assert found == pytest.approx(23.9 - 8.0 / 12.0 * 11.1, rel=1e-12)
    assert from_gains(0.0, 20e3, 35.0, 23.9) == pytest.approx(23.9)
    assert from_gains(20e3, 20e3, 35.0, 23.9) is None
    assert from_gains(8e3, 20e3, 24.0, 23.9) is None


def test_parts_of_a_year_make_the_year() -> None:
    """Hours run in blocks and put together come to what they come to at once."""
    hours, ways = drawn_hours(3), [Way(switch=None), Way(switch=Switch(dry_bulb_limit=20.0), lockout=12.0)]
    whole = one_year(hours, unit_with(), ways)
    blocks = [one_year(hours.rows(first, first + 7), unit_with(), ways) for first in range(0, len(hours), 7)]
    for place, one in enumerate(whole):
        parts = together([block[place] for block in blocks])
        assert astuple(parts) == pytest.approx(astuple(one), rel=1e-12)


@settings(max_examples=30, deadline=None)
@given(st.integers(0, 10_000), st.floats(0.0, 0.1), st.floats(0.1, 0.4))
def test_no_shut_damper_is_cheap_without_being_short_of_air(seed: int, shut: float, least: float) -> None:
    """Whatever a shut damper spares, it is short of air in every hour in which the sound unit is not."""
    hours = drawn_hours(seed)
    sound = replace(unit_with(least), required=least * 2.2 * 0.999)
    stuck = replace(sound, least_share=shut, least_share_slow=shut, most_share=shut)
    good, bad = (one_year(hours, one, [Way(switch=None)])[0] for one in (sound, stuck))
    assert good.short_of_air_hours == 0.0
    if shut < 0.99 * least:
        assert bad.short_of_air_hours == len(hours)
