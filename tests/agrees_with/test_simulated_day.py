"""A day in steps against balances of heat and water, closed forms, and the operating point it must come to.

First law over a day, heat of moist air (ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 30), and the
textbook solution of one capacity with one loss.
"""

from __future__ import annotations

import math
from dataclasses import replace
from functools import cache
from itertools import pairwise
from typing import Final

import pytest
from tests.controlled_rooftop import INDOOR, SETTINGS, SITE, UNIT

from ventwright.errors import Refused
from ventwright.physics import moist_air
from ventwright.physics.rooftop import room as rooms
from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.hardware_fault import HardwareFault, HardwareFaultKind
from ventwright.physics.rooftop.operating import operate
from ventwright.physics.rooftop.room import OutdoorAir, Room, SupplyAir
from ventwright.physics.rooftop.run import Step, run
from ventwright.physics.rooftop.surroundings import Weather
from ventwright.physics.rooftop.thermostat import Thermostat

ROUNDING: Final = 1e-9
"""Balances of one step are exact: nothing but the rounding of doubles may be lost, of all heat that moved."""


@cache
def day(*, settled: bool = False) -> tuple[Step, ...]:
    """Return a day of the invented unit: a minute a step, or a quarter of an hour with all at rest."""
    seconds = 900.0 if settled else 60.0
    return tuple(run(UNIT, SETTINGS, SITE, steps=int(86_400 / seconds), seconds=seconds, settled=settled))


def test_the_day_has_everything_in_it() -> None:
    """The balances below would be cheap on a day on which nothing happened."""
    steps = day()
    assert any(step.free_cooling for step in steps)
    assert any(step.state.cooling_stages for step in steps)
    assert any(step.state.heating_stages for step in steps)
    assert not steps[0].commands.fan_running
    assert steps[720].commands.fan_running


def test_heat_of_the_room_closes() -> None:
    """What came in through supply air, walls and gains is what the room holds more at midnight."""
    steps = day()
    held = SITE.room.heat_capacity * (steps[-1].room.dry_bulb - SITE.start.dry_bulb)
    parts = [
        (step.room.heat_from_unit, step.room.heat_through_walls, step.room.heat_of_gains) for step in steps
    ]
    moved = sum(abs(part) for step in parts for part in step)
    assert sum(map(sum, parts)) == pytest.approx(held, abs=ROUNDING * moved)


def test_water_of_the_room_closes() -> None:
    """The same for water."""
    steps = day()
    pressure = steps[0].weather.pressure
    start = SITE.start.air(pressure).humidity_ratio
    held = SITE.room.air_mass * (steps[-1].room.humidity_ratio - start)
    parts = [
        (step.room.water_from_unit, step.room.water_from_outdoors, step.room.water_of_gains) for step in steps
    ]
    moved = sum(abs(part) for step in parts for part in step)
    assert sum(map(sum, parts)) == pytest.approx(held, abs=ROUNDING * moved)


def test_supply_air_brings_what_its_enthalpy_says() -> None:
    """Sensible heat is the difference of enthalpies less that of the water, at the room's mean temperature."""
    for step in day()[::60]:
        supply, mean = step.state.supply, step.room.mean_dry_bulb
        if supply.dry_air > 0.0:
            differs = supply.enthalpy - moist_air.enthalpy(mean, supply.humidity_ratio)
            brought = supply.dry_air * differs * step.seconds
            assert step.room.heat_from_unit == pytest.approx(brought, rel=1e-9, abs=1e-3)  # rounding; joules


