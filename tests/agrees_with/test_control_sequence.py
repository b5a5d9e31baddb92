"""The control sequence against acceptance tests and clauses of energy codes, and against properties it must keep.

California Title 24, Reference Appendix NA7.5.4 (air economizer controls, functional testing), in our own words;
ASHRAE 90.1 6.5.1.1.3 and 6.5.1.3, IECC C403.5 (high limit, integrated control; from memory); Guideline 36 (damper shut
where unoccupied or in freeze protection), as restated in the Modelica Buildings library.
"""

from __future__ import annotations

from dataclasses import replace
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st
from tests.controlled_rooftop import (
    HEAT_PUMP,
    HEAT_PUMP_SETTINGS,
    INDOOR,
    SETTINGS,
    UNIT,
)

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.control import driven, duty
from ventwright.physics.rooftop.control_settings import ControlSettings, filled
from ventwright.physics.rooftop.freeze_protection import FreezeProtection, FreezeState
from ventwright.physics.rooftop.high_limit import HighLimit
from ventwright.physics.rooftop.memory import Memory
from ventwright.physics.rooftop.minimum_position import MinimumPosition, minimum_signal
from ventwright.physics.rooftop.mixed_air_control import holding_signal
from ventwright.physics.rooftop.operating import Operating, operate
from ventwright.physics.rooftop.sensed import Sensed
from ventwright.physics.rooftop.staging import Stage
from ventwright.physics.rooftop.surroundings import Weather
from ventwright.tables.kit import Term

DAMPER: Final = 1e-9
"""Signals are handed through, not calculated: nothing but rounding may be lost. [-]"""


def decide(
    settings: ControlSettings, sensed: Sensed, calls: Calls, memory: Memory, seconds: float
) -> tuple[Commands, Memory]:
    """Return commands and memory after a time [s] in which sensors and calls were as they are."""
    return driven(settings, sensed, duty(settings, sensed, calls, memory, seconds), seconds)


def at(outdoor: float, calls: Calls, settings: ControlSettings = SETTINGS) -> Operating:
    """Return the operating point in weather of a temperature [°C]."""
    found = operate(UNIT, settings, Weather(outdoor, 0.5), INDOOR, calls)
    assert found.settled
    return found


def test_cooling_demand_opens_the_damper_fully() -> None:
    """NA7.5.4 step 2: outdoor air that cools but not enough: damper 100 % open, return shut, heating off."""
    found = at(15.0, Calls(1, fan=True))
    assert found.commands == Commands(True, 0.6, 1.0)
    assert found.state.return_blades == 0.0


def test_the_damper_stays_open_when_compressors_join() -> None:
    """NA7.5.4 step 2, 90.1 6.5.1.3: integrated, partial cooling while mechanical cooling runs."""
    found = at(15.0, Calls(2, fan=True))
    assert found.commands == Commands(True, 1.0, 1.0, cooling_stages=1)


def test_an_exclusive_control_closes_it() -> None:
    """The control that the codes no longer allow: compressors take over, the damper goes to its minimum."""
    found = at(15.0, Calls(2, fan=True), replace(SETTINGS, integrated=False))
    assert found.commands == Commands(True, 1.0, 0.30, cooling_stages=2)
    assert at(15.0, Calls(1, fan=True), replace(SETTINGS, integrated=False)).commands.damper_signal == 1.0


def test_above_the_high_limit_the_damper_is_at_its_minimum() -> None:
    """NA7.5.4 step 3: outdoor air unfit, compressors cool instead; at each fan speed its own minimum."""
    assert at(28.0, Calls(1, fan=True)).commands == Commands(True, 0.6, 0.42, cooling_stages=1)
    assert at(28.0, Calls(2, fan=True)).commands == Commands(True, 1.0, 0.30, cooling_stages=2)


def test_heating_demand_puts_the_damper_at_its_minimum() -> None:
    """NA7.5.4 step 4: outdoor air suitable, heat called for; and no cooling with it."""
    assert at(10.0, Calls(2, 1, fan=True)).commands == Commands(True, 1.0, 0.30, heating_stages=1)


@pytest.mark.parametrize("occupied", [True, False])
def test_unit_off_shuts_the_damper(*, occupied: bool) -> None:
    """NA7.5.4 step 5: nothing called for, fan off, outdoor damper fully closed."""
    found = at(10.0, Calls(fan=False, occupied=occupied))
    assert not found.commands.fan_running
    assert found.commands.damper_signal == 0.0


