"""Some rows of every part of a file: enough to tell units and the order of day and month, whatever its size."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
from typing import Final

from ventwright.readings.trend.cells import number_in
from ventwright.readings.trend.layout import Layout, split
from ventwright.readings.trend.source_file import Source, pieces
from ventwright.readings.trend.stamps import DAY, OrderEvidence, Stamp, read_stamp
from ventwright.readings.trend.unit_told import Sample

WHOLE: Final = 2 << 20
"""Bytes up to which a file is looked at as a whole."""

PLACES: Final = 24
WINDOW: Final = 1 << 16
SMALL: Final = 1 << 12
"""Bytes of a place where only a few rows are looked at."""
ROWS: Final = 6000
"""Rows of which the numbers are looked at."""

FEW: Final = 50
"""The same where a person said of every column what it is: then only the order of the rows has to be seen."""


@dataclass(slots=True)
class Looked:
    """What the sample of a file holds."""

    columns: dict[int, Sample]
    written_in: dict[int, dict[str, int]] = field(default_factory=dict[int, dict[str, int]])
    """Units that stand in the cells themselves, with how often, by column."""
    first: int | None = None
    last: int | None = None
    """Wall clock of the first and the last row looked at."""
    rows: int = 0
    rises: int = 0
    falls: int = 0


def looked_at(source: Source, layout: Layout, rows: int = ROWS) -> Looked:
    """Look at rows all over a file."""
    looked = Looked({place: Sample() for place in layout.values})
    lines = [line for window in _windows(source, WINDOW if rows > FEW else SMALL) for line in window]
    see_rows(looked, layout, lines[:: max(1, len(lines) // rows)])
    return looked


def see_rows(looked: Looked, layout: Layout, lines: Sequence[str]) -> None:
    """Take rows into a sample."""
    days: dict[int, dict[int, list[float]]] = {place: {} for place in layout.values}
    for line in lines:
        cells = split(line, layout.delimiter)
        if len(cells) >= layout.width:
            _see(looked, layout, cells, days)
    for place, by_day in days.items():
        looked.columns[place].day_swings = [high - low for low, high, count in by_day.values() if count >= 8]


def _windows(source: Source, size: int) -> Iterator[list[str]]:
    """Yield lines from places spread over a file; of a packed one from its first part."""
    if source.size <= WHOLE or source.packed:
        for piece, _ in zip(pieces(source, size=WHOLE), range(4), strict=False):
            yield piece.data.decode("utf-8", "replace").split("\n")
        return
    width = len(source.newline)
    for place in range(PLACES):
        start = source.size * place // PLACES // width * width
        here = next(pieces(source, start, size), None)
        if here is not None:
            lines = here.data.decode("utf-8", "replace").split("\n")
            yield lines if start == 0 else lines[1:]  # the first one is cut


def order_in(source: Source, layout: Layout) -> str:
    """Return which figure of a date is the month; where no figure shows it, from every time of the file; "" where none does."""
    order = OrderEvidence.none()
    for piece in pieces(source, size=WHOLE):
        for line in piece.data.decode("utf-8", "replace").split("\n"):
            cells = line.split(layout.delimiter, layout.time + 1)
            if len(cells) > layout.time:
                order.see([cells[layout.time].strip('"')])
        if max(order.largest) > 12:
            break
    return order.order


def _see(looked: Looked, layout: Layout, cells: list[str], days: dict[int, dict[int, list[float]]]) -> None:
    text = cells[layout.time] if layout.clock is None else f"{cells[layout.time]} {cells[layout.clock]}"
    stamp = read_stamp(text, layout.form)
    moment = stamp.seconds if isinstance(stamp, Stamp) else None
    if isinstance(stamp, str) and not layout.form.is_open:
        return
    looked.rows += 1
    if moment is not None:
        if looked.last is not None:
            looked.rises += moment > looked.last
            looked.falls += moment < looked.last
        looked.first = moment if looked.first is None else looked.first
        looked.last = moment
    for place, sample in looked.columns.items():
        cell = cells[place].strip()
        if not cell:
            continue
        found = number_in(cell, layout.decimal)
        if found is None:
            sample.words[cell.lower()] = sample.words.get(cell.lower(), 0) + 1
            continue
        number, unit = found
        if unit:
            of = looked.written_in.setdefault(place, {})
            of[unit] = of.get(unit, 0) + 1
        sample.numbers.append(number)
        if moment is not None:
            _swing(days[place], moment // DAY, number)


def _swing(days: dict[int, list[float]], number_of_day: int, number: float) -> None:
    """Take a number into the least and the most of its day."""
    day = days.get(number_of_day)
    if day is None:
        days[number_of_day] = [number, number, 1]
        return
    if number < day[0]:
        day[0] = number
    elif number > day[1]:
        day[1] = number
    day[2] += 1
