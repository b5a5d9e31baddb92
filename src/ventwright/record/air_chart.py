"""Moist air as a chart: today's states of air, the line on which they mix, and where outdoor air is fit to cool with.

Narrow enough for a phone, black on white for any printer. Dry bulb runs to the right, the water in the air upward. An
air whose humidity nobody read is a dashed upright line: it lies somewhere on it.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.physics.moist_air import humidity_ratio, humidity_ratio_of_enthalpy
from ventwright.physics.saturation import saturation_pressure
from ventwright.quantity import HUMIDITY_RATIO, TEMPERATURE, System, Unit, show, unit_value
from ventwright.record.curve_plot import Plot, Spot, line_at, ticks
from ventwright.record.drawing import LINE, Drawing
from ventwright.record.phone_sheet import EDGE, SAMPLE, WIDTH, across, beside_sign

LEFT, RIGHT, HEIGHT = 10.0, 44.0, 230.0
"""Room left of the plot, right of it for the water in the air, and its height. [px]"""

COLDEST, WARMEST, MARGIN = 0.0, 38.0, 3.0
"""Dry bulbs that the chart always shows, and the room about an air beyond them. [°C]"""

MOST_WATER = 0.020
"""Water in the air that the chart always reaches to. [kg/kg dry air]"""

HALF = 0.5
"""Relative humidity of the thin line below that of saturated air. [-]"""

NAME = "air-chart"

NOT_READ = "humidity not read"


@dataclass(frozen=True, slots=True)
class AirPoint:
    """One air: what it is called, its dry bulb [°C], and its water [kg/kg dry air], None where nobody read it."""

    name: str
    dry_bulb: float
    humidity_ratio: float | None = None


@dataclass(frozen=True, slots=True)
class FreeCooling:
    """Where outdoor air is fit to cool with: up to a dry bulb [°C], an enthalpy [J/kg], a humidity ratio [kg/kg], or several."""

    words: str
    dry_bulb: float | None = None
    enthalpy: float | None = None
    humidity_ratio: float | None = None

    @property
    def is_known(self) -> bool:
        """Whether anything bounds it."""
        return any(one is not None for one in (self.dry_bulb, self.enthalpy, self.humidity_ratio))

    def most_water(self, dry_bulb: float) -> float | None:
        """Most water with which air of a dry bulb [°C] is fit; None where water does not matter. [kg/kg dry air]"""
        by_heat = [] if self.enthalpy is None else [humidity_ratio_of_enthalpy(self.enthalpy, dry_bulb)]
        return min([*by_heat, *([] if self.humidity_ratio is None else [self.humidity_ratio])], default=None)

    def holds(self, air: AirPoint) -> bool | None:
        """Whether an air lies within; None where its humidity decides and was not read."""
        if not self.is_known:
            return None
        if self.dry_bulb is not None and air.dry_bulb > self.dry_bulb:
            return False
        most = self.most_water(air.dry_bulb)
        if most is None:
            return True
        return None if air.humidity_ratio is None else bool(air.humidity_ratio <= most)


@dataclass(frozen=True, slots=True)
class AirChart:
    """What is drawn. The first two airs mix into the third; ``when`` says of which moment they are."""

    airs: tuple[AirPoint, ...]
    region: FreeCooling
    pressure: float
    when: str = ""


def draw_air_chart(chart: AirChart, system: System = "us") -> str:
    """Draw states of moist air, their mixing line and the region of free cooling.

    Parameters
    ----------
    chart
        The airs (outdoor, return, mixed), the region, and the pressure of the place. [Pa]
    system
        Units of its axes and words.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.

    Raises
    ------
    Refused
        Something to be drawn is no number.
    """
    _refuse_what_is_no_number(chart)
    sheet, y = Drawing(), EDGE + LINE
    title = "Today's air, and where outdoor air can cool"
    y = across(sheet, title, y, bold=True)
    if chart.when:
        y = across(sheet, chart.when, y)
    frame = Frame(chart, y + 6, system)
    draw_region(sheet, chart, frame)
    draw_air_lines(sheet, frame)
    draw_axes(sheet, frame, system)
    _mixing(sheet, chart, frame)
    for number, air in enumerate(chart.airs, start=1):
        _air(sheet, air, number, frame)
    y = _legend(sheet, chart, frame.plot.bottom + 3 * LINE, system)
    return sheet.written(WIDTH, y, title, said(chart, system), NAME)


def rows(chart: AirChart, system: System) -> list[tuple[str, str, str, str]]:
    """Return the chart as a table: air, dry bulb, water in it, and whether it lies where outdoor air can cool."""
    return [
        (air.name, show(air.dry_bulb, TEMPERATURE, system), _water(air, system), _where(chart, air))
        for air in chart.airs
    ]


def said(chart: AirChart, system: System) -> str:
    """Say the chart in words."""
    airs = "; ".join(
        f"{air.name} {show(air.dry_bulb, TEMPERATURE, system)}, {_water(air, system)}" for air in chart.airs
    )
    outdoor = f" Outdoor air: {_where(chart, chart.airs[0])}." if chart.airs else ""
    return f"Outdoor air can cool where it is {chart.region.words}. {airs or 'No air is known yet'}.{outdoor}"


def _water(air: AirPoint, system: System) -> str:
    return NOT_READ if air.humidity_ratio is None else show(air.humidity_ratio, HUMIDITY_RATIO, system)


def _where(chart: AirChart, air: AirPoint) -> str:
    words = {True: "inside the region", False: "outside the region", None: "not told without its humidity"}
    return words[chart.region.holds(air)]


def _refuse_what_is_no_number(chart: AirChart) -> None:
    region = chart.region
    given = [chart.pressure, region.dry_bulb or 0.0, region.enthalpy or 0.0, region.humidity_ratio or 0.0]
    given += [number for air in chart.airs for number in (air.dry_bulb, air.humidity_ratio or 0.0)]
    if not all(map(math.isfinite, given)) or chart.pressure <= 0.0:
        raise Refused(Refusal("cannot be drawn", "finite numbers, and a pressure above nothing", "air chart"))


class Frame:
    """The plot with its ranges: dry bulbs along the sheet, water in the air upward."""

    def __init__(self, chart: AirChart, top: float, system: System) -> None:
        self.temperature: Unit = TEMPERATURE.us if system == "us" else TEMPERATURE.si
        self.water: Unit = HUMIDITY_RATIO.us if system == "us" else HUMIDITY_RATIO.si
        shown = [air.dry_bulb for air in chart.airs]
        self.coldest = min([COLDEST, *(one - MARGIN for one in shown)])
        self.warmest = max([WARMEST, *(one + MARGIN for one in shown)])
        self.pressure = chart.pressure
        most = max([MOST_WATER, *(1.1 * (air.humidity_ratio or 0.0) for air in chart.airs)])
        self.plot = Plot(LEFT, WIDTH - RIGHT, top, top + HEIGHT, 0.0, most, 0.005)

    def x(self, dry_bulb: float) -> float:
        """Place of a dry bulb along the sheet. [px]"""
        return self.plot.x((dry_bulb - self.coldest) / (self.warmest - self.coldest))

    def dry_bulb(self, x: float) -> float:
        """Dry bulb at a place along the sheet. [°C]"""
        part = (x - self.plot.left) / (self.plot.right - self.plot.left)
        return self.coldest + part * (self.warmest - self.coldest)

    def most_water(self, dry_bulb: float, relative_humidity: float = 1.0) -> float:
        """Water of air at a relative humidity. [kg/kg dry air]"""
        return humidity_ratio(relative_humidity * saturation_pressure(dry_bulb), self.pressure)

    def line(self, relative_humidity: float) -> list[Spot]:
        """Spots of air of one relative humidity."""
        return [
            Spot(self.x(one), self.plot.height_of(self.most_water(one, relative_humidity)))
            for one in self.every_degree()
        ]

    def every_degree(self) -> list[float]:
        """Dry bulbs across the sheet, half a degree apart. [°C]"""
        count = max(round(2 * (self.warmest - self.coldest)), 2)
        return [self.coldest + n / count * (self.warmest - self.coldest) for n in range(count + 1)]


def draw_region(sheet: Drawing, chart: AirChart, frame: Frame) -> None:
    """Hatch where outdoor air is fit, and draw its edge."""
    region = chart.region
    if not region.is_known:
        return
    warmest = frame.warmest if region.dry_bulb is None else min(region.dry_bulb, frame.warmest)
    if warmest <= frame.coldest:
        return
    within = [one for one in frame.every_degree() if one < warmest] + [warmest]
    edge = [Spot(frame.x(one), frame.plot.height_of(_ceiling(region, frame, one))) for one in within]
    floor = [Spot(spot.x, frame.plot.bottom) for spot in edge]
    sheet.strokes(frame.plot.hatched(line_at(edge), line_at(floor)), width=0.4)
    upright = [edge[-1], floor[-1]] if region.dry_bulb is not None else []
    sheet.strokes([*frame.plot.clipped(edge), *frame.plot.clipped(upright)], width=1.8)


def _ceiling(region: FreeCooling, frame: Frame, dry_bulb: float) -> float:
    """Most water with which air of a dry bulb is fit; never more than it can hold. [kg/kg dry air]"""
    saturated, most = frame.most_water(dry_bulb), region.most_water(dry_bulb)
    return saturated if most is None else max(0.0, min(saturated, most))


def draw_air_lines(sheet: Drawing, frame: Frame) -> None:
    """Draw saturated air, and air of half its water."""
    sheet.strokes(frame.plot.clipped(frame.line(1.0)), width=1.2)
    sheet.strokes(frame.plot.clipped(frame.line(HALF)), width=0.6, dashes="5 3")
    for share, words in ((1.0, "saturated"), (HALF, "50 %")):
        spots = [spot for spot in frame.line(share) if spot.y >= frame.plot.top + 12]
        sheet.label(spots[-1].x - 6, spots[-1].y, words, anchor="end")


def draw_axes(sheet: Drawing, frame: Frame, system: System) -> None:
    """Draw the edges of the plot with their numbers."""
    plot = frame.plot
    edges = [
        (plot.left, plot.top),
        (plot.right, plot.top),
        (plot.right, plot.bottom),
        (plot.left, plot.bottom),
    ]
    sheet.strokes([[*edges, edges[0]]])
    for degrees, x in _numbers_along(frame, 20.0 if system == "us" else 10.0):
        sheet.strokes([[(x, plot.bottom), (x, plot.bottom + 4)]])
        sheet.text(x, plot.bottom + LINE, f"{degrees:.0f}", anchor="middle")
    most = unit_value(plot.most, frame.water)
    for number in ticks(0.0, most, 40.0 if system == "us" else 5.0):
        y = plot.height_of(number * frame.water.factor)
        sheet.strokes([[(plot.right, y), (plot.right + 4, y)]])
        sheet.text(plot.right + 7, y + 4, f"{number:.0f}")
    words = f"dry bulb, {frame.temperature.names[0]}; right: water, {frame.water.names[0]}"
    sheet.text(EDGE, plot.bottom + 2 * LINE, words)


def _numbers_along(frame: Frame, step: float) -> Iterator[tuple[float, float]]:
    ends = [unit_value(one, frame.temperature) for one in (frame.coldest, frame.warmest)]
    for degrees in ticks(ends[0], ends[1], step):
        yield degrees, frame.x(degrees * frame.temperature.factor + frame.temperature.offset)


def _mixing(sheet: Drawing, chart: AirChart, frame: Frame) -> None:
    """Draw the line on which the first two airs mix; along the lower edge where a humidity is missing."""
    if len(chart.airs) < 2:
        return
    ends = [
        (
            frame.x(air.dry_bulb),
            frame.plot.bottom if air.humidity_ratio is None else frame.plot.y(air.humidity_ratio),
        )
        for air in chart.airs[:2]
    ]
    if any(air.humidity_ratio is None for air in chart.airs[:2]):
        ends = [(x, frame.plot.bottom) for x, _ in ends]
    sheet.strokes([ends], width=2.4)


def _air(sheet: Drawing, air: AirPoint, number: int, frame: Frame) -> None:
    x, plot = frame.x(air.dry_bulb), frame.plot
    if air.humidity_ratio is None:
        top = max(plot.top, plot.height_of(frame.most_water(air.dry_bulb)))
        sheet.strokes([[(x, top), (x, plot.bottom)]], width=1.2, dashes="3 3")
        _numbered(sheet, x, plot.bottom - 14 - 20 * (number - 1), number)
    else:
        _numbered(sheet, x, plot.y(air.humidity_ratio), number)


def _numbered(sheet: Drawing, x: float, y: float, number: int) -> None:
    sheet.ring(x, y, 8.0)
    sheet.text(x, y + 4, str(number), anchor="middle", bold=True)


def _legend(sheet: Drawing, chart: AirChart, y: float, system: System) -> float:
    """Say what the signs mean, from a base line downward; return where the sheet ends."""
    y += 4
    for number, air in enumerate(chart.airs, start=1):
        _numbered(sheet, EDGE + SAMPLE / 2, y - 4, number)
        words = f"{air.name}: {show(air.dry_bulb, TEMPERATURE, system)}, {_water(air, system)}"
        y = _beside(sheet, words, y)
    if len(chart.airs) > 1:
        sheet.strokes([[(EDGE, y - 4), (EDGE + SAMPLE, y - 4)]], width=2.4)
        y = _beside(sheet, "where outdoor and return air mix", y)
    sheet.box(EDGE, y - 10, SAMPLE, 12)
    sheet.strokes([[(EDGE + 7 * n, y + 2), (EDGE + 7 * n + 12, y - 10)] for n in range(3)], width=0.4)
    y = _beside(sheet, f"outdoor air can cool: {chart.region.words}", y)
    if chart.airs:
        y = _beside(sheet, f"Outdoor air now is {_where(chart, chart.airs[0])}.", y, bold=True)
    return y


def _beside(sheet: Drawing, words: str, y: float, *, bold: bool = False) -> float:
    return beside_sign(sheet, words, y, bold=bold) + 3
