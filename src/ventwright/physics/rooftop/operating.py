"""The operating point of a rooftop unit: controls and hardware settled on one another, with whatever is wrong with both.

What the sensors show decides the commands, the commands change the air, the air changes what the sensors show. Where
that comes to rest is what somebody at the unit reads; where it does not, the unit hunts, and the answer says so.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

from ventwright.errors import Refusal, Refused
from ventwright.physics.rooftop import control_fault
from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.control import Duty, duty
from ventwright.physics.rooftop.control_fault import ControlFault
from ventwright.physics.rooftop.control_settings import ControlSettings, ValveSense
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.hardware_fault import HardwareFault, faulted
from ventwright.physics.rooftop.memory import Memory
from ventwright.physics.rooftop.mixed_air_control import holding_signal, margin
from ventwright.physics.rooftop.sensed import Sensed
from ventwright.physics.rooftop.sensing import Place
from ventwright.physics.rooftop.steady import State, steady
from ventwright.physics.rooftop.surroundings import Indoor, Weather

Fault = HardwareFault | ControlFault

MOST_ROUNDS = 12
"""Rounds between controls and air after which a unit counts as hunting (our own assumption)."""


@dataclass(frozen=True, slots=True)
class ControlledUnit:
    """A unit and its controls as they are: every fault in its place."""

    unit: Unit
    """With the faults of the hardware."""
    settings: ControlSettings
    """With those of setting."""
    meant: ControlSettings
    """As thermostat and unit would have them: the sense of the reversing valve is the unit's."""
    faults: tuple[ControlFault, ...] = ()

    def heard(self, calls: Calls) -> Calls:
        """Return the calls as the controls understand them."""
        return control_fault.arriving(calls, self.settings, self.meant, self.faults)

    def sent(self, commands: Commands, calls: Calls) -> Commands:
        """Return the commands that arrive at the hardware, the calls being those that were made."""
        return control_fault.sent_with(commands, calls, self.settings, self.faults)

    def shown(self, sensed: Sensed) -> Sensed:
        """Return what the controls are shown."""
        return control_fault.shown_with(sensed, self.faults)


@dataclass(frozen=True, slots=True)
class Operating:
    """Where a unit comes to rest."""

    state: State
    """What one could read on it."""
    commands: Commands
    """As they arrive at the hardware."""
    sensed: Sensed
    """What the controls are shown."""
    memory: Memory
    free_cooling: bool
    protection: bool
    """Freeze protection has taken over, or the low limit may."""
    settled: bool
    """False where controls and air chase each other; the rest is then one moment of it."""
    evaluations: int
    """Steady states of the hardware that it took."""


def controlled(unit: Unit, settings: ControlSettings, faults: Iterable[Fault] = ()) -> ControlledUnit:
    """Unit and controls with their faults, each where it belongs.

    Parameters
    ----------
    unit
        As it was built.
    settings
        As they were meant [°C, K, s, shares].
    faults
        Of hardware and controls, any number.

    Returns
    -------
    ControlledUnit
        As it is [SI throughout].

    Raises
    ------
    Refused
        The unit is a heat pump and the settings do not say the sense of its reversing valve.

    References
    ----------
    None is needed: nothing is calculated (common practice, no published source).
    """
    listed = tuple(faults)
    wiring = tuple(fault for fault in listed if isinstance(fault, ControlFault))
    own = control_fault.settings_with(settings, wiring)
    if unit.heat_pump is None:
        meant = own
    elif own.valve is None:
        accepted = "powered in cooling, powered in heating"
        raise Refused(
            Refusal("does not say how a heat pump's valve is powered", accepted, "control settings.valve")
        )
    else:
        sense: ValveSense = (
            "powered in cooling" if unit.heat_pump.valve_powered_cools else "powered in heating"
        )
        meant = replace(own, valve=sense)
    hardware = [fault for fault in listed if isinstance(fault, HardwareFault)]
    return ControlledUnit(faulted(unit, hardware), own, meant, wiring)


def sensed_at(state: State) -> Sensed:
    """What the controller makes of its sensors in a state.

    Parameters
    ----------
    state
        Of the unit.

    Returns
    -------
    Sensed
        Temperatures [°C] and enthalpies [J/kg]; None where there is no sensor, or a failed one.

    References
    ----------
    None is needed: nothing is calculated (common practice, no published source).
    """
    readings = state.readings
    outdoor, returned = readings.get(Place.OUTDOOR), readings.get(Place.RETURN)
    mixed, supply = readings.get(Place.MIXED), readings.get(Place.SUPPLY)
    return Sensed(
        outdoor_dry_bulb=outdoor.dry_bulb if outdoor else None,
        return_dry_bulb=returned.dry_bulb if returned else None,
        mixed_dry_bulb=mixed.dry_bulb if mixed else None,
        supply_dry_bulb=supply.dry_bulb if supply else None,
        outdoor_enthalpy=outdoor.enthalpy if outdoor else None,
        return_enthalpy=returned.enthalpy if returned else None,
    )


