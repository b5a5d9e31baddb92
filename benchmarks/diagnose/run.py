"""Runs visits over roofs: every roof and every unit by seed and number alone, on as many processes as wanted."""

from __future__ import annotations

from collections.abc import Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from functools import partial

from benchmarks.diagnose.play import Played, play
from benchmarks.diagnose.truth import draw_situation, draw_truth

from ventwright.verdict.diagnose.apart import alike
from ventwright.verdict.diagnose.signature import signatures

ON_A_ROOF = 40
"""Units that are visited on one roof on one day: what the tool works out for that day serves all of them."""
OUTSIDE = 16
"""Units of the second set on the same roof."""


@dataclass(frozen=True, slots=True)
class Roofful:
    """What came of all visits on one roof."""

    number: int
    outdoor: float
    """[°C]"""
    inside: tuple[Played, ...]
    outside: tuple[Played, ...]
    alike: tuple[tuple[str, ...], ...]
    """Faults that no measurement tells apart there."""
    alone: tuple[int, ...]
    """Steady states that each answer took on the first unit, when nothing was worked out yet."""


def visit_roof(number: int, seed: int, units: int, outside: int) -> Roofful:
    """Visit all units of one roof."""
    situation = draw_situation(seed, number)
    known = signatures(situation)
    classes: dict[str, set[str]] = {}
    played = []
    groups: tuple[tuple[str, ...], ...] = ()
    for place in range(units):
        played.append(
            play(draw_truth(situation, seed, number * ON_A_ROOF + place, outside=False), known, classes)
        )
        if not place:
            # after the first unit, so that what its answers cost is counted with nothing worked out before
            groups = tuple(tuple(known.hypotheses.rows[one].id for one in group) for group in alike(known))
            classes.update({one: set(group) - {one} for group in groups for one in group})
    beyond = [
        play(draw_truth(situation, seed, number * ON_A_ROOF + place, outside=True), known, classes)
        for place in range(outside)
    ]
    return Roofful(
        number,
        situation.weather.dry_bulb,
        tuple(played),
        tuple(beyond),
        groups,
        tuple(played[0].evaluations) if played else (),
    )


def visit_all(units: int, seed: int, processes: int) -> Iterator[Roofful]:
    """Visit so many units, and about half as many of the second set."""
    sizes = [min(ON_A_ROOF, units - first) for first in range(0, units, ON_A_ROOF)]
    tasks = [(number, size, round(OUTSIDE * size / ON_A_ROOF)) for number, size in enumerate(sizes)]
    numbers, each, beyond = zip(*tasks, strict=True)
    visit = partial(_visit, seed=seed)
    if processes <= 1:
        yield from map(visit, numbers, each, beyond)
        return
    with ProcessPoolExecutor(processes) as pool:
        yield from pool.map(visit, numbers, each, beyond)


def _visit(number: int, units: int, outside: int, *, seed: int) -> Roofful:
    return visit_roof(number, seed, units, outside)
