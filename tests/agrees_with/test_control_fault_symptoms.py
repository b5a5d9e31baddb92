"""Wiring and setting faults against the symptoms that they are known by on roofs.

Symptoms and their causes: common practice, no published source; the five faults that California Title 24 120.2(i) has
diagnostics find (not economizing when it should, economizing when it should not, excess outdoor air, damper not
modulating, failed sensor) are each brought about here.
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.controlled_rooftop import HEAT_PUMP, HEAT_PUMP_SETTINGS, INDOOR, SETTINGS, UNIT

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.control_fault import (
    CallNotRouted,
    ControlFault,
    ForgottenResistor,
    ReversedValveSense,
    SpeedSignalMissing,
    WrongSetting,
    arriving,
)
from ventwright.physics.rooftop.hardware_fault import HardwareFault, HardwareFaultKind
from ventwright.physics.rooftop.high_limit import HighLimit, HighLimitControl
from ventwright.physics.rooftop.operating import Fault, Operating, operate
from ventwright.physics.rooftop.sensing import Place
from ventwright.physics.rooftop.surroundings import Weather


def at(outdoor: float, calls: Calls, *faults: Fault) -> Operating:
    """Return the operating point of the unit with faults, in weather of a temperature [°C]."""
    return operate(UNIT, SETTINGS, Weather(outdoor, 0.5), INDOOR, calls, faults)


def test_a_call_that_never_arrives() -> None:
    """Cooling is called for and nothing answers; a second stage alone arrives as one."""
    lost = CallNotRouted("first cooling")
    assert at(28.0, Calls(1, fan=True), lost).commands.cooling_stages == 0
    assert at(28.0, Calls(2, fan=True), lost).commands.cooling_stages == 1


def test_a_call_that_goes_past_the_economizer() -> None:
    """Cool dry day, cooling call: compressor runs, damper at minimum: not economizing when it should."""
    past = CallNotRouted("first cooling", to_compressor=True)
    found = at(15.0, Calls(1, fan=True), past)
    assert (found.commands.cooling_stages, found.commands.damper_signal) == (1, 0.42)
    assert not found.free_cooling


def test_a_stray_wire_starts_no_more_than_there_is() -> None:
    """The second call's wire on a unit of one compressor starts that one."""
    one = replace(SETTINGS, compressors=1)
    past = CallNotRouted("second cooling", to_compressor=True)
    found = operate(UNIT, one, Weather(28.0, 0.5), INDOOR, Calls(2, fan=True), [past])
    assert found.commands.cooling_stages == 1


@pytest.mark.parametrize(
    ("call", "calls"),
    [
        ("first heating", Calls(0, 1, fan=True)),
        ("second heating", Calls(0, 2, fan=True)),
        ("fan", Calls(fan=True)),
        ("occupied", Calls(fan=True)),
    ],
)
def test_other_calls_lost(call: str, calls: Calls) -> None:
    """No heat, one stage of heat too few, no fan, no ventilation."""
    sound = operate(UNIT, replace(SETTINGS, heaters=2), Weather(10.0, 0.5), INDOOR, calls)
    fault = CallNotRouted(call)  # type: ignore[arg-type]
    found = operate(UNIT, replace(SETTINGS, heaters=2), Weather(10.0, 0.5), INDOOR, calls, [fault])
    if "heating" in call:
        assert found.commands.heating_stages == sound.commands.heating_stages - 1
    elif call == "fan":
        assert sound.commands.fan_running
        assert not found.commands.fan_running
    else:
        assert (sound.commands.damper_signal, found.commands.damper_signal) == (0.42, 0.0)


def test_works_at_high_speed_and_stuffy_at_low() -> None:
    """The speed does not reach the controls: at the slow fan they use the fast fan's signal, and air is short."""
    sound, short = (at(28.0, Calls(fan=True), *faults) for faults in ((), (SpeedSignalMissing(),)))
    assert short.commands.damper_signal == 0.30
    assert short.state.outdoor.dry_air < 0.8 * sound.state.outdoor.dry_air
    fast = [at(28.0, Calls(2, fan=True), *faults) for faults in ((), (SpeedSignalMissing(),))]
    assert fast[0].state.outdoor.dry_air == fast[1].state.outdoor.dry_air


