"""What logged points become: a column of whole numbers in SI for every point of a unit, whatever the file looked like.

Values are whole multiples of a step that belongs to the kind of the point (1 mK for a temperature), and times whole
seconds since 1970 in UTC. Sums of whole numbers do not depend on the order in which they are made, so that whoever
averages them finds the same to the last bit whatever the engine, the size of the blocks or the format of the file.
"""

from __future__ import annotations

from array import array
from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from ventwright.readings.trend.counts import Counts
from ventwright.tables.point import Point

MISSING: Final = -(2**63)
"""Stands in a column where the log holds no value."""


def whole(values: list[int] | tuple[int, ...] = ()) -> array[int]:
    """Return a column of whole numbers of 64 bits."""
    return array("q", values)


@dataclass(frozen=True, slots=True)
class Block:
    """Rows of one unit as they came out of a file, before they are sorted: what streams through bounded memory."""

    unit: str
    times: array[int]
    """Seconds since 1970, UTC, in the order of the file."""
    columns: Mapping[str, array[int]]
    """By the id of the point; ``MISSING`` where the row has no value."""
    file: str = ""


@dataclass(frozen=True, slots=True)
class Series:
    """What one point showed: ascending times, no time twice, every value a whole multiple of the step."""

    point: Point
    times: array[int]
    """Seconds since 1970, UTC."""
    values: array[int]
    """Whole multiples of ``point.step``; nothing is missing here: a time without a value is not listed."""

    def __len__(self) -> int:
        """Number of values."""
        return len(self.times)

    def si(self) -> array[float]:
        """Values in SI: °C, Pa, m3/s; fractions for signals and shares, 0 and 1 for off and on."""
        step = self.point.step
        return array("d", [value * step for value in self.values])


@dataclass(frozen=True, slots=True)
class Table:
    """Points of one unit side by side, on common times."""

    unit: str
    times: array[int]
    columns: Mapping[str, array[int]]
    """By the id of the point; ``MISSING`` where there is no value."""

    def __len__(self) -> int:
        """Number of rows."""
        return len(self.times)


@dataclass(frozen=True, slots=True)
class UnitLog:
    """Everything that was logged of one unit: what a rule is handed, picklable."""

    unit: str
    series: Mapping[str, Series]
    """By the id of the point; a point that was not logged is not there."""
    zone: str | None = None
    """Time zone of the place, such as America/Chicago; None where the times are those of a clock without a zone, taken for UTC."""
    counts: Counts = field(default_factory=Counts)

    def __contains__(self, name: str) -> bool:
        """Whether a point was logged."""
        return name in self.series

    @property
    def first(self) -> int | None:
        """Earliest time of any point; None where nothing was logged."""
        return min((one.times[0] for one in self.series.values() if len(one)), default=None)

    @property
    def last(self) -> int | None:
        """Latest time of any point."""
        return max((one.times[-1] for one in self.series.values() if len(one)), default=None)

    def table(self, names: tuple[str, ...] | None = None, hold: int = 0) -> Table:
        """Put points side by side on every time that one of them has.

        Parameters
        ----------
        names
            Ids of the points; all where none are given. One that was not logged gives a column of ``MISSING``.
        hold
            For how many seconds a value stands for the times after it, where a point is logged at other times than the
            rest or only when it changes; 0 for exact times only.
        """
        chosen = tuple(self.series) if names is None else names
        logged = [self.series[name] for name in chosen if name in self.series]
        times = _union([one.times for one in logged])
        columns = {
            name: _spread(self.series[name], times, hold)
            if name in self.series
            else whole([MISSING]) * len(times)
            for name in chosen
        }
        return Table(self.unit, times, columns)


def _union(columns: list[array[int]]) -> array[int]:
    """Return every time of several columns once, ascending."""
    if columns and all(one == columns[0] for one in columns):
        return columns[0]
    return whole(sorted(set().union(*columns)))


def _spread(series: Series, times: array[int], hold: int) -> array[int]:
    """Return a point's values on other times: its own value there, or one at most ``hold`` seconds old."""
    if series.times == times:
        return series.values
    spread, here, last = whole(), 0, len(series.times)
    for time in times:
        while here < last and series.times[here] <= time:
            here += 1
        fresh = here > 0 and time - series.times[here - 1] <= hold
        spread.append(series.values[here - 1] if fresh else MISSING)
    return spread
