"""Parquet files: columns that have types, read some rows at a time; on days on which clocks change, by way of text."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from typing import TYPE_CHECKING, Final

import polars as pl

from ventwright.errors import Refusal, Refused
from ventwright.readings.trend.body import Body
from ventwright.readings.trend.layout import Layout, unit_in
from ventwright.readings.trend.quick_rows import QuickReader
from ventwright.readings.trend.quick_times import TIME, are_possible
from ventwright.readings.trend.sample import Looked, see_rows
from ventwright.readings.trend.source_file import HEAD, Source
from ventwright.readings.trend.stamps import TimeForm, form_of
from ventwright.readings.trend.unit_told import Sample

if TYPE_CHECKING:
    from pathlib import Path

    from ventwright.readings.trend.counts import Counts
    from ventwright.readings.trend.understood import Column, LogFile

ROWS: Final = 200_000
"""Rows read at a time."""

LOOKED: Final = 2000
"""Rows looked at in each of three places."""

SIGN: Final = "\x1f"
"""Parts the cells of a row written as text: it stands in no text."""

ACCEPTED: Final = "a Parquet file with a column of times and columns of numbers"


def look_at_parquet(path: Path) -> tuple[Source, Layout, Looked]:
    """Look at some rows of a Parquet file.

    Raises
    ------
    Refused
        It cannot be read, or has no column of times.
    """
    try:
        beginning = path.read_bytes()[:HEAD] if path.stat().st_size < HEAD else _first(path)
        frame = pl.scan_parquet(path)
        count = int(frame.select(pl.len()).collect().item())
        places = sorted({0, max(0, count // 2 - LOOKED // 2), max(0, count - LOOKED)})
        rows = pl.concat([frame.slice(place, LOOKED).collect() for place in places])
    except (OSError, pl.exceptions.PolarsError):
        raise Refused(Refusal("cannot be read", ACCEPTED, path.name)) from None
    source = Source(
        path,
        "utf-8",
        False,
        b"\n",
        path.stat().st_size,
        hashlib.sha256(beginning).hexdigest(),
        len(beginning),
    )
    layout = _layout(rows, path.name)
    looked = Looked({place: Sample() for place in layout.values})
    see_rows(looked, layout, as_text(rows).decode("utf-8").split("\n"))
    return source, layout, looked


def _first(path: Path) -> bytes:
    with path.open("rb") as file:
        return file.read(HEAD)


def _layout(rows: pl.DataFrame, name: str) -> Layout:
    """Return the form of a file: its time is the first column of moments, else the first whose texts or numbers are times."""
    kinds = rows.schema
    moments = [place for place, kind in enumerate(kinds.values()) if isinstance(kind, pl.Datetime)]
    time, form = (moments[0], TimeForm("year first")) if moments else (None, None)
    if time is None:
        for place, (heading, kind) in enumerate(kinds.items()):
            if kind == pl.String or kind.is_integer():
                cells = rows.get_column(heading).drop_nulls().head(200).cast(pl.String).to_list()
                form = form_of(cells)
                if form is not None:
                    time = place
                    break
    if time is None or form is None or rows.width < 2:
        raise Refused(Refusal("has no column of times beside a column of values", ACCEPTED, name))
    names = tuple(heading.strip() for heading in kinds)
    units = tuple(unit_in(heading) for heading in names)
    return Layout(SIGN, ".", rows.width, 0, names, units, (), time, None, form)


def as_text(rows: pl.DataFrame) -> bytes:
    """Return rows as the text that a log would hold; moments with a zone in UTC, nothing for what no log writes in a cell."""
    zoned = [name for name, kind in rows.schema.items() if isinstance(kind, pl.Datetime) and kind.time_zone]
    bare = [
        name for name, kind in rows.schema.items() if isinstance(kind, pl.Datetime) and not kind.time_zone
    ]
    small = [name for name, kind in rows.schema.items() if kind == pl.Float32]
    strange = [
        name
        for name, kind in rows.schema.items()
        if kind.is_nested() or isinstance(kind, (pl.Binary, pl.Duration, pl.Object))
    ]
    text = rows.with_columns(pl.lit(None).alias(name) for name in strange).with_columns(
        pl.col(zoned).dt.convert_time_zone("UTC").dt.strftime("%Y-%m-%d %H:%M:%SZ"),
        pl.col(bare).dt.strftime("%Y-%m-%d %H:%M:%S"),
        pl.col(small).cast(pl.Float64),
    )
    flat = text.with_columns(pl.col(pl.String).str.replace_all(r"[\r\n\x1f]", " "))
    return flat.write_csv(include_header=False, separator=SIGN, quote_style="never").encode()


class TypedReader(QuickReader):
    """Reads rows of a typed file; what is not ordinary is written as text and read as such."""

    def read_rows(self, rows: pl.DataFrame) -> tuple[list[tuple[str, pl.DataFrame]], Counts]:
        """Return some rows, by unit, and what was left out of them."""
        self._rows = rows.rename({name: f"cell {place}" for place, name in enumerate(rows.columns)})
        found = self._ordinary(Body(b""))
        if found is None:
            return self.read(as_text(rows))
        frame, counts = found
        return self._by_unit(frame), counts

    def _texts(self, body: Body) -> pl.DataFrame | None:
        return super()._texts(body) if body.data else self._rows

    def _wall(self, texts: pl.DataFrame) -> tuple[pl.Series, int | None] | None:
        cells = texts.get_column(f"cell {self.file.layout.time}")
        if cells.dtype == pl.String:
            return super()._wall(texts)
        if cells.null_count() or not isinstance(cells.dtype, pl.Datetime) or not are_possible(cells):
            return None
        return cells.dt.epoch("s").alias(TIME), 0 if cells.dtype.time_zone else None

    def _from_numbers(self, read: pl.Series, column: Column) -> pl.Series | None:
        is_known = read.dtype.is_numeric() or read.dtype == pl.Boolean
        return super()._from_numbers(read.cast(pl.Float64), column) if is_known else None

    def _as_text(self, texts: pl.DataFrame, column: Column, body: Body) -> pl.Series | None:
        raw = texts.get_column(f"cell {column.place}")
        if raw.dtype == pl.String or body.data:
            return super()._as_text(texts, column, body)
        return raw.cast(pl.Float64).cast(pl.String) if raw.dtype.is_numeric() else None


def read_rows(file: LogFile, start: int = 0) -> Iterator[tuple[int, pl.DataFrame]]:
    """Yield the rows of a file from one on, some at a time, each with the number of the row after them."""
    frame = pl.scan_parquet(file.path)
    while True:
        try:
            rows = frame.slice(start, ROWS).collect()
        except (OSError, pl.exceptions.PolarsError):
            raise Refused(Refusal("cannot be read any further", ACCEPTED, file.name)) from None
        if not rows.height:
            return
        start += rows.height
        yield start, rows
