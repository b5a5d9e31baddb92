"""Conservation of dry air, water and energy, and the square law in every opening, for any unit, fault and weather.

Source: balances of ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1 (adiabatic mixing, sensible heating, cooling coil), and
dp = rho v^2 / 2. They are recomputed here from what a state shows, not from what the model did on the way.
"""

from __future__ import annotations

import math
from itertools import pairwise

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from tests import rooftop_units as some

from ventwright.physics import moist_air
from ventwright.physics.rooftop.air_path import AirPath
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.hardware_fault import HardwareFault, faulted
from ventwright.physics.rooftop.relief import Relief
from ventwright.physics.rooftop.sensing import Place
from ventwright.physics.rooftop.steady import State, steady
from ventwright.physics.rooftop.stream import Stream
from ventwright.physics.rooftop.surroundings import Indoor, Weather

CLOSES = 1e-9
"""Relative to the largest term of a balance: doubles, some dozen operations, and room."""
LAW = 1e-6
"""Relative to the supply: a pressure is found to the last digits of the mixing plenum's, squares of differences lose half."""

ANY = given(
    some.units(),
    st.lists(some.faults(), max_size=4),
    some.weathers(),
    some.indoors(),
    some.commands(),
)


def closes(terms: list[float]) -> None:
    """Assert that terms of a balance add up to nothing, next to the largest of them."""
    assert abs(math.fsum(terms)) <= CLOSES * max(abs(term) for term in terms)


def water(stream: Stream) -> float:
    """Return water carried, kg/s."""
    return stream.dry_air * stream.humidity_ratio


def heat(stream: Stream) -> float:
    """Return enthalpy carried, W."""
    return stream.dry_air * stream.enthalpy


def inflows(state: State) -> list[Stream]:
    """Return what flows into the mixing plenum; a stream that runs out of it carries the plenum's own air."""
    plenum_air = state.mixed
    return [
        one
        if one.dry_air >= 0.0
        else Stream(
            one.dry_air,
            plenum_air.enthalpy,
            plenum_air.humidity_ratio,
            plenum_air.dry_bulb,
            plenum_air.pressure,
        )
        for one in (state.outdoor, state.returned)
    ]


@settings(deadline=None, max_examples=60)
@ANY
def test_dry_air_water_and_energy_balance(
    unit: Unit, faults: list[HardwareFault], weather: Weather, indoor: Indoor, commands: Commands
) -> None:
    """Around the mixing plenum and from there to the supply, fog and condensate counted."""
    state = steady(unit, weather, indoor, commands, faults)
    into = inflows(state)
    closes([state.mixed.dry_air, *(-one.dry_air for one in into)])
    closes([water(state.mixed), *(-water(one) for one in into)])
    closes([heat(state.mixed), *(-heat(one) for one in into)])
    assert state.supply.dry_air == state.coil_leaving.dry_air == state.mixed.dry_air
    closes([water(state.mixed), -state.condensate, -water(state.supply)])
    taken_up = [state.fan_heat, -state.cooling_load, state.heating_load]
    closes([heat(state.mixed), *taken_up, -heat(state.supply)])


@settings(deadline=None, max_examples=60)
@ANY
def test_temperatures_go_with_the_enthalpies(
    unit: Unit, faults: list[HardwareFault], weather: Weather, indoor: Indoor, commands: Commands
) -> None:
    """What is shown as dry bulb and humidity ratio has the enthalpy that was balanced, except in fog.

    Within 1e-9 of the vapour's heat of evaporation, the largest term of equation 30.
    """
    state = steady(unit, weather, indoor, commands, faults)
    for one in (state.outdoor, state.returned, state.mixed, state.coil_leaving, state.supply):
        if one.relative_humidity < 1.0:
            found = moist_air.enthalpy(one.dry_bulb, one.humidity_ratio)
            assert found == pytest.approx(one.enthalpy, abs=CLOSES * moist_air.HEAT_OF_EVAPORATION)


@settings(deadline=None, max_examples=60)
@ANY
def test_shares_and_lanes(
    unit: Unit, faults: list[HardwareFault], weather: Weather, indoor: Indoor, commands: Commands
) -> None:
    """The share lies between 0 and 1; the lanes average to the mixed air and no lane lies outside the two streams."""
    state = steady(unit, weather, indoor, commands, faults)
    assert 0.0 <= state.outdoor_air_fraction <= 1.0
    count = len(state.mixed_lanes)
    mean_water = math.fsum(lane.humidity_ratio for lane in state.mixed_lanes) / count
    assert mean_water == pytest.approx(state.mixed.humidity_ratio, rel=CLOSES)
    for lane in state.mixed_lanes:
        assert -CLOSES <= lane.outdoor_air_fraction <= 1.0 + CLOSES
    if min(state.outdoor.dry_air, state.returned.dry_air) > 0.0 and state.relief.dry_air >= 0.0:
        share = state.outdoor.dry_air / state.mixed.dry_air
        assert state.outdoor_air_fraction == pytest.approx(share, abs=CLOSES)
        mean = math.fsum(lane.outdoor_air_fraction for lane in state.mixed_lanes) / count
        assert mean == pytest.approx(share, abs=CLOSES)


