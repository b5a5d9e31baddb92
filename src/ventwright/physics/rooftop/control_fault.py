"""What can be wrong between the thermostat, the controls and the unit: wires, forgotten resistors, settings.

A fault changes the settings, the calls that arrive, what the sensors show or the commands that leave. Any number of
them act one after the other, and beside them whatever is wrong with the hardware.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Any, Literal

from ventwright.errors import Refusal, Refused
from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.control_settings import ControlSettings, changed_settings
from ventwright.physics.rooftop.sensed import NUMBERS, Sensed


class ControlFault:
    """A fault of wiring or setting; what it does not touch it hands on."""

    __slots__ = ()

    def settings(self, settings: ControlSettings) -> ControlSettings:
        """Return the settings that the controls really have."""
        return settings

    def calls(self, calls: Calls) -> Calls:
        """Return the calls that arrive, of those that were made."""
        return calls

    def sensed(self, sensed: Sensed) -> Sensed:
        """Return what the controls are shown, of what the sensors show."""
        return sensed

    def commands(self, commands: Commands, calls: Calls, settings: ControlSettings) -> Commands:
        """Return the commands that arrive at the hardware; the calls are those that were made."""
        del calls, settings
        return commands


Call = Literal["first cooling", "second cooling", "first heating", "second heating", "fan", "occupied"]


@dataclass(frozen=True, slots=True)
class CallNotRouted(ControlFault):
    """A call does not reach the controls: its wire is missing, or goes to the compressor past them.

    Either it happens or it does not: there is no severity.
    """

    call: Call
    to_compressor: bool = False
    """The wire of a cooling call still ends at the compressor, as before there was an economizer."""

    def __post_init__(self) -> None:
        """Refuse a call that no compressor answers."""
        if self.to_compressor and "cooling" not in self.call:
            accepted = "first cooling, second cooling"
            raise Refused(Refusal("does not go to a compressor", accepted, "call not routed", self.call))

    def calls(self, calls: Calls) -> Calls:
        """Return the calls without the one that is lost: its stage is not counted."""
        stage = 2 if self.call.startswith("second") else 1
        if self.call.endswith("cooling"):
            return replace(calls, cooling_stages=_without(calls.cooling_stages, stage))
        if self.call.endswith("heating"):
            return replace(calls, heating_stages=_without(calls.heating_stages, stage))
        return replace(calls, fan=False) if self.call == "fan" else replace(calls, occupied=False)

    def commands(self, commands: Commands, calls: Calls, settings: ControlSettings) -> Commands:
        """Return the commands with the compressor that the stray wire starts, and the fan that goes with it."""
        stage = 2 if self.call.startswith("second") else 1
        if not self.to_compressor or calls.cooling_stages < stage:
            return commands
        running = min(max(commands.cooling_stages, stage), settings.compressors)
        return replace(commands, cooling_stages=running, fan_running=True)


@dataclass(frozen=True, slots=True)
class SpeedSignalMissing(ControlFault):
    """The signal of the fan's speed does not arrive, at the controls or at the fan.

    The controls then take the fastest fan for granted; the fan runs at its slowest speed.
    """

    at: Literal["controls", "fan"] = "controls"

    def settings(self, settings: ControlSettings) -> ControlSettings:
        """Return settings in which the speed is not known."""
        return replace(settings, speed_known=False) if self.at == "controls" else settings

    def commands(self, commands: Commands, calls: Calls, settings: ControlSettings) -> Commands:
        """Return the commands with the slowest speed that is used."""
        del calls
        if self.at == "controls":
            return commands
        speeds = settings.fan
        slowest = min(speeds.ventilating, speeds.cooling_first, speeds.cooling_second, speeds.heating)
        return replace(commands, fan_speed=slowest)


@dataclass(frozen=True, slots=True)
class ReversedValveSense(ControlFault):
    """The controls of a heat pump take its reversing valve the wrong way round.

    The thermostat and the unit agree on the sense and the controls between them do not: a heating call that arrives
    with the valve as in heating looks like a cooling call, and opens the damper in winter.
    """

    def settings(self, settings: ControlSettings) -> ControlSettings:
        """Return the settings with the other sense."""
        if settings.valve is None:
            accepted = "settings of a heat pump"
            raise Refused(Refusal("has no reversing valve", accepted, "reversed valve sense", "the unit"))
        other: Literal["powered in cooling", "powered in heating"] = (
            "powered in heating" if settings.valve == "powered in cooling" else "powered in cooling"
        )
        return replace(settings, valve=other)


@dataclass(frozen=True, slots=True)
class ForgottenResistor(ControlFault):
    """A resistor that stood in for a sensor in a test was left: its input shows one temperature for ever."""

    sensor: str
    """Which input: a field of what is sensed."""
    shows: float
    """[°C; of an enthalpy J/kg]"""

    def __post_init__(self) -> None:
        """Refuse an input that there is not."""
        if self.sensor not in NUMBERS:
            raise Refused(
                Refusal("is no sensor input", ", ".join(NUMBERS), "forgotten resistor", self.sensor)
            )

    def sensed(self, sensed: Sensed) -> Sensed:
        """Return what is shown, with the resistor's value in place of the sensor's."""
        shown: dict[str, Any] = {self.sensor: self.shows}
        return replace(sensed, **shown)


@dataclass(frozen=True, slots=True)
class WrongSetting(ControlFault):
    """A setting has another value than the one that was meant; how far it is off is how severe it is."""

    place: str
    """Such as ``high_limit.high_limit`` or ``minimum.at_slowest``."""
    value: Any
    """In SI."""

    def settings(self, settings: ControlSettings) -> ControlSettings:
        """Return the settings with the wrong value."""
        return changed_settings(settings, {self.place: self.value})


def settings_with(settings: ControlSettings, faults: Iterable[ControlFault]) -> ControlSettings:
    """Settings that the controls really have.

    Parameters
    ----------
    settings
        As they were meant [°C, K, s, shares].
    faults
        Of wiring and setting.

    Returns
    -------
    ControlSettings
        As they are.

    References
    ----------
    None is needed: nothing is calculated (common practice, no published source).
    """
    for fault in faults:
        settings = fault.settings(settings)
    return settings


def arriving(
    calls: Calls, settings: ControlSettings, meant: ControlSettings, faults: Iterable[ControlFault]
) -> Calls:
    """Calls as the controls understand them.

    Where the controls and the unit disagree on the sense of the reversing valve, a compressor's call for cooling is
    taken for one for heating and the other way round; a call for auxiliary heat has a wire of its own.

    Parameters
    ----------
    calls
        As they were made.
    settings
        As the controls have them; ``valve`` is their sense.
    meant
        As they were meant; ``valve`` is the sense of thermostat and unit.
    faults
        Of wiring and setting.

    Returns
    -------
    Calls
        Stages [number], fan, occupied.

    References
    ----------
    Common practice, no published source.
    """
    for fault in faults:
        calls = fault.calls(calls)
    if settings.valve == meant.valve:
        return calls
    by_compressor = min(calls.heating_stages, settings.compressors)
    auxiliary = calls.heating_stages - by_compressor
    return replace(
        calls,
        cooling_stages=by_compressor,
        heating_stages=min(calls.cooling_stages, settings.compressors) + auxiliary,
    )


def shown_with(sensed: Sensed, faults: Iterable[ControlFault]) -> Sensed:
    """Return what the controls are shown.

    Parameters
    ----------
    sensed
        What the sensors show [°C, J/kg].
    faults
        Of wiring and setting.

    Returns
    -------
    Sensed
        With forgotten resistors in place of sensors.

    References
    ----------
    None is needed: nothing is calculated (common practice, no published source).
    """
    for fault in faults:
        sensed = fault.sensed(sensed)
    return sensed


def sent_with(
    commands: Commands, calls: Calls, settings: ControlSettings, faults: Iterable[ControlFault]
) -> Commands:
    """Commands that arrive at the hardware.

    Parameters
    ----------
    commands
        As they left the controls [shares, stages].
    calls
        As they were made.
    settings
        Of the controls.
    faults
        Of wiring and setting.

    Returns
    -------
    Commands
        As they arrive.

    References
    ----------
    None is needed: nothing is calculated (common practice, no published source).
    """
    for fault in faults:
        commands = fault.commands(commands, calls, settings)
    return commands


def _without(stages: int, stage: int) -> int:
    """Count the stages that still arrive once the wire of one is missing."""
    return stages - 1 if stages >= stage else stages
