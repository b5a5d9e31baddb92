"""The rows of one unit's log in plain Python: what rules ask of them, without anything compiled."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from itertools import accumulate, pairwise
from typing import TYPE_CHECKING

from ventwright.readings.trend.shape import MISSING
from ventwright.verdict.trend_findings.column import PlainColumn

if TYPE_CHECKING:
    from ventwright.readings.trend import UnitLog


class PlainRows:
    """A log with its points side by side on every time that one of them has."""

    def __init__(self, log: UnitLog) -> None:
        """Put the points side by side."""
        table = log.table()
        self.unit, self.zone = log.unit, log.zone
        self._columns = table.columns
        self.time = PlainColumn(table.times.tolist())
        self._starts: dict[int, list[int]] = {}

    def __len__(self) -> int:
        """Count the rows."""
        return len(self.time)

    def __contains__(self, name: str) -> bool:
        """Whether a point was logged."""
        return name in self._columns

    @property
    def ends(self) -> tuple[int, int]:
        """First and last time."""
        return self.time[0], self.time[len(self) - 1]

    def parts(self, window: int) -> Iterator[PlainRows]:  # noqa: ARG002 - both engines are asked alike
        """Yield the rows some at a time: here all at once."""
        yield self

    def held(self, name: str, hold: int) -> tuple[PlainColumn, PlainColumn]:
        """Return a point's values, each standing for the times after it for so long, and whether there is one."""
        values, known = [], []
        value, since = 0, -(2**62)
        for time, logged in zip(self.time, self._columns[name], strict=True):
            if logged != MISSING:
                value, since = logged, time
            fresh = time - since <= hold
            values.append(value if fresh else 0)
            known.append(fresh)
        return PlainColumn(values), PlainColumn(known)

    def constant(self, value: int) -> PlainColumn:
        """Return a column of one whole number, or of yes or no."""
        return PlainColumn([value] * len(self))

    def number(self, which: PlainColumn) -> PlainColumn:
        """Return 1 for yes and 0 for no."""
        return PlainColumn(list(map(int, which)))

    def before(self, column: PlainColumn) -> PlainColumn:
        """Return the row before each; the first stands before itself."""
        held = column.held
        return PlainColumn([*held[:1], *held[:-1]])

    def after(self, column: PlainColumn) -> PlainColumn:
        """Return the row after each; the last stands after itself."""
        held = column.held
        return PlainColumn([*held[1:], *held[-1:]])

    def smaller(self, column: PlainColumn, most: int) -> PlainColumn:
        """Return each, or at most so much."""
        return PlainColumn([min(one, most) for one in column])

    def total(self, column: PlainColumn, window: int) -> PlainColumn:
        """Sum over the window of clock time that ends with each row: later than its start, up to and with the row."""
        sums = [0, *accumulate(column)]
        return PlainColumn(
            [until - sums[start] for until, start in zip(sums[1:], self._starting(window), strict=True)]
        )

    def _starting(self, window: int) -> list[int]:
        """Number of the first row in the window that ends with each."""
        if window not in self._starts:
            starts, start, times = [], 0, self.time.held
            for time in times:
                while times[start] <= time - window:
                    start += 1
                starts.append(start)
            self._starts[window] = starts
        return self._starts[window]

    def readings(self, window: int) -> PlainColumn:
        """Count the readings in the window that ends with each row."""
        return self.total(self.constant(1), window)

    def all_in(self, which: PlainColumn, window: int) -> PlainColumn:
        """Whether something was so in every reading of the window that ends with each row."""
        return self.total(self.number(~which), window) <= 0

    def middle_step(self) -> int:
        """Return the middle one of the steps from row to row, the smaller of two; 0 where there is none."""
        steps = sorted(late - early for early, late in pairwise(self.time))
        return steps[(len(steps) - 1) // 2] if steps else 0

    def count(self, which: PlainColumn) -> int:
        """Count the rows that are so."""
        return sum(which)

    def sums_by(
        self, which: PlainColumn, key: PlainColumn, columns: Sequence[PlainColumn]
    ) -> dict[int, tuple[int, ...]]:
        """Return, for the rows that are so, by a key: how many, first and last time, and sums of columns."""
        found: dict[int, list[int]] = {}
        held = [column.held for column in columns]
        for row, (so, one, time) in enumerate(zip(which, key, self.time, strict=True)):
            if so:
                sums = found.setdefault(one, [0, time, time, *([0] * len(held))])
                sums[0] += 1
                sums[2] = time
                for place, column in enumerate(held, start=3):
                    sums[place] += column[row]
        return {one: tuple(sums) for one, sums in sorted(found.items())}

    def ranges_by(
        self, key: PlainColumn, column: PlainColumn, known: PlainColumn
    ) -> dict[int, tuple[int, int]]:
        """Return least and most of a column by a key, where it is known."""
        found: dict[int, tuple[int, int]] = {}
        for one, value, so in zip(key, column, known, strict=True):
            if so:
                low, high = found.get(one, (value, value))
                found[one] = (min(low, value), max(high, value))
        return dict(sorted(found.items()))

    def runs(self, code: PlainColumn, ends: PlainColumn) -> Iterable[tuple[int, int, int]]:
        """Return times without a change of code: code, first time, end of the last row."""
        found: list[tuple[int, int, int]] = []
        for one, start, end in zip(code, self.time, ends, strict=True):
            if found and found[-1][0] == one and found[-1][2] >= start:
                found[-1] = (one, found[-1][1], end)
            else:
                found.append((one, start, end))
        return found
