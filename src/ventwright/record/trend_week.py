"""The hours of the week as a map: a square for every hour, as large as the share of it in which the unit ran."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from ventwright.record.drawing import LINE, Drawing
from ventwright.record.phone_sheet import EDGE, WIDTH, across
from ventwright.verdict.trend_findings.shape import Observed

NAMES = 36.0
"""Room for the days, left of the map. [px]"""

CELL = 11.25
"""Width of an hour. [px]"""

ROW = 15.0
"""Height of a day. [px]"""

LARGEST = 10.25
"""Side of the square that stands for the whole hour. [px]"""

DAYS = ("Mon", "Tue", "Wed", "Thu", "Fri", "Sat", "Sun")
HOURS = 24

OFF = frozenset({"off"})
FREE = frozenset({"free cooling", "free and mechanical cooling"})

Shares = dict[tuple[int, int], float]


def draw_week(
    unit: str, what: str, shares: Shares, occupied: Sequence[tuple[int, int, int]], name: str
) -> str:
    """Draw the hours of the week.

    Parameters
    ----------
    unit
        Name of the unit.
    what
        What the squares stand for, such as "the fan runs".
    shares
        By weekday (0 is Monday) and hour of the place's day. [-]
    occupied
        Weekday, start and end in minutes after midnight: framed.
    name
        Begins the ids in the drawing.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.
    """
    sheet, y = Drawing(), EDGE + LINE
    title = f"{unit}: when in the week {what}"
    y = across(sheet, title, y, bold=True)
    top = y + 4
    for hour in range(0, HOURS + 1, 6):
        sheet.text(EDGE + NAMES + hour * CELL, y, f"{hour}", anchor="middle")
    for day, word in enumerate(DAYS):
        middle = top + (day + 0.5) * ROW
        sheet.text(EDGE, middle + 4, word)
        for hour in range(HOURS):
            _cell(sheet, EDGE + NAMES + (hour + 0.5) * CELL, middle, shares.get((day, hour)))
    for day, start, end in occupied:
        left = EDGE + NAMES + start / 60 * CELL
        right = EDGE + NAMES + end / 60 * CELL
        upper, lower = top + day * ROW, top + (day + 1) * ROW
        sheet.strokes(
            [[(left, upper), (right, upper), (right, lower), (left, lower), (left, upper)]], width=1
        )
    y = top + 7 * ROW + LINE
    legend = f"Full square: the whole hour, {what}. A dot: never. Nothing: not logged."
    legend += " Framed: occupied as it was set." if occupied else ""
    y = across(sheet, legend, y)
    return sheet.written(WIDTH, y, title, said(shares, what), name)


def _cell(sheet: Drawing, x: float, y: float, share: float | None) -> None:
    if share is None:
        return
    sheet.square(x, y, max(0.7, LARGEST * share**0.5))


def shares_of(observed: Observed, modes: Iterable[str], *, other: bool = False) -> Shares:
    """Return the share of every hour of the week spent in some modes, or with ``other`` in all but them. [-]"""
    chosen = frozenset(modes)
    total: Shares = {}
    spent: Shares = {}
    for day, hour, mode, hours in observed.mode_by_hour:
        if mode == "unknown":
            continue
        total[day, hour] = total.get((day, hour), 0.0) + hours
        if (mode in chosen) is not other:
            spent[day, hour] = spent.get((day, hour), 0.0) + hours
    return {key: spent.get(key, 0.0) / hours for key, hours in total.items() if hours > 0.0}


def said(shares: Shares, what: str) -> str:
    """Say the map in words, day by day."""
    parts = []
    for day, word in enumerate(DAYS):
        hours = [hour for hour in range(HOURS) if shares.get((day, hour), 0.0) >= 0.5]
        span = f"mostly between {hours[0]} and {hours[-1] + 1} h" if hours else "hardly"
        parts.append(f"{word} {span}")
    return f"Where {what}: {'; '.join(parts)}."