def rested(
    todo: Duty,
    unit: ControlledUnit,
    calls: Calls,
    state_at: Callable[[Commands], State],
) -> tuple[Commands, Memory]:
    """Commands and memory with the damper where its control comes to rest.

    Parameters
    ----------
    todo
        What the controls decided.
    unit
        Unit and controls.
    calls
        As they were made.
    state_at
        State of the hardware at commands that arrive there.

    Returns
    -------
    tuple of Commands and Memory
        As they leave the controls [shares, stages].

    References
    ----------
    See ``mixed_air_control.holding_signal``.
    """
    if not todo.modulating:
        return todo.with_damper(todo.least)
    if not todo.holds:
        return todo.with_damper(todo.most)

    def margin_at(damper_signal: float) -> float:
        state = state_at(unit.sent(todo.commands_with(damper_signal), calls))
        return margin(todo.holds, unit.shown(sensed_at(state)))

    return todo.with_damper(holding_signal(margin_at, todo.least, todo.most))


def operate(
    unit: Unit,
    settings: ControlSettings,
    weather: Weather,
    indoor: Indoor,
    calls: Calls,
    faults: Iterable[Fault] = (),
    *,
    memory: Memory | None = None,
    known: dict[Commands, State] | None = None,
) -> Operating:
    """Operating point of a unit with its controls.

    Every waiting time has passed, unless a memory is handed in that says otherwise. Freeze protection goes as far as
    the air asks for: the damper at its minimum, then shut; the shutdown, an event in time, it enters only from a
    memory.

    Parameters
    ----------
    unit
        As it was built.
    settings
        Of its controls, as they were meant [°C, K, s, shares].
    weather, indoor
        The air on either side [°C, -, Pa].
    calls
        As the thermostat makes them.
    faults
        Of hardware and controls, any number.
    memory
        What the controls remember; None for nothing.
    known
        States of this hardware in this air that are worked out already; those that are worked out here are added.

    Returns
    -------
    Operating
        Where it comes to rest, and whether it does [SI throughout].

    References
    ----------
    See ``control.duty`` and ``steady.steady``; the point between them is found by going round.
    """
    whole = controlled(unit, settings, faults)
    states = {} if known is None else known
    before = len(states)

    def state_at(commands: Commands) -> State:
        if commands not in states:
            states[commands] = steady(whole.unit, weather, indoor, commands)
        return states[commands]

    remembered = memory or Memory()
    while True:
        found = _round(whole, calls, remembered, state_at)
        colder = _freeze_stage(whole, found, remembered.freeze.stage)
        if colder == remembered.freeze.stage:
            return replace(found, evaluations=len(states) - before)
        remembered = replace(remembered, freeze=replace(remembered.freeze, stage=colder))


def _round(
    whole: ControlledUnit, calls: Calls, memory: Memory, state_at: Callable[[Commands], State]
) -> Operating:
    """Go round between controls and air until the decision stays."""
    heard = whole.heard(calls)
    state = state_at(Commands(fan_running=False, fan_speed=1.0, damper_signal=0.0))
    commands, settled = None, False
    for _ in range(MOST_ROUNDS):
        sensed = whole.shown(sensed_at(state))
        todo = duty(whole.settings, sensed, heard, memory, 0.0)
        before = commands
        left, remembered = rested(todo, whole, calls, state_at)
        commands = whole.sent(left, calls)
        settled = commands == before
        state = state_at(commands)
        if settled:
            break
    return Operating(
        state, commands or left, sensed, remembered, todo.free_cooling, todo.protection, settled, 0
    )


def _freeze_stage(whole: ControlledUnit, found: Operating, stage: int) -> int:
    """Return the stage of freeze protection that the supply air asks for, from the one there is."""
    shown = found.sensed.supply_dry_bulb
    shown = found.sensed.mixed_dry_bulb if shown is None else shown
    if not found.commands.fan_running or shown is None:
        return stage
    freeze = whole.settings.freeze
    if stage == 0 and shown < freeze.first_below:
        return 1
    return 2 if stage == 1 and shown < freeze.second_below else stage
