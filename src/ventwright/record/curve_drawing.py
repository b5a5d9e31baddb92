"""Outdoor-air share against damper signal as a drawing: one panel a fan speed, readings with their ±, what is needed.

Narrow enough for a phone, black on white for any printer: each speed has a line of its own, the band is hatched, and
whatever has a meaning has it in words too.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.quantity import AIRFLOW, FRACTION, System, show
from ventwright.record.curve_legend import draw_legend
from ventwright.record.curve_plot import Plot, Spot, line_at, ticks
from ventwright.record.drawing import LINE, Drawing, short, width_of
from ventwright.record.phone_sheet import EDGE, SAMPLE, WIDTH, across, beside_sign

LEFT, RIGHT, HEIGHT = 40.0, 12.0, 190.0
"""Room left of a plot for shares, right of it, airflows aside, and its height. [px]"""

LINES = ("", "9 4", "9 3 2 3", "2 3")
"""Dashes of the curve, speed by speed."""

NAME = "curve"

BEYOND = 1e6
"""No share, and no airflow in m3/s, is as large."""

NOTHING_READ = "nothing read yet"
NO_OTHER = "; only what units like it do"


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """One reading: the signal held, the share of outdoor air it showed, and its standard uncertainty. [-]"""

    signal: float
    share: float
    share_u: float


@dataclass(frozen=True, slots=True)
class BandPoint:
    """One point of the curve: the likely share at a signal, and the ends between which it lies 95 times in 100. [-]"""

    signal: float
    share: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Mark:
    """A signal that means something, with the word for it, such as "as left" or "set today". [-]"""

    signal: float
    label: str = ""


@dataclass(frozen=True, slots=True)
class CurvePanel:
    """What is drawn of one fan speed: the share it needs with its tolerance, and what is known.

    With the supply airflow the right-hand axis shows airflows. [m3/s]
    """

    speed: str
    target: float
    tolerance: float
    points: tuple[CurvePoint, ...] = ()
    curve: tuple[BandPoint, ...] = ()
    marks: tuple[Mark, ...] = ()
    supply_air: float | None = None


def draw_curve(panels: Sequence[CurvePanel], system: System = "us") -> str:
    """Draw the share of outdoor air against the damper signal, a panel for each fan speed below one another.

    Parameters
    ----------
    panels
        The fan speeds of a job, in the order in which they are shown.
    system
        Units of the airflows.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.

    Raises
    ------
    Refused
        There is no fan speed, something to be drawn is no number, or a supply airflow is not above nothing.
    """
    if not panels:
        raise Refused(Refusal("has no fan speed to show", "one panel or more", "a curve"))
    for panel in panels:
        _refuse_what_is_no_number(panel)
    drawing, y = Drawing(), EDGE + LINE
    for number, panel in enumerate(panels):
        y = _panel(drawing, panel, LINES[number % len(LINES)], y, system)
    signs = [
        *(["curve", "band"] if any(panel.curve for panel in panels) else []),
        *(["reading"] if any(panel.points for panel in panels) else []),
        "needed",
    ]
    y = draw_legend(drawing, signs, y)
    title = "Outdoor air against damper signal"
    said = " ".join(_said(panel, system) for panel in panels)
    return drawing.written(WIDTH, y, title, said, NAME)


def _refuse_what_is_no_number(panel: CurvePanel) -> None:
    given = [
        panel.target, panel.tolerance, panel.supply_air or 0.0,
        *(one for point in panel.points for one in (point.signal, point.share, point.share_u)),
        *(one for point in panel.curve for one in (point.signal, point.share, point.low, point.high)),
        *(mark.signal for mark in panel.marks),
    ]  # fmt: skip
    if not all(abs(one) < BEYOND for one in given):
        raise Refused(Refusal("cannot be drawn: not every value is a share", "finite numbers", panel.speed))
    if panel.supply_air is not None and panel.supply_air <= 0.0:
        accepted = "more than nothing, or None for a plot without airflows"
        raise Refused(Refusal("is no supply airflow", accepted, panel.speed, f"{panel.supply_air:g} m3/s"))


def _percent(share: float) -> str:
    return show(share, FRACTION, "us")


def _panel(drawing: Drawing, panel: CurvePanel, dashes: str, y: float, system: System) -> float:
    """Draw one fan speed from a height downward and return where it ends."""
    drawing.strokes([[(EDGE, y - 4), (EDGE + SAMPLE, y - 4)]], width=2, dashes=dashes)
    y = beside_sign(drawing, _head(panel, system), y, bold=True)
    y = across(drawing, _accepted(panel), y)
    if not panel.points:
        drawing.text(EDGE, y, NOTHING_READ + (NO_OTHER if panel.curve else ""), bold=True)
        y += LINE
    drawing.text(EDGE, y, "outdoor air, % of supply air")
    if panel.supply_air:
        drawing.text(WIDTH - EDGE, y, _flow_unit(system), anchor="end")
    marks = sorted(panel.marks, key=lambda mark: mark.signal)
    rows = {mark: y + 4 + LINE * (number + 1) for number, mark in enumerate(marks)}
    plot = _plot(panel, y + 10 + LINE * len(marks), system)
    _axes(drawing, panel, plot, system)
    _band(drawing, panel, plot, dashes)
    for mark in marks:
        x = plot.x(mark.signal)
        drawing.strokes([[(x, rows[mark] - 8), (x, plot.bottom)]], width=0.8, dashes="3 3")
        drawing.shape([(x - 5, plot.bottom), (x + 5, plot.bottom), (x, plot.bottom - 8)])
    for mark in marks:
        _label(drawing, f"{mark.label} {_percent(mark.signal)}".strip(), plot.x(mark.signal), rows[mark])
    for point in panel.points:
        _reading(drawing, point, plot)
    return plot.bottom + 4 * LINE


def _head(panel: CurvePanel, system: System) -> str:
    flow = f", {show(panel.target * panel.supply_air, AIRFLOW, system)}" if panel.supply_air else ""
    return f"Fan {panel.speed}: needs {_percent(panel.target)}{flow}"


def _accepted(panel: CurvePanel) -> str:
    if panel.target > 1.0:
        return "no signal can bring more than 100 %"
    low, high = (_percent(panel.target * (1 + sign * panel.tolerance)) for sign in (-1, 1))
    return f"accepted: {low} to {high}"


def _flow_unit(system: System) -> str:
    return (AIRFLOW.us if system == "us" else AIRFLOW.si).names[0]


def _bare_flow(airflow: float, system: System) -> str:
    return show(airflow, AIRFLOW, system).split()[0]


def _plot(panel: CurvePanel, top: float, system: System) -> Plot:
    """Choose what shares the plot shows: enough room about what is needed and what was read, and no more."""
    highest = max(
        [
            2.2 * panel.target * (1 + panel.tolerance),
            0.2,
            *(point.share + 2 * point.share_u for point in panel.points),
        ]
    )
    lowest = min([0.0, *(point.share for point in panel.points)])
    step = 0.05 if highest <= 0.3 else 0.1 if highest <= 0.7 else 0.2
    most = 1.2 if max(panel.target, *(point.share for point in panel.points), 0.0) > 1.0 else 1.0
    most = min(most, step * math.ceil(highest / step))
    widest = width_of(_bare_flow(most * panel.supply_air, system)) if panel.supply_air else 0.0
    return Plot(
        left=LEFT,
        right=WIDTH - RIGHT - widest,
        top=top,
        bottom=top + HEIGHT,
        least=max(-0.2, step * math.floor(lowest / step)),
        most=most,
        step=step,
    )


def _axes(drawing: Drawing, panel: CurvePanel, plot: Plot, system: System) -> None:
    """Draw the frame, the numbers along it, and what is needed across it."""
    drawing.box(plot.left, plot.top, plot.right - plot.left, plot.bottom - plot.top)
    needed = plot.spot(0.0, panel.target)
    own = needed.y if needed.inside else None
    shares = [(plot.y(share), f"{100 * share:.0f}") for share in ticks(plot.least, plot.most, plot.step)]
    _numbers(drawing, shares, plot.left, "end", own)
    if own is not None:
        drawing.text(
            plot.left - 5, own + 4, _percent(panel.target).removesuffix(" %"), anchor="end", bold=True
        )
        drawing.strokes([[(plot.left - 4, own), (plot.right + 4, own)]])
    ends = [plot.spot(0.0, panel.target * (1 + sign * panel.tolerance)) for sign in (-1, 1)]
    drawing.strokes(
        [[(plot.left, end.y), (plot.right, end.y)] for end in ends if end.inside], width=0.8, dashes="1 3"
    )
    if panel.supply_air:
        _flows(drawing, panel.supply_air, panel.target, plot, system)
    for signal in (0.0, 0.2, 0.4, 0.6, 0.8, 1.0):
        x = plot.x(signal)
        drawing.strokes([[(x, plot.bottom), (x, plot.bottom + 4)]])
        drawing.text(x, plot.bottom + LINE, f"{100 * signal:.0f}", anchor="middle")
    middle = (plot.left + plot.right) / 2
    drawing.text(middle, plot.bottom + 2 * LINE, "damper signal, %", anchor="middle")


def _numbers(
    drawing: Drawing, labels: Iterable[tuple[float, str]], x: float, anchor: str, own: float | None
) -> None:
    """Write numbers along an upright axis, those aside that would lie on what is needed."""
    out = -4.0 if anchor == "end" else 4.0
    for y, words in labels:
        if own is None or abs(y - own) > LINE - 3:
            drawing.strokes([[(x, y), (x + out, y)]])
            drawing.text(x + 1.25 * out, y + 4, words, anchor=anchor)


def _flows(drawing: Drawing, supply_air: float, target: float, plot: Plot, system: System) -> None:
    """Write airflows along the right-hand axis, at round figures of the reader's unit."""
    unit = (AIRFLOW.us if system == "us" else AIRFLOW.si).factor
    full = plot.most * supply_air / unit
    size = 10.0 ** math.floor(math.log10(full / 3))
    step = next(size * round_ for round_ in (1, 2, 5, 10) if full / (size * round_) <= 6)
    needed = plot.spot(0.0, target)
    labels = [
        (plot.y(flow * unit / supply_air), _bare_flow(flow * unit, system)) for flow in ticks(0.0, full, step)
    ]
    _numbers(drawing, labels, plot.right, "start", needed.y if needed.inside else None)
    if needed.inside:
        drawing.text(plot.right + 5, needed.y + 4, _bare_flow(target * supply_air, system), bold=True)