def test_unoccupied_the_minimum_is_shut_and_outdoor_air_may_still_cool() -> None:
    """Guideline 36: no ventilation outside occupied hours; a heating call there lets in none."""
    assert at(10.0, Calls(0, 1, occupied=False)).commands.damper_signal == 0.0
    assert at(28.0, Calls(1, occupied=False)).commands.damper_signal == 0.0
    assert at(15.0, Calls(1, occupied=False)).commands.damper_signal == 1.0
    shut = replace(SETTINGS, free_cooling_unoccupied=False)
    assert at(15.0, Calls(1, occupied=False), shut).commands == Commands(True, 0.6, 0.0, cooling_stages=1)


@pytest.mark.parametrize("outdoor", [-5.0, 2.0, 9.0])
def test_cold_outdoor_air_is_mixed_to_the_set_point(outdoor: float) -> None:
    """Free cooling holds the set point within the 0.01 K at which the search ends, with a margin for rounding."""
    found = at(outdoor, Calls(1, fan=True))
    assert found.state.mixed.dry_bulb == pytest.approx(SETTINGS.set_point, abs=0.011)
    assert 0.42 < found.commands.damper_signal < 1.0


def test_the_low_limit_holds_an_integrated_damper_back() -> None:
    """With a compressor running mixed air is kept at the low limit, not at the set point.

    Lockout and freeze protection are set out of the way: with them the compressor would not run there for long.
    """
    open_set = replace(SETTINGS, lockout=None, freeze=FreezeProtection(-20.0, -21.0, -22.0, -19.0))
    found = at(2.0, Calls(2, fan=True), open_set)
    assert found.commands.cooling_stages == 1
    assert found.state.mixed.dry_bulb == pytest.approx(SETTINGS.low_limit, abs=0.011)


def test_supply_air_can_be_held_instead() -> None:
    """The set point holds where the kit senses it: behind the fan, whose heat is in it."""
    found = at(5.0, Calls(1, fan=True), replace(SETTINGS, held="supply"))
    assert found.state.supply.dry_bulb == pytest.approx(SETTINGS.set_point, abs=0.011)
    assert found.state.mixed.dry_bulb < SETTINGS.set_point - 0.1


def test_freeze_protection_shuts_the_damper_of_the_coldest_air() -> None:
    """Guideline 36: minimum air so cold that the supply is below 38 °F; heat comes on by itself."""
    settings = replace(SETTINGS, heaters=0)
    found = operate(UNIT, settings, Weather(-39.0, 0.5), INDOOR, Calls(fan=True))
    unprotected = operate(
        UNIT,
        replace(settings, minimum=MinimumPosition(0.9, 0.9)),
        Weather(-39.0, 0.5),
        INDOOR,
        Calls(fan=True),
    )
    assert found.memory.freeze.stage == 0  # a minimum of 42 % does not freeze it
    assert unprotected.memory.freeze.stage == 2
    assert unprotected.commands.damper_signal == 0.0
    assert unprotected.protection


def test_after_a_freeze_shutdown_nothing_runs() -> None:
    """Guideline 36, third stage: fan off, damper shut, until somebody resets it."""
    found = operate(
        UNIT, SETTINGS, Weather(10.0, 0.5), INDOOR, Calls(1, fan=True), memory=Memory(freeze=FreezeState(3))
    )
    assert found.commands == Commands(False, 0.6, 0.0)


def test_a_heat_pump_heats_with_the_damper_at_its_minimum() -> None:
    """No free cooling in heating; the valve is powered as its sense says; outdoor air below the lockout heats too."""
    found = operate(
        HEAT_PUMP, HEAT_PUMP_SETTINGS, Weather(5.0, 0.5), INDOOR, Calls(heating_stages=2, fan=True)
    )
    assert found.commands == Commands(True, 1.0, 0.30, heating_stages=2)
    assert found.state.supply.dry_bulb > found.state.mixed.dry_bulb + 5.0
    blocked = replace(HEAT_PUMP_SETTINGS, lockout_stops_heating=True)
    assert (
        operate(
            HEAT_PUMP, blocked, Weather(5.0, 0.5), INDOOR, Calls(heating_stages=2, fan=True)
        ).state.heating_stages
        == 0
    )


def test_a_heat_pump_cools_with_its_valve_the_other_way() -> None:
    """A cooling call above the limit powers the valve of the sense "powered in cooling"."""
    found = operate(HEAT_PUMP, HEAT_PUMP_SETTINGS, Weather(30.0, 0.4), INDOOR, Calls(1, fan=True))
    assert found.commands.reversing_valve_powered
    assert found.state.supply.dry_bulb < found.state.mixed.dry_bulb


