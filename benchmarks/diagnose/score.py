"""Scores of many visits: shares with their counts, minutes, and whether probabilities are what they say."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from math import sqrt

from benchmarks.diagnose.play import Played

ENOUGH = 300
"""Statements from which a tenth of probability is judged."""
WITHIN = 0.05
"""How far what happened may lie from what was said. [-]"""
METHODS = {
    "ours": "ours",
    "table": "fixed symptom table",
    "table at once": "fixed symptom table, faults known on sight",
    "random": "random order",
    "random at once": "random order, faults known on sight",
}


@dataclass(frozen=True, slots=True)
class Share:
    """How many of how many."""

    part: int
    whole: int

    @property
    def value(self) -> float:
        """[-]"""
        return self.part / self.whole if self.whole else 0.0

    def __str__(self) -> str:
        """Say it in per cent with the counts."""
        return f"{100.0 * self.value:.1f} % ({self.part}/{self.whole})" if self.whole else "none"


@dataclass(frozen=True, slots=True)
class Tenth:
    """One tenth of probability: what was said in it, and how often it was so."""

    low: float
    statements: int
    units: int
    said: float
    """Mean probability. [-]"""
    was: float
    """Share that was so. [-]"""
    u: float
    """Standard error of the difference, units being independent and their statements not. [-]"""

    @property
    def judged(self) -> bool:
        """Whether it holds enough statements."""
        return self.statements >= ENOUGH

    @property
    def good(self) -> bool:
        """Whether what was said was so, within five points."""
        return abs(self.was - self.said) <= WITHIN


@dataclass(frozen=True, slots=True)
class Scores:
    """Everything that is asked of one set of visits."""

    units: int
    first: Share
    """Single faults with a consequence: the true one in first place."""
    three: Share
    """Among the first three."""
    both: Share
    """Pairs with consequences: both found."""
    first_of_pair: Share
    accused: Share
    """Sound units of which a fault was held likelier than not."""
    cannot_tell: Share
    """Sound units of which neither was."""
    unexplained: Share
    not_scored: int
    """Units with faults, none of which has a consequence."""
    minutes: dict[str, float]
    """Mean to the first cause. [min]"""
    unsolved: dict[str, Share]
    ratio_u: dict[str, float]
    """Standard error of ours over each other method's, units paired. [-]"""
    tenths: tuple[Tenth, ...]

    def ratio(self, to: str = "table") -> float:
        """Ours over another method's. [-]"""
        return self.minutes["ours"] / self.minutes[to] if self.minutes[to] else 0.0


def score(visits: Sequence[Played]) -> Scores:
    """Score one set of visits."""
    single = [one for one in visits if len(one.faults) == 1 and one.scored]
    pairs = [one for one in visits if len(one.scored) == 2]
    sound = [one for one in visits if not one.faults]
    faulty = [one for one in visits if one.scored]
    minutes = {name: _mean([one.minutes[name] for one in faulty]) for name in METHODS}
    return Scores(
        len(visits),
        _share([one.rank == 1 for one in single]),
        _share([one.rank is not None and one.rank <= 3 for one in single]),
        _share([one.both for one in pairs]),
        _share([one.first_found for one in pairs]),
        _share([one.accused for one in sound]),
        _share([one.cannot_tell for one in sound]),
        _share([one.unexplained for one in visits]),
        sum(bool(one.faults) and not one.scored for one in visits),
        minutes,
        {name: _share([one.minutes[name] >= 60.0 for one in faulty]) for name in METHODS},
        {name: _ratio_u(faulty, minutes, name) for name in METHODS},
        calibration(visits),
    )


def calibration(visits: Sequence[Played]) -> tuple[Tenth, ...]:
    """Probabilities by tenths: said, and so."""
    found = []
    for tenth in range(10):
        held = [
            [(chance, so) for chance, so in one.statements if min(9, int(10.0 * chance)) == tenth]
            for one in visits
        ]
        held = [one for one in held if one]
        count = sum(map(len, held))
        if not count:
            continue
        said = sum(chance for one in held for chance, _ in one) / count
        was = sum(so for one in held for _, so in one) / count
        off = was - said
        spread = sum(sum(so - chance - off for chance, so in one) ** 2 for one in held)
        found.append(Tenth(tenth / 10.0, count, len(held), said, was, sqrt(spread) / count))
    return tuple(found)


def _share(list_of: Sequence[bool]) -> Share:
    return Share(sum(list_of), len(list_of))


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values) if values else 0.0


def _ratio_u(faulty: Sequence[Played], minutes: dict[str, float], to: str) -> float:
    """Standard error of a ratio of two paired means (delta method)."""
    if len(faulty) < 2 or not minutes[to]:
        return 0.0
    ratio = minutes["ours"] / minutes[to]
    rest = [one.minutes["ours"] - ratio * one.minutes[to] for one in faulty]
    return sqrt(sum(value * value for value in rest) / (len(rest) - 1) / len(rest)) / minutes[to]