def _band(drawing: Drawing, panel: CurvePanel, plot: Plot, dashes: str) -> None:
    """Draw the curve and hatch the band about it."""
    curve = sorted(panel.curve, key=lambda point: point.signal)
    if not curve:
        return
    low = [Spot(plot.x(point.signal), plot.height_of(point.low)) for point in curve]
    high = [Spot(plot.x(point.signal), plot.height_of(point.high)) for point in curve]
    drawing.strokes(plot.hatched(line_at(high), line_at(low)), width=0.4)
    for edge in (low, high):
        drawing.strokes(plot.clipped(edge), width=0.6)
    likely = [Spot(plot.x(point.signal), plot.height_of(point.share)) for point in curve]
    drawing.strokes(plot.clipped(likely), width=2, dashes=dashes)


def _label(drawing: Drawing, words: str, x: float, y: float) -> None:
    """Write what a signal is, beside its line, on white so that no other line strikes it through."""
    shown = short(words, WIDTH - 2 * EDGE)
    long = width_of(shown)
    if x + 4 + long <= WIDTH - EDGE:
        drawing.label(x + 4, y - 4, shown, anchor="start")
    else:
        drawing.label(max(x - 4, EDGE + long), y - 4, shown, anchor="end")


def _reading(drawing: Drawing, point: CurvePoint, plot: Plot) -> None:
    """Draw a reading with its ±; one beyond the plot as an arrow with its number."""
    spot = plot.spot(point.signal, point.share)
    ends = [plot.spot(point.signal, point.share + sign * 2 * point.share_u).y for sign in (-1, 1)]
    caps = [[(spot.x - 4, end), (spot.x + 4, end)] for end in ends]
    drawing.strokes([[(spot.x, ends[0]), (spot.x, ends[1])], *caps], width=1.2)
    if spot.inside:
        drawing.ring(spot.x, spot.y, 3.5)
        return
    back = 9.0 if spot.y <= plot.top else -9.0
    drawing.shape([(spot.x - 5, spot.y + back), (spot.x + 5, spot.y + back), (spot.x, spot.y)])
    _label(drawing, _percent(point.share), spot.x + 4, spot.y + back + 4)


def _said(panel: CurvePanel, system: System) -> str:
    """One fan speed in words."""
    read = [
        f"at {_percent(point.signal)} signal {show(point.share, FRACTION, system, point.share_u)}"
        for point in panel.points
    ]
    marked = [f"{mark.label} at {_percent(mark.signal)} signal" for mark in panel.marks]
    found = f"read: {'; '.join(read)}" if read else NOTHING_READ
    return f"{_head(panel, system)}; {'; '.join([_accepted(panel), found, *marked])}."
