"""How much is settled, of what could be: good weather and mild weather, against the attainable bound."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from statistics import median

from benchmarks.balance.one_place import carried
from benchmarks.balance.run import LAYERS_U, WELL_MIXED, Circumstances, Runner, Task
from benchmarks.balance.score import (
    BANDS,
    TARGETS,
    Scored,
    readings_of_both,
    settled_by,
    share_settled,
    wrong,
)
from benchmarks.balance.table import between, percent, table

GOOD = ((30.0, 40.0), (40.0, 50.0))
MILD = ((5.0, 10.0), (10.0, 20.0))
DEAR = "fgij"
"""Methods that run on fewer units."""
FREE = 30
"""Readings a speed that count as a free budget."""
LEAST_TARGET = 0.15
"""Target share from which on the outright goal holds."""


@dataclass(frozen=True, slots=True)
class Cell:
    """The verdicts under one set of circumstances."""

    check: bool
    layers: float
    supply: float
    bands: tuple[tuple[float, float], ...]
    verdicts: list[Scored]
    free: list[Scored]
    """Of (c) with a free budget."""

    @property
    def name(self) -> tuple[str, str, str]:
        """The circumstances in words."""
        return (
            f"flow, supply ±{100 * self.supply:g} %" if self.supply else "fraction",
            "yes" if self.check else "no",
            "layered" if self.layers else "well mixed",
        )

    def of(self, method: str, keep: Callable[[Scored], bool] = lambda _: True) -> list[Scored]:
        """The verdicts of one method."""
        return [verdict for verdict in self.verdicts if verdict.method == method and keep(verdict)]


def measure(
    runner: Runner,
    methods: str,
    seed: int,
    units: int,
    attainable_units: int,
    bands: tuple[tuple[float, float], ...],
    supplies: Sequence[float] = (0.0, 0.03, 0.05, 0.10),
) -> Iterator[Cell]:
    """Run every combination of scoring, check and layers; the bounds on the first units only."""
    quick, dear = ("".join(m for m in methods if (m in DEAR) is which) for which in (False, True))
    whole = (bands[0][0], bands[-1][1])
    for supply in supplies:
        for check in (False, True):
            for layers in (WELL_MIXED, LAYERS_U):
                here = Circumstances(whole, (0.5,), (check,), (layers,), (supply,), (4,))
                verdicts = runner.run(Task(here, quick, seed, 0, units), size=10) if quick else []
                if dear:
                    verdicts += runner.run(Task(here, dear, seed, 0, min(units, attainable_units)))
                free = Circumstances(whole, (0.5,), (check,), (layers,), (supply,), (FREE,))
                unlimited = runner.run(Task(free, "c", seed, 0, units), size=50) if "c" in quick else []
                yield Cell(check, layers, supply, bands, verdicts, unlimited)


def shared(cell: Cell, method: str, keep: Callable[[Scored], bool] = lambda _: True) -> tuple[int, int]:
    """Of the verdicts that (f) settles truly, how many a method does, and how many they are."""
    bound = settled_by(cell.of("f", keep))
    return len(bound & settled_by(cell.of(method, keep))), len(bound)


def power_page(cells: list[Cell], methods: str) -> str:
    """The study of good weather as Markdown."""
    letters = [letter for letter in methods if letter not in DEAR]
    heads = ["scored", "check", "air", *(f"({letter})" for letter in methods)]
    heads += [f"({letter}) of what (f) settles" for letter in letters if letter in "cd"]
    heads += [f"(d) at targets ≥ {LEAST_TARGET}", "(f) there", "median readings (d) : (c)", "with (c) free"]
    rows = []
    for cell in cells:
        row: list[object] = [*cell.name]
        row += [percent(*share_settled(cell.of(letter))) for letter in methods]
        row += [percent(*shared(cell, letter)) for letter in letters if letter in "cd"]
        row += [
            percent(*share_settled(cell.of(letter, lambda v: v.target >= LEAST_TARGET)))
            for letter in ("d", "f")
        ]
        row += [medians(cell.of("d"), cell.of("c")), medians(cell.of("d"), cell.free)]
        rows.append(row)
    return (
        "## How much is settled on a good day\n\n"
        "Difference 30 to 50 °F, probes ±0.5 °F, at most 4 readings a speed. *Settled* counts speeds: a true *passes*, "
        "or truly no signal can. (f) runs on the first units only; *of what (f) settles* compares on those. Median "
        "readings are of whole visits, the check included, where both methods settle both speeds truly.\n\n"
        + table(heads, rows)
        + what_forbids(cells)
        + _readings(cells)
        + _by_target(cells)
    )


def what_forbids(cells: list[Cell]) -> str:
    """What (f) settles, and how much of it without the family of the air path, or without anything of its curve."""
    heads = [
        "scored",
        "check",
        "air",
        "(f) settles",
        "of these (g) settles",
        "of these (j) settles",
        "of these (i) settles",
    ]
    heads += [
        "(i) in all",
        "(d) on the same",
        "wrong passes of (f); (g); (i); (j)",
        "of what (f) settles one place carries",
    ]
    heads += ["(d) of what (f) settles", "(d) of what one place carries", "(d) of the rest"]
    rows = []
    for cell in cells:
        settled = [verdict for verdict in cell.of("f") if verdict.settled]
        carries = {
            (v.index, v.speed)
            for v in settled
            if carried(v, check=cell.check, layers=cell.layers, supply=cell.supply)
        }
        rest, ours = settled_by(settled) - carries, settled_by(cell.of("d"))
        by_library = cell.of("i")
        same = {verdict.index for verdict in by_library}
        rows.append(
            (
                *cell.name,
                percent(*share_settled(cell.of("f"))),
                *(percent(*shared(cell, letter)) if cell.of(letter) else "not run" for letter in "gji"),
                percent(*share_settled(by_library)),
                percent(*share_settled([verdict for verdict in cell.of("d") if verdict.index in same])),
                "; ".join(_wrong_passes(cell.of(letter)) for letter in DEAR),
                percent(len(carries), len(settled)),
                percent(*shared(cell, "d")),
                percent(len(carries & ours), len(carries)),
                percent(len(rest & ours), len(rest)),
            )
        )
    return (
        "\nWhat forbids more. (g) knows all eleven families exactly, and not which one a unit is of; (j) all but "
        "the unit's own; (i) none of them, but a broad library of curves from physics (`benchmarks/balance/library.py`). *One place* is for "
        "somebody who knows nothing of how the share goes between places of the damper: readings without end at one "
        "place, the estimate in the very middle (`benchmarks/balance/one_place.py`); what it does not carry nobody can "
        "pass without knowing the curve.\n\n" + table(heads, rows)
    )


def _wrong_passes(verdicts: list[Scored]) -> str:
    counted = wrong(verdicts, "passes")
    return f"{counted.wrong} of {counted.count}"


def _readings(cells: list[Cell]) -> str:
    """Median readings against (c) of ours, of somebody who knows the sensors' errors, and of the bounds."""
    letters = "defgij"
    rows = [(*cell.name, *(medians(cell.of(letter), cell.of("c")) for letter in letters)) for cell in cells]
    together = (
        [pair for cell in cells for pair in readings_of_both(cell.of(letter), cell.of("c"))]
        for letter in letters
    )
    rows.append(("all", "either", "either", *map(_ratio, together)))
    return "\nMedian readings of a visit against (c), each where both settle both speeds truly.\n\n" + table(
        ("scored", "check", "air", *(f"({letter}) : (c)" for letter in letters)), rows
    )


