"""Ranges: years drawn from the uncertainty of every input, by a seed, and what moves the result most, one at a time."""

from __future__ import annotations

import random
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from importlib.util import find_spec

from ventwright.physics.year.hours import Hours
from ventwright.physics.year.one_year import one_year
from ventwright.physics.year.simple import binned
from ventwright.physics.year.way import YearTotals, together
from ventwright.verdict.savings.inputs import Values, YearInputs
from ventwright.verdict.savings.parts import Parts, within
from ventwright.verdict.savings.strategy import Strategy

LOW, HIGH = 0.05, 0.95
"""Ends of what is said as a range: 9 in 10 lie between."""

END = 1.645
"""Standard uncertainties from the middle to either of these ends, of a normal distribution."""

WIDEST = 3.0
"""Standard uncertainties beyond which nothing is drawn (our own assumption)."""

BLOCK = 200
"""Hours between which the work may be stopped, where it is done without NumPy. A phone takes a third of a second for them. [h]"""

DrawnYears = list[tuple[YearTotals, ...]]
"""For every draw, the totals of every strategy."""


@dataclass(frozen=True, slots=True)
class Reckoned:
    """Years in the middle, and every draw of them."""

    middle: tuple[YearTotals, ...]
    middle_as_drawn: tuple[YearTotals, ...]
    """The middle, reckoned as the draws were: without NumPy in bins of temperature."""
    draws: DrawnYears


def drawn_values(known: YearInputs, draws: int, seed: int) -> Iterator[dict[str, float]]:
    """Draw a value for every input, as often as asked; the same seed draws the same."""
    dice = random.Random(seed)  # noqa: S311 - a repeatable sample, no secret
    for _ in range(draws):
        yield {
            one.name: one.middle + one.uncertainty * max(-WIDEST, min(WIDEST, dice.gauss(0.0, 1.0)))
            for one in known.inputs
        }


def numpy_is_there() -> bool:
    """Whether arrays can be used."""
    return find_spec("numpy") is not None


def reckon(
    hours: Hours, known: YearInputs, compared: Sequence[Strategy], draws: int, seed: int
) -> Parts[Reckoned]:
    """Run every strategy in the middle, and as often as asked with drawn inputs.

    Parameters
    ----------
    hours
        In which the unit runs.
    known
        The inputs.
    compared
        The strategies.
    draws
        How many years each.
    seed
        Of the draws, which are the same for every strategy, so that differences keep what they have in common.
    """
    middle = yield from within(middle_year(hours, known, compared), 0.0, 0.1)
    values = [known.middle, *drawn_values(known, draws, seed)]
    as_drawn, *drawn = yield from within(with_values(hours, known, compared, values), 0.1, 1.0)
    return Reckoned(middle, as_drawn, drawn)


def middle_year(
    hours: Hours, known: YearInputs, compared: Sequence[Strategy]
) -> Parts[tuple[YearTotals, ...]]:
    """Run every strategy through every hour with all inputs in the middle."""
    if numpy_is_there():
        found: DrawnYears = yield from _in_bulk(hours, known, compared, [known.middle])
        return found[0]
    blocks = [hours.rows(first, first + BLOCK) for first in range(0, len(hours), BLOCK)]
    sums: list[tuple[YearTotals, ...]] = []
    for number, block in enumerate(blocks, start=1):
        sums.append(tuple(in_one_go(block, known, compared, known.middle)))
        yield number / len(blocks)
    return tuple(together(one) for one in zip(*sums, strict=True))


def with_values(
    hours: Hours, known: YearInputs, compared: Sequence[Strategy], values: Sequence[Values]
) -> Parts[DrawnYears]:
    """Run strategies with many sets of values: hour by hour with NumPy, else in bins of temperature.

    Bins miss a little of every year, but hardly of what parts one draw from another; ``outcomes`` moves their middle.
    """
    if numpy_is_there():
        return (yield from _in_bulk(hours, known, compared, values))
    bins, found = binned(hours), []
    for number, one in enumerate(values, start=1):
        found.append(tuple(in_one_go(bins, known, compared, one)))
        yield number / len(values)
    return found


def in_one_go(
    hours: Hours, known: YearInputs, compared: Sequence[Strategy], values: Values
) -> list[YearTotals]:
    """Run strategies with one set of values in plain Python."""
    found: dict[int, YearTotals] = {}
    for group in _groups(compared):
        first = compared[group[0]]
        ways = [compared[number].run for number in group]
        totals = one_year(hours, first.unit(known, values), ways, first.errors(known, values))
        found.update(zip(group, totals, strict=True))
    return [found[number] for number in range(len(compared))]


def _in_bulk(
    hours: Hours, known: YearInputs, compared: Sequence[Strategy], values: Sequence[Values]
) -> Parts[DrawnYears]:
    """Run strategies with many sets of values, with NumPy."""
    from ventwright.physics.year.many_years import columns_of, many_years

    columns, groups = columns_of(hours), _groups(compared)
    drawn: DrawnYears = []
    for count, one in enumerate(values, start=1):
        found: dict[int, YearTotals] = {}
        for group in groups:
            first = compared[group[0]]
            ways = [compared[number].run for number in group]
            unit, errors = first.unit(known, one), first.errors(known, one)
            found.update(zip(group, next(many_years(columns, [unit], ways, [errors])), strict=True))
        drawn.append(tuple(found[number] for number in range(len(compared))))
        yield count / len(values)
    return drawn


def _groups(compared: Sequence[Strategy]) -> list[list[int]]:
    """Places of strategies whose hours are the same."""
    groups: dict[tuple[object, ...], list[int]] = {}
    for number, one in enumerate(compared):
        groups.setdefault(one.same_hours, []).append(number)
    return list(groups.values())


def ends(known: YearInputs) -> list[tuple[dict[str, float], dict[str, float]]]:
    """For every input, all values in the middle but this one at its low and at its high end."""
    middle = known.middle
    return [
        (
            middle | {one.name: one.middle - END * one.uncertainty},
            middle | {one.name: one.middle + END * one.uncertainty},
        )
        for one in known.inputs
    ]


def quantile(values: Sequence[float], share: float) -> float:
    """Value below which a share of them lies, straight between neighbours."""
    ordered = sorted(values)
    place = share * (len(ordered) - 1)
    below = int(place)
    above = min(below + 1, len(ordered) - 1)
    return ordered[below] + (place - below) * (ordered[above] - ordered[below])
