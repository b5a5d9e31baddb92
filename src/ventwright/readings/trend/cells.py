"""One cell as a whole number of steps, or the reason why it holds none."""

from __future__ import annotations

import math
import re
from typing import Final

from ventwright.readings.trend.measures import OFF, ON, Measure, measure_named
from ventwright.tables.point import Point

NUMBER: Final = re.compile(r"([+-]?(?:\d+\.?\d*|\.\d+)(?:[eE][+-]?\d{1,3})?)\s*([^\d\s.,;+-][^\d]{0,11})?")
"""A number, and a unit behind it where the logger writes one into every cell."""

REMEMBERED: Final = 4096
"""Different cells of a column that are remembered: more would let memory grow with the file."""

SLACK: Final = 1e-9
"""Of a bound, so that 100 % is not above 1 for the rounding of a factor."""


class Cells:
    """Reads the cells of one column; what was read before is remembered, since loggers round and so repeat themselves."""

    def __init__(self, point: Point, measure: Measure, decimal: str) -> None:
        self.point = point
        self.decimal = decimal
        self._measure = measure
        self._known: dict[str, int | str] = {"": "blank"}
        self.least, self.most = bounds(point)

    def read(self, cell: str) -> int | str:
        """Return the whole number of steps, or one of the words of ``CELL_REASONS``."""
        known = self._known.get(cell)
        if known is None:
            if len(self._known) > REMEMBERED:
                self._known.clear()
            known = self._known[cell] = self._read(cell.strip())
        return known

    def _read(self, text: str) -> int | str:
        if not text:
            return "blank"
        if self.point.kind.name == "switch":
            return _switch(text)
        found = number_in(text, self.decimal)
        if found is None:
            return "text"
        number, unit = found
        measure = self._measure if not unit else measure_named(self.point.kind.name, unit)
        if measure is None:
            return "text"
        slope, intercept = scale(self.point, measure)
        steps = number * slope + intercept
        if not self.least <= steps <= self.most:
            return "impossible"
        return math.floor(steps + 0.5)


def _switch(text: str) -> int | str:
    word = text.lower()
    if word in ON:
        return 1
    if word in OFF:
        return 0
    try:
        number = float(text.replace(",", "."))
    except ValueError:
        return "neither_on_nor_off"
    return int(number > 0) if number in (0.0, 1.0, 100.0) else "neither_on_nor_off"


def number_in(text: str, decimal: str) -> tuple[float, str] | None:
    """Return the number of a cell and the unit behind it; None for text. A sign for thousands makes it text: 1,234 may be either."""
    bare = text.removeprefix("-").replace(".", "", 1)
    if decimal == "." and bare.isdigit() and bare.isascii():
        return float(text), ""  # the usual cell, told without a closer look
    if decimal == ",":
        if "." in text.split(" ", 1)[0]:
            return None
        text = text.replace(",", ".", 1)
    found = NUMBER.fullmatch(text)
    if found is None:
        return None
    return float(found[1]), (found[2] or "").strip()


def scale(point: Point, measure: Measure) -> tuple[float, float]:
    """Return slope and intercept from a column's number to steps; every way of reading uses these same two factors."""
    return measure.slope / point.step, measure.intercept / point.step


def bounds(point: Point) -> tuple[float, float]:
    """Return the least and the most steps that a point can show."""
    least, most = point.least / point.step, point.most / point.step
    return least - SLACK * abs(least), most + SLACK * abs(most)
