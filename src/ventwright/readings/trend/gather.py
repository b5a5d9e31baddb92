"""Blocks put together into one log a unit: sorted, no time twice, every value counted for."""

from __future__ import annotations

from array import array
from collections.abc import Callable, Iterable, Iterator

from ventwright.readings.trend.counts import Counts
from ventwright.readings.trend.shape import MISSING, Block, Series, UnitLog, whole
from ventwright.readings.trend.streaming import Progress, ready, stream
from ventwright.readings.trend.understood import Understood
from ventwright.tables.point import points


def logs(understood: Understood, watch: Callable[[Progress], None] | None = None) -> Iterator[UnitLog]:
    """Yield the log of one unit after another; memory holds one at a time.

    Parameters
    ----------
    understood
        The files, with no question left open.
    watch
        Called with the progress after every piece; what it raises ends the reading.
    """
    ready(understood)
    for unit in understood.units:
        counts = Counts()
        blocks = list(_watched(stream(understood, unit), counts, watch))
        yield gathered(unit, blocks, counts, understood.zone)


def _watched(
    steps: Iterable[Progress | Block], counts: Counts, watch: Callable[[Progress], None] | None
) -> Iterator[Block]:
    for step in steps:
        if isinstance(step, Block):
            yield step
        else:
            counts.add(step.counts)
            if watch is not None:
                watch(step)


def gathered(unit: str, blocks: Iterable[Block], counts: Counts, zone: str | None) -> UnitLog:
    """Sort the blocks of one unit and let every time stand once.

    Of a time that comes again the first row stands; a later one only adds points that the first had no value of, and is
    left out, and counted, where it adds none.
    """
    times, columns = _joined(list(blocks))
    if any(times[row] >= times[row + 1] for row in range(len(times) - 1)):
        times, columns = _sorted(times, columns, counts)
    series = {name: _series(name, times, column) for name, column in sorted(columns.items())}
    return UnitLog(unit, {name: one for name, one in series.items() if len(one)}, zone, counts)


def _joined(blocks: list[Block]) -> tuple[array[int], dict[str, array[int]]]:
    names = dict.fromkeys(name for block in blocks for name in block.columns)
    times = whole()
    columns = {name: whole() for name in names}
    for block in blocks:
        times.extend(block.times)
        for name, column in columns.items():
            column.extend(block.columns.get(name) or whole([MISSING]) * len(block.times))
    return times, columns


def _sorted(
    times: array[int], columns: dict[str, array[int]], counts: Counts
) -> tuple[array[int], dict[str, array[int]]]:
    order = sorted(range(len(times)), key=times.__getitem__)  # rows of one time stay as they came
    kept, rows = whole(), {name: whole() for name in columns}
    pairs = [(columns[name], rows[name]) for name in columns]
    for row in order:
        if kept and kept[-1] == times[row]:
            _merge(row, pairs, counts)
            continue
        kept.append(times[row])
        for source, into in pairs:
            into.append(source[row])
    return kept, rows


def _merge(row: int, pairs: list[tuple[array[int], array[int]]], counts: Counts) -> None:
    """Let a later row of the same time add what is missing; count it where it adds nothing."""
    adds = contradicts = False
    for source, into in pairs:
        value = source[row]
        if value == MISSING:
            continue
        if into[-1] == MISSING:
            into[-1] = value
            adds = True
        elif into[-1] != value:
            contradicts = True
    if contradicts or not adds:
        counts.kept -= 1
        counts.drop("contradicts" if contradicts else "repeated")


def _series(name: str, times: array[int], column: array[int]) -> Series:
    if MISSING not in column:
        return Series(points()[name], times, column)
    kept = [row for row, value in enumerate(column) if value != MISSING]
    return Series(points()[name], whole([times[row] for row in kept]), whole([column[row] for row in kept]))
