"""When to come and read, as a drawing: months down, hours across, a black square for the days on which the air is right.

The larger the square, the more of the month's days; no colour, no grey, so that it prints and copies as it is.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING

from ventwright.plan.provable.hours import WORKING, Calendar, Month, per_cent
from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE, System
from ventwright.record.drawing import LINE, Drawing, width_of
from ventwright.words import Amount

if TYPE_CHECKING:
    from ventwright.verdict.savings.come_back import ComeBack


@dataclass(frozen=True, slots=True)
class _Sheet:
    """How large everything is, in pixels."""

    margin: float
    cell: float
    """Room for one hour."""
    row: float
    """Room for one month."""
    largest: float
    """Side of the square that stands for every day of the month."""
    names: float
    """Room for the names of the months, left of the map."""
    letters: int
    """Of a month's name."""
    sums: float
    """Room for the shares of the working hours, right of it."""

    @property
    def width(self) -> float:
        return 2 * self.margin + self.names + HOURS * self.cell + self.sums


PAPER = _Sheet(24.0, 26.0, 24.0, 20.0, 84.0, 9, 64.0)
PHONE = _Sheet(4.0, 10.0, 26.0, 9.0, 36.0, 3, 46.0)
"""Narrow enough for the screen of a phone, its letters as large as on paper."""

HOURS = 24
LEGEND = (1.0, 0.75, 0.5, 0.25, 0.1)
NAME = "calendar"


def draw_calendar(
    calendar: Calendar, system: System = "us", needed: str = "", *, size: _Sheet = PAPER
) -> str:
    """Draw when in the year and the day the weather allows a proof.

    Parameters
    ----------
    calendar
        Months and hours, as counted.
    system
        Units of its words.
    needed
        What the weather has to bring, in a sentence; left out, the difference of the calendar.
    size
        For paper, or for a phone.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.
    """
    sheet = Drawing()
    title = f"When to read outdoor air: {calendar.place}"
    y = _text(sheet, title, size.margin + LINE, size, bold=True)
    needed = needed or _needed(calendar, system)
    y = _text(sheet, needed, y, size) + LINE
    left = size.margin + size.names
    y = _hours(sheet, left, y, size)
    for number, month in enumerate(calendar.months):
        _month(sheet, month, left, y + number * size.row, size)
    bottom = y + len(calendar.months) * size.row
    _frame(sheet, left, y, bottom, size)
    end = _legend(sheet, size.margin, bottom + 2 * LINE, size)
    note = "Hours are standard time, from the full hour on; in summer time the clock shows one more. Heavy frame: 7 to 18 h. On the right: share of those hours."
    end = _text(sheet, note, end, size)
    return sheet.written(size.width, end + size.margin / 2, title, _description(calendar, needed), NAME)


def draw_come_back(check: ComeBack, system: System = "us", *, size: _Sheet = PAPER) -> str:
    """Draw the hours that settle one check which is not proved yet.

    Parameters
    ----------
    check
        With its calendar; an empty text is drawn of one without.
    system
        Units of its words.
    """
    calendar = check.calendar
    if calendar is None:
        return ""
    if calendar.difference_needed:  # then the drawing says by itself what the weather has to bring
        return draw_calendar(calendar, system, size=size)
    return draw_calendar(calendar, system, check.needs.show(system), size=size)


def _needed(calendar: Calendar, system: System) -> str:
    apart = Amount(calendar.difference_needed, TEMPERATURE_DIFFERENCE).show(system)
    returned = Amount(calendar.return_air, TEMPERATURE).show(system)
    return f"Outdoor air {apart} or more from return air at {returned}."


def _text(sheet: Drawing, words: str, y: float, size: _Sheet, *, bold: bool = False) -> float:
    """Write text over the width of the sheet and return where the next may stand."""
    return sheet.lines(size.margin, y, words, size.width - 2 * size.margin, bold=bold)


def _hours(sheet: Drawing, left: float, y: float, size: _Sheet) -> float:
    """Write every third hour above the line where it begins; return the upper edge of the map."""
    for hour in range(0, HOURS + 1, 3):
        sheet.text(left + hour * size.cell, y, str(hour), anchor="middle")
    sheet.text(left + HOURS * size.cell + size.sums, y, "7-18 h", anchor="end")
    return y + LINE / 2


def _month(sheet: Drawing, month: Month, left: float, top: float, size: _Sheet) -> None:
    middle = top + size.row / 2
    sheet.text(left - 8, middle + 4, month.name[: size.letters], anchor="end")
    for hour, share in enumerate(month.hours):
        _square(sheet, left + (hour + 0.5) * size.cell, middle, share, size)
    sheet.text(left + HOURS * size.cell + size.sums, middle + 4, per_cent(month.working_hours), anchor="end")


def _square(sheet: Drawing, x: float, y: float, share: float, size: _Sheet) -> None:
    """Draw a black square about a point, whose area is a share of the largest; nothing for no share."""
    if share > 0.0:
        sheet.square(x, y, size.largest * math.sqrt(share))


def _frame(sheet: Drawing, left: float, top: float, bottom: float, size: _Sheet) -> None:
    """Draw the lines between months, every third hour, and the heavier one around the working hours."""
    right = left + HOURS * size.cell
    rows = [top + number * size.row for number in range(round((bottom - top) / size.row) + 1)]
    columns = [left + hour * size.cell for hour in range(0, HOURS + 1, 3)]
    sheet.strokes(
        [*([(left, y), (right, y)] for y in rows), *([(x, top), (x, bottom)] for x in columns)], width=0.75
    )
    start, stop = left + WORKING.start * size.cell, left + WORKING.stop * size.cell
    sheet.strokes([[(start, top), (stop, top), (stop, bottom), (start, bottom), (start, top)]], width=2.5)


def _legend(sheet: Drawing, left: float, y: float, size: _Sheet) -> float:
    """Say what the squares mean, as many in a line as fit; return where the next text may stand."""
    x, step = left, size.largest + 6 + width_of("100 % of days ")
    for share in LEGEND:
        if x + step > size.width:
            x, y = left, y + LINE + 4
        _square(sheet, x + size.largest / 2, y - 4, share, size)
        sheet.text(x + size.largest + 6, y, f"{per_cent(share)} of days")
        x += step
    return y + 2 * LINE


def _description(calendar: Calendar, needed: str) -> str:
    """What the map shows, for those who hear it: every month with its hours."""
    months = "; ".join(
        f"{month.name}: {per_cent(month.working_hours)} of the hours from 7 to 18"
        + (f", best {month.best_hours} ({per_cent(month.best_share)} of days)" if month.best_hours else "")
        for month in calendar.months
    )
    return f"A map of months and hours. {needed} {months}."
