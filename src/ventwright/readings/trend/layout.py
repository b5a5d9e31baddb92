"""The form of a text file, told from its beginning: what parts its cells, where its names stand, which column is the time."""

from __future__ import annotations

import csv
import re
from collections import Counter
from dataclasses import dataclass
from itertools import takewhile
from typing import Final

from ventwright.errors import Refusal, Refused
from ventwright.readings.trend.stamps import TimeForm, form_of, is_clock

DELIMITERS: Final = (",", ";", "\t", "|")
BODY: Final = 200
"""Lines from which the form of the rows is told."""

NUMBER: Final = re.compile(r"\s*[+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d+)?\s*$")
NUMBER_WITH_COMMA: Final = re.compile(r"\s*[+-]?(?:\d+,?\d*|,\d+)(?:[eE][+-]?\d+)?\s*$")
ALSO_WORDS: Final = frozenset(
    [
        "status",
        "count",
        "stage",
        "stages",
        "number",
        "fraction",
        "frac",
        "bool",
        "boolean",
        "onoff",
        "min",
        "date",
        "time",
        "open",
        "in",
        "ft",
        "cool",
    ]
)
"""Units that stand at the end of a name mostly as the words they are."""

IN_BRACKETS: Final = re.compile(r"[\[({]\s*([^\])}]{1,14}?)\s*[\])}]\s*$")


@dataclass(frozen=True, slots=True)
class Layout:
    """How the lines of a file are parted and what stands where."""

    delimiter: str
    decimal: str
    width: int
    """Cells of a row."""
    head: int
    """Lines before the first row."""
    names: tuple[str, ...]
    """Names of the columns, without spaces around; "" where there is none."""
    units: tuple[str, ...]
    """Units as the file gives them, in a line of their own or behind the names; "" where it gives none."""
    above: tuple[str, ...]
    """Lines above the names."""
    time: int
    """Column of the time."""
    clock: int | None
    """Column of the time of day, where the date has one of its own."""
    form: TimeForm

    @property
    def values(self) -> tuple[int, ...]:
        """Columns that hold values."""
        return tuple(one for one in range(self.width) if one not in (self.time, self.clock))


def layout_of(text: str, name: str) -> Layout:
    """Tell the form of a file from the text of its beginning.

    Raises
    ------
    Refused
        No way of parting its lines gives a column of times beside a column of values.
    """
    lines = text.replace("\r\n", "\n").replace("\r", "\n").replace("\0", "").split("\n")
    if len(lines) > 1:
        lines.pop()  # cut off by the end of the sample, or empty
    possible = [delimiter for delimiter in DELIMITERS if delimiter in text]
    tried = [found for delimiter in possible if (found := _tried(lines, delimiter)) is not None]
    if not tried:
        accepted = "rows of a date with its time and values, parted by comma, semicolon, tab or |"
        raise Refused(Refusal("has no column of times beside a column of values", accepted, name))
    return max(tried, key=lambda found: found[0])[1]


def split(line: str, delimiter: str) -> list[str]:
    """Return the cells of one line; a line is a row, so that a quote that is never closed spoils one row and not the file."""
    if '"' not in line:
        return line.split(delimiter)
    try:
        return next(csv.reader([line], delimiter=delimiter, skipinitialspace=True), [])
    except csv.Error:
        return line.split(delimiter)


def _tried(lines: list[str], delimiter: str) -> tuple[float, Layout] | None:
    """Part the lines in one way; return how well they read then, and the form."""
    filled = [(number, line) for number, line in enumerate(lines) if line.strip()]
    body = [split(line, delimiter) for _, line in filled[-BODY:]]
    width = _width([len(cells) for cells in body])
    if width < 2:
        return None
    whole = [cells for cells in body if len(cells) == width]
    columns = [[row[place] for row in whole if row[place].strip()] for place in range(width)]
    timed = _time_columns(columns)
    if timed is None:
        return None
    time, clock, form = timed
    rows = ((number, split(line, delimiter)) for number, line in filled)
    head = list(takewhile(lambda row: not _is_row(row[1], width, time, form, clock), rows))
    if len(head) == len(filled):
        return None
    first = filled[len(head)][0]
    width = _without_empty_end(head, width, columns)
    values = [place for place in range(width) if place not in (time, clock)]
    if not values:
        return None
    cells = [cell for place in values for cell in columns[place]]
    points = sum(bool(NUMBER.match(cell)) for cell in cells)
    commas = 0 if points == len(cells) else sum(bool(NUMBER_WITH_COMMA.match(cell)) for cell in cells)
    decimal = "," if commas > points and delimiter != "," else "." if points >= commas else ","
    names, units, above = _named(head, first, width, lines)
    share = len(whole) / len(body)
    numbers = max(points, commas) / max(1, len(cells))
    layout = Layout(delimiter, decimal, width, first, names, units, above, time, clock, form)
    return share * (0.2 + numbers) + 0.001 * min(width, 50), layout


