"""The same rows as columns of Polars: every answer is the same whole number that plain Python gives.

Nothing is worked out when it is asked for: what rules want is gathered as expressions, and all windows of one depth are
made in one go, so that Polars shares what they have in common and uses the cores there are.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING

import polars as pl

if TYPE_CHECKING:
    from ventwright.readings.trend.frames import UnitFrame

Column = pl.Expr
NEVER = "never"
_LATE = 1 << 40
"""Added to times so that all are above 0. [s]"""


class QuickRows:
    """A unit's frame, asked as ``PlainRows`` is."""

    def __init__(self, frame: UnitFrame) -> None:
        """Take the frame as it is."""
        self.unit, self.zone = frame.unit, frame.zone
        self._points = frozenset(frame.frame.columns)
        self._frame = frame.frame.with_columns(pl.lit(value=False).alias(NEVER))
        self._depth = dict.fromkeys(self._frame.columns, 0)
        self._waiting: dict[int, list[Column]] = {}
        self._made: dict[tuple[str, int], Column] = {}
        self._kept: dict[str, Column] = {}
        self._regulars: dict[int, int] = {}
        self.time = pl.col("time")

    def __len__(self) -> int:
        """Count the rows."""
        return self._frame.height

    def __contains__(self, name: str) -> bool:
        """Whether a point was logged."""
        return name in self._points

    @property
    def ends(self) -> tuple[int, int]:
        """First and last time."""
        times = self._frame.get_column("time")
        return times[0], times[-1]

    def kept(self, column: Column) -> Column:
        """Return the same column, made once whoever asks for it."""
        told = str(column)
        if told not in self._kept:
            depth = 1 + max((self._depth[name] for name in column.meta.root_names()), default=0)
            name = f"kept_{len(self._depth)}"
            self._depth[name] = depth
            self._waiting.setdefault(depth, []).append(column.alias(name))
            self._kept[told] = pl.col(name)
        return self._kept[told]

    def made(self) -> pl.DataFrame:
        """Make all that waits and return the frame that holds it."""
        for depth in sorted(self._waiting):
            self._frame = self._frame.lazy().with_columns(self._waiting[depth]).collect()
        self._waiting = {}
        return self._frame

    def held(self, name: str, hold: int) -> tuple[Column, Column]:
        """Return a point's values, each standing for the times after it for so long, and whether there is one."""
        here = pl.col(name)
        if not self._frame.get_column(name).null_count():
            return here, self.constant(value=True)
        since = pl.when(here.is_not_null()).then(self.time).forward_fill()
        fresh = self.kept((self.time - since <= hold).fill_null(value=False))
        return self.kept(pl.when(fresh).then(here.forward_fill()).otherwise(0)), fresh

    def constant(self, value: int) -> Column:
        """Return a column of one whole number, or of yes or no."""
        if isinstance(value, bool):
            return ~pl.col(NEVER) if value else pl.col(NEVER)
        return self._once("constant", value, pl.repeat(value, pl.len(), dtype=pl.Int64))

    def _once(self, what: str, number: int, column: Column) -> Column:
        if (what, number) not in self._made:
            self._made[what, number] = self.kept(column)
        return self._made[what, number]

    def number(self, which: Column) -> Column:
        """Return 1 for yes and 0 for no."""
        return which.cast(pl.Int64)

    def before(self, column: Column) -> Column:
        """Return the row before each; the first stands before itself."""
        return column.shift(1).fill_null(column)

    def after(self, column: Column) -> Column:
        """Return the row after each; the last stands after itself."""
        return column.shift(-1).fill_null(column)

    def smaller(self, column: Column, most: int) -> Column:
        """Return each, or at most so much."""
        return column.clip(upper_bound=most)

    def total(self, column: Column, window: int) -> Column:
        """Sum over the window of clock time that ends with each row: later than its start, up to and with the row."""
        sums = column.cum_sum()
        return self.kept(sums - self._before_window(sums, window))

    def _before_window(self, sums: Column, window: int) -> Column:
        """What had added up before the window that ends with each row."""
        count = self._regular(window)
        if count:
            return sums.shift(count, fill_value=0)
        return sums.shift(1, fill_value=0).gather(self._starts(window))

    def _regular(self, window: int) -> int:
        """Count the rows that every window of a regular log holds; 0 where one holds another number."""
        if window not in self._regulars:
            step = self.middle_step()
            count = -(-window // step) if step else 0
            start = self.time - window
            fits = (self.time.shift(count) <= start) & (self.time.shift(count - 1) > start)
            early = pl.int_range(pl.len()) < count
            regular = bool(count) and count < len(self) and self._frame.select((fits | early).all()).item()
            # the first rows have nothing before them, unless a gap lies among them
            head = self._frame.get_column("time").head(count + 1)
            self._regulars[window] = count if regular and head[-1] - head[0] == step * count else 0
        return self._regulars[window]

    def _starts(self, window: int) -> Column:
        """Number of the first row in the window that ends with each."""
        return self._once("starts", window, self.time.search_sorted(self.time - window, side="right"))

    def readings(self, window: int) -> Column:
        """Count the readings in the window that ends with each row."""
        row = pl.int_range(pl.len(), dtype=pl.Int64)
        count = self._regular(window)
        if count:
            return self._once("readings", window, (row + 1).clip(upper_bound=count))
        return self._once("readings", window, row - self._starts(window).cast(pl.Int64) + 1)

    def all_in(self, which: Column, window: int) -> Column:
        """Whether something was so in every reading of the window that ends with each row."""
        missed = (self.number(~which) * (self.time + _LATE)).cum_max()
        return self.kept(missed <= self.time + (_LATE - window))

    def middle_step(self) -> int:
        """Return the middle one of the steps from row to row, the smaller of two; 0 where there is none."""
        steps = self._frame.get_column("time").diff(null_behavior="drop")
        return int(steps.quantile(0.5, interpolation="lower") or 0) if len(steps) else 0

    def counts(self, which: Sequence[Column]) -> list[int]:
        """Count the rows that are so, for each of some columns."""
        if not which:
            return []
        found = (
            self.made()
            .lazy()
            .select(one.sum().alias(f"{place}") for place, one in enumerate(which))
            .collect()
        )
        return [int(count or 0) for count in found.row(0)]

    def sums_by(self, which: Column, key: Column, columns: Sequence[Column]) -> dict[int, tuple[int, ...]]:
        """Return, for the rows that are so, by a key: how many, first and last time, and sums of columns."""
        sums = [column.alias(f"{place}") for place, column in enumerate(columns)]
        found = (
            self.made()
            .lazy()
            .filter(which)
            .select(key.alias("key"), self.time.alias("time"), *sums)
            .group_by("key")
            .agg(
                pl.len().cast(pl.Int64).alias("rows"),
                pl.col("time").min().alias("first"),
                pl.col("time").max().alias("last"),
                *(pl.col(f"{place}").sum() for place in range(len(columns))),
            )
            .sort("key")
            .collect()
        )
        return {row[0]: row[1:] for row in found.iter_rows()}

    def several_by(
        self, key: Column, pairs: Sequence[tuple[Column, Column]], judged: Column, shown: Column
    ) -> list[dict[int, tuple[int, ...]]]:
        """Return, for each of some pairs of judged and shown, by a key that never falls.

        Rows judged and their sum of a column; rows shown, the same sum, first and last time, and the sum of another.
        """
        aggregates = []
        for place, (one, other) in enumerate(pairs):
            aggregates += [
                one.sum().cast(pl.Int64).alias(f"{place} rows"),
                (self.number(one) * judged).sum().alias(f"{place} sum"),
                other.sum().cast(pl.Int64).alias(f"{place} rows shown"),
                (self.number(other) * judged).sum().alias(f"{place} sum shown"),
                self.time.filter(other).min().fill_null(0).alias(f"{place} first"),
                self.time.filter(other).max().fill_null(0).alias(f"{place} last"),
                (self.number(other) * shown).sum().alias(f"{place} other sum"),
            ]
        found = self.made().lazy().group_by(key.alias("key"), maintain_order=True).agg(aggregates).collect()
        rows = found.rows()
        return [
            {row[0]: row[1 + 7 * place : 8 + 7 * place] for row in rows if row[1 + 7 * place]}
            for place in range(len(pairs))
        ]

    def ranges_by(self, key: Column, column: Column, known: Column) -> dict[int, tuple[int, int]]:
        """Return least and most of a column by a key, where it is known."""
        found = (
            self.made()
            .lazy()
            .filter(known)
            .group_by(key.alias("key"))
            .agg(column.min().alias("low"), column.max().alias("high"))
            .sort("key")
            .collect()
        )
        return {key: (low, high) for key, low, high in found.iter_rows()}

    def runs(self, code: Column, ends: Column) -> Iterable[tuple[int, int, int]]:
        """Return times without a change of code: code, first time, end of the last row."""
        frame = (
            self.made()
            .lazy()
            .select(code.alias("code"), self.time.alias("time"), ends.alias("ends"))
            .collect()
        )
        if not frame.height:
            return []
        broken = (pl.col("code") != pl.col("code").shift(1)) | (pl.col("ends").shift(1) < pl.col("time"))
        starts = frame.select(broken.fill_null(value=True).arg_true()).to_series()
        lasts = starts.slice(1).append(pl.Series([frame.height], dtype=starts.dtype)) - 1
        return list(
            zip(
                frame.get_column("code").gather(starts).to_list(),
                frame.get_column("time").gather(starts).to_list(),
                frame.get_column("ends").gather(lasts).to_list(),
                strict=True,
            )
        )
