"""What a bolder rule would bring: ours with a smaller chance as enough for a pass, and how many of its passes are wrong then.

The law of the project asks for 95 %, of every measured check alike. The curve from bold to careful says whether a figure that
was not reached is held back by that law, or by what the readings tell.
"""

from __future__ import annotations

from benchmarks.balance.power import GOOD, medians
from benchmarks.balance.roof import Speed
from benchmarks.balance.run import BOLDER, LAYERS_U, WELL_MIXED, Circumstances, Runner, Task
from benchmarks.balance.score import Scored, settled_by, share_settled, wrong
from benchmarks.balance.table import percent, table

from ventwright.evidence import ACCEPTED_RISK

ENOUGH = {"d": 1.0 - ACCEPTED_RISK, **BOLDER}
"""Chance that is enough for a pass, by method: the tool's own first. [-]"""


def boldness_page(runner: Runner, seed: int, units: int, attainable_units: int) -> str:
    """The study as Markdown: the fraction on a good day, in the four kinds of circumstances."""
    rows = []
    for check in (False, True):
        for layers in (WELL_MIXED, LAYERS_U):
            here = Circumstances((GOOD[0][0], GOOD[-1][1]), check=(check,), layers=(layers,))
            found = runner.run(Task(here, "c" + "".join(ENOUGH), seed, 0, units), size=10)
            bound = settled_by(runner.run(Task(here, "f", seed, 0, min(units, attainable_units))))
            name = ("yes" if check else "no", "layered" if layers else "well mixed")
            rows += [(*name, *_row(letter, found, bound)) for letter in ENOUGH]
    heads = ["check", "air", "enough for a pass", "settled truly", "of what (f) settles"]
    heads += ["wrong passes", "bound", "readings a visit, mean", "median readings : (c)"]
    return (
        "## What a bolder rule would bring\n\n"
        "The fraction, difference 30 to 50 °F, probes ±0.5 °F, at most 4 readings a speed; (f) and (c) by the rule of 95 %.\n\n"
        + table(heads, rows)
    )


def _row(letter: str, found: list[Scored], bound: set[tuple[int, Speed]]) -> tuple[object, ...]:
    mine = [verdict for verdict in found if verdict.method == letter]
    passes = wrong(mine, "passes")
    return (
        f"{100 * ENOUGH[letter]:.0f} %",
        percent(*share_settled(mine)),
        percent(len(bound & settled_by(mine)), len(bound)),
        f"{passes.wrong} of {passes.count}",
        f"{100 * passes.bound:.1f} %",
        f"{sum(verdict.spent for verdict in mine) / len(mine):.1f}",
        medians(mine, [verdict for verdict in found if verdict.method == "c"]),
    )
