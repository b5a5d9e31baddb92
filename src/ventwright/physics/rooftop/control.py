"""The control sequence of a rooftop unit with an economizer: from settings, sensors and calls to commands.

The sequence is a generic one put together from published ones; docs/rooftop_control.md says what is from where. It
decides on what the sensors show and the calls that arrive, never on what the air is. Everything that it has to
remember stands in ``Memory``, so that the same question always has the same answer.
"""

from __future__ import annotations

from dataclasses import dataclass, replace

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.control_settings import ControlSettings
from ventwright.physics.rooftop.freeze_protection import FreezeState, protected
from ventwright.physics.rooftop.high_limit import Streams, switched
from ventwright.physics.rooftop.memory import Memory
from ventwright.physics.rooftop.minimum_position import minimum_signal
from ventwright.physics.rooftop.mixed_air_control import Hold, margin, moved
from ventwright.physics.rooftop.sensed import Sensed
from ventwright.physics.rooftop.staging import Stage, staged


@dataclass(frozen=True, slots=True)
class Duty:
    """A decision, but for the damper signal where that is modulated between two ends."""

    commands: Commands
    """With the damper at its lower end."""
    least: float
    """Lower end of the damper signal. [-]"""
    most: float
    """Upper end. [-]"""
    holds: tuple[Hold, ...]
    """What the damper holds between them."""
    memory: Memory
    free_cooling: bool = False
    protection: bool = False
    """A protection may let the damper go below its minimum, or has stopped the unit."""

    @property
    def modulating(self) -> bool:
        """The damper has room between its ends."""
        return self.most > self.least

    def with_damper(self, damper_signal: float) -> tuple[Commands, Memory]:
        """Return the decision with its damper signal. [-]"""
        return self.commands_with(damper_signal), replace(self.memory, damper_signal=damper_signal)

    def commands_with(self, damper_signal: float) -> Commands:
        """Return its commands with a damper signal. [-]"""
        own = self.commands
        return Commands(
            own.fan_running,
            own.fan_speed,
            damper_signal,
            own.cooling_stages,
            own.heating_stages,
            own.reversing_valve_powered,
        )


def driven(settings: ControlSettings, sensed: Sensed, todo: Duty, seconds: float) -> tuple[Commands, Memory]:
    """Commands and memory with the damper signal one step of its control further.

    The damper signal integrates the deviation from what it holds. Steps well below the reset time follow the damper;
    for the signal at which it comes to rest see ``mixed_air_control.holding_signal``.

    Parameters
    ----------
    settings
        Of the controls [K, s].
    sensed
        What the sensors show [°C].
    todo
        What was decided.
    seconds
        Time since the last decision. [s]

    Returns
    -------
    tuple of Commands and Memory
        What the hardware is told [shares, stages], and what is remembered.

    References
    ----------
    Integrating control of mixed air: common practice, no published source.
    """
    signal = min(max(todo.memory.damper_signal, todo.least), todo.most)
    if todo.modulating and seconds > 0.0:
        share = seconds / settings.reset_time * margin(todo.holds, sensed) / settings.throttling_range
        signal = moved(signal, share, todo.least, todo.most)
    return todo.with_damper(signal)


