"""A unit in software as it stands on the practice roof, put into any state somebody may put it in."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.control_fault import ForgottenResistor
from ventwright.physics.rooftop.control_settings import ControlSettings
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.operating import Fault, controlled, operate
from ventwright.physics.rooftop.steady import steady
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.plan.software_reading import IN_STATE, LOOKED_AT, Looked, Seen, Value, has
from ventwright.tables.measurement import UnitState

FAN = Calls(fan=True)


@dataclass(frozen=True, slots=True)
class InState:
    """What somebody has the unit do: calls, a damper sent by hand, a substitute, a fan held at a speed."""

    calls: Calls = FAN
    damper_signal: float | None = None
    """Sent by the controls' own manual mode; None where they decide. [-]"""
    outdoor_shows: float | None = None
    """Of a substitute at the outdoor sensor's input. [°C]"""
    fan_speed: float | None = None
    """Share of full speed at which the fan is held; None where the controls decide. [-]"""


def state_of(state: UnitState) -> InState:
    """Return a state of the list of measurements."""
    calls = Calls(state.cooling, state.heating, fan=state.fan, occupied=state.occupied)
    return InState(calls, state.forced, state.outdoor_shows)


@dataclass(frozen=True, slots=True)
class UnitAsItStands:
    """The unit with everything that is wrong with it now, on today's roof."""

    unit: Unit
    """As it was built."""
    meant: ControlSettings
    weather: Weather
    indoor: Indoor
    design_fan_power: float
    """That the facts would have one expect. [W]"""
    faults: tuple[Fault, ...] = ()
    """What is wrong, and what was changed for a test and is still there."""
    held_at: float | None = None
    """Damper signal of a manual mode that was left on. [-]"""
    called: tuple[str, ...] = ()
    """Calls made by hand that are still there."""

    def seen(self, wanted: InState) -> Seen:
        """Return the unit in a state, as far as somebody with meter and probe can see it."""
        faults = self.faults
        if wanted.outdoor_shows is not None:
            faults = (*faults, ForgottenResistor("outdoor_dry_bulb", wanted.outdoor_shows))
        calls = _with_called(wanted.calls, self.called)
        whole = controlled(self.unit, self.meant, faults)
        signal = self.held_at if wanted.damper_signal is None else wanted.damper_signal
        if signal is None:
            found = operate(self.unit, self.meant, self.weather, self.indoor, calls, faults)
            at, commands = found.state, found.commands
        else:
            speed = self.meant.minimum.fastest if wanted.fan_speed is None else wanted.fan_speed
            commands = whole.sent(Commands(fan_running=True, fan_speed=speed, damper_signal=signal), calls)
            at = steady(whole.unit, self.weather, self.indoor, commands)
        return Seen(whole, self.meant, at, commands, calls, self.weather.dry_bulb, self.design_fan_power)

    def with_faults(self, faults: Iterable[Fault]) -> UnitAsItStands:
        """Return the same unit with these faults and no others."""
        return replace(self, faults=tuple(faults))

    def record(self, wanted: InState) -> dict[str, Value]:
        """Everything there is to read in a state, by what is read."""
        seen = self.seen(wanted)
        return {name: read(seen) for name, read in IN_STATE.items() if self.has(name)}

    def looks(self) -> dict[str, Value]:
        """Everything there is to see by looking, by what is looked at."""
        whole = controlled(self.unit, self.meant, self.faults)
        shut, opened = (
            steady(whole.unit, self.weather, self.indoor, Commands(fan_running=True, fan_speed=self.meant.minimum.fastest, damper_signal=signal))
            for signal in (0.0, 1.0)
        )  # fmt: skip
        looked = Looked(whole, self.meant, shut, opened)
        return {name: read(looked) for name, read in LOOKED_AT.items() if self.has(name)}

    def has(self, reads: str) -> bool:
        """Whether the unit has what is to be read."""
        return has(self.unit, self.meant, reads)


def _with_called(calls: Calls, by_hand: tuple[str, ...]) -> Calls:
    """Add calls that were made by hand and not taken off."""
    cooling = max(
        [calls.cooling_stages, *(2 if "second" in one else 1 for one in by_hand if "cooling" in one)]
    )
    heating = max(
        [calls.heating_stages, *(2 if "second" in one else 1 for one in by_hand if "heating" in one)]
    )
    fan = calls.fan or "fan" in by_hand
    return Calls(cooling, heating, fan=fan, occupied=calls.occupied or "occupied" in by_hand)
