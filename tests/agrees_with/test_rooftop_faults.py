"""Each fault of the hardware shows the face that follows from what it is; severity 0 shows none.

Sources: the definitions beside each kind; control power against the definition of a transformer's regulation (regulation up) as
public engineering pages give it; how far a stuck damper moves the share against measured days (see measured_curves.toml).
"""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from tests.agrees_with.test_rooftop_measured_curves import RETURN_AFTER
from tests.rooftop_units import COLD, INDOOR, TYPE_II, TYPE_III, command, unit

from ventwright.physics.rooftop.control_power import Called, ControlPower, supplied
from ventwright.physics.rooftop.hardware_fault import (
    OF_A_SENSOR,
    WITH_ANOTHER,
    HardwareFault,
    HardwareFaultKind,
)
from ventwright.physics.rooftop.heat import HeatPump
from ventwright.physics.rooftop.lanes import Stratification
from ventwright.physics.rooftop.linkage import Linkage, Travel
from ventwright.physics.rooftop.relief import Relief, ReliefKind
from ventwright.physics.rooftop.sensing import Place, Sensor
from ventwright.physics.rooftop.steady import State, steady

KIND = HardwareFaultKind


def state(damper_signal: float = 0.3, *faults: HardwareFault, **changes: Any) -> State:
    """Return the state of a unit in the cold."""
    built = unit(**changes)
    return steady(built, COLD, INDOOR, command(damper_signal), faults)


@pytest.mark.parametrize("kind", KIND)
def test_no_severity_no_fault(kind: HardwareFaultKind) -> None:
    """A fault of severity 0 leaves every reading as it is (definition)."""
    place = Place.MIXED if kind in OF_A_SENSOR else None
    other = Place.OUTDOOR if kind in WITH_ANOTHER else None
    fault = HardwareFault(kind, 0.0, place, other, read_as=TYPE_II, size=0.7)
    assert state(0.3, fault) == state(0.3)


def test_stuck_dampers() -> None:
    """Stuck wholly, the signal does nothing; stuck halfway, the shaft goes half of every way (definition)."""
    stuck = HardwareFault(KIND.DAMPER_STUCK, 1.0, size=0.4)
    assert state(0.0, stuck).outdoor_air_fraction == state(1.0, stuck).outdoor_air_fraction
    assert state(0.8, stuck).outdoor_blades == pytest.approx(0.4)
    half = HardwareFault(KIND.DAMPER_STUCK, 0.5, size=0.4)
    assert state(0.8, half).outdoor_blades == pytest.approx(0.6)


@pytest.mark.parametrize("stroke", [0.25, 0.5], ids=["half open", "open"])
def test_stuck_as_measured(stroke: float) -> None:
    """Told to close, stuck half or fully open: 0.27 to 0.29 on the measured days, with the return blades open.

    Half a point beyond is let pass: the temperatures behind those days tell no more.
    """
    stuck = HardwareFault(KIND.DAMPER_STUCK, 1.0, size=stroke)
    found = steady(RETURN_AFTER, COLD, INDOOR, command(0.0), [stuck]).outdoor_air_fraction
    assert 0.265 <= found <= 0.295


def test_a_leak_grows_from_the_closed_damper() -> None:
    """More leak, more air past the closed damper; at severity 1 as much as without blades (definition)."""
    shares = [
        state(0.0, HardwareFault(KIND.DAMPER_LEAKING, severity)).outdoor_air_fraction
        for severity in (0.0, 0.05, 0.2, 0.5, 1.0)
    ]
    assert shares == sorted(set(shares))
    gone = Linkage(outdoor=Travel(first=1.0, last=1.0))
    assert shares[-1] == pytest.approx(state(0.0, linkage=gone).outdoor_air_fraction, abs=1e-3)


