"""Are final verdicts right? Every band of difference until it holds enough of them."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from benchmarks.balance.roof import KELVIN_PER_FAHRENHEIT
from benchmarks.balance.run import LAYERS_U, METHODS, WELL_MIXED, Circumstances, Runner, Task
from benchmarks.balance.score import BANDS, ENOUGH, Scored, share_settled, wrong
from benchmarks.balance.table import between, percent, table

from ventwright.verdict.balance.standing import too_even

SUPPLIES = {"fraction": (0.0,), "flow": (0.03, 0.05, 0.10)}
UNITS = 5000
UNITS_WITHOUT_VERDICTS = 800
"""Units of a band that lies below the least difference of the tool, where nearly none gets a verdict."""
SLICE = 250
"""Units made before it is counted again whether a band holds enough."""


@dataclass(frozen=True, slots=True)
class Band:
    """The verdicts of one band in one scoring."""

    scoring: str
    difference: tuple[float, float]
    units: int
    verdicts: list[Scored]


def calibrate(
    runner: Runner, methods: str, seed: int, units: int = UNITS, attainable_units: int = 0
) -> Iterator[Band]:
    """Fill every band: ours decides when it is full, or the last method where ours does not run; (f) runs on fewer.

    A runner whose time is over leaves a band as it is.
    """
    quick = "".join(letter for letter in methods if letter not in "fghi")
    for scoring, supply in SUPPLIES.items():
        for difference in BANDS:
            circumstances = Circumstances(
                difference, (0.5, 1.0), (False, True), (WELL_MIXED, LAYERS_U), supply, (4, 8)
            )
            verdicts: list[Scored] = []
            made, most = 0, min(units, UNITS_WITHOUT_VERDICTS) if _without_verdicts(difference) else units
            while quick and made < most and not _full(verdicts, "d" if "d" in quick else quick[-1]):
                some = Task(circumstances, quick, seed, made, min(SLICE, most - made))
                if not runner.may_run(some, size=25):
                    break
                verdicts += runner.run(some, size=25)
                made += some.units
            if "f" in methods:
                verdicts += runner.run(Task(circumstances, "f", seed, 0, min(units, attainable_units)))
            yield Band(scoring, difference, made, verdicts)


def _without_verdicts(difference: tuple[float, float]) -> bool:
    """Whether a band lies below the least difference with which the tool gives a verdict by temperatures."""
    return too_even(0.5 * sum(difference) * KELVIN_PER_FAHRENHEIT)


def _full(verdicts: list[Scored], method: str) -> bool:
    mine = [verdict for verdict in verdicts if verdict.method == method]
    return all(wrong(mine, kind).count >= ENOUGH for kind in ("passes", "cannot_deliver"))


def calibration_page(bands: list[Band], methods: str) -> str:
    """The study as Markdown."""
    heads = ["scored", "difference, °F", "method", "units", "wrong passes", "bound", "claim"]
    heads += ["wrong fails", "bound", "claim", "settled truly"]
    rows = []
    for letter in (one for one in methods if one not in "ghij"):
        for band in bands:
            mine = [verdict for verdict in band.verdicts if verdict.method == letter]
            passes, fails = wrong(mine, "passes"), wrong(mine, "cannot_deliver")
            units = len({verdict.index for verdict in mine})
            row: list[object] = [
                band.scoring,
                between(band.difference),
                f"({letter}) {METHODS[letter][0]}",
                units,
            ]
            for counted in (passes, fails):
                bound = f"{100 * counted.bound:.1f} %" if counted.count else "-"
                row += [f"{counted.wrong} of {counted.count}", bound, counted.claim]
            rows.append((*row, percent(*share_settled(mine))))
    return (
        "## Are final verdicts right?\n\n"
        "Probes ±0.5 or ±1 °F, with or without the side-by-side check, well-mixed or layered air, 4 or 8 readings a "
        "speed, each drawn evenly; in the scoring by flow the supply airflow is known to 3, 5 or 10 %. The bound is the "
        "exact one-sided 95 % bound of the share of wrong ones; with fewer than "
        f"{ENOUGH} verdicts nothing is claimed. The two speeds of a unit count as two verdicts.\n\n"
        + table(heads, rows)
        + _by_family(bands, methods)
    )


def _by_family(bands: list[Band], methods: str) -> str:
    """Wrong verdicts by family of air path, all bands together: a shape that misleads must not hide in the mean."""
    families = sorted({verdict.family for band in bands for verdict in band.verdicts})
    letters = [letter for letter in methods if letter in "cdf"]
    rows = []
    for family in families:
        row: list[object] = [family.replace("_", " ")]
        for letter in letters:
            mine = [v for band in bands for v in band.verdicts if v.family == family and v.method == letter]
            for kind in ("passes", "cannot_deliver"):
                counted = wrong(mine, "passes" if kind == "passes" else "cannot_deliver")
                row.append(f"{counted.wrong} of {counted.count}")
        rows.append(row)
    heads = [
        "air path",
        *(f"({letter}) {what}" for letter in letters for what in ("wrong passes", "wrong fails")),
    ]
    return "\nBy air path, all bands and both scorings together:\n\n" + table(heads, rows)