def test_the_fan_never_speeds_up() -> None:
    """The speed does not reach the fan: two stages of cooling on the slow fan."""
    found = at(28.0, Calls(2, fan=True), SpeedSignalMissing("fan"))
    assert found.commands.fan_speed == 0.6
    assert found.state.supply.dry_air == pytest.approx(
        0.6 * at(28.0, Calls(2, fan=True)).state.supply.dry_air, rel=0.01
    )


def test_a_heat_pump_opens_its_damper_in_winter() -> None:
    """Wrong sense of the valve: a heating call opens the damper; a second one heats against it."""
    calls, cold = Calls(heating_stages=2, fan=True), Weather(14.0, 0.5)
    sound = operate(HEAT_PUMP, HEAT_PUMP_SETTINGS, cold, INDOOR, calls)
    wrong = operate(HEAT_PUMP, HEAT_PUMP_SETTINGS, cold, INDOOR, calls, [ReversedValveSense()])
    assert (sound.commands.damper_signal, wrong.commands.damper_signal) == (0.30, 1.0)
    assert wrong.state.heating_stages == 1  # the unit heats, whatever the controls take it for
    assert wrong.state.supply.dry_bulb > wrong.state.mixed.dry_bulb


def test_a_heat_pump_of_the_wrong_sense_never_cools_freely() -> None:
    """Its cooling calls look like heating: damper at minimum, compressor cools."""
    wrong = operate(
        HEAT_PUMP,
        replace(HEAT_PUMP_SETTINGS, valve="powered in heating"),  # set wrong from the start
        Weather(15.0, 0.5),
        INDOOR,
        Calls(1, fan=True),
    )
    assert wrong.commands.damper_signal == 0.30
    assert wrong.state.cooling_stages == 1
    assert wrong.state.supply.dry_bulb < wrong.state.mixed.dry_bulb


def test_auxiliary_heat_has_a_wire_of_its_own() -> None:
    """Three stages of heat with the wrong sense: two look like cooling, the third still arrives as heat."""
    calls = Calls(heating_stages=3, fan=True)
    meant, wrong = HEAT_PUMP_SETTINGS, replace(HEAT_PUMP_SETTINGS, valve="powered in heating")
    heard = arriving(calls, wrong, meant, ())
    assert (heard.cooling_stages, heard.heating_stages) == (2, 1)


@pytest.mark.parametrize(("shows", "outdoor", "signal"), [(12.0, 33.0, 1.0), (35.0, 15.0, 0.42)])
def test_a_substitute_resistor_was_left(shows: float, outdoor: float, signal: float) -> None:
    """Open on a hot day, shut on a cool one, and the same however the weather turns."""
    fault = ForgottenResistor("outdoor_dry_bulb", shows)
    for drift in (-2.0, 0.0, 2.0):
        found = at(outdoor + drift, Calls(1, fan=True), fault)
        assert found.sensed.outdoor_dry_bulb == shows
        assert found.commands.damper_signal == signal


def test_the_severity_of_a_wrong_setting() -> None:
    """The further the minimum is off, the more excess outdoor air."""
    air = [
        at(30.0, Calls(fan=True), WrongSetting("minimum.at_slowest", value)).state.outdoor.dry_air
        for value in (0.42, 0.5, 0.7, 1.0)
    ]
    assert air == sorted(air)
    assert air[-1] > 2.0 * air[0]


def test_a_limit_that_is_too_high() -> None:
    """Economizing when it should not: 95 °F instead of 75."""
    assert at(30.0, Calls(1, fan=True)).commands.damper_signal == 0.42
    assert at(30.0, Calls(1, fan=True), WrongSetting("high_limit.high_limit", 35.0)).free_cooling