def _by_target(cells: list[Cell]) -> str:
    """The same by target and difference: for the fraction each, for the flows together."""
    heads = [
        "scored",
        "check",
        "air",
        "target, %",
        "difference, °F",
        "(f) settles",
        "(d) of those",
        "(d) outright",
    ]
    heads += ["median readings (d) : (c)", "with (c) free"]
    rows = []
    for scoring, check, layers in dict.fromkeys((bool(c.supply), c.check, c.layers) for c in cells):
        group = [c for c in cells if (bool(c.supply), c.check, c.layers) == (scoring, check, layers)]
        name = ("flow" if scoring else "fraction", *group[0].name[1:])
        for target in TARGETS:
            for band in group[0].bands:

                def keep(
                    v: Scored, target: tuple[float, float] = target, band: tuple[float, float] = band
                ) -> bool:
                    return target[0] <= v.target < target[1] and band[0] <= v.difference < band[1]

                def sum_of(pairs: list[tuple[int, int]]) -> str:
                    return percent(sum(p[0] for p in pairs), sum(p[1] for p in pairs))

                rows.append(
                    (
                        *name,
                        between(target, 100.0),
                        between(band),
                        sum_of([share_settled(c.of("f", keep)) for c in group]),
                        sum_of([shared(c, "d", keep) for c in group]),
                        sum_of([share_settled(c.of("d", keep)) for c in group]),
                        _ratio([pair for c in group for pair in _pairs(c, keep, c.of("c"))]),
                        _ratio([pair for c in group for pair in _pairs(c, keep, c.free)]),
                    )
                )
    return (
        "\nBy target and difference. A visit's median readings stand with the target of its high speed.\n\n"
        + table(heads, rows)
    )