@pytest.mark.parametrize(
    "sensor", ["outdoor_dry_bulb", "mixed_dry_bulb", "supply_dry_bulb", "return_dry_bulb"]
)
def test_a_failed_sensor_falls_back_as_it_says(sensor: str) -> None:
    """Outdoor or mixed sensor gone: no free cooling, compressors cool; the others are not needed by these settings."""
    sensed = Sensed(15.0, 23.0, 18.0, 19.0)
    fields = {
        name: getattr(sensed, name)
        for name in ("outdoor_dry_bulb", "mixed_dry_bulb", "supply_dry_bulb", "return_dry_bulb")
    }
    fields[sensor] = None
    todo = duty(SETTINGS, Sensed(**fields), Calls(1, fan=True), Memory(), 0.0)
    needed = sensor in {"outdoor_dry_bulb", "mixed_dry_bulb"}
    assert todo.free_cooling is not needed
    assert todo.commands.cooling_stages == int(needed)


def test_every_term_of_a_kit_has_its_setting() -> None:
    """Kits' terms fill settings; relief and carbon dioxide are outside the sequence and said to be."""
    values: dict[tuple[str, str | None], object] = {
        (Term.MINIMUM_DAMPER_SIGNAL, "slowest"): 0.5,
        (Term.DRY_BULB_HIGH_LIMIT, None): 20.0,
        (Term.ENTHALPY_HIGH_LIMIT, None): 48_000.0,
        (Term.RETURN_DIFFERENTIAL, None): 2.0,
        (Term.HIGH_LIMIT_DIFFERENTIAL, None): 1.5,
        (Term.MIXED_AIR_SET_POINT, None): 14.0,
        (Term.MIXED_AIR_LOW_LIMIT, None): 8.0,
        (Term.COMPRESSOR_LOCKOUT, None): 10.0,
        (Term.REVERSING_VALVE, None): "powered in heating",
    }
    kit = filled(SETTINGS, values)
    assert (kit.minimum.at_fastest, kit.minimum.at_slowest) == (0.30, 0.5)
    limit = kit.high_limit
    assert (limit.high_limit, limit.enthalpy_limit, limit.return_differential) == (20.0, 48_000.0, 2.0)
    assert (limit.limit_differential, kit.set_point, kit.low_limit) == (1.5, 14.0, 8.0)
    assert (kit.lockout, kit.valve) == (10.0, "powered in heating")
    one_speed = filled(SETTINGS, {(Term.MINIMUM_DAMPER_SIGNAL, None): 0.2})
    assert (one_speed.minimum.at_fastest, one_speed.minimum.at_slowest) == (0.2, 0.2)
    left_out = {
        Term.RELIEF_START,
        Term.CARBON_DIOXIDE_SET_POINT,
        Term.LOW_OCCUPANCY_DAMPER_SIGNAL,  # goes with two airflows that no kit's setting holds
    }
    assert {term for term, _ in values} | left_out == set(Term)


# What follows holds for whatever sensors show and thermostats call for.

TEMPERATURES = st.one_of(st.none(), st.floats(-40.0, 50.0))
SHOWN = st.builds(Sensed, TEMPERATURES, TEMPERATURES, TEMPERATURES, TEMPERATURES)
CALLS = st.builds(Calls, st.integers(0, 3), st.integers(0, 2), st.booleans(), st.booleans())
SETTABLE = st.builds(
    lambda integrated, shuts, held: replace(
        SETTINGS, integrated=integrated, low_limit_shuts=shuts, held=held
    ),
    st.booleans(),
    st.booleans(),
    st.sampled_from(["mixed", "supply"]),
)
WALK = st.lists(st.tuples(SHOWN, CALLS, st.sampled_from([1.0, 60.0, 400.0])), min_size=1, max_size=25)


@given(settings=SETTABLE, walk=WALK)
def test_what_always_holds(settings: ControlSettings, walk: list[tuple[Sensed, Calls, float]]) -> None:
    """Minimum kept while occupied unless protected; no compressor below the lockout, without fan or beside heat."""
    memory = Memory()
    for sensed, calls, seconds in walk:
        todo = duty(settings, sensed, calls, memory, seconds)
        commands, memory = decide(settings, sensed, calls, memory, seconds)
        if commands.fan_running and calls.occupied and not todo.protection:
            least = minimum_signal(settings.minimum, commands.fan_speed)
            assert commands.damper_signal >= least - DAMPER
        if sensed.outdoor_dry_bulb is not None and settings.lockout is not None:
            assert not (commands.cooling_stages and sensed.outdoor_dry_bulb < settings.lockout)
        assert commands.fan_running or not (commands.cooling_stages or commands.heating_stages)
        assert not (commands.cooling_stages and commands.heating_stages)
        assert settings.integrated or not (commands.cooling_stages and todo.free_cooling)
        if commands.heating_stages or not todo.free_cooling:
            least = minimum_signal(settings.minimum, commands.fan_speed) if calls.occupied else 0.0
            assert commands.damper_signal <= least + DAMPER  # free cooling alone opens further


