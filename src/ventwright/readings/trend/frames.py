"""The same logs as frames of Polars, for fleets: one unit after another, by the quick way where the rows allow it."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING

import polars as pl

from ventwright.readings.trend.counts import Counts
from ventwright.readings.trend.quick_rows import QuickReader, frame_of_block
from ventwright.readings.trend.quick_times import TIME
from ventwright.readings.trend.shape import MISSING, Block, Series, UnitLog, whole
from ventwright.readings.trend.source_file import PIECE, pieces
from ventwright.readings.trend.streaming import Progress, ready
from ventwright.tables.point import points

if TYPE_CHECKING:
    from ventwright.readings.trend.understood import LogFile, Understood

Watch = Callable[[Progress], None]


@dataclass(frozen=True, slots=True)
class UnitFrame:
    """Everything that was logged of one unit: a column of times and one of whole steps for every point."""

    unit: str
    frame: pl.DataFrame
    """Ascending ``time`` in seconds since 1970 UTC, no time twice; a point's column is nothing where it has no value."""
    zone: str | None
    counts: Counts


def frames(understood: Understood, watch: Watch | None = None) -> Iterator[UnitFrame]:
    """Yield the log of one unit after another; memory holds one at a time."""
    ready(understood)
    done, total = 0, sum(file.source.size for unit in understood.units for file in understood.of_unit(unit))
    for unit in understood.units:
        counts = Counts()
        parts: list[pl.DataFrame] = []
        for file in understood.of_unit(unit):
            for step in frame_steps(file):
                if isinstance(step, Progress):
                    counts.add(step.counts)
                    if watch is not None:
                        watch(
                            Progress(
                                step.file, done + step.done, total, step.counts, step.place, step.finished
                            )
                        )
                elif step[0] == unit:
                    parts.append(step[1])
            done += file.source.size
        yield UnitFrame(unit, gathered_frame(parts, counts), understood.zone, counts)


def frame_steps(
    file: LogFile, start: int = 0, reader: QuickReader | None = None, *, grows: bool = False
) -> Iterator[tuple[str, pl.DataFrame] | Progress]:
    """Read one file from a place on, piece by piece: the rows of each unit, then how far the reading is."""
    if file.tabular:
        yield from _typed_steps(file, start)
        return
    reader = reader or QuickReader(file)
    place = start
    for piece in pieces(file.source, start, PIECE, grows=grows):
        found, counts = reader.read(piece.data, from_the_start=piece.start == 0 and not piece.waits)
        counts.break_off(piece)
        yield from found
        place = piece.end
        yield Progress(file.name, min(piece.read, file.source.size), file.source.size, counts, place)
    yield Progress(file.name, file.source.size, file.source.size, Counts(), place, finished=True)


def _typed_steps(file: LogFile, start: int) -> Iterator[tuple[str, pl.DataFrame] | Progress]:
    from ventwright.readings.trend.parquet_file import TypedReader, read_rows

    reader, place, size = TypedReader(file), start, file.source.size
    count = int(pl.scan_parquet(file.path).select(pl.len()).collect().item())
    for place, rows in read_rows(file, start):
        found, counts = reader.read_rows(rows)
        yield from found
        yield Progress(file.name, size * place // max(1, count), size, counts, place)
    yield Progress(file.name, size, size, Counts(), place, finished=True)


def gathered_frame(parts: Iterable[pl.DataFrame], counts: Counts) -> pl.DataFrame:
    """Put parts together: sorted, no time twice; of a time that comes again the first row stands."""
    held = list(parts)
    if not held:
        return pl.DataFrame({TIME: []}, schema={TIME: pl.Int64})
    alike = all(part.columns == held[0].columns for part in held)
    frame = pl.concat(held, how="vertical" if alike else "diagonal", rechunk=True)
    names = sorted(name for name in frame.columns if name != TIME)
    frame = frame.select(TIME, *names)
    steps = frame.get_column(TIME).diff(null_behavior="drop")
    if (steps < 0).any():
        frame = frame.sort(TIME, maintain_order=True)
        steps = frame.get_column(TIME).diff(null_behavior="drop")
    if (steps == 0).any():
        frame = _merged(frame, names, counts)
    return frame.select(TIME, *(name for name in names if frame.get_column(name).null_count() < frame.height))


def _merged(frame: pl.DataFrame, names: list[str], counts: Counts) -> pl.DataFrame:
    """Let a later row of one time add what the first had no value of; count it where it adds nothing."""
    said = [pl.col(name).is_not_null() for name in names]
    so_far = [said[place].cast(pl.Int64).cum_sum().over(TIME) for place in range(len(names))]
    first = [pl.col(name).drop_nulls().first().over(TIME) for name in names]
    adds = pl.any_horizontal([one & (count == 1) for one, count in zip(said, so_far, strict=True)])
    differs = pl.any_horizontal(
        [
            one & (count > 1) & (pl.col(name) != value)
            for name, one, count, value in zip(names, said, so_far, first, strict=True)
        ]
    )
    later = pl.int_range(pl.len()).over(TIME) > 0
    judged = frame.select(later=later, adds=adds, differs=differs)
    contradicts = int((judged["later"] & judged["differs"]).sum())
    repeated = int((judged["later"] & ~judged["differs"] & ~judged["adds"]).sum())
    counts.kept -= contradicts + repeated
    counts.drop("contradicts", contradicts)
    counts.drop("repeated", repeated)
    return frame.group_by(TIME, maintain_order=True).agg(pl.col(name).drop_nulls().first() for name in names)


def frame_of(log: UnitLog) -> pl.DataFrame:
    """Return a unit's log as a frame."""
    table = log.table()
    return frame_of_block(Block(log.unit, table.times, table.columns))


def block_of(unit: str, frame: pl.DataFrame, file: str) -> Block:
    """Return rows of a frame as a block."""
    columns = {name: whole(frame.get_column(name).fill_null(MISSING).to_list()) for name in frame.columns[1:]}
    return Block(unit, whole(frame.get_column(TIME).to_list()), columns, file)


def log_of(frame: UnitFrame) -> UnitLog:
    """Return a unit's frame as its log."""
    times = frame.frame.get_column(TIME)
    series = {}
    for name in frame.frame.columns[1:]:
        column = frame.frame.get_column(name)
        held = column.is_not_null()
        own = times if held.all() else times.filter(held)
        series[name] = Series(points()[name], whole(own.to_list()), whole(column.drop_nulls().to_list()))
    return UnitLog(frame.unit, series, frame.zone, frame.counts)


__all__ = ["MISSING", "TIME", "UnitFrame", "frame_of", "frame_steps", "frames", "gathered_frame", "log_of"]