def test_several_at_once_each_has_its_say() -> None:
    """A missing speed signal, a forgotten resistor and a stuck damper, in either order."""
    faults: tuple[Fault, ...] = (
        SpeedSignalMissing(),
        ForgottenResistor("outdoor_dry_bulb", 35.0),
        HardwareFault(HardwareFaultKind.DAMPER_STUCK, size=0.8),
    )
    found, backward = at(15.0, Calls(1, fan=True), *faults), at(15.0, Calls(1, fan=True), *faults[::-1])
    assert found.commands.damper_signal == 0.30
    assert found.state.outdoor_blades == pytest.approx(0.8)
    assert found.commands.cooling_stages == 1
    assert backward.commands == found.commands


def test_one_fault_hides_another() -> None:
    """A slipped coupling hides a wrong minimum: repair it, and the excess shows."""
    slipped = HardwareFault(HardwareFaultKind.COUPLING_SLIPPED)
    wrong = WrongSetting("minimum.at_slowest", 0.9)
    hidden = [at(30.0, Calls(fan=True), slipped, *more).state.outdoor_air_fraction for more in ((), (wrong,))]
    shown = [at(30.0, Calls(fan=True), *more).state.outdoor_air_fraction for more in ((), (wrong,))]
    assert hidden[0] == hidden[1]
    assert shown[1] > shown[0] + 0.3


def test_a_biased_mixed_sensor_moves_the_damper() -> None:
    """The control holds what the sensor shows: 3 K too warm, and the true mixed air is 3 K too cold."""
    bias = HardwareFault(HardwareFaultKind.SENSOR_BIASED, sensor=Place.MIXED, size=3.0)
    found = at(5.0, Calls(1, fan=True), bias)
    assert found.sensed.mixed_dry_bulb == pytest.approx(SETTINGS.set_point, abs=0.011)
    assert found.state.mixed.dry_bulb == pytest.approx(SETTINGS.set_point - 3.0, abs=0.011)


def test_a_reversed_actuator_at_its_minimum() -> None:
    """Told 42 % it stands at 58 %; told to open for free cooling it shuts, and the set point stays out of reach."""
    backward = HardwareFault(HardwareFaultKind.ACTUATOR_REVERSED)
    assert at(28.0, Calls(fan=True), backward).state.outdoor_blades == pytest.approx(0.58)
    found = at(16.0, Calls(1, fan=True), backward)
    assert found.commands.damper_signal == 1.0
    assert found.state.outdoor_blades == 0.0


@pytest.mark.parametrize(
    "control", [HighLimitControl.DIFFERENTIAL_DRY_BULB, HighLimitControl.DIFFERENTIAL_ENTHALPY]
)
def test_swapped_sensors_turn_a_comparison_round(control: HighLimitControl) -> None:
    """Outdoor and return exchanged: open in the heat, shut in the cool."""
    settings = replace(SETTINGS, high_limit=HighLimit(control))
    swapped = HardwareFault(HardwareFaultKind.SENSORS_SWAPPED, sensor=Place.OUTDOOR, other=Place.RETURN)
    for outdoor, free in ((15.0, False), (32.0, True)):
        found = operate(UNIT, settings, Weather(outdoor, 0.5), INDOOR, Calls(1, fan=True), [swapped])
        assert found.free_cooling is free


def test_a_weak_transformer_stops_what_was_called_for() -> None:
    """Commands leave the controls, and nothing runs."""
    weak = HardwareFault(HardwareFaultKind.TRANSFORMER_WEAK, 0.95)
    found = at(28.0, Calls(2, fan=True), weak)
    assert found.commands.cooling_stages == 2
    assert found.state.cooling_stages == 0


def test_nothing_wrong_changes_nothing() -> None:
    """The empty fault hands everything on."""
    none = ControlFault()
    assert at(15.0, Calls(2, fan=True), none).commands == at(15.0, Calls(2, fan=True)).commands
