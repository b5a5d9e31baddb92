"""A voltage at both ends of what nobody gave: usual inrush, regulation and wire, each at the mild and at the hard end.

What rests on an assumption passes only where the hard end does, and fails only where the mild one does.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from ventwright.evidence import Verdict
from ventwright.plan.power.finding import held
from ventwright.words import Amount


@dataclass(frozen=True, slots=True)
class Ends:
    """The lowest and the highest value, each with the uncertainty that what was read or metered leaves; alike where all is known."""

    lowest: Amount
    highest: Amount

    def held(self, at_least: float | None, at_most: float | None) -> Verdict:
        """Judge both ends against limits: what holds at one of them alone cannot be told."""
        outcomes = {held(end, at_least, at_most) for end in (self.lowest, self.highest)}
        return outcomes.pop() if len(outcomes) == 1 else Verdict.CANNOT_TELL


def ends_of(found: Iterable[Amount]) -> Ends:
    """Return the lowest and the highest of some values."""
    ordered = sorted(found, key=lambda one: one.value)
    return Ends(ordered[0], ordered[-1])