def test_an_exclusive_damper_waits_for_the_compressor() -> None:
    """A compressor that has to run on for its least time keeps the damper of an exclusive control at its minimum."""
    exclusive = replace(SETTINGS, integrated=False)
    sensed = Sensed(15.0, 23.0, 18.0, 12.0)
    _, memory = decide(exclusive, sensed, Calls(2, fan=True), Memory(), 60.0)
    todo = duty(exclusive, sensed, Calls(1, fan=True), memory, 60.0)
    assert (todo.commands.cooling_stages, todo.most) == (2, 0.30)
    later = duty(exclusive, sensed, Calls(1, fan=True), todo.memory, 180.0)
    assert (later.commands.cooling_stages, later.most) == (0, 1.0)


def test_the_lockout_has_a_differential() -> None:
    """Once locked out, compressors wait until it is warmer by 1.1 K (common practice, no published source)."""
    warm = replace(SETTINGS, high_limit=HighLimit(high_limit=0.0))  # compressors alone
    memory, running = Memory(), []
    for outdoor in (13.0, 12.7, 13.0, 13.8, 14.0):
        commands, memory = decide(warm, Sensed(outdoor, 23.0, 20.0, 15.0), Calls(1), memory, 3600.0)
        running.append(commands.cooling_stages)
    assert running == [1, 0, 0, 0, 1]


def test_standing_air_freezes_nothing() -> None:
    """A cold supply sensor counts only while the fan has been running: a night off is no shutdown."""
    memory = Memory()
    for _ in range(60):
        _, memory = decide(SETTINGS, Sensed(-10.0, 15.0, 0.0, 0.0), Calls(occupied=False), memory, 60.0)
    assert memory.freeze.stage == 0
    for _ in range(6):
        _, memory = decide(SETTINGS, Sensed(-10.0, 15.0, 0.0, 0.0), Calls(fan=True), memory, 60.0)
    assert memory.freeze.stage == 3


@pytest.mark.parametrize("mirrored", [False, True])
@given(power=st.floats(0.2, 5.0), zero=st.floats(0.31, 0.99))
def test_the_search_ends_where_the_margin_is_nothing(*, mirrored: bool, power: float, zero: float) -> None:
    """Straight or bent either way, the root of a falling curve is found to 0.01 K in at most 14 readings."""
    asked = []

    def margin_at(signal: float) -> float:
        asked.append(signal)
        if mirrored:
            return float(20.0 * ((1.3 - signal) ** power - (1.3 - zero) ** power))
        return float(20.0 * (zero**power - signal**power))

    found = holding_signal(margin_at, 0.3, 1.0)
    assert len(asked) <= 14
    assert abs(margin_at(found)) <= 0.0101


@pytest.mark.parametrize(("offset", "end"), [(5.0, 1.0), (-5.0, 0.3)])
def test_the_search_ends_at_an_end(offset: float, end: float) -> None:
    """Too warm even when open, too cold even at the minimum: the integrating control comes to rest there."""
    assert holding_signal(lambda signal: offset - signal, 0.3, 1.0) == end


@given(wanted=st.lists(st.integers(0, 2), min_size=2, max_size=80))
def test_compressors_run_and_rest_their_time(wanted: list[int]) -> None:
    """Between two starts of a stage lie the least times of running and resting, however the calls jump."""
    memory, elapsed = Memory(), 0.0
    since = {0: -1e9, 1: -1e9}
    running: dict[int, bool] = {0: False, 1: False}
    for stages in wanted:
        before = memory.stages or (Stage(), Stage())
        _, memory = decide(SETTINGS, Sensed(30.0, 24.0, 24.0, 15.0), Calls(stages), memory, 60.0)
        elapsed += 60.0
        for number, stage in enumerate(memory.stages):
            if stage.running is not before[number].running:
                least = SETTINGS.least_on if running[number] else SETTINGS.least_off
                assert elapsed - since[number] >= least
                since[number], running[number] = elapsed, stage.running


@given(sensed=SHOWN, calls=CALLS)
def test_the_same_question_has_the_same_answer(sensed: Sensed, calls: Calls) -> None:
    """A decision at once repeated changes nothing: no time, no change of sensors, no change of mind."""
    commands, memory = decide(SETTINGS, sensed, calls, Memory(), 0.0)
    assert decide(SETTINGS, sensed, calls, memory, 0.0) == (commands, memory)
