"""The open hours of a year on the chart of moist air: a square for every cell, as large as it has hours, and who may cool.

Two hatchings would hide one another, so one control is drawn at a time: where it lets outdoor air in, of the hours that
are there.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import dataclass

from ventwright.physics.year.hours import Hours
from ventwright.quantity import HUMIDITY_RATIO, TEMPERATURE, System, show
from ventwright.record.air_chart import (
    AirChart,
    AirPoint,
    Frame,
    FreeCooling,
    draw_air_lines,
    draw_axes,
    draw_region,
)
from ventwright.record.drawing import LINE, Drawing
from ventwright.record.phone_sheet import EDGE, WIDTH, across

CELL, WATER = 2.5 / 0.9, 0.001
"""Size of a cell: 5 °F [K], and water [kg/kg]."""

LARGEST = 9.0
"""Side of the square that stands for the fullest cell. [px]"""

LEAST = 1.2
"""Side below which a square would not be seen. [px]"""

NAME = "hours-chart"


@dataclass(frozen=True, slots=True)
class HoursChart:
    """What is drawn: hours, the control's region, and the pressure of the place. [Pa]"""

    hours: Hours
    region: FreeCooling
    pressure: float
    place: str
    return_air: float
    """[°C]"""


@dataclass(frozen=True, slots=True)
class Cell:
    """One cell of the chart with its hours."""

    dry_bulb: float
    """Its middle. [°C]"""
    humidity_ratio: float
    """[kg/kg]"""
    lasts: float
    """[h]"""
    fit: bool
    """Whether the control lets its air in."""


def cells(chart: HoursChart) -> list[Cell]:
    """Count the hours of every cell; whether they are let in is decided at the cell's mean."""
    counts: defaultdict[tuple[int, int], float] = defaultdict(float)
    for dry, water, lasts in zip(
        chart.hours.dry_bulb, chart.hours.humidity_ratio, chart.hours.lasts, strict=True
    ):
        counts[math.floor(dry / CELL), math.floor(water / WATER)] += lasts
    found = []
    for (column, row), lasts in sorted(counts.items()):
        dry, water = (column + 0.5) * CELL, (row + 0.5) * WATER
        fit = chart.region.holds(AirPoint("", dry, water)) or False
        found.append(Cell(dry, water, lasts, fit))
    return found


def draw_hours(chart: HoursChart, system: System = "us") -> str:
    """Draw the open hours of a year on the chart of moist air.

    Parameters
    ----------
    chart
        Hours and region.
    system
        Units of its axes and words.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.
    """
    found = cells(chart)
    corner = [AirPoint("", one.dry_bulb, one.humidity_ratio) for one in found]
    plain = AirChart(tuple(corner), chart.region, chart.pressure)
    sheet, y = Drawing(), EDGE + LINE
    title = f"Open hours of the year: {chart.place}"
    y = across(sheet, title, y, bold=True)
    frame = Frame(plain, y + 6, system)
    draw_region(sheet, plain, frame)
    draw_air_lines(sheet, frame)
    draw_axes(sheet, frame, system)
    most = max((one.lasts for one in found), default=1.0)
    for one in found:
        _square(sheet, one, most, frame)
    y = frame.plot.bottom + 3 * LINE + 4
    for words in _legend(chart, found, most):
        y = across(sheet, words, y)
    return sheet.written(WIDTH, y, title, said(chart, system), NAME)


def _square(sheet: Drawing, cell: Cell, most: float, frame: Frame) -> None:
    """Draw a square about the middle of a cell, its area as its hours."""
    side = max(LEAST, LARGEST * math.sqrt(cell.lasts / most))
    sheet.square(frame.x(cell.dry_bulb), frame.plot.y(cell.humidity_ratio), side)


def _let_in(found: list[Cell], *, below: float) -> tuple[float, float]:
    """Hours that are let in, of those cooler than return air."""
    cool = [one for one in found if one.dry_bulb < below]
    return sum(one.lasts for one in cool if one.fit), sum(one.lasts for one in cool)


def _legend(chart: HoursChart, found: list[Cell], most: float) -> Iterator[str]:
    let_in, cool = _let_in(found, below=chart.return_air)
    yield f"The largest square: {most:.0f} hours of the year."
    yield f"Hatched: outdoor air may cool where it is {chart.region.words}."
    yield f"{let_in:.0f} of the {cool:.0f} open hours cooler than return air lie there."


def said(chart: HoursChart, system: System) -> str:
    """Say the chart in words: the fullest cells, and how many hours are let in."""
    found = cells(chart)
    fullest = sorted(found, key=lambda one: -one.lasts)[:5]
    where = "; ".join(
        f"{one.lasts:.0f} hours near {show(one.dry_bulb, TEMPERATURE, system)} and {show(one.humidity_ratio, HUMIDITY_RATIO, system)}"
        for one in fullest
    )
    let_in, cool = _let_in(found, below=chart.return_air)
    return (
        f"Outdoor air may cool where it is {chart.region.words}: {let_in:.0f} of the {cool:.0f} open hours cooler than "
        f"return air. Most hours: {where}."
    )
