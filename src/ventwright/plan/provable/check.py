"""One check as it stands before anybody climbs: whether it can be settled, with what, and what would make it so."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from ventwright.quantity import FRACTION, TEMPERATURE_DIFFERENCE
from ventwright.words import Words, measured


class CanBeSettled(StrEnum):
    """Whether a check can be settled, by these instruments and this weather."""

    TODAY = "today"
    NOT_TODAY = "not today"
    NEVER = "never with these instruments"
    NOT_KNOWN = "not known without today's temperatures"


class ShownBy(StrEnum):
    """What a settled check rests on: a simulated condition proves the logic, not the air."""

    MEASUREMENT = "measurement"
    SIMULATION = "simulation"


@dataclass(frozen=True, slots=True)
class Way:
    """One way to read the three temperatures, and what it takes for the same check."""

    name: Words
    at_hand: bool
    """Whether the instruments of the job allow it."""
    difference_needed: float | None = measured(TEMPERATURE_DIFFERENCE, default=None)
    """None where no difference would do."""
    readings: int | None = None
    """Today, a check side by side counted as one; None where it does not do."""


@dataclass(frozen=True, slots=True)
class ProvableCheck:
    """What can be said of one check before climbing. ``best_time`` is empty where the weather makes no difference."""

    id: str
    what: Words
    can_be_settled: CanBeSettled
    shown_by: ShownBy
    readings: int | None
    """At one signal; None where no number does today."""
    needs: Words
    best_time: Words
    difference_needed: float | None = measured(TEMPERATURE_DIFFERENCE, default=None)
    """Between outdoor and return air, with the best way at hand; None where none does, or where it does not matter."""
    chance_of_passing: float | None = None
    """Of one that is truly in the middle, with these readings today."""
    points_within: float | None = measured(TEMPERATURE_DIFFERENCE, default=None)
    """Range of the mixed-air points up to which it still passes today."""
    supply_u_allowed: float | None = measured(FRACTION, default=None)
    """Largest relative standard uncertainty of the supply airflow with which it passes."""
    ways: tuple[Way, ...] = ()
