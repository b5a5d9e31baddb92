"""Rows of a text file read in plain Python: the meaning of every form; the quicker way has to give the same."""

from __future__ import annotations

from array import array
from dataclasses import replace

from ventwright.readings.trend.cells import Cells
from ventwright.readings.trend.clock import to_utc
from ventwright.readings.trend.counts import Counts
from ventwright.readings.trend.layout import Layout, split
from ventwright.readings.trend.shape import MISSING, Block, whole
from ventwright.readings.trend.stamps import Stamp, read_stamp
from ventwright.readings.trend.understood import Column, LogFile

HALF_A_YEAR = 183 * 86_400


class RowReader:
    """Reads pieces of one file, one after another; what carries over from row to row is kept here."""

    def __init__(self, file: LogFile) -> None:
        self.file = file
        self.form = file.layout.form
        self.before: int | None = None
        """UTC of the row before."""
        self.wall_before: int | None = None
        self.columns = tuple(one for one in file.columns if one.is_used)
        self._cells = [(one, self._reader(one)) for one in self.columns]

    def _reader(self, column: Column) -> Cells:
        if column.measure is None:  # a column that is used has one
            raise AssertionError(column.heading)
        return Cells(column.of, column.measure, self.file.layout.decimal)

    def read(self, data: bytes, *, from_the_start: bool = False) -> tuple[list[Block], Counts]:
        """Return the rows of a piece, by unit, and what was left out of it."""
        counts = Counts()
        lines = data.decode("utf-8", "replace").split("\n")
        if lines and not lines[-1]:
            lines.pop()
        if from_the_start:
            head = min(self.file.layout.head, len(lines))
            counts.rows += head
            counts.drop("head", head)
            del lines[:head]
        times = whole()
        columns: list[array[int]] = [whole() for _ in self.columns]
        for line in lines:
            counts.rows += 1
            reason = self._row(line, times, columns, counts)
            if reason:
                counts.drop(reason)
            else:
                counts.kept += 1
        return blocks_of(self.file, self.columns, times, columns), counts

    def _row(self, line: str, times: array[int], columns: list[array[int]], counts: Counts) -> str:
        """Take one row in; return the reason where it is left out."""
        layout = self.file.layout
        cells = split(line, layout.delimiter)
        misshapen = _misshapen(line, cells, layout)
        if misshapen:
            return misshapen
        found = self._utc(cells)
        if isinstance(found, str):
            return found
        values, blanks = self._values(cells)
        if len(blanks) == len(values):
            return "no_value"
        for heading, reason, example in blanks:
            counts.blank(heading, reason, example=example)
        times.append(found)
        for into, value in zip(columns, values, strict=True):
            into.append(value)
        if self.before is not None and (found > self.before if self.file.falling else found < self.before):
            counts.out_of_order += 1
        self.before = found
        return ""

    def _values(self, cells: list[str]) -> tuple[list[int], list[tuple[str, str, str]]]:
        """Return the steps of a row's columns, and for every cell without a value its heading, the reason and what it held."""
        values: list[int] = []
        blanks: list[tuple[str, str, str]] = []
        for column, reader in self._cells:
            cell = cells[column.place]
            value = reader.read(cell)
            if isinstance(value, str):
                blanks.append((column.heading, value, "" if value == "blank" else cell))
                value = MISSING
            values.append(value)
        return values, blanks

    def _utc(self, cells: list[str]) -> int | str:
        """Return the UTC of a row, or the reason why it has none."""
        layout = self.file.layout
        text = cells[layout.time]
        if layout.clock is not None:
            text = f"{text} {cells[layout.clock]}"
        stamp = read_stamp(text, self.form)
        if isinstance(stamp, str):
            return stamp
        if self.form.kind == "no year":
            stamp = self._in_its_year(text, stamp)
        if stamp.offset is not None:
            return stamp.seconds - stamp.offset
        found = to_utc(stamp.seconds, self.file.zone, self.before, falling=self.file.falling)
        return "skipped_by_the_clock" if found is None else found

    def _in_its_year(self, text: str, stamp: Stamp) -> Stamp:
        """Go on to the next year where the days begin again."""
        if (
            self.wall_before is not None
            and self.wall_before - stamp.seconds > HALF_A_YEAR
            and self.form.year is not None
        ):
            self.form = replace(self.form, year=self.form.year + 1)
            later = read_stamp(text, self.form)
            stamp = later if isinstance(later, Stamp) else stamp
        self.wall_before = stamp.seconds
        return stamp


def _misshapen(line: str, cells: list[str], layout: Layout) -> str:
    """Return the reason why a line is no row of the file; "" where it is one."""
    if not line.strip():
        return "empty_line"
    if len(cells) < layout.width:
        return "too_few_cells"
    if len(cells) > layout.width and any(cell.strip() for cell in cells[layout.width :]):
        return "too_many_cells"
    return "names_again" if cells[layout.time].strip() == layout.names[layout.time] != "" else ""


def blocks_of(
    file: LogFile, columns: tuple[Column, ...], times: array[int], values: list[array[int]]
) -> list[Block]:
    """Return the rows that were read, parted by unit; a row in which a unit has no value is none of its rows."""
    if not times:
        return []
    blocks = []
    for unit in file.units:
        mine = {
            column.point: value
            for column, value in zip(columns, values, strict=True)
            if column in file.of_unit(unit)
        }
        own, held = _with_values(times, mine) if len(file.units) > 1 else (times, mine)
        if own:
            blocks.append(Block(unit, own, held, file.name))
    return blocks


def _with_values(
    times: array[int], columns: dict[str, array[int]]
) -> tuple[array[int], dict[str, array[int]]]:
    kept = [
        row
        for row, values in enumerate(zip(*columns.values(), strict=True))
        if any(one != MISSING for one in values)
    ]
    if len(kept) == len(times):
        return times, columns
    return (
        whole([times[row] for row in kept]),
        {name: whole([column[row] for row in kept]) for name, column in columns.items()},
    )
