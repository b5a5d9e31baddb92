"""When to come and read, as a drawing: months down, hours across, a black square for the days on which the air is right.

The larger the square, the more of the month's days; no colour, no grey, so that it prints and copies as it is.
"""

from __future__ import annotations

import math

from ventwright.plan.provable.hours import WORKING, Calendar, Month, per_cent
from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE, System
from ventwright.record.drawing import LINE, Drawing, wrapped
from ventwright.words import Amount

MARGIN = 24.0
CELL, ROW = 26.0, 24.0
"""Room for one hour and for one month."""

LARGEST = 20.0
"""Side of the square that stands for every day of the month."""

NAMES = 84.0
"""Room for the names of the months, left of the map."""

SUMS = 64.0
"""Room for the shares of the working hours, right of it."""

HOURS = 24
LEGEND = (1.0, 0.75, 0.5, 0.25, 0.1)
NAME = "calendar"


def draw_calendar(calendar: Calendar, system: System = "us", needed: str = "") -> str:
    """Draw when in the year and the day the weather allows a proof.

    Parameters
    ----------
    calendar
        Months and hours, as counted.
    system
        Units of its words.
    needed
        What the weather has to bring, in a sentence; left out, the difference of the calendar.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.
    """
    sheet = Drawing()
    width = 2 * MARGIN + NAMES + HOURS * CELL + SUMS
    title = f"When to read outdoor air: {calendar.place}"
    y = _text(sheet, title, MARGIN + LINE, width, bold=True)
    needed = needed or _needed(calendar, system)
    y = _text(sheet, needed, y, width) + LINE
    left = MARGIN + NAMES
    y = _hours(sheet, left, y)
    for number, month in enumerate(calendar.months):
        _month(sheet, month, left, y + number * ROW)
    bottom = y + len(calendar.months) * ROW
    _frame(sheet, left, y, bottom)
    end = _legend(sheet, left, bottom + 2 * LINE)
    note = "Hours are standard time, from the full hour on; in summer time the clock shows one more. Heavy frame: 7 to 18 h. On the right: share of those hours."
    end = _text(sheet, note, end, width)
    return sheet.written(width, end + MARGIN / 2, title, _description(calendar, needed), NAME)


def _needed(calendar: Calendar, system: System) -> str:
    apart = Amount(calendar.difference_needed, TEMPERATURE_DIFFERENCE).show(system)
    returned = Amount(calendar.return_air, TEMPERATURE).show(system)
    return f"Outdoor air {apart} or more from return air at {returned}."


def _text(sheet: Drawing, words: str, y: float, width: float, *, bold: bool = False) -> float:
    """Write text over the width of the sheet and return where the next may stand."""
    for line in wrapped(words, width - 2 * MARGIN):
        sheet.text(MARGIN, y, line, bold=bold)
        y += LINE
    return y


def _hours(sheet: Drawing, left: float, y: float) -> float:
    """Write every third hour above the line where it begins; return the upper edge of the map."""
    for hour in range(0, HOURS + 1, 3):
        sheet.text(left + hour * CELL, y, str(hour), anchor="middle")
    sheet.text(left + HOURS * CELL + SUMS, y, "7-18 h", anchor="end")
    return y + LINE / 2


def _month(sheet: Drawing, month: Month, left: float, top: float) -> None:
    middle = top + ROW / 2
    sheet.text(left - 8, middle + 4, month.name, anchor="end")
    for hour, share in enumerate(month.hours):
        _square(sheet, left + (hour + 0.5) * CELL, middle, share)
    sheet.text(left + HOURS * CELL + SUMS, middle + 4, per_cent(month.working_hours), anchor="end")


def _square(sheet: Drawing, x: float, y: float, share: float) -> None:
    """Draw a black square about a point, whose area is a share of the largest; nothing for no share."""
    half = 0.5 * LARGEST * math.sqrt(share)
    if half > 0.0:
        sheet.shape([(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)])


def _frame(sheet: Drawing, left: float, top: float, bottom: float) -> None:
    """Draw the lines between months, every third hour, and the heavier one around the working hours."""
    right = left + HOURS * CELL
    rows = [top + number * ROW for number in range(round((bottom - top) / ROW) + 1)]
    columns = [left + hour * CELL for hour in range(0, HOURS + 1, 3)]
    sheet.strokes(
        [*([(left, y), (right, y)] for y in rows), *([(x, top), (x, bottom)] for x in columns)], width=0.75
    )
    start, stop = left + WORKING.start * CELL, left + WORKING.stop * CELL
    sheet.strokes([[(start, top), (stop, top), (stop, bottom), (start, bottom), (start, top)]], width=2.5)


def _legend(sheet: Drawing, left: float, y: float) -> float:
    """Say what the squares mean; return where the next text may stand."""
    x = left
    for share in LEGEND:
        _square(sheet, x + LARGEST / 2, y - 4, share)
        sheet.text(x + LARGEST + 6, y, f"{per_cent(share)} of days")
        x += 5 * CELL
    return y + 2 * LINE


def _description(calendar: Calendar, needed: str) -> str:
    """What the map shows, for those who hear it: every month with its hours."""
    months = "; ".join(
        f"{month.name}: {per_cent(month.working_hours)} of the hours from 7 to 18"
        + (f", best {month.best_hours} ({per_cent(month.best_share)} of days)" if month.best_hours else "")
        for month in calendar.months
    )
    return f"A map of months and hours. {needed} {months}."
