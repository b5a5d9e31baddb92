"""What counts: settled truly, wrong final verdicts with their bound, readings."""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass

from benchmarks.balance.roof import SPEEDS, TOLERANCE, Kind, Outcome, Reach, Speed, Visit

ENOUGH = 400
"""Verdicts from which on a share of wrong ones is claimed: 12 wrong of 400 keep the bound below 5 %."""
BANDS = ((5.0, 10.0), (10.0, 20.0), (20.0, 30.0), (30.0, 40.0), (40.0, 50.0))
"""Outdoor-return differences. [°F]"""
TARGETS = ((0.0, 0.15), (0.15, 0.25), (0.25, 0.40), (0.40, 1.0))
"""Target shares: the high speed's are 0.10 to 0.40, the low speed's higher by the ratio of the flows. [-]"""


@dataclass(frozen=True, slots=True)
class Scored:
    """One final verdict, at one speed of one visit by one method."""

    method: str
    index: int
    speed: Speed
    family: str
    kind: Kind
    reach: Reach
    right: bool | None
    """Whether the verdict is true; None for *cannot tell*."""
    target: float
    difference: float
    """True outdoor-return difference. [°F]"""
    spent: int
    """Readings of the whole visit, the check among them."""
    cost: float = 0.0
    """Evaluations of the unit's steady state per answer, where the method counts them."""

    @property
    def settled(self) -> bool:
        """Settled truly: a true final verdict."""
        return self.right is True


def scored(
    method: str,
    index: int,
    visit: Visit,
    outcomes: dict[Speed, Outcome],
    difference: float,
    cost: float = 0.0,
) -> list[Scored]:
    """Judge both speeds of a visit against the truth; ``difference`` is the true one. [°F]"""
    verdicts = []
    for speed in SPEEDS:
        outcome, reach = outcomes[speed], visit.deliverable(speed)
        verdicts.append(
            Scored(
                method,
                index,
                speed,
                visit.unit.family.name,
                outcome.kind,
                reach,
                _right(visit, speed, outcome, reach),
                visit.unit.target(speed),
                difference,
                visit.spent,
                cost,
            )
        )
    return verdicts


def _right(visit: Visit, speed: Speed, outcome: Outcome, reach: Reach) -> bool | None:
    if outcome.kind == "cannot_tell":
        return None
    if outcome.kind == "cannot_deliver":
        return reach != "delivers"
    if outcome.signal is None:
        problem = "a pass without a signal"
        raise ValueError(problem)
    target = visit.unit.target(speed)
    return abs(visit.truth(speed, outcome.signal) - target) <= TOLERANCE * target


@dataclass(frozen=True, slots=True)
class Wrong:
    """Wrong ones among final verdicts of one kind."""

    wrong: int
    count: int

    @property
    def bound(self) -> float:
        """One-sided 95 % upper bound of the share of wrong ones."""
        return upper_bound(self.wrong, self.count)

    @property
    def claim(self) -> str:
        """What may be said of it."""
        if self.count < ENOUGH:
            return "nothing"
        return "at most 5 %" if self.bound < 0.05 else "NOT at most 5 %"


def wrong(verdicts: Iterable[Scored], kind: Kind) -> Wrong:
    """Count the wrong ones among the verdicts of a kind."""
    of_kind = [verdict for verdict in verdicts if verdict.kind == kind]
    return Wrong(sum(verdict.right is False for verdict in of_kind), len(of_kind))


def upper_bound(hits: int, count: int, confidence: float = 0.95) -> float:
    """One-sided upper confidence bound of a share.

    Parameters
    ----------
    hits, count
        Of so many, so many. [-]
    confidence
        [-]

    Returns
    -------
    float
        The share at which so few hits, or fewer, have a chance of 1 - confidence; by bisection. [-]

    References
    ----------
    Clopper and Pearson, Biometrika 26 (1934): the exact interval, here its upper end alone (from memory).
    """
    if hits >= count:
        return 1.0
    low, high = hits / count, 1.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (middle, high) if _at_most(hits, count, middle) > 1.0 - confidence else (low, middle)
    return high


def _at_most(hits: int, count: int, share: float) -> float:
    """Chance of so many hits or fewer; the logarithm of each term keeps it finite for thousands."""
    if share <= 0.0:
        return 1.0
    if share >= 1.0:
        return 0.0
    whole = math.lgamma(count + 1)
    return sum(
        math.exp(
            whole
            - math.lgamma(k + 1)
            - math.lgamma(count - k + 1)
            + k * math.log(share)
            + (count - k) * math.log1p(-share)
        )
        for k in range(hits + 1)
    )


def share_settled(verdicts: Iterable[Scored]) -> tuple[int, int]:
    """Count the verdicts that are settled truly, and all of them."""
    listed = list(verdicts)
    return sum(verdict.settled for verdict in listed), len(listed)


def settled_by(verdicts: Iterable[Scored]) -> set[tuple[int, Speed]]:
    """Which speeds of which units are settled truly."""
    return {(verdict.index, verdict.speed) for verdict in verdicts if verdict.settled}


def readings_of_both(ours: Iterable[Scored], theirs: Iterable[Scored]) -> list[tuple[int, int]]:
    """Readings of each method on each visit of which both settle both speeds truly."""
    first, second = _visits_settled(ours), _visits_settled(theirs)
    return [(first[index], second[index]) for index in sorted(first.keys() & second.keys())]


def _visits_settled(verdicts: Iterable[Scored]) -> dict[int, int]:
    spent: dict[int, int] = {}
    unsettled = set()
    for verdict in verdicts:
        spent[verdict.index] = verdict.spent
        if not verdict.settled:
            unsettled.add(verdict.index)
    return {index: readings for index, readings in spent.items() if index not in unsettled}
