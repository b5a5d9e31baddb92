"""Share of outdoor air against damper signal as a log shows it, with the curve of the day it was left behind it."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ventwright.quantity import FRACTION, show
from ventwright.record.curve_plot import Plot, Spot, ticks
from ventwright.record.drawing import LINE, Drawing
from ventwright.record.phone_sheet import EDGE, SAMPLE, WIDTH, across, beside_sign
from ventwright.verdict.trend_findings.shape import ShareLine

LEFT, RIGHT, HEIGHT = 40.0, 12.0, 200.0
"""Room left of the plot for shares, right of it, and its height. [px]"""

SMALLEST, LARGEST = 1.5, 5.0
"""Radius of the ring that stands for the fewest and for the most hours. [px]"""

AS_LEFT = "6 4"
"""Dashes of the curve as left."""

NAME = "share"


def draw_share(unit: str, line: ShareLine, as_left: Sequence[tuple[float, float]]) -> str:
    """Draw the shares of a log by classes of signal, the straight line through them, and the curve as left.

    Parameters
    ----------
    unit
        Name of the unit.
    line
        As found in the data.
    as_left
        Signal and share as they were left; none where nobody measured.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.
    """
    sheet, y = Drawing(), EDGE + LINE
    title = f"{unit}: outdoor air against damper signal"
    y = across(sheet, title, y, bold=True)
    sheet.text(EDGE, y, "outdoor air, % of supply air")
    plot = _plot(line, as_left, y + 8)
    _axes(sheet, plot)
    if as_left:
        curve = [Spot(plot.x(signal), plot.height_of(share)) for signal, share in as_left]
        sheet.strokes(plot.clipped(curve), width=2, dashes=AS_LEFT)
    ends = [
        (one, line.intercept.value + line.slope.value * one) for one in (line.low_signal, line.high_signal)
    ]
    straight = [Spot(plot.x(signal), plot.height_of(share)) for signal, share in ends]
    sheet.strokes(plot.clipped(straight), width=1.2)
    most = max((hours for *_, hours in line.points), default=1.0)
    for signal, share, u, hours in line.points:
        _ring(sheet, plot, (signal, share, u), SMALLEST + (LARGEST - SMALLEST) * math.sqrt(hours / most))
    y = _legend(sheet, plot.bottom + 3.5 * LINE, most, curve=bool(as_left))
    return sheet.written(WIDTH, y, title, said(line, as_left), NAME)


def _plot(line: ShareLine, as_left: Sequence[tuple[float, float]], top: float) -> Plot:
    shares = [one for _, share, u, _ in line.points for one in (share - 2 * u, share + 2 * u)]
    shares += [share for _, share in as_left]
    most = min(1.4, 0.2 * math.ceil(max([0.2, *shares]) / 0.2 - 1e-9))
    least = max(-0.4, 0.2 * math.floor(min([0.0, *shares]) / 0.2 + 1e-9))
    return Plot(LEFT, WIDTH - RIGHT, top, top + HEIGHT, least, most, 0.2)


def _axes(sheet: Drawing, plot: Plot) -> None:
    sheet.box(plot.left, plot.top, plot.right - plot.left, plot.bottom - plot.top)
    for share in ticks(plot.least, plot.most, plot.step):
        y = plot.y(share)
        sheet.strokes([[(plot.left - 4, y), (plot.left, y)]])
        sheet.text(plot.left - 6, y + 4, f"{100 * share:.0f}", anchor="end")
    if plot.least < 0.0:
        sheet.strokes([[(plot.left, plot.y(0.0)), (plot.right, plot.y(0.0))]], width=0.6, dashes="1 3")
    for signal in (0.0, 0.2, 0.4, 0.6, 0.8, 1.0):
        x = plot.x(signal)
        sheet.strokes([[(x, plot.bottom), (x, plot.bottom + 4)]])
        sheet.text(x, plot.bottom + LINE, f"{100 * signal:.0f}", anchor="middle")
    sheet.text((plot.left + plot.right) / 2, plot.bottom + 2 * LINE, "damper signal, %", anchor="middle")


def _ring(sheet: Drawing, plot: Plot, point: tuple[float, float, float], radius: float) -> None:
    """Draw one class of signal with its ±."""
    signal, share, u = point
    spot = plot.spot(signal, share)
    ends = [plot.y(share + sign * 2 * u) for sign in (-1, 1)]
    sheet.strokes([[(spot.x, ends[0]), (spot.x, ends[1])]], width=0.8)
    sheet.ring(spot.x, spot.y, radius)


def _legend(sheet: Drawing, y: float, most: float, *, curve: bool) -> float:
    signs = [("", "line through them")] + ([(AS_LEFT, "curve as it was left")] if curve else [])
    for dashes, words in signs:
        sheet.strokes([[(EDGE, y - 4), (EDGE + SAMPLE, y - 4)]], width=2 if dashes else 1.2, dashes=dashes)
        sheet.text(EDGE + SAMPLE + 8, y, words)
        y += LINE
    sheet.ring(EDGE + SAMPLE / 2, y - 4, LARGEST)
    text = f"a class of signals in the log, the largest of {most:,.0f} h; its ± holds 95 times in 100"
    return beside_sign(sheet, text, y)


def percent(share: float) -> str:
    """Return a share as people say it."""
    return show(share, FRACTION, "us")


def said(line: ShareLine, as_left: Sequence[tuple[float, float]]) -> str:
    """Say the picture in words."""
    parts = [
        f"At {percent(line.low_signal)} signal {line.low_share.show('us')} outdoor air, at {percent(line.high_signal)} {line.high_share.show('us')}."
    ]
    if as_left:
        (first, low), (last, high) = as_left[0], as_left[-1]
        parts.append(
            f"As left: {percent(low)} at {percent(first)} signal, {percent(high)} at {percent(last)}."
        )
    return " ".join(parts)