def test_reversed_and_slipped() -> None:
    """Reversed, the signal counts from the other end; slipped by 0.2, the shaft stays 0.2 behind (definition)."""
    assert state(0.2, HardwareFault(KIND.ACTUATOR_REVERSED)).outdoor_blades == pytest.approx(0.8)
    assert state(0.5, HardwareFault(KIND.COUPLING_SLIPPED, 0.2)).outdoor_blades == pytest.approx(0.3)
    assert state(0.1, HardwareFault(KIND.COUPLING_SLIPPED, 0.2)).outdoor_blades == 0.0


def test_a_blocked_hood_and_return_blades() -> None:
    """Both take outdoor air away at an open damper, and the plenum falls; the first by the hood's loss (definition)."""
    sound, blocked = state(1.0), state(1.0, HardwareFault(KIND.HOOD_BLOCKED, 0.8))
    assert blocked.outdoor_air_fraction < sound.outdoor_air_fraction
    assert blocked.mixing_plenum_pressure < sound.mixing_plenum_pressure
    held = state(1.0, HardwareFault(KIND.RETURN_NOT_CLOSING, 0.6))
    assert held.return_blades == pytest.approx(0.6)
    assert held.outdoor_air_fraction < sound.outdoor_air_fraction


def test_a_half_blocked_hood_has_four_times_its_loss() -> None:
    """Half the free area, twice the speed in it, four times the loss, in line with the damper (dp = rho v^2 / 2)."""
    sound, blocked = unit(), unit(hood_blocked=0.5)
    leg = sound.outdoor_damper
    for stroke in (0.3, 1.0):
        in_line = replace(leg, fixed_loss=4.0 * leg.fixed_loss)
        assert sound.openings(stroke).outdoor == leg.effective_area(stroke)
        assert blocked.openings(stroke).outdoor == pytest.approx(in_line.effective_area(stroke))


def test_a_relief_fan_can_turn_the_return_damper_round() -> None:
    """A relief fan that takes more than the supply, in a tight building: the rest comes in at the hood and passes back.

    Supply = outdoor minus what runs back; the supply is all outdoor air (balance of dry air).
    """
    strong = Relief(ReliefKind.POWERED, area=0.2, opening_pressure=5.0, open_pressure=15.0, airflow=1.5)
    found = state(0.7, relief=strong, envelope=0.001)
    assert found.returned.dry_air < 0.0
    assert found.mixed.dry_air == pytest.approx(found.outdoor.dry_air + found.returned.dry_air)
    assert found.supply.dry_air == found.mixed.dry_air
    assert found.outdoor_air_fraction == 1.0
    assert COLD.dry_bulb < found.returned.dry_bulb < INDOOR.dry_bulb


def test_relief_stuck() -> None:
    """Shut, the building's pressure rises; open, it falls, and with the damper closed outdoor air comes in that way."""
    sound = state(1.0)
    assert state(1.0, HardwareFault(KIND.RELIEF_SHUT)).space_pressure > sound.space_pressure
    opened = state(0.0, HardwareFault(KIND.RELIEF_OPEN))
    assert opened.relief.dry_air < 0.0
    assert opened.outdoor_air_fraction > state(0.0).outdoor_air_fraction
    assert opened.returned.dry_bulb < INDOOR.dry_bulb


def test_relief_lifts_the_share() -> None:
    """With none, the building's pressure holds outdoor air back; a relief fan draws it in (balance of the space)."""
    none, barometric, powered = (
        state(0.7, relief=relief, envelope=0.02)
        for relief in (
            Relief(),
            Relief(ReliefKind.BAROMETRIC, area=0.2, opening_pressure=5.0, open_pressure=15.0),
            Relief(ReliefKind.POWERED, area=0.2, opening_pressure=5.0, open_pressure=15.0, airflow=0.9),
        )
    )
    assert none.outdoor_air_fraction < barometric.outdoor_air_fraction < powered.outdoor_air_fraction
    assert none.space_pressure > barometric.space_pressure > powered.space_pressure


