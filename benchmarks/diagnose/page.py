"""The benchmark as a page in Markdown, and its picture."""

from __future__ import annotations

from collections.abc import Sequence

from benchmarks.balance.table import table
from benchmarks.diagnose.run import Roofful
from benchmarks.diagnose.score import METHODS, Scores, Tenth

TARGETS = (
    ("single fault: true one first after at most 5 further measurements", "≥ 80 %", lambda one: one.first, lambda one: one.first.value >= 0.80),
    ("single fault: among the first three", "≥ 95 %", lambda one: one.three, lambda one: one.three.value >= 0.95),
    ("pair: first repaired, then at most 5 more: both found", "≥ 70 %", lambda one: one.both, lambda one: one.both.value >= 0.70),
    ("sound unit wrongly accused", "≤ 5 %", lambda one: one.accused, lambda one: one.accused.value <= 0.05),
    ("every tenth that holds 300 statements within ± 5 points", "all", lambda one: f"{sum(t.good for t in one.tenths if t.judged)} of {sum(t.judged for t in one.tenths)}", lambda one: all(t.good for t in one.tenths if t.judged)),
    ("mean minutes to the cause, ours over the symptom table's, one rule of what is found for both", "≤ 0.50", lambda one: _ratio(one, "table"), lambda one: one.ratio("table") <= 0.5),
    ("the same, the table knowing a fault on sight", "≤ 0.50", lambda one: _ratio(one, "table at once"), lambda one: one.ratio("table at once") <= 0.5),
)  # fmt: skip


def _ratio(one: Scores, to: str) -> str:
    return f"{one.ratio(to):.3f} ± {2 * one.ratio_u[to]:.3f}"


def page(roofs: Sequence[Roofful], inside: Scores, outside: Scores, command: str) -> str:
    """Write everything down."""
    rows = [
        (what, wanted, show(inside), "yes" if met(inside) else "**no**", show(outside))
        for what, wanted, show, met in TARGETS
    ]
    return "\n".join(
        (
            "# Finding faults on simulated roofs\n",
            (
                f"Written by `{command}`; `benchmarks/diagnose` is the specification in code. {inside.units} units drawn as "
                f"the priors say (none, one or two faults), and {outside.units} outside of them: all faults as likely as one "
                "another, milder and worse, wider units, errors of reading half as large again, fewer complaints that fit. "
                f"{len(roofs)} roofs, each with weather and kind of unit of its own (gas with two fan speeds, gas with one, "
                "heat pump); the units on a roof differ in dampers, leaks, lanes, fans, sensors and faults, drawn wider than "
                "and otherwise than what the tool tries.\n"
            ),
            "## What was to be reached\n",
            table(("", "wanted", "as the priors say", "met", "outside the priors"), rows),
            _more(inside, outside),
            "## Minutes to the cause\n",
            _minutes(inside, outside),
            "## Are the probabilities right?\n",
            _calibration(inside.tenths),
            "![Said and so](pictures/diagnose_calibration.svg)\n",
            "## Cost\n",
            _cost(roofs),
            "## Faults that nothing tells apart\n",
            _alike(roofs),
        )
    )


def _more(inside: Scores, outside: Scores) -> str:
    rows = [
        ("first of a pair found", inside.first_of_pair, outside.first_of_pair),
        ("sound units of which nothing could be told", inside.cannot_tell, outside.cannot_tell),
        ("readings said to be explained by nothing", inside.unexplained, outside.unexplained),
        (
            "faulty units not scored: no consequence above the threshold",
            inside.not_scored,
            outside.not_scored,
        ),
    ]
    return (
        "A fault counts where, by itself, it changes the share of outdoor air by 0.08, the pressure in the space by 10 Pa, "
        "or what runs, in any of eleven reference conditions. A sound unit is accused where any fault is held likelier "
        "than not after 5 measurements.\n\n" + table(("", "as the priors say", "outside"), rows)
    )