@settings(deadline=None, max_examples=60)
@ANY
def test_every_opening_follows_its_law(
    unit: Unit, faults: list[HardwareFault], weather: Weather, indoor: Indoor, commands: Commands
) -> None:
    """Flows recomputed from the pressures shown: m = A sqrt(2 rho dp), and the envelope's power law for what is left."""
    state = steady(unit, weather, indoor, commands, faults)
    assume(state.fan_running)
    openings = faulted(unit, faults).openings(state.actuator_position)
    out, back = weather.air, indoor.air(weather.pressure)
    path = AirPath(openings, out, back)
    supply = state.mixed.dry_air

    def law(area: float, drop: float, density: float, humidity_ratio: float) -> float:
        return math.copysign(area * math.sqrt(2.0 * density * abs(drop)), drop) / (1.0 + humidity_ratio)

    outdoor = law(
        openings.outdoor + openings.cabinet_gap,
        -state.mixing_plenum_pressure,
        out.density,
        out.humidity_ratio,
    )
    returned = law(
        openings.returned,
        state.return_plenum_pressure - state.mixing_plenum_pressure,
        back.density,
        back.humidity_ratio,
    )
    flap = law(
        openings.relief.open_area(state.return_plenum_pressure),
        state.return_plenum_pressure,
        back.density,
        back.humidity_ratio,
    )
    relief = flap + openings.relief_fan / back.specific_volume
    duct = law(
        openings.return_duct,
        state.space_pressure - state.return_plenum_pressure,
        back.density,
        back.humidity_ratio,
    )
    largest = max(supply, abs(duct), abs(relief), abs(outdoor))
    assert state.outdoor.dry_air == pytest.approx(outdoor, abs=LAW * largest)
    assert state.returned.dry_air == pytest.approx(returned, abs=LAW * largest)
    assert state.relief.dry_air == pytest.approx(relief, abs=LAW * largest)
    assert state.returned.dry_air + state.relief.dry_air == pytest.approx(duct, abs=LAW * largest)
    left = supply - state.returned.dry_air - state.relief.dry_air
    assert path.envelope_flow(state.space_pressure) == pytest.approx(left, abs=LAW * largest)


@settings(deadline=None, max_examples=30)
@given(some.units(), some.weathers(), some.indoors())
def test_the_share_rises_with_the_signal(unit: Unit, weather: Weather, indoor: Indoor) -> None:
    """A healthy unit brings in no smaller share at a larger signal, over 21 signals."""
    shares = [
        steady(unit, weather, indoor, some.command(step / 20)).outdoor_air_fraction for step in range(21)
    ]
    for less, more in pairwise(shares):
        assert more >= less - CLOSES


@settings(deadline=None, max_examples=30)
@given(some.units(), some.weathers(), some.indoors(), st.floats(0.0, 1.0))
def test_the_share_keeps_with_the_speed_where_nothing_has_a_threshold(
    unit: Unit, weather: Weather, indoor: Indoor, signal: float
) -> None:
    """Square-law openings alone: the share is one at every speed.

    The fan laws (AMCA 201, from memory) on a box with no relief, in a building so open that its pressure is nothing: then
    every pressure goes with the square of the flow. Tolerance: what is left of the envelope's other exponent.
    """
    open_to_outdoors = some.unit(
        outdoor_damper=unit.outdoor_damper,
        return_damper=unit.return_damper,
        relief=Relief(),
        envelope=1e6,
    )
    full, half = (
        steady(open_to_outdoors, weather, indoor, some.command(signal, fan_speed=speed))
        for speed in (1.0, 0.5)
    )
    assert full.outdoor_air_fraction == pytest.approx(half.outdoor_air_fraction, abs=1e-4)
    assert half.mixing_plenum_pressure == pytest.approx(full.mixing_plenum_pressure / 4.0, rel=1e-3)


@settings(deadline=None, max_examples=60)
@ANY
def test_with_the_fan_off_nothing_moves(
    unit: Unit, faults: list[HardwareFault], weather: Weather, indoor: Indoor, commands: Commands
) -> None:
    """No flow, no load, no pressure; the air inside stands as the air of the space."""
    off = Commands(
        fan_running=False,
        fan_speed=commands.fan_speed,
        damper_signal=commands.damper_signal,
        cooling_stages=commands.cooling_stages,
    )
    state = steady(unit, weather, indoor, off, faults)
    assert state.mixed.dry_air == state.outdoor.dry_air == state.relief.dry_air == 0.0
    assert state.fan_power == state.cooling_load == state.heating_load == state.mixing_plenum_pressure == 0.0
    assert state.supply.dry_bulb == pytest.approx(indoor.dry_bulb)
    assert set(state.readings) == set(Place)
