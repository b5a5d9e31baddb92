"""What a page enters: a place gets a value, a list an entry, an earlier change is taken back or counts again."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from ventwright.store.history import Pen


@dataclass(frozen=True, slots=True)
class Put:
    """One place of the document gets a value; None takes it away."""

    place: str
    value: Any


@dataclass(frozen=True, slots=True)
class Add:
    """One more entry in a list of the document."""

    place: str
    value: Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class TakeBack:
    """An earlier change does not count any more."""

    change: str


@dataclass(frozen=True, slots=True)
class BringBack:
    """A change that was taken back counts again."""

    change: str


Step = Put | Add | TakeBack | BringBack


def write_step(pen: Pen, step: Step) -> None:
    """Write one step.

    Raises
    ------
    Refused
        There is no such place or change in the job.
    """
    match step:
        case Put(place, value):
            pen.put(place, value)
        case Add(place, value):
            pen.append(place, dict(value))
        case TakeBack(change):
            pen.undo(change)
        case BringBack(change):
            pen.redo(change)