def test_sensors() -> None:
    """A bias adds, a misplaced sensor feels the other air, swapped ones answer for each other (definition)."""
    sound = state()
    true = {place: sound.readings[place].dry_bulb for place in Place}

    def shows(place: Place, *faults: HardwareFault) -> float | None:
        return state(0.3, *faults).readings[place].dry_bulb

    assert true[Place.MIXED] == pytest.approx(sound.mixed.dry_bulb)
    biased = [
        HardwareFault(KIND.SENSOR_BIASED, 0.5, Place.MIXED, size=4.0),
        HardwareFault(KIND.SENSOR_BIASED, 1.0, Place.MIXED, size=-1.0),
    ]
    assert shows(Place.MIXED, *biased) == pytest.approx(sound.mixed.dry_bulb + 1.0)
    misplaced = HardwareFault(KIND.SENSOR_MISPLACED, 0.5, Place.OUTDOOR, Place.RETURN)
    assert shows(Place.OUTDOOR, misplaced) == pytest.approx(0.5 * (-5.0 + 22.0))
    swapped = HardwareFault(KIND.SENSORS_SWAPPED, 1.0, Place.OUTDOOR, Place.RETURN)
    assert shows(Place.OUTDOOR, swapped) == pytest.approx(true[Place.RETURN])
    assert shows(Place.RETURN, swapped) == pytest.approx(true[Place.OUTDOOR])
    assert shows(Place.SUPPLY, HardwareFault(KIND.SENSOR_OPEN, 1.0, Place.SUPPLY)) is None


def test_swapped_sensors_are_read_by_the_other_input() -> None:
    """Each input keeps its curve: elements of one law on inputs for another are off by the mix-up (definition)."""
    sensors = (
        Sensor(Place.OUTDOOR, Place.OUTDOOR, curve=TYPE_II),
        Sensor(Place.RETURN, Place.RETURN, curve=TYPE_III),
    )
    swapped = HardwareFault(KIND.SENSORS_SWAPPED, 1.0, Place.OUTDOOR, Place.RETURN)
    found = state(0.3, swapped, sensors=sensors).readings[Place.RETURN].dry_bulb
    wrong = HardwareFault(KIND.SENSOR_WRONG_CURVE, 1.0, Place.OUTDOOR, read_as=TYPE_III)
    assert found == pytest.approx(state(0.3, wrong, sensors=sensors).readings[Place.OUTDOOR].dry_bulb)
    assert found != pytest.approx(-5.0, abs=0.5)


def test_a_probe_reads_its_lane() -> None:
    """One lane of stratified air is off the mean by an amount that changes with the damper, and not where it mixes well.

    Direction: Wichman and Braun, HVAC&R Research 15(1), 2009 (abstract): the bias depends on the damper's signal.
    """
    in_lane = (Sensor(Place.MIXED, Place.MIXED, lane=0),)
    biases = []
    for signal in (0.1, 0.4, 0.9):
        found = state(signal, sensors=in_lane)
        shown = found.readings[Place.MIXED].dry_bulb
        assert shown is not None
        biases.append(shown - found.mixed.dry_bulb)
    assert all(bias < 0.0 for bias in biases)
    assert len({round(bias, 1) for bias in biases}) == 3
    mixed = state(0.4, sensors=in_lane, stratification=Stratification(5))
    assert mixed.readings[Place.MIXED].dry_bulb == pytest.approx(mixed.mixed.dry_bulb)


@pytest.mark.parametrize(("load", "voltage"), [(0.0, 26.88), (37.5, 25.44), (75.0, 24.0), (112.5, 22.56)])
def test_regulation(load: float, voltage: float) -> None:
    """24 V at 75 VA with 12 % regulation: 12 % more at none, straight between and beyond (definition)."""
    assert ControlPower(rating=75.0, regulation=0.12).voltage(load) == pytest.approx(voltage)


