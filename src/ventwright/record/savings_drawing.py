"""What each way to run the unit saves, as bars with their ranges: black on white, narrow enough for a phone."""

from __future__ import annotations

from collections.abc import Sequence

from ventwright.quantity import ENERGY, System, show
from ventwright.record.drawing import LINE, Drawing, wrapped
from ventwright.record.phone_sheet import EDGE, WIDTH, across
from ventwright.verdict.savings import Spread, StrategyOutcome

BAR = 10.0
"""Height of a bar. [px]"""

NAME = "savings"


def draw_savings(outcomes: Sequence[StrategyOutcome], title: str, system: System = "us") -> str:
    """Draw what each strategy saves in a year against no free cooling, with the range 9 times in 10.

    Parameters
    ----------
    outcomes
        In the order in which they are drawn.
    title
        What is compared, and where.
    system
        Units of its words.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.
    """
    sheet, y = Drawing(), EDGE + LINE
    y = across(sheet, title, y, bold=True)
    low = min([0.0, *(one.saved.low for one in outcomes)])
    high = max([1.0, *(one.saved.high for one in outcomes)])

    def x(value: float) -> float:
        return EDGE + (value - low) / (high - low) * (WIDTH - 2 * EDGE)

    for one in outcomes:
        for line in wrapped(f"{one.name}: {_figure(one.saved, system)}", WIDTH - 2 * EDGE):
            y += LINE
            sheet.text(EDGE, y, line)
        y = _bar(sheet, x(0.0), one.saved, (x(one.saved.low), x(one.saved.middle), x(one.saved.high)), y + 6)
    y += LINE
    y = across(sheet, "Bar: saved in a year. Thin line: 9 times in 10. Upright line: no free cooling.", y)
    return sheet.written(WIDTH, y, title, said(outcomes, system), NAME)


def _bar(sheet: Drawing, zero: float, saved: Spread, places: tuple[float, float, float], top: float) -> float:
    """Draw a bar from nothing to its middle: filled where it saves, open where it costs; and its range through it."""
    start, middle, end = places
    if saved.middle >= 0.0:
        sheet.shape([(zero, top), (middle, top), (middle, top + BAR), (zero, top + BAR)])
    else:
        sheet.box(middle, top, zero - middle, BAR)
    sheet.strokes([[(zero, top - 3), (zero, top + BAR + 9)]], width=1.5)
    y = top + BAR + 4
    sheet.strokes([[(start, y), (end, y)], [(start, y - 3), (start, y + 3)], [(end, y - 3), (end, y + 3)]])
    return y + 8


def _figure(saved: Spread, system: System) -> str:
    low, high = show(saved.low, ENERGY, system), show(saved.high, ENERGY, system)
    return f"{show(saved.middle, ENERGY, system)} ({low} to {high})"


def said(outcomes: Sequence[StrategyOutcome], system: System) -> str:
    """Say the bars in words."""
    return "; ".join(f"{one.name} saves {_figure(one.saved, system)} in a year" for one in outcomes) + "."
