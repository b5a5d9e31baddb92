"""The same rows as arrays of NumPy: every answer is the same whole number that plain Python gives.

A log in which every window holds the same number of rows is told first: there a window is that many rows back, in any
other log it is looked up by the clock. Sums are of whole numbers, so that one taken from another leaves no rounding.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

if TYPE_CHECKING:
    import polars as pl

    from ventwright.readings.trend.frames import UnitFrame

Column = NDArray[Any]
"""Whole numbers of 64 bits, or yes and no."""
LONG_AGO = -(1 << 62)
"""Before all times. [s]"""
PART = 1 << 17
"""Rows of a long log that are gone through at a time, so that its columns stay in the processor's cache."""


class QuickRows:
    """A unit's frame, asked as ``PlainRows`` is."""

    def __init__(self, frame: UnitFrame) -> None:
        """Take the frame as it is."""
        self.unit, self.zone = frame.unit, frame.zone
        self.points = {name: frame.frame.get_column(name) for name in frame.frame.columns}
        self._take(self.points["time"].to_numpy())

    def _take(self, time: Column) -> None:
        self.time = time
        self._every = {answer: np.full(len(time), answer) for answer in (True, False)}
        self._starts: dict[int, Column] = {}
        self._regulars: dict[int, int] = {}
        self._held: dict[tuple[str, int], tuple[Column, Column]] = {}
        self._own: tuple[int, int] = (0, len(time))
        self._step: int | None = None

    def parts(self, window: int) -> Iterator[QuickRows]:
        """Yield the rows some at a time, each with those before it that a window may reach back to, which are not counted."""
        if len(self) <= PART:
            yield self
            return
        for start in range(0, len(self), PART):
            first = max(0, int(np.searchsorted(self.time, self.time[start] - window, side="right")) - 1)
            yield _Part(self, first, start, min(start + PART, len(self)))

    def __len__(self) -> int:
        """Count the rows."""
        return len(self.time)

    def __contains__(self, name: str) -> bool:
        """Whether a point was logged."""
        return name in self.points

    @property
    def ends(self) -> tuple[int, int]:
        """First and last time."""
        return int(self.time[0]), int(self.time[-1])

    def held(self, name: str, hold: int) -> tuple[Column, Column]:
        """Return a point's values, each standing for the times after it for so long, and whether there is one."""
        if (name, hold) not in self._held:
            logged = self.points[name]
            whole = not logged.null_count()
            self._held[name, hold] = (
                (logged.to_numpy(), self._every[True]) if whole else self._over_blanks(logged, hold)
            )
        return self._held[name, hold]

    def _over_blanks(self, logged: pl.Series, hold: int) -> tuple[Column, Column]:
        """Return the same of a point that some rows have no value of."""
        values: Column = logged.fill_null(0).to_numpy()
        last = np.maximum.accumulate(np.where(logged.is_not_null().to_numpy(), np.arange(len(self)), -1))
        fresh = (last >= 0) & (self.time - self.time[last] <= hold)
        return np.where(fresh, values[last], 0), fresh

    def constant(self, value: int) -> Column:
        """Return a column of one whole number, or of yes or no."""
        return self._every[value] if isinstance(value, bool) else np.full(len(self), value, np.int64)

    def number(self, which: Column) -> Column:
        """Return 1 for yes and 0 for no."""
        return which.astype(np.int64)

    def before(self, column: Column) -> Column:
        """Return the row before each; the first stands before itself."""
        return np.concatenate((column[:1], column[:-1]))

    def after(self, column: Column) -> Column:
        """Return the row after each; the last stands after itself."""
        return np.concatenate((column[1:], column[-1:]))

    def smaller(self, column: Column, most: int) -> Column:
        """Return each, or at most so much."""
        return np.minimum(column, most)

    def total(self, column: Column, window: int) -> Column:
        """Sum over the window of clock time that ends with each row: later than its start, up to and with the row."""
        sums = np.cumsum(column, dtype=np.int64)
        count = self._regular(window)
        if count:
            found = sums.copy()
            found[count:] -= sums[:-count]
            return found
        return sums - np.concatenate(([0], sums))[self._starting(window)]

    def _regular(self, window: int) -> int:
        """Count the rows that every window of a regular log holds; 0 where one holds another number."""
        if window not in self._regulars:
            step = self.middle_step()
            count = -(-window // step) if step else 0
            self._regulars[window] = count if 0 < count < len(self) and self._holds(count, window) else 0
        return self._regulars[window]

    def _holds(self, count: int, window: int) -> bool:
        """Whether every window holds that many rows, and the first ones all rows before them."""
        time = self.time
        until = time[count:]
        full = (until - time[:-count] >= window) & (until - time[1 : len(time) - count + 1] < window)
        return bool(full.all()) and bool(time[count - 1] - time[0] < window)

    def _starting(self, window: int) -> Column:
        """Number of the first row in the window that ends with each."""
        if window not in self._starts:
            self._starts[window] = np.searchsorted(self.time, self.time - window, side="right")
        return self._starts[window]

    def readings(self, window: int) -> Column:
        """Count the readings in the window that ends with each row."""
        row = np.arange(1, len(self) + 1)
        count = self._regular(window)
        return np.minimum(row, count) if count else row - self._starting(window)

    def all_in(self, which: Column, window: int) -> Column:
        """Whether something was so in every reading of the window that ends with each row."""
        count = self._regular(window)
        if count:
            return _all_of_rows(which, count)
        missed = np.maximum.accumulate(np.where(which, LONG_AGO, self.time))
        return missed <= self.time - window

    def middle_step(self) -> int:
        """Return the middle one of the steps from row to row, the smaller of two; 0 where there is none."""
        if self._step is None:
            steps = np.diff(self.time)
            middle = (len(steps) - 1) // 2
            self._step = int(np.partition(steps, middle)[middle]) if len(steps) else 0
        return self._step

    def count(self, which: Column) -> int:
        """Count the rows that are so."""
        return int(np.count_nonzero(which[slice(*self._own)]))

    def sums_by(self, which: Column, key: Column, columns: Sequence[Column]) -> dict[int, tuple[int, ...]]:
        """Return, for the rows that are so, by a key: how many, first and last time, and sums of columns."""
        rows, keys, starts = self._by_key(which, key)
        if not len(rows):
            return {}
        ends = np.concatenate((starts[1:], [len(rows)]))
        whole = (
            ends - starts,
            self.time[rows[starts]],
            self.time[rows[ends - 1]],
            *(np.add.reduceat(column[rows], starts) for column in columns),
        )
        return _by_number(keys[starts], whole)

    def _by_key(self, which: Column, key: Column) -> tuple[Column, Column, Column]:
        """Return the numbers of the rows that are so, those of one key together, their keys, and where each key begins."""
        start, end = self._own
        rows = np.flatnonzero(which[start:end]) + start
        keys = key[rows]
        if (keys[1:] < keys[:-1]).any():
            order = np.argsort(keys, kind="stable")
            rows, keys = rows[order], keys[order]
        return rows, keys, np.concatenate(([0], np.flatnonzero(keys[1:] != keys[:-1]) + 1))

    def ranges_by(self, key: Column, column: Column, known: Column) -> dict[int, tuple[int, int]]:
        """Return least and most of a column by a key, where it is known."""
        rows, keys, starts = self._by_key(known, key)
        if not len(rows):
            return {}
        values = column[rows]
        ranges = np.minimum.reduceat(values, starts), np.maximum.reduceat(values, starts)
        return _by_number(keys[starts], ranges)  # type: ignore[return-value]

    def runs(self, code: Column, ends: Column) -> Iterable[tuple[int, int, int]]:
        """Return times without a change of code: code, first time, end of the last row."""
        if not len(self):
            return []
        broken = (code[1:] != code[:-1]) | (ends[:-1] < self.time[1:])
        starts = np.concatenate(([0], np.flatnonzero(broken) + 1))
        lasts = np.concatenate((starts[1:], [len(self)])) - 1
        return zip(code[starts].tolist(), self.time[starts].tolist(), ends[lasts].tolist(), strict=True)


class _Part(QuickRows):
    """Some rows of a long log, with those before them that a window reaches back to and the one after them."""

    def __init__(self, whole: QuickRows, first: int, start: int, end: int) -> None:
        self.unit, self.zone, self.points = whole.unit, whole.zone, whole.points
        self._whole, self._rows = whole, slice(first, end + 1)
        self._take(whole.time[self._rows])
        self._own = (start - first, end - first)

    def held(self, name: str, hold: int) -> tuple[Column, Column]:
        values, known = self._whole.held(name, hold)
        return values[self._rows], known[self._rows]

    def middle_step(self) -> int:
        return self._whole.middle_step()


def _all_of_rows(which: Column, count: int) -> Column:
    """Whether something was so in so many rows up to and with each, or in all where there are fewer before it."""
    found, rows = which.copy(), 1
    while rows < count:
        back = min(rows, count - rows)
        found[back:] &= found[:-back]
        rows += back
    return found


def _by_number(keys: Column, columns: Sequence[Column]) -> dict[int, tuple[int, ...]]:
    """Return the rows of a small table by their keys, in plain numbers."""
    rows = zip(*(column.tolist() for column in columns), strict=True)
    return dict(zip(keys.tolist(), rows, strict=True))