def _minutes(inside: Scores, outside: Scores) -> str:
    rows = [
        (
            METHODS[name],
            f"{inside.minutes[name]:.1f}",
            inside.unsolved[name],
            f"{outside.minutes[name]:.1f}",
            outside.unsolved[name],
        )
        for name in METHODS
    ]
    return (
        "From the as-found readings on, to the cause; unsolved by 60 minutes counts as 60. One rule for all: a fault that is "
        "there has been looked at itself, and by all that was read it is held likelier than not, as our reckoning has it, "
        "whoever chose the measurements. Ours stops, too, where it is sure of a fault that is not there. Known on sight: as "
        "soon as the measurement that shows a fault is taken, however little the number differs from a sound unit's, which "
        "is more than a list on a wall does; ours is not given that.\n\n"
        + table(("", "mean, min", "unsolved", "outside: mean, min", "unsolved"), rows)
    )


def _calibration(tenths: Sequence[Tenth]) -> str:
    rows = [
        (
            f"{one.low:.1f} to {one.low + 0.1:.1f}",
            one.statements,
            one.units,
            f"{100 * one.said:.1f} %",
            f"{100 * one.was:.1f} ± {200 * one.u:.1f} %",
            ("yes" if one.good else "**no**") if one.judged else "too few",
        )
        for one in tenths
    ]
    return (
        "Every probability of every fault after every measurement, before and after the repair; ± is twice the standard "
        "error with the statements of a unit taken together.\n\n"
        + table(("said", "statements", "units", "mean said", "so", "within ± 5 points"), rows)
    )


def _cost(roofs: Sequence[Roofful]) -> str:
    first = sorted(one.alone[0] for one in roofs if one.alone)
    later = sorted(cost for one in roofs for cost in one.alone[1:])
    if not first or not later:
        return ""
    rows = [
        ("first answer: readings as found, and what to read next", *_spread(first)),
        ("each later answer", *_spread(later)),
    ]
    return (
        "Steady states of the unit in software (about 0.5 ms each in plain Python on the machine that wrote this, with what is read off them), counted "
        "on the first unit of each roof, with nothing worked out before.\n\n"
        + table(("", "median", "95 % within", "most"), rows)
    )


def _spread(values: Sequence[int]) -> tuple[str, ...]:
    return tuple(f"{values[min(len(values) - 1, int(share * len(values)))]:,}" for share in (0.5, 0.95, 1.0))


def _alike(roofs: Sequence[Roofful]) -> str:
    found: dict[tuple[str, ...], int] = {}
    for one in roofs:
        for group in one.alike:
            found[group] = found.get(group, 0) + 1
    if not found:
        return "None: on every roof some measurement tells any two faults apart by 0.1 bit or more.\n"
    rows = [(", ".join(group), f"{count} of {len(roofs)}") for group, count in sorted(found.items())]
    return table(("one class", "roofs"), rows)


def picture(tenths: Sequence[Tenth]) -> str:
    """Draw what was said against what was so."""
    size, edge = 320, 40
    span = size - 2 * edge
    marks = []
    for one in tenths:
        x, y = edge + span * one.said, size - edge - span * one.was
        up = 2.0 * one.u * span
        fill = "#1b4f72" if one.judged else "none"
        marks.append(f'<path d="M{x:.1f} {y - up:.1f}V{y + up:.1f}" stroke="#1b4f72"/>')
        marks.append(f'<circle cx="{x:.1f}" cy="{y:.1f}" r="4" fill="{fill}" stroke="#1b4f72"/>')
    low, high = edge, size - edge
    band = 0.05 * span
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {size} {size}" font-family="sans-serif" font-size="11">'
        "<title>Probability said, and share that was so</title>"
        f'<rect width="{size}" height="{size}" fill="#fff"/>'
        f'<path d="M{low} {high - band:.1f}L{high - band:.1f} {low}M{low + band:.1f} {high}L{high} {low + band:.1f}" stroke="#bbb" stroke-dasharray="3 3"/>'
        f'<path d="M{low} {high}L{high} {low}" stroke="#999"/><path d="M{low} {low}V{high}H{high}" fill="none" stroke="#333"/>'
        f'{"".join(marks)}<text x="{size / 2 - 40}" y="{size - 10}">probability said</text>'
        f'<text x="14" y="{size / 2 + 40}" transform="rotate(-90 14 {size / 2 + 40})">share that was so</text>'
        f'<text x="{low - 8}" y="{high + 14}">0</text><text x="{high - 4}" y="{high + 14}">1</text>'
        f'<text x="{low - 14}" y="{low + 4}">1</text></svg>\n'
    )