def _pairs(cell: Cell, keep: Callable[[Scored], bool], theirs: list[Scored]) -> list[tuple[int, int]]:
    """Readings of ours and theirs on the visits whose high speed is kept."""
    visits = {verdict.index for verdict in theirs if verdict.speed == "high" and keep(verdict)}
    return readings_of_both(
        [verdict for verdict in cell.of("d") if verdict.index in visits],
        [verdict for verdict in theirs if verdict.index in visits],
    )


def medians(ours: list[Scored], theirs: list[Scored]) -> str:
    """Median readings of a visit that both settle, ours and theirs, with their ratio."""
    return _ratio(readings_of_both(ours, theirs))


def _ratio(pairs: list[tuple[int, int]]) -> str:
    """Medians, their ratio, and the visits behind them."""
    if not pairs:
        return "none"
    first, second = median(pair[0] for pair in pairs), median(pair[1] for pair in pairs)
    return f"{first:g} : {second:g} = {first / second:.2f} ({len(pairs)} visits)"


def mild_page(cells: list[Cell]) -> str:
    """The study of mild weather as Markdown."""
    heads = [
        "scored",
        "check",
        "air",
        "difference, °F",
        "(f) settles",
        "(d) settles on the same units",
        "apart, points",
    ]
    heads += [
        "(h) settles there",
        "(h) wrong passes",
        "(d) settles on all",
        "(d) cannot tell",
        "(d) wrong passes",
        "(d) wrong fails",
        "(c) settles on all",
    ]
    rows = []
    for cell in cells:
        for band in cell.bands:

            def keep(v: Scored, band: tuple[float, float] = band) -> bool:
                return band[0] <= v.difference < band[1]

            bound = cell.of("f", keep)
            same = {verdict.index for verdict in bound}
            ours = cell.of("d", keep)
            there = [verdict for verdict in ours if verdict.index in same]
            apart = (
                f"{100 * (share_settled(there)[0] - share_settled(bound)[0]) / len(bound):+.0f}"
                if bound and there
                else "-"
            )
            passes, fails = wrong(ours, "passes"), wrong(ours, "cannot_deliver")
            regardless = cell.of("h", keep)
            of_h = wrong(regardless, "passes")
            rows.append(
                (
                    *cell.name,
                    between(band),
                    percent(*share_settled(bound)),
                    percent(*share_settled(there)),
                    apart,
                    percent(*share_settled([v for v in regardless if v.index in same])),
                    f"{of_h.wrong} of {of_h.count}",
                    percent(*share_settled(ours)),
                    percent(sum(verdict.kind == "cannot_tell" for verdict in ours), len(ours)),
                    f"{passes.wrong} of {passes.count}",
                    f"{fails.wrong} of {fails.count}",
                    percent(*share_settled(cell.of("c", keep))),
                )
            )
    return (
        "## How much is settled in mild weather\n\n"
        "Difference 5 to 20 °F, probes ±0.5 °F, at most 4 readings a speed. Below 10 °F as read the tool gives no verdict "
        "by temperatures; (h) is ours without that rule.\n\n" + table(heads, rows) + what_forbids(cells)
    )


assert set(GOOD) | set(MILD) <= set(BANDS)