def test_room_and_unit_together_close() -> None:
    """Gains, walls, coil, heater, fan and outdoor air account for the heat and the water's heat in the room.

    Air enters the unit as the room was at the start of a step and leaves the room as it was in the mean: over a
    minute they differ by hundredths of a kelvin, hence 1 % of what moved.
    """
    steps, total, moved = day(), 0.0, 0.0
    for step in steps:
        state, room = step.state, step.room
        outdoor_air = state.outdoor_air_fraction * state.mixed.dry_air
        inside, outside = step.indoor.air(step.weather.pressure), step.weather.air
        vapour = moist_air.enthalpy(room.mean_dry_bulb, 1.0) - moist_air.enthalpy(room.mean_dry_bulb, 0.0)
        parts = (
            outdoor_air * (outside.enthalpy - inside.enthalpy) * step.seconds,
            (state.heating_load + state.fan_heat * state.fan_running - state.cooling_load) * step.seconds,
            room.heat_through_walls,
            room.heat_of_gains,
            -room.water_from_unit * vapour,  # the heat of the water that stays is not sensible
        )
        total += sum(parts)
        moved += sum(abs(part) for part in parts)
    held = SITE.room.heat_capacity * (steps[-1].room.dry_bulb - SITE.start.dry_bulb)
    assert moved > 1e8
    assert total == pytest.approx(held, abs=0.01 * moved)


@pytest.mark.parametrize("steps", [1, 7, 1440])
def test_a_room_left_alone_cools_exponentially(steps: int) -> None:
    """T = To + (T0 - To) exp(-UA t / C): the same in one step or in many (textbook)."""
    room, hours = Room(2e7, 400.0, 1000.0, 0.0, 0.0), 24.0
    still, outside = SupplyAir(0.0, 0.0, 0.0), OutdoorAir(-5.0, 0.002)
    temperature, ratio = 21.0, 0.007
    for _ in range(steps):
        after = rooms.after(room, temperature, ratio, still, outside, hours * 3600.0 / steps, occupied=False)
        temperature, ratio = after.dry_bulb, after.humidity_ratio
    assert temperature == pytest.approx(-5.0 + 26.0 * math.exp(-400.0 * 86_400.0 / 2e7), abs=1e-9)
    assert ratio == pytest.approx(0.007)


def test_a_room_without_loss_warms_evenly() -> None:
    """T = T0 + Q t / C: 2 kW for an hour in 2e7 J/K are 0.36 K."""
    room = Room(2e7, 0.0, 1000.0, 2000.0, 0.0, moisture_occupied=1e-4)
    after = rooms.after(
        room, 20.0, 0.006, SupplyAir(0.0, 0.0, 0.0), OutdoorAir(0.0, 0.002), 3600.0, occupied=True
    )
    assert after.dry_bulb == pytest.approx(20.36)
    assert after.mean_dry_bulb == pytest.approx(20.18)
    assert after.humidity_ratio == pytest.approx(0.006 + 0.36 / 1000.0)


def test_steps_and_rest_tell_of_the_same_day() -> None:
    """A minute with lags and a quarter of an hour at rest: heat of the unit over the day within 10 %.

    A thermostat's cycle is some ten minutes, which the long steps round to one or two of theirs.
    """
    heat = [sum(step.room.heat_from_unit for step in day(settled=settled)) for settled in (False, True)]
    cooled = [sum(step.free_cooling for step in day(settled=settled)) for settled in (False, True)]
    assert heat[1] == pytest.approx(heat[0], rel=0.10)
    assert cooled[1] * 15 == pytest.approx(cooled[0], rel=0.35)
    noon = [day()[780].indoor.dry_bulb, day(settled=True)[52].indoor.dry_bulb]
    assert noon[1] == pytest.approx(noon[0], abs=SITE.thermostat.between_stages + SITE.thermostat.swing)


@pytest.mark.parametrize("outdoor", [-2.0, 6.0, 11.0])
def test_the_integrating_control_comes_to_the_operating_point(outdoor: float) -> None:
    """An hour of half minutes in weather and room that stand still ends where the search for rest ends.

    The room is so large that it stays; the damper's speed halves the distance every few minutes, so 0.3 K of the
    set point are left at most of the several kelvins at the start.
    """
    ever = replace(
        SITE,
        weather=lambda _: Weather(outdoor, 0.5),
        occupied=lambda _: True,
        room=Room(1e12, 0.0, 1e9, 0.0, 0.0),
        thermostat=Thermostat(cooling=INDOOR.dry_bulb - 0.5, heating=15.0),
        start=INDOOR,
    )
    last = list(run(UNIT, SETTINGS, ever, steps=240, seconds=30.0))[-1]
    rest = operate(UNIT, SETTINGS, Weather(outdoor, 0.5), INDOOR, Calls(1, fan=True))
    assert last.calls.cooling_stages == 1
    assert last.state.mixed.dry_bulb == pytest.approx(rest.state.mixed.dry_bulb, abs=0.3)
    assert last.commands.damper_signal == pytest.approx(rest.commands.damper_signal, abs=0.02)


