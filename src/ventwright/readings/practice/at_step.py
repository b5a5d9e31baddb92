"""What is there to read or to see at a step of the functional tests, on the practice roof."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.physics.rooftop.calls import Calls
from ventwright.plan.software_reading import Seen
from ventwright.quantity import FRACTION, TEMPERATURE, System, show
from ventwright.readings.fault_finding import measurement_named
from ventwright.readings.practice.shown import PracticeRoof, Shown, eye, measured
from ventwright.readings.practice.unit_in_state import InState
from ventwright.tables.measurement import measurements
from ventwright.tables.practice import practice_table
from ventwright.tables.procedure import Step
from ventwright.words import Amount

NOT_THERE = "nothing of this is part of the practice unit: take it as in order"
SIGNAL_U = 0.01
"""Of a damper signal read by meter (our own assumption). [-]"""


@dataclass(frozen=True, slots=True)
class AtStep:
    """What a step shows: a value, or what an eye sees."""

    read: Shown | None
    eye: tuple[str, ...]


def at_step(roof: PracticeRoof, step: Step, system: System) -> AtStep:
    """Look at a step, with everything that is changed for a test now in its place.

    Parameters
    ----------
    roof
        The practice roof.
    step
        Of the functional tests.
    system
        Units of what is said.
    """
    known = measurements().steps.get(step.id)
    if step.calls is not None:
        called = Calls(step.calls.cooling, step.calls.heating, step.calls.fan, step.calls.occupied)
        seen = roof.unit.seen(InState(called))
        read = _read(roof, step, seen)
        return AtStep(read, () if read is not None else tuple(eye(seen, system)))
    if known is not None:
        return AtStep(measured(roof, measurement_named(known.measurement))[known.reads], ())
    looks = [name for name in practice_table().looks.get(step.id, ()) if roof.unit.has(name)]
    if not looks:
        return AtStep(None, (NOT_THERE,))
    there = roof.unit.looks()
    return AtStep(None, tuple(f"{name}: {_said(name, there[name], system)}" for name in looks))


def _said(name: str, value: float | str, system: System) -> str:
    dimension = measurements().entered[name].dimension
    return str(value) if isinstance(value, str) or dimension is None else show(value, dimension, system)


def _read(roof: PracticeRoof, step: Step, seen: Seen) -> Shown | None:
    """Return the number that answers a step; None where an eye answers it."""
    errors, state = roof.errors(), seen.state
    match step.answer:
        case "damper signal":
            return Amount(min(1.0, max(0.0, errors.about(seen.commands.damper_signal, SIGNAL_U))), FRACTION)
        case "mixed air":
            return Amount(errors.temperature(state.mixed.dry_bulb), TEMPERATURE)
        case "supply air":
            return Amount(errors.temperature(state.supply.dry_bulb), TEMPERATURE)
    return None