def _width(widths: list[int]) -> int:
    """Return the number of cells that most lines have; a form that has fewer than two lines is none."""
    common = Counter(widths).most_common(1)
    return common[0][0] if common else 0


def _time_columns(columns: list[list[str]]) -> tuple[int, int | None, TimeForm] | None:
    """Return the column of the time, that of the time of day where it is apart, and the form."""
    for place, cells in enumerate(columns[:8]):
        form = form_of(cells[:BODY])
        if form is None:
            continue
        following = columns[place + 1 : place + 2]
        apart = form.kind != "seconds since 1970" and not any(":" in cell for cell in cells[:5])
        if apart and following and is_clock(following[0][:BODY]):
            return (
                place,
                place + 1,
                form_of([f"{day} {hour}" for day, hour in zip(cells, following[0], strict=False)]) or form,
            )
        return place, None, form
    return None


def _is_row(cells: list[str], width: int, time: int, form: TimeForm, clock: int | None) -> bool:
    if len(cells) < width - 1 or len(cells) <= time:
        return False
    text = cells[time] if clock is None or len(cells) <= clock else f"{cells[time]} {cells[clock]}"
    return form_of([text]) is not None and (form.kind != "seconds since 1970" or text.strip().isdigit())


def _without_empty_end(head: list[tuple[int, list[str]]], width: int, columns: list[list[str]]) -> int:
    """Leave out a last column that has neither name nor value: a delimiter at the end of every line."""
    names = head[-1][1] if head else []
    while width > 2 and not columns[width - 1] and not "".join(names[width - 1 : width]).strip():
        width -= 1
    return width


def _named(
    head: list[tuple[int, list[str]]], first: int, width: int, lines: list[str]
) -> tuple[tuple[str, ...], tuple[str, ...], tuple[str, ...]]:
    """Return names, units and the lines above them, from the lines before the first row."""
    before = [(number, [cell.strip() for cell in cells]) for number, cells in head]
    fitting = [(number, cells) for number, cells in before if width - 1 <= len(cells) <= width + 1]
    if not fitting:
        return ("",) * width, ("",) * width, tuple(lines[:first])
    number, names = fitting[-1]
    units: list[str] = []
    if len(fitting) > 1 and _are_units(names) and not _are_units(fitting[-2][1]):
        units, (number, names) = names, fitting[-2]
    names = (names + [""] * width)[:width]
    units = (units + [""] * width)[:width]
    bare = [unit.strip("[](){} ") for unit in units]
    given = tuple(unit or unit_in(name) for unit, name in zip(bare, names, strict=True))
    return tuple(names), given, tuple(lines[:number])


def _are_units(cells: list[str]) -> bool:
    """Whether the cells of a line are units: short, and most of them known ones."""
    from ventwright.readings.trend.measures import is_unit

    said = [cell.strip("[](){} ") for cell in cells if cell.strip()]
    known = sum(is_unit(cell) for cell in said)
    return bool(said) and known >= 0.5 * len(said) and all(len(cell) <= 24 for cell in said)


def unit_in(name: str) -> str:
    """Return the unit that stands behind a name, in brackets or after an underscore or a space; "" where there is none."""
    from ventwright.readings.trend.measures import is_unit

    found = IN_BRACKETS.search(name)
    if found and is_unit(found[1]):
        return found[1]
    last = re.split(r"[_ ,]", name.strip())[-1]
    is_a_word = last.lower() in ALSO_WORDS or (len(last) == 1 and last not in "CFW%")
    return last if last != name.strip() and is_unit(last) and not is_a_word else ""
