"""Times as loggers write them: which form a column has, and one cell as seconds of the clock on the wall.

A form is told once for a file, and every cell is then read in that form or not at all: a file in which day and month
change places half way is not one that can be guessed at.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from functools import lru_cache
from itertools import pairwise
from typing import Final

DAY: Final = 86_400

EPOCH: Final = date(1970, 1, 1).toordinal()

YEARS: Final = range(1900, 2200)
"""Years in which something may have been logged: others, as 9999, stand for no time (our own assumption)."""

_TIME = r"(?P<hour>\d{1,2})[:.h](?P<minute>\d{2})(?:[:.](?P<second>\d{2})(?:[.,]\d+)?)?(?:\s*(?P<half>[AaPp])\.?\s*[Mm]\.?)?"
_OFFSET = r"(?:\s*(?P<offset>Z|[+-]\d{2}(?::?\d{2})?|UTC|GMT|[ECMP][SD]T))?"
_WEEKDAY = r"(?:(?:[Mm]o|[Tt]u|[Ww]e|[Tt]h|[Ff]r|[Ss]a|[Ss]u)[a-z]*\.?,?\s+)?"
_BETWEEN = r"(?:\s*[T,]\s*|\s+|:(?=\d\d:))"
_SIGN = r"\s*[-/.]\s*"

_DATES: Final = {
    "year first": rf"(?P<year>\d{{4}}){_SIGN}(?P<month>\d{{1,2}}){_SIGN}(?P<day>\d{{1,2}})",
    "two figures": rf"(?P<one>\d{{1,2}}){_SIGN}(?P<two>\d{{1,2}}){_SIGN}(?P<year>\d{{4}}|\d{{2}})",
    "day, name, year": r"(?P<day>\d{1,2})[-/. ]*(?P<name>[A-Za-z]{3,9})\.?[-/, ]*(?P<year>\d{4}|\d{2})",
    "name, day, year": r"(?P<name>[A-Za-z]{3,9})\.?\s+(?P<day>\d{1,2}),?\s+(?P<year>\d{4})",
    "run together": r"(?P<year>\d{4})(?P<month>\d{2})(?P<day>\d{2})",
    "no year": r"(?P<month>\d{1,2})[-/](?P<day>\d{1,2})",
}
_READERS: Final = {
    kind: re.compile(rf"\s*{_WEEKDAY}{text}(?:{_BETWEEN}{_TIME}{_OFFSET})?\s*$")
    for kind, text in _DATES.items()
}
_RUN_TOGETHER_TIME: Final = re.compile(r"\s*(\d{8})[T ]?(\d{2})(\d{2})(\d{2})?\s*(Z?)\s*$")
_UNIX: Final = re.compile(r"\s*(?P<whole>1\d{9})(?P<thousandths>\d{3})?(?:\.\d+)?\s*$")

_MONTHS: Final = {
    name: number
    for number, names in enumerate(
        ("jan", "feb", "mar", "apr", "may mai", "jun", "jul", "aug", "sep", "oct okt", "nov", "dec dez"),
        start=1,
    )
    for name in names.split()
}
_ZONES: Final = {
    "Z": 0,
    "UTC": 0,
    "GMT": 0,
    "EST": -5,
    "EDT": -4,
    "CST": -6,
    "CDT": -5,
    "MST": -7,
    "MDT": -6,
    "PST": -8,
    "PDT": -7,
}

MONTH_FIRST: Final = "month first"
DAY_FIRST: Final = "day first"


@dataclass(frozen=True, slots=True)
class TimeForm:
    """How a column writes its times."""

    kind: str
    order: str = ""
    """Of two figures: month first, day first, or "" while nobody knows."""
    year: int | None = None
    """Year of a form without one, in the first row."""

    @property
    def is_open(self) -> bool:
        """Whether a person has to say something before the column can be read."""
        return (self.kind == "two figures" and not self.order) or (
            self.kind == "no year" and self.year is None
        )


@dataclass(frozen=True, slots=True)
class Stamp:
    """Seconds of the clock on the wall since 1970, and how far that clock is ahead of UTC where the cell says so."""

    seconds: int
    offset: int | None = None


NO_TIME: Final = "no_time"
IMPOSSIBLE: Final = "impossible_time"


def form_of(cells: Sequence[str]) -> TimeForm | None:
    """Return the form in which most cells of a column are times with a date; None for no column of times."""
    wanted = max(1, int(0.8 * len(cells)))
    if not cells:
        return None
    if sum(bool(_UNIX.match(cell)) for cell in cells) >= wanted and _rises(cells):
        return TimeForm("seconds since 1970")
    if sum(bool(_RUN_TOGETHER_TIME.match(cell)) for cell in cells) >= wanted:
        return TimeForm("run together")
    for kind, reader in _READERS.items():
        if sum(bool(reader.match(cell)) for cell in cells) >= wanted:
            form = TimeForm(kind)
            tried = (replace(form, order=order, year=2000) for order in (MONTH_FIRST, DAY_FIRST))
            if any(_good(one, cells) >= wanted for one in tried):
                return form
    return None


def _good(form: TimeForm, cells: Sequence[str]) -> int:
    return sum(isinstance(read_stamp(cell, form), Stamp) for cell in cells)


def _rises(cells: Sequence[str]) -> bool:
    """Whether figures rise or fall throughout as times do; a serial number of ten figures would stand still."""
    found = [int(match["whole"]) for cell in cells if (match := _UNIX.match(cell))]
    steps = [after - before for before, after in pairwise(found)]
    return all(step >= 0 for step in steps) or all(step <= 0 for step in steps)


def is_clock(cells: Sequence[str]) -> bool:
    """Whether cells are times of day without a date, as beside a column of dates."""
    found = [match for cell in cells if (match := _CLOCK.match(cell)) and ":" in cell]
    return bool(found) and len(found) >= 0.8 * len(cells) and all(int(match["hour"]) <= 24 for match in found)


_CLOCK: Final = re.compile(rf"\s*{_TIME}\s*$")


def read_stamp(cell: str, form: TimeForm) -> Stamp | str:
    """Return the moment of a cell, or the reason why it has none: ``NO_TIME`` or ``IMPOSSIBLE``."""
    if form.kind == "seconds since 1970":
        found = _UNIX.match(cell)
        return Stamp(int(found["whole"]), 0) if found else NO_TIME
    if form.kind == "run together" and (joined := _RUN_TOGETHER_TIME.match(cell)):
        day = _day(joined[1], form)
        clock = int(joined[2]) * 3600 + int(joined[3]) * 60 + int(joined[4] or 0)
        if day is None or int(joined[2]) > 24 or int(joined[3]) > 59 or clock > DAY:
            return IMPOSSIBLE
        return Stamp(day * DAY + clock, 0 if joined[5] else None)
    match = _READERS[form.kind].match(cell)
    if match is None:
        return NO_TIME
    end = match.end("day") if "two" not in match.re.groupindex else match.end("two")
    day = _day(cell[: max(end, match.end("year") if "year" in match.re.groupindex else 0)], form)
    clock_seconds = _clock(match)
    if day is None or clock_seconds is None:
        return IMPOSSIBLE
    offset = match["offset"]
    return Stamp(day * DAY + clock_seconds, None if offset is None else _offset(offset))


@lru_cache(maxsize=4096)
def _day(text: str, form: TimeForm) -> int | None:
    """Return the days since 1970 of the date at the beginning of a cell; None where there is no such day."""
    match = _READERS[form.kind].match(text)
    if match is None:
        return None
    parts = match.groupdict()
    if form.kind == "two figures":
        one, two = int(parts["one"]), int(parts["two"])
        month, day = (two, one) if form.order == DAY_FIRST else (one, two)
    else:
        month = _MONTHS.get(parts["name"][:3].lower(), 0) if "name" in parts else int(parts["month"])
        day = int(parts["day"])
    written = parts.get("year") or ""
    year = int(written) if written else form.year or 2000
    if 0 < len(written) <= 2:
        year += 2000 if year < 70 else 1900
    if year not in YEARS:
        return None
    try:
        return date(year, month, day).toordinal() - EPOCH
    except ValueError:
        return None


def _clock(match: re.Match[str]) -> int | None:
    """Return the seconds since midnight; 24:00 is the end of the day; None where there is no such hour."""
    if match["hour"] is None:
        return 0
    hour, minute, second = int(match["hour"]), int(match["minute"]), int(match["second"] or 0)
    if match["half"]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if match["half"] in "Pp" else 0)
    total = hour * 3600 + minute * 60 + second
    return total if hour <= 24 and minute <= 59 and second <= 60 and total <= DAY else None


def _offset(text: str) -> int:
    if text in _ZONES:
        return _ZONES[text] * 3600
    figures = text[1:].replace(":", "")
    seconds = int(figures[:2]) * 3600 + int(figures[2:] or 0) * 60
    return -seconds if text[0] == "-" else seconds


@dataclass(slots=True)
class OrderEvidence:
    """What the cells of a file say about whether day or month comes first; it may take the whole file to know."""

    largest: list[int]
    leaps: list[int]
    """Steps of more than two days, were it month first and were it day first."""
    steps: int = 0
    last: list[int | None] | None = None
    seen: str = ""
    """Beginning of the cell before: most rows are of the day of the row before."""

    @classmethod
    def none(cls) -> OrderEvidence:
        """Return evidence of nothing yet."""
        return cls([0, 0], [0, 0])

    def see(self, cells: Iterable[str]) -> None:
        """Take more cells into account."""
        for cell in cells:
            if cell[:8] == self.seen:
                continue
            match = _READERS["two figures"].match(cell)
            if match is None:
                continue
            self.seen = cell[:8]
            one, two = int(match["one"]), int(match["two"])
            self.largest = [max(self.largest[0], one), max(self.largest[1], two)]
            now = [_day(cell[: match.end("year")], form) for form in BOTH]
            if self.last is not None and now != self.last:
                self.steps += 1
                for order in (0, 1):
                    before, after = self.last[order], now[order]
                    self.leaps[order] += before is None or after is None or abs(after - before) > 2
            self.last = now

    @property
    def order(self) -> str:
        """Which figure is the month; "" where the cells do not say.

        A figure above 12 is no month. Where there is none, a log that goes on from day to day shows it: read the wrong way
        round it leaps by a month at every midnight.
        """
        one, two = self.largest
        if one > 12 and two > 12:
            return ""
        if two > 12 or one > 12:
            return MONTH_FIRST if two > 12 else DAY_FIRST
        few, most = 0.1 * self.steps, 0.9 * self.steps
        if self.steps >= 2 and self.leaps[0] <= few and self.leaps[1] >= most:
            return MONTH_FIRST
        if self.steps >= 2 and self.leaps[1] <= few and self.leaps[0] >= most:
            return DAY_FIRST
        return ""


BOTH: Final = (TimeForm("two figures", MONTH_FIRST), TimeForm("two figures", DAY_FIRST))
