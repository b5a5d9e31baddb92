"""Outdoor air required and delivered, as a drawing: one row a fan speed, what is accepted as a box, what was read with its ±."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.quantity import AIRFLOW, System, show
from ventwright.record.curve_plot import ticks
from ventwright.record.drawing import LINE, Drawing
from ventwright.record.phone_sheet import EDGE, SAMPLE, WIDTH, across

ROW, BOX = 62.0, 26.0
"""Height of one fan speed, and of the box in it. [px]"""

NAME = "delivered-air"

NOTHING_READ = "not read yet"


@dataclass(frozen=True, slots=True)
class DeliveredAir:
    """One fan speed: outdoor air as read with its standard uncertainty [m3/s], None where nothing is read, and its result in words."""

    speed: str
    result: str
    outdoor_air: float | None = None
    outdoor_air_u: float | None = None


def draw_delivered(
    speeds: Sequence[DeliveredAir], required: float, tolerance: float, system: System = "us"
) -> str:
    """Draw the outdoor air that each fan speed brings in beside what is required.

    Parameters
    ----------
    speeds
        In the order in which they are shown.
    required
        Outdoor airflow required. [m3/s]
    tolerance
        Accepted departure from it, as a share of it. [-]
    system
        Units of the airflows.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.

    Raises
    ------
    Refused
        There is no fan speed, or something to be drawn is no number.
    """
    numbers = [required, tolerance]
    numbers += [number for one in speeds for number in (one.outdoor_air or 0.0, one.outdoor_air_u or 0.0)]
    if not speeds or required <= 0.0 or not all(map(math.isfinite, numbers)):
        accepted = "one fan speed or more, an airflow above nothing, finite numbers"
        raise Refused(Refusal("cannot be drawn", accepted, "required and delivered air"))
    ends = [required * (1 - tolerance), required * (1 + tolerance)]
    highest = max([1.5 * ends[1], *(1.08 * _end(one, 1.0) for one in speeds)])
    sheet, y = Drawing(), EDGE + LINE
    title = f"Outdoor air: {show(required, AIRFLOW, system)} required"
    y = across(sheet, title, y, bold=True)
    scale = _Scale(highest)
    for one in speeds:
        _row(sheet, one, scale, ends, y, system)
        y += ROW
    y = _axis(sheet, scale, y, system)
    y = _legend(sheet, y)
    said = "; ".join(_said(one, system) for one in speeds)
    band = " to ".join(show(end, AIRFLOW, system) for end in ends)
    return sheet.written(WIDTH, y, title, f"Accepted: {band}. {said}.", NAME)


class _Scale:
    """From an airflow to its place along the sheet."""

    def __init__(self, highest: float) -> None:
        self.highest = highest

    def x(self, airflow: float) -> float:
        part = min(max(airflow / self.highest, 0.0), 1.0)
        return EDGE + 4 + part * (WIDTH - 2 * EDGE - 8)


def _end(one: DeliveredAir, sign: float) -> float:
    """Where the ± of a reading ends; nothing where nothing was read. [m3/s]"""
    return (one.outdoor_air or 0.0) + sign * 2 * (one.outdoor_air_u or 0.0)


def _said(one: DeliveredAir, system: System) -> str:
    read = NOTHING_READ
    if one.outdoor_air is not None:
        read = show(one.outdoor_air, AIRFLOW, system, one.outdoor_air_u)
    return f"Fan {one.speed}: {read}, {one.result}"


def _row(
    sheet: Drawing, one: DeliveredAir, scale: _Scale, ends: Sequence[float], y: float, system: System
) -> None:
    sheet.text(EDGE, y + 4, _said(one, system))
    top = y + 12
    low, high = (scale.x(end) for end in ends)
    sheet.strokes([[(scale.x(0.0), top + BOX / 2), (scale.x(scale.highest), top + BOX / 2)]], width=0.5)
    sheet.box(low, top, high - low, BOX)
    starts = range(round(low), round(high - BOX / 2) + 1, 7)
    sheet.strokes([[(x, top + BOX), (x + BOX / 2, top)] for x in starts], width=0.4)
    if one.outdoor_air is None:
        return
    middle = top + BOX / 2
    left, right = scale.x(_end(one, -1.0)), scale.x(_end(one, 1.0))
    caps = [[(x, middle - 6), (x, middle + 6)] for x in (left, right)]
    sheet.strokes([[(left, middle), (right, middle)], *caps], width=2)
    sheet.ring(scale.x(one.outdoor_air), middle, 5)


def _axis(sheet: Drawing, scale: _Scale, y: float, system: System) -> float:
    unit = AIRFLOW.us if system == "us" else AIRFLOW.si
    full = scale.highest / unit.factor
    size = 10.0 ** math.floor(math.log10(full / 4))
    step = next(size * round_ for round_ in (1, 2, 5, 10) if full / (size * round_) <= 5)
    sheet.strokes([[(scale.x(0.0), y), (scale.x(scale.highest), y)]])
    for number in ticks(0.0, full, step):
        x = scale.x(number * unit.factor)
        sheet.strokes([[(x, y), (x, y + 4)]])
        sheet.text(x, y + LINE + 2, f"{number:.0f}", anchor="middle" if number else "start")
    sheet.text(WIDTH - EDGE, y + 2 * LINE + 2, f"outdoor air, {unit.names[0]}", anchor="end")
    return y + 3 * LINE + 6


def _legend(sheet: Drawing, y: float) -> float:
    sheet.box(EDGE, y - 10, SAMPLE, 12)
    sheet.strokes([[(EDGE + 7 * n, y + 2), (EDGE + 7 * n + 12, y - 10)] for n in range(3)], width=0.4)
    sheet.text(EDGE + SAMPLE + 8, y, "required, with what is accepted")
    y += LINE + 6
    sheet.strokes([[(EDGE, y - 4), (EDGE + SAMPLE, y - 4)]], width=2)
    sheet.ring(EDGE + SAMPLE / 2, y - 4, 5)
    sheet.text(EDGE + SAMPLE + 8, y, "read; its ± holds 95 in 100")
    return y + LINE