def test_a_thermostat_has_a_swing() -> None:
    """A stage called for at the set point and half a swing is let go half a swing below it; the second 0.8 K on."""
    thermostat = Thermostat(cooling=24.0, swing=0.6, between_stages=0.8)
    calls, stages = Calls(), []
    for room in (24.2, 24.4, 23.8, 23.6, 25.0, 25.2, 24.6, 24.4, 23.6):
        calls = thermostat.calls(room, calls, occupied=True)
        stages.append(calls.cooling_stages)
    assert stages == [0, 1, 1, 0, 1, 2, 2, 1, 0]
    assert thermostat.calls(16.0, Calls(), occupied=True).heating_stages == 2
    assert thermostat.calls(16.0, Calls(), occupied=False) == Calls(occupied=False)


def test_the_actuator_takes_its_time() -> None:
    """From shut to its signal at one stroke in 90 seconds, however fast it is asked to."""
    mild = replace(SITE, occupied=lambda _: True, start=INDOOR)  # neither heat nor cooling is called for
    strokes = [
        0.0,
        *(step.state.actuator_position for step in run(UNIT, SETTINGS, mild, steps=60, seconds=5.0)),
    ]
    moves = [abs(after - before) for before, after in pairwise(strokes)]
    assert max(moves) == pytest.approx(5.0 / UNIT.linkage.travel_time)
    assert strokes[-1] == pytest.approx(0.42)


def test_without_power_the_damper_stays_shut() -> None:
    """A transformer too weak for the actuator: signals leave the controls, the spring keeps the damper shut."""
    weak = HardwareFault(HardwareFaultKind.TRANSFORMER_WEAK, 0.95)
    mild = replace(SITE, occupied=lambda _: True, start=INDOOR)
    for step in run(UNIT, SETTINGS, mild, [weak], steps=10, seconds=30.0):
        assert step.commands.damper_signal == 0.42
        assert step.state.actuator_position == 0.0


def test_a_sensor_lags() -> None:
    """First order: after one time constant 63 % of a step shows (textbook)."""
    constant = next(one.time_constant for one in UNIT.sensors)
    jump = replace(SITE, weather=lambda time: Weather(20.0 if time >= 600.0 else 10.0, 0.5))
    shown = [step.sensed.outdoor_dry_bulb for step in run(UNIT, SETTINGS, jump, steps=80, seconds=10.0)]
    assert shown[60] == pytest.approx(10.0)
    after_one = 60 + round(constant / 10.0)  # the step that starts at 600 s is the first to show something
    assert shown[after_one] == pytest.approx(10.0 + 10.0 * (1.0 - math.exp(-1.0)), abs=0.01)


def test_a_fault_costs_over_the_day() -> None:
    """A damper stuck open in the heat makes the coil work more than a sound one."""
    hot = replace(SITE, weather=lambda time: Weather(30.0 + 3.0 * math.sin(time / 13_751.0), 0.4))
    stuck = HardwareFault(HardwareFaultKind.DAMPER_STUCK, size=0.9)
    loads = [
        sum(
            step.state.cooling_load * step.seconds
            for step in run(UNIT, SETTINGS, hot, faults, steps=96, seconds=900.0, settled=True)
        )
        for faults in ((), (stuck,))
    ]
    assert loads[1] > 1.1 * loads[0]


@pytest.mark.parametrize(("seconds", "given"), [(0.0, "0"), (7200.0, "7200"), (math.nan, "nan")])
def test_no_step(seconds: float, given: str) -> None:
    """A step that is no time, or longer than a thermostat's cycle, is refused at once."""
    with pytest.raises(Refused) as refused:
        run(UNIT, SETTINGS, SITE, steps=1, seconds=seconds)
    assert (
        str(refused.value)
        == f'run.seconds: "{given}" is no step; accepted: more than 0, at most 3600 seconds.'
    )