def test_a_weak_transformer_stops_the_actuator_then_the_contactors() -> None:
    """As it weakens: all works, the actuator stops, contactors let go and pull in again, nothing is left (definition).

    14 VA are always on and 36 VA pulled in, so the voltage falls 1.92 V / (1 - weak): by hand 25.0, 18.5, 11.3 and 0 V.
    """
    called = Called(fan=True, compressors=2, heat=0, reversing_valve=True)
    found = [
        supplied(ControlPower(weak=weak, controller_least=10.0), called) for weak in (0.0, 0.7714, 0.877, 1.0)
    ]
    assert [one.called_voltage for one in found] == pytest.approx([24.96, 18.48, 11.27, 0.0], abs=0.02)
    assert [one.actuator_powered for one in found] == [True, False, True, False]
    assert [one.contactors_hold for one in found] == [True, True, False, False]
    assert [one.chattering for one in found] == [False, False, True, False]
    assert [one.controller_powered for one in found] == [True, True, True, False]


def test_without_power_the_unit_stands() -> None:
    """No voltage: fan and compressors off, the damper closed by its spring (definition)."""
    dead = steady(
        unit(), COLD, INDOOR, command(0.8, cooling_stages=2), [HardwareFault(KIND.TRANSFORMER_WEAK)]
    )
    assert dead.control_voltage == 0.0
    assert not dead.fan_running
    assert dead.cooling_stages == 0
    assert dead.outdoor_blades == 0.0
    assert dead.mixed.dry_air == 0.0


@pytest.mark.parametrize(("spring_return", "goes_to"), [(True, 0.0), (False, 0.6)])
def test_an_actuator_that_loses_power(*, spring_return: bool, goes_to: float) -> None:
    """With a spring it goes to closed, without one it stays where it stands; powered it goes on to its signal (definition)."""
    built = unit(linkage=Linkage(spring_return=spring_return))
    dead = [HardwareFault(KIND.TRANSFORMER_WEAK)]
    lost = steady(built, COLD, INDOOR, command(1.0), dead, actuator_position=0.6)
    assert (lost.actuator_position, lost.actuator_target) == (0.6, goes_to)
    moving = steady(built, COLD, INDOOR, command(1.0), actuator_position=0.6)
    assert (moving.actuator_position, moving.actuator_target) == (0.6, 1.0)
    assert moving.outdoor_blades == pytest.approx(0.6)


def test_a_heat_pump_does_what_its_valve_says() -> None:
    """Valve powered for cooling: powered it cools, else it heats, whichever was called; auxiliary heat comes after.

    Loads by the balance of enthalpy; rated at 47 °F (AHRI 340/360, from memory), 2 % a kelvin below.
    """
    pump = unit(heat_pump=HeatPump((8e3, 16e3), by_outdoor=0.02))
    for powered in (True, False):
        called = command(0.1, cooling_stages=1, reversing_valve_powered=powered)
        found = steady(pump, COLD, INDOOR, called)
        assert (found.cooling_load > 0.0, found.heating_load > 0.0) == (powered, not powered)
    heating = steady(pump, COLD, INDOOR, command(0.1, heating_stages=3))
    assert heating.heating_stages == 3
    assert heating.heating_load == pytest.approx(16e3 * (1.0 - 0.02 * 13.3) + 10e3)


def test_several_at_once() -> None:
    """Faults add up: a stuck damper behind a reversed actuator does not care, a biased sensor is still biased."""
    faults = [
        HardwareFault(KIND.ACTUATOR_REVERSED),
        HardwareFault(KIND.DAMPER_STUCK, 1.0, size=0.25),
        HardwareFault(KIND.SENSOR_BIASED, 1.0, Place.RETURN, size=2.0),
        HardwareFault(KIND.HOOD_BLOCKED, 0.3),
    ]
    found = state(0.9, *faults)
    assert found.outdoor_blades == pytest.approx(0.25)
    assert found.readings[Place.RETURN].dry_bulb == pytest.approx(24.0)
    assert found.outdoor_air_fraction < state(0.25).outdoor_air_fraction
    assert state(0.9, *reversed(faults)) == found
