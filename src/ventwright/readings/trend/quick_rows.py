"""Pieces of a text file read as columns by Polars, where every row of the piece is ordinary; else in plain Python.

Ordinary means: as many cells in every row, no quotes, every time in the one form of the file, no day on which the clocks
change. The two ways then give the same to the last bit, since both make steps of a number by the same two factors.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

import polars as pl

from ventwright.readings.trend.body import Body, below
from ventwright.readings.trend.cells import Cells, scale
from ventwright.readings.trend.counts import Counts
from ventwright.readings.trend.quick_numbers import steps_of
from ventwright.readings.trend.quick_times import TIME, utc_of, utc_over_changes, wall_of
from ventwright.readings.trend.rows import RowReader
from ventwright.readings.trend.shape import MISSING, Block

if TYPE_CHECKING:
    from ventwright.readings.trend.understood import Column, LogFile


MOST_FAILED: Final = 10_000
"""Different texts of a piece that give no value and are looked at one by one."""


@dataclass(frozen=True, slots=True)
class Steps:
    """A column of a piece: its values, and where some are missing the text, with the reason for every text that is no value."""

    steps: pl.Series
    raw: pl.Series | None = None
    reasons: Mapping[str, str] = field(default_factory=dict[str, str])


class QuickReader:
    """Reads pieces of one file one after another, each by the quick way if it is ordinary."""

    def __init__(self, file: LogFile) -> None:
        self.file = file
        self.plain = RowReader(file)
        self.columns = self.plain.columns
        self._width = file.layout.width
        self._words: set[int] = set()
        """Columns in which words stood, or numbers that only the text tells."""
        self._again: pl.DataFrame | None = None
        """The piece at hand once more, every cell as text."""
        self.quick = 0
        """Pieces that were ordinary."""
        self._cells = {
            one.place: Cells(one.of, one.measure, file.layout.decimal) for one in self.columns if one.measure
        }

    def read(
        self, data: bytes, *, from_the_start: bool = False
    ) -> tuple[list[tuple[str, pl.DataFrame]], Counts]:
        """Return the rows of a piece, by unit, and what was left out of it."""
        body = below(data, self.file.layout.head if from_the_start else 0)
        found = self._ordinary(body)
        if found is None:
            blocks, counts = self.plain.read(data, from_the_start=from_the_start)
            return [(block.unit, frame_of_block(block)) for block in blocks], counts
        self.quick += 1
        frame, counts = found
        counts.rows += body.head
        counts.drop("head", body.head)
        return self._by_unit(frame), counts

    def _ordinary(self, body: Body) -> tuple[pl.DataFrame, Counts] | None:
        """Return the rows of a piece in which nothing is out of the ordinary; None for any other."""
        texts = self._texts(body)
        wall = None if texts is None else self._wall(texts)
        if texts is None or wall is None:
            return None
        read = [self._read(texts, column, body) for column in self.columns]
        whole = [one for one in read if one is not None]
        if len(whole) < len(read):
            return None
        held = _with_some([one.steps for one in whole], texts.height)
        utc = self._utc(*wall, all_held=held is None)
        if utc is None:
            return None
        frame = pl.DataFrame(
            [utc, *(one.steps.alias(_own(column)) for column, one in zip(self.columns, whole, strict=True))]
        )
        return self._counted(frame, whole, held)

    def _utc(self, wall: pl.Series, offset: int | None, *, all_held: bool) -> pl.Series | None:
        """Return UTC; None where a clock changes and some row is left out, since the next one is told by the row before it."""
        zone = self.file.zone
        utc = utc_of(wall, offset, zone)
        if utc is None and all_held and zone is not None:
            return utc_over_changes(wall, zone, self.plain.before, falling=self.file.falling)
        return utc

    def _texts(self, body: Body) -> pl.DataFrame | None:
        """Return the cells, as numbers where a column holds numbers; None where rows differ in their number of cells."""
        layout = self.file.layout
        if body.start == len(body.data) or body.holds(b'"') or layout.clock is not None:
            return None
        self._again = None
        kinds = self._kinds(body)
        lines = body.lines
        self._width = layout.width
        frame = self._columns(body, kinds)
        if (
            frame is None or frame.to_series(-1).null_count()
        ):  # a row that is short has nothing in its last column
            signs = body.data.count(layout.delimiter.encode(), body.start)
            if signs % lines or signs // lines < layout.width - 1:
                return None
            if signs // lines >= layout.width:
                self._width = signs // lines + 1
                frame = self._columns(body, kinds)
        if frame is None or frame.height != lines:
            return None
        extra = frame.select(pl.nth(range(layout.width, frame.width)).is_not_null().any())
        return None if extra.width and any(extra.row(0)) else frame

    def _kinds(self, body: Body) -> dict[int, type[pl.DataType]]:
        """Return by column as which numbers it is read: a switch that begins with a bare figure as small whole ones."""
        if self.file.layout.decimal == ",":
            return {}
        first = body.first.split(self.file.layout.delimiter.encode())
        return {
            one.place: pl.Int8
            if one.of.kind.name == "switch" and one.place < len(first) and first[one.place].isdigit()
            else pl.Float64
            for one in self.columns
            if one.place not in self._words
        }

    def _columns(self, body: Body, kinds: Mapping[int, type[pl.DataType]]) -> pl.DataFrame | None:
        """Return the cells of a piece, some of its columns as numbers; None where it cannot be parted."""
        try:
            return pl.read_csv(
                body.data,
                has_header=False,
                skip_lines=body.head,
                separator=self.file.layout.delimiter,
                quote_char=None,
                schema={f"cell {place}": kinds.get(place, pl.String) for place in range(self._width)},
                ignore_errors=True,
            )
        except (pl.exceptions.PolarsError, UnicodeDecodeError):
            return None

    def _wall(self, texts: pl.DataFrame) -> tuple[pl.Series, int | None] | None:
        """Return the clock of every row in seconds, and its offset where the cells name one; None where they differ in form."""
        return wall_of(texts.get_column(f"cell {self.file.layout.time}"), self.file.layout.form)

    def _read(self, texts: pl.DataFrame, column: Column, body: Body) -> Steps | None:
        """Return a column in steps, with its text where a cell gave none; None where a cell needs the plain way."""
        figured = self._from_numbers(texts.get_column(f"cell {column.place}"), column)
        if figured is not None and not figured.null_count():
            return Steps(figured)
        raw = self._as_text(texts, column, body)
        if raw is None:
            return None
        steps = self._from_text(raw, column) if figured is None else figured
        failed = raw.filter(steps.is_null() & raw.is_not_null()).unique().to_list()
        if len(failed) > MOST_FAILED:
            return None
        cells = self._cells[column.place]
        reasons = {one: cells.read(one) for one in failed}
        if any(isinstance(reason, int) for reason in reasons.values()):
            return None
        return Steps(steps, raw, {one: str(reason) for one, reason in reasons.items()})

    def _from_numbers(self, read: pl.Series, column: Column) -> pl.Series | None:
        """Return a column of numbers in steps, nothing for those that the point cannot show; None for a column of text."""
        if read.dtype == pl.String:
            return None
        if not read.null_count() and column.measure is not None:
            steps = steps_of(read, column.of, column.measure)
            if steps is not None:
                return steps
        return read.alias("read").to_frame().select(self._figured(pl.col("read"), column)).to_series()

    def _from_text(self, raw: pl.Series, column: Column) -> pl.Series:
        """Return a column of text in steps; the few different cells of a switch are read one by one."""
        if column.of.kind.name != "switch":
            made = self._figured(self._number(pl.col("raw").str.strip_chars()), column)
            return raw.alias("raw").to_frame().select(made).to_series()
        different = raw.drop_nulls().unique().to_list()
        if len(different) > MOST_FAILED:
            return pl.repeat(None, n=len(raw), eager=True, dtype=pl.Int64)
        read = {one: self._cells[column.place].read(one) for one in different}
        known = {one: value for one, value in read.items() if isinstance(value, int)}
        return raw.replace_strict(known, default=None, return_dtype=pl.Int64)

    def _as_text(self, texts: pl.DataFrame, column: Column, body: Body) -> pl.Series | None:
        """Return a column as text, read again where it was read as numbers and some of it is none."""
        name = f"cell {column.place}"
        if texts.schema[name] == pl.String:
            return texts.get_column(name)
        if self._again is None:
            self._again = self._columns(body, {})
        if self._again is None:
            return None
        raw = self._again.get_column(name)
        if texts.get_column(name).null_count() > raw.null_count() + len(raw) // 2:
            self._words.add(column.place)  # read as text from the next piece on
        return raw

    def _number(self, text: pl.Expr) -> pl.Expr:
        """Return the number of a text; nothing where it is none."""
        if self.file.layout.decimal == ",":
            with_point = text.str.contains(".", literal=True)
            text = pl.when(with_point).then(None).otherwise(text.str.replace(",", ".", literal=True))
        return text.cast(pl.Float64, strict=False)

    def _figured(self, read: pl.Expr, column: Column) -> pl.Expr:
        """Return numbers in steps; nothing for one that the point cannot show."""
        if column.of.kind.name == "switch":
            read = read.cast(pl.Float64)
            return (
                pl.when(read == 0.0)
                .then(0)
                .when(read.is_in([1.0, 100.0]))
                .then(1)
                .otherwise(None)
                .cast(pl.Int64)
            )
        if column.measure is None:  # a column that is used has one
            raise AssertionError(column.heading)
        cells = self._cells[column.place]
        slope, intercept = scale(column.of, column.measure)
        numbers = read.cast(pl.Float64) * slope + intercept
        possible = numbers.is_between(cells.least, cells.most)
        return pl.when(possible).then((numbers + 0.5).floor()).otherwise(None).cast(pl.Int64)

    def _counted(
        self, frame: pl.DataFrame, read: list[Steps], held: pl.Series | None
    ) -> tuple[pl.DataFrame, Counts]:
        """Leave out rows without any value, and count rows and cells."""
        counts = Counts(rows=frame.height, kept=frame.height if held is None else int(held.sum()))
        counts.drop("no_value", counts.rows - counts.kept)
        for column, one in zip(self.columns, read, strict=True):
            if one.raw is not None:
                blank = one.steps.is_null() if held is None else held & one.steps.is_null()
                _count_cells(counts, column.heading, one, one.raw.filter(blank))
        if held is not None:
            frame = frame.filter(held)
        self._follow(frame, counts)
        return frame, counts

    def _follow(self, frame: pl.DataFrame, counts: Counts) -> None:
        """Count rows that come after a later one, and remember the last for the next piece."""
        if not frame.height:
            return
        times = frame.get_column(TIME)
        steps = times.diff(null_behavior="drop")
        before = self.plain.before
        back = steps > 0 if self.file.falling else steps < 0
        counts.out_of_order += int(back.sum())
        if before is not None:
            counts.out_of_order += times[0] > before if self.file.falling else times[0] < before
        self.plain.before = times[-1]

    def _by_unit(self, frame: pl.DataFrame) -> list[tuple[str, pl.DataFrame]]:
        if not frame.height:
            return []
        found = []
        for unit in self.file.units:
            mine = self.file.of_unit(unit)
            own = frame.select(TIME, *(pl.col(_own(column)).alias(column.point) for column in mine))
            if len(self.file.units) > 1:
                own = own.filter(pl.any_horizontal(pl.exclude(TIME).is_not_null()))
            if own.height:
                found.append((unit, own))
        return found


def _with_some(columns: list[pl.Series], rows: int) -> pl.Series | None:
    """Return which rows hold a value in some column; None where all of them do."""
    if any(not column.null_count() for column in columns):
        return None
    held = pl.repeat(value=False, n=rows, eager=True)
    for column in columns:
        held = held | column.is_not_null()
    return None if held.all() else held


def _own(column: Column) -> str:
    """Return the name under which a column is held while the units of a file are together."""
    return f"value {column.place}"


def _count_cells(counts: Counts, heading: str, column: Steps, cells: pl.Series) -> None:
    """Count the cells of kept rows that hold no value, each under its reason."""
    counts.blank(heading, "blank", cells.null_count())
    texts = cells.drop_nulls()
    for text, times in texts.value_counts(sort=False).iter_rows():
        counts.blank(heading, column.reasons[text], times)
    for reason in set(column.reasons.values()) - {"blank"}:
        first = next((one for one in texts.to_list() if column.reasons[one] == reason), None)
        if first is not None:
            counts.examples.setdefault(heading, {}).setdefault(reason, first[:60])


def frame_of_block(block: Block) -> pl.DataFrame:
    """Return a block as a frame: nothing where ``MISSING`` stands."""
    values = [pl.Series(name, column, dtype=pl.Int64) for name, column in block.columns.items()]
    frame = pl.DataFrame([pl.Series(TIME, block.times, dtype=pl.Int64), *values])
    return frame.with_columns(
        pl.when(pl.col(name) == MISSING).then(None).otherwise(pl.col(name)).alias(name)
        for name in block.columns
    )
