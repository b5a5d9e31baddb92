"""A unit in software on today's roof, put into one state after the other: what there is to read, and what it cost."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.control_fault import ForgottenResistor
from ventwright.physics.rooftop.control_settings import ControlSettings
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.hardware_fault import OF_A_SENSOR, HardwareFault
from ventwright.physics.rooftop.operating import ControlledUnit, Fault, controlled, operate
from ventwright.physics.rooftop.sensing import Sensor
from ventwright.physics.rooftop.steady import State, read_by, steady
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.plan.software_reading import IN_STATE, LOOKED_AT, Looked, Seen, Value, has
from ventwright.tables.measurement import Measurement, UnitState, measurements

Record = dict[str, Value]
"""What there is to read in one state, by what is read."""

LOOKS = "looks"
"""Place of what is looked at, beside the ids of the states."""


@dataclass(frozen=True, slots=True)
class Situation:
    """What is known on the roof: the unit of the facts, the settings of the plan, the air on either side."""

    variants: tuple[Unit, ...]
    """The unit as the facts have it, where they leave room more than once."""
    settings: ControlSettings
    weather: Weather
    indoor: Indoor

    @property
    def unit(self) -> Unit:
        """The first of the variants."""
        return self.variants[0]

    def offered(self) -> tuple[Measurement, ...]:
        """Measurements that this unit and this weather allow."""
        return tuple(one for one in measurements().offered if self._allows(one))

    def _allows(self, one: Measurement) -> bool:
        state = one.state
        if state is not None:
            if state.least_outdoor is not None and self.weather.dry_bulb < state.least_outdoor:
                return False
            if state.heating and self.unit.heater is None and self.unit.heat_pump is None:
                return False
            if state.cooling > self.settings.compressors:
                return False
        return any(self.has(part.reads) for part in one.parts)

    def has(self, reads: str) -> bool:
        """Whether the unit has what is to be read."""
        return has(self.unit, self.settings, reads)


Values = tuple[Value | None, ...]
"""What the parts of a measurement gave, in their order; None where a part was not read, or cannot be."""


def values_of(one: Measurement, record: Record) -> Values:
    """Pick the parts of a measurement from what there is to read."""
    return tuple(record.get(part.reads) for part in one.parts)


def place_of(one: Measurement) -> str:
    """Name the state of a measurement, or the looking."""
    return one.state.id if one.state else LOOKS


class _AsRead(dict[Commands, State]):
    """States of one hardware by its commands, the air taken over from the same hardware with other sensors."""

    def __init__(self, air: dict[Commands, State], sensors: tuple[Sensor, ...], indoor: Indoor) -> None:
        super().__init__()
        self._air, self._sensors, self._indoor = air, sensors, indoor

    def __contains__(self, commands: object) -> bool:
        return super().__contains__(commands) or commands in self._air

    def __missing__(self, commands: Commands) -> State:
        state = read_by(self._sensors, self._air[commands], self._indoor)
        super().__setitem__(commands, state)
        return state

    def __setitem__(self, commands: Commands, state: State) -> None:
        self._air[commands] = state
        super().__setitem__(commands, state)


_Whole = tuple[ControlledUnit, dict[Commands, State], _AsRead]
"""A unit with its faults, states of its air, and these as its sensors read them."""


@dataclass(slots=True)
class Roof:
    """Units with their faults in one situation. It keeps what it has worked out: hardware that is alike, once."""

    situation: Situation
    evaluations: int = 0
    """Steady states of the hardware so far."""
    _air: dict[tuple[object, ...], dict[Commands, State]] = field(default_factory=dict)
    """By hardware, whatever its sensors make of the air."""
    _known: dict[tuple[object, ...], _AsRead] = field(default_factory=dict)
    _wholes: dict[tuple[object, ...], _Whole] = field(default_factory=dict)

    def read(self, unit: Unit, key: object, faults: Iterable[Fault], place: str) -> Record:
        """Everything there is to read on a unit in one state.

        Parameters
        ----------
        unit
            Without its faults.
        key
            Stands for the unit: the same key is the same unit.
        faults
            That it has.
        place
            Id of a state, or ``LOOKS``.

        Returns
        -------
        dict
            Numbers in SI, or words, by what is read.
        """
        listed = tuple(faults)
        if (key, *listed) not in self._wholes:
            self._wholes[key, *listed] = self._whole(unit, key, listed)
        whole, air, known = self._wholes[key, *listed]
        before = len(air)
        record = self._look(whole, known) if place == LOOKS else self._in_state(whole, _STATES[place], known)
        self.evaluations += len(air) - before
        return record

    def _whole(self, unit: Unit, key: object, faults: tuple[Fault, ...]) -> _Whole:
        whole = controlled(unit, self.situation.settings, faults)
        hardware = tuple(one for one in faults if isinstance(one, HardwareFault))
        air = self._air.setdefault((key, *(one for one in hardware if one.kind not in OF_A_SENSOR)), {})
        known = self._known.setdefault(
            (key, *hardware), _AsRead(air, whole.unit.sensors, self.situation.indoor)
        )
        return whole, air, known

    def _in_state(self, whole: ControlledUnit, state: UnitState, known: _AsRead) -> Record:
        here, settings = self.situation, self.situation.settings
        calls = Calls(state.cooling, state.heating, fan=state.fan, occupied=state.occupied)
        if state.outdoor_shows is not None:
            stands_in = ForgottenResistor("outdoor_dry_bulb", state.outdoor_shows)
            whole = replace(whole, faults=(*whole.faults, stands_in))
        if state.forced is None:
            # the hardware has its faults already
            found = operate(whole.unit, settings, here.weather, here.indoor, calls, whole.faults, known=known)
            at, commands = found.state, found.commands
        else:
            commands = whole.sent(self._forced(state.forced), calls)
            at = self._steady(whole.unit, commands, known)
        seen = Seen(whole, settings, at, commands, calls, here.weather.dry_bulb, here.unit.fan.fan_power)
        return {name: read(seen) for name, read in IN_STATE.items() if here.has(name)}

    def _look(self, whole: ControlledUnit, known: _AsRead) -> Record:
        shut, opened = (self._steady(whole.unit, self._forced(signal), known) for signal in (0.0, 1.0))
        looked = Looked(whole, self.situation.settings, shut, opened)
        return {name: read(looked) for name, read in LOOKED_AT.items() if self.situation.has(name)}

    def _forced(self, damper_signal: float) -> Commands:
        return Commands(
            fan_running=True,
            fan_speed=self.situation.settings.minimum.fastest,
            damper_signal=damper_signal,
        )

    def _steady(self, unit: Unit, commands: Commands, known: _AsRead) -> State:
        if commands not in known:
            known[commands] = steady(unit, self.situation.weather, self.situation.indoor, commands)
        return known[commands]


_STATES = {one.state.id: one.state for one in measurements().offered if one.state is not None}
