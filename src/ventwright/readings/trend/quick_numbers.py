"""A column of numbers as whole steps in one go, where every one of them is what the point can show."""

from __future__ import annotations

import numpy as np
import polars as pl

from ventwright.readings.trend.cells import bounds, scale
from ventwright.readings.trend.measures import Measure
from ventwright.tables.point import Point

AT_ONCE = 1 << 13
"""Numbers that are worked on at a time, so that what is made of them on the way stays near."""


def steps_of(read: pl.Series, point: Point, measure: Measure) -> pl.Series | None:
    """Return numbers without a blank in steps; None where one of them is nothing that the point can show."""
    numbers = read.to_numpy()
    if point.kind.name == "switch":
        is_state = (numbers == 0) | (numbers == 1) | (numbers == 100)
        return pl.Series((numbers > 0).astype(np.int64)) if is_state.all() else None
    slope, intercept = scale(point, measure)
    least, most = bounds(point)
    found = np.empty(len(numbers), np.int64)
    for place in range(0, len(numbers), AT_ONCE):
        steps = numbers[place : place + AT_ONCE] * slope
        steps += intercept
        if not (least <= steps.min() and steps.max() <= most):
            return None
        steps += 0.5
        found[place : place + AT_ONCE] = np.floor(steps, out=steps)
    return pl.Series(found)