def duty(settings: ControlSettings, sensed: Sensed, calls: Calls, memory: Memory, seconds: float) -> Duty:
    """Everything that is decided but the place of a modulated damper between its ends.

    A heating call goes before a cooling call. Free cooling answers the first stage; an integrated control adds
    compressors from the second stage on and keeps the damper open, held back by the low limit alone.

    Parameters
    ----------
    settings
        Of the controls [°C, K, s, shares].
    sensed
        What the sensors show [°C, J/kg].
    calls
        As they arrive.
    memory
        What was remembered.
    seconds
        Time since then. [s]

    Returns
    -------
    Duty
        Commands, ends of the damper signal [-] and what it holds [°C].

    References
    ----------
    ASHRAE Guideline 36, single-zone VAV air handler, as documented in the Modelica Buildings library (minimum, high
    limit, freeze protection); ASHRAE 90.1-2019 6.5.1.1.3 and 6.5.1.3 (high limit, integration; from memory), IECC
    C403.5 (from memory); stages, lockout, low limit: common practice, no published source.
    """
    shown = sensed.supply_dry_bulb if sensed.supply_dry_bulb is not None else sensed.mixed_dry_bulb
    freeze = protected(
        settings.freeze,
        shown if memory.fan_running else None,
        memory.freeze,
        seconds,
        switch_tripped=sensed.freeze_switch_tripped,
    )
    limit = switched(settings.high_limit, _streams(sensed), memory.limit, seconds)
    locked_out = _locked_out(settings, sensed.outdoor_dry_bulb, was=memory.locked_out)
    no_air = memory.fan_running and sensed.fan_proved is False
    stopped = freeze.stage == 3
    heating = _heating(settings, calls, freeze, locked_out=locked_out)
    cooling = 0 if heating or freeze.stage else calls.cooling_stages
    free = (
        cooling > 0
        and limit.fit is True
        and not no_air
        and _can_hold(settings, sensed)
        and (calls.occupied or settings.free_cooling_unoccupied)
    )
    usable = 0 if locked_out else settings.compressors
    if free and not settings.integrated and cooling > 1 and usable:
        free = False
    stages = staged(
        _as_many(memory.stages, settings.compressors),
        cooling - 1 if free else cooling,
        seconds,
        least_on=settings.least_on,
        least_off=settings.least_off,
        stop=stopped or no_air or locked_out or heating > 0 or freeze.stage > 0,
    )
    running = sum(stage.running for stage in stages)
    free = free and (settings.integrated or not running)
    called = calls.fan or calls.cooling_stages > 0 or calls.heating_stages > 0 or heating > 0
    fan = (called or running > 0) and not stopped
    speed = _fan_speed(settings, max(cooling, running), heating)
    least, most, holds = _damper(
        settings, sensed, calls, speed, shut=not fan or no_air or freeze.stage > 1, free=free, running=running
    )
    commands = Commands(
        fan_running=fan,
        fan_speed=speed,
        damper_signal=least,
        cooling_stages=running,
        heating_stages=heating if fan and not no_air else 0,
        reversing_valve_powered=_valve_powered(settings, heating, max(cooling, running)),
    )
    remembered = Memory(limit, freeze, stages, locked_out, fan, memory.damper_signal)
    gives_way = settings.low_limit_shuts and most > least and not free
    protection = stopped or no_air or freeze.stage > 1 or gives_way
    return Duty(commands, least, most, holds, remembered, free, protection)


def _streams(sensed: Sensed) -> Streams:
    return Streams(
        sensed.outdoor_dry_bulb, sensed.outdoor_enthalpy, sensed.return_dry_bulb, sensed.return_enthalpy
    )


def _locked_out(settings: ControlSettings, outdoor: float | None, *, was: bool) -> bool:
    """Tell whether outdoor air is too cold for compressors; a failed sensor locks nothing."""
    if settings.lockout is None or outdoor is None:
        return False
    return outdoor < settings.lockout or (was and outdoor <= settings.lockout + settings.lockout_differential)


def _heating(settings: ControlSettings, calls: Calls, freeze: FreezeState, *, locked_out: bool) -> int:
    """Stages of heat: those called for, at least one while the supply air is too cold, none once all is off."""
    if freeze.stage == 3 or (locked_out and settings.lockout_stops_heating):
        return 0
    return min(max(calls.heating_stages, 1 if freeze.stage else 0), settings.heaters)


def _can_hold(settings: ControlSettings, sensed: Sensed) -> bool:
    """Tell whether the sensor shows something that free cooling holds."""
    shown = sensed.mixed_dry_bulb if settings.held == "mixed" else sensed.supply_dry_bulb
    return shown is not None


def _as_many(stages: tuple[Stage, ...], number: int) -> tuple[Stage, ...]:
    return (stages + (Stage(),) * number)[:number]


def _fan_speed(settings: ControlSettings, cooling: int, heating: int) -> float:
    if heating:
        return settings.fan.heating
    if cooling > 1:
        return settings.fan.cooling_second
    return settings.fan.cooling_first if cooling else settings.fan.ventilating


def _damper(
    settings: ControlSettings,
    sensed: Sensed,
    calls: Calls,
    speed: float,
    *,
    shut: bool,
    free: bool,
    running: int,
) -> tuple[float, float, tuple[Hold, ...]]:
    """Ends of the damper signal, and what it holds between them."""
    if shut:
        return 0.0, 0.0, ()
    believed = speed if settings.speed_known else settings.minimum.fastest
    minimum = minimum_signal(settings.minimum, believed, calls.need) if calls.occupied else 0.0
    low_limit = () if sensed.mixed_dry_bulb is None else (Hold("mixed", settings.low_limit),)
    if not free:
        gives_way = settings.low_limit_shuts and low_limit
        return (0.0 if gives_way else minimum), minimum, low_limit if gives_way else ()
    held = low_limit if running else (Hold(settings.held, settings.set_point), *low_limit)
    return minimum, 1.0, held


def _valve_powered(settings: ControlSettings, heating: int, cooling: int) -> bool:
    """Tell whether the coil of the reversing valve is powered; at rest it is not."""
    if heating:
        return settings.valve == "powered in heating"
    return cooling > 0 and settings.valve == "powered in cooling"
