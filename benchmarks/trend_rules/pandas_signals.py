"""A log as a frame of pandas with what its rules share, each made when it is first asked for."""

from __future__ import annotations

from functools import cached_property
from typing import Any

import numpy as np
import pandas as pd
from benchmarks.trend_rules.invented_logs import STEP
from benchmarks.trend_rules.thresholds import Thresholds

Column = Any
"""A series of pandas, which comes without types."""

Frame = Any
"""A frame of pandas."""


class Signals:
    """A log with what rules share."""

    def __init__(self, frame: Frame, limits: Thresholds, *, regular: bool) -> None:
        """Take a log in whole steps."""
        self.frame, self.limits, self.figures = frame, limits, limits.rules.figures
        self.regular = regular
        self._enough: dict[int, Column] = {}

    @cached_property
    def seconds(self) -> Column:
        """Seconds since 1970."""
        return pd.Series(self.frame.index.as_unit("s").asi8, self.frame.index)

    @cached_property
    def step(self) -> int:
        """Usual time from row to row. [s]"""
        return int(np.quantile(self.seconds.diff().dropna(), 0.5, method="lower"))

    def total(self, column: Column, window: int) -> Column:
        """Sum over a window of time that ends with each row."""
        if self.regular:
            return column.rolling(window // STEP, min_periods=1).sum()
        return column.rolling(f"{window}s").sum()

    def enough(self, window: int) -> tuple[Column, Column]:
        """Return the readings in a window, and whether they are enough."""
        if window not in self._enough:
            one = pd.Series(1, self.frame.index)
            count = self.total(one, window)
            covered = self.seconds.diff().fillna(self.step).clip(upper=self.step * 3 // 2)
            part, whole = self.figures.windows.least_covered
            full = (self.total(covered, window) * whole >= part * window) & (
                count >= self.figures.windows.least_readings
            )
            self._enough[window] = count.where(full, -1.0)
        return self._enough[window], self._enough[window] >= 0

    def stood(self, which: Column, window: int) -> Column:
        """Whether something was so in every reading of a window that has enough."""
        return self.total(which.astype("int64"), window) == self.enough(window)[0]

    def travel(self, column: Column, window: int) -> Column:
        """Ups and downs of a column, added over a window."""
        return self.total(column.diff().abs().fillna(0), window)

    def __getitem__(self, name: str) -> Column:
        """Return a point."""
        return self.frame[name]

    def is_on(self, name: str) -> Column:
        """Whether a switch is on."""
        return self.frame[name] >= 1

    @cached_property
    def fan_runs(self) -> Column:
        """Whether the fan has run at one speed."""
        window = self.figures.windows.steady
        return self.stood(self.is_on("supply_fan_status"), window) & (
            self.travel(self["supply_fan_speed"], window) <= self.limits.most_fan_change
        )

    @cached_property
    def cooling(self) -> Column:
        """Whether a compressor runs."""
        return self.is_on("cooling_1") | self.is_on("cooling_2")

    @cached_property
    def heating(self) -> Column:
        """Whether heat is on."""
        return self.is_on("heating_1")

    @cached_property
    def signal_steady(self) -> Column:
        """Whether the damper signal stood."""
        window = self.figures.windows.steady
        return self.enough(window)[1] & (
            self.travel(self["outdoor_damper_signal"], window) <= self.limits.most_travel
        )

    @cached_property
    def apart(self) -> Column:
        """Outdoor less return air."""
        return self["outdoor_temperature"] - self["return_temperature"]

    @cached_property
    def over_coils(self) -> Column:
        """Supply less mixed air, summed over a steady window."""
        return self.total(self["supply_temperature"] - self["mixed_temperature"], self.figures.windows.steady)

    @cached_property
    def cooled(self) -> Column:
        """Whether a compressor has run without heat."""
        return self.fan_runs & self.stood(self.cooling, self.figures.windows.steady) & ~self.heating

    @cached_property
    def at_minimum(self) -> Column:
        """Whether the damper stood at its minimum."""
        return self.stood(self["outdoor_damper_signal"] <= self.limits.minimum, self.figures.windows.steady)
