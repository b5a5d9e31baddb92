"""The wiring as a drawing: board on the left, adapters, kit on the right; prints in black and white.

A wire that lands where it belongs is a thin line, a wrong one a heavy dashed line; colours are written on the wires.
The wire that is landed just now may be marked: heavy, from end to end.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ventwright.plan.concerns import Weight
from ventwright.plan.wiring import WiringPlan
from ventwright.plan.wiring.landing import Landing
from ventwright.plan.wiring.view import CavityView, EndView, JointView, LaneView, PartView, WireView
from ventwright.record.drawing import LINE, Drawing, short, width_of, wrapped

MARGIN = 24.0
ROW = 20.0
GAP = 90.0
"""Room between two parts, for the contacts."""

STUB, CROSSING = 160.0, 70.0
"""Within an adapter: how far a wire runs straight, its colour written on it, and where the wires cross."""

SOCKET = 34.0
"""Width of the box with a cavity's number."""

LEAST_WIDTH = 620.0
ROW_WIDTH = 360.0
"""Widest text in a row of the kit or the board; what is longer is cut."""

SHORT_MARK = 4
"""Letters of a mark that fit in the box of a cavity."""

NAME = "wiring"

Marks = frozenset[tuple[str, str]]
"""Where the wire of the present step goes: name of an end, or of an adapter and its side, with the cavity there."""

Rows = Mapping[int, float]
"""Height at which each cavity of an end stands."""


@dataclass(frozen=True, slots=True)
class _Column:
    """One part: its left edge, its width, and the lines of its name."""

    x: float
    width: float
    name: tuple[str, ...]


def draw_wiring(plan: WiringPlan, kit_name: str, present: Landing | None = None) -> str:
    """Draw the wiring of a kit and a unit's board.

    Parameters
    ----------
    plan, kit_name
        The wiring, and what the kit is called.
    present
        The wire that is landed just now, to be marked.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.
    """
    drawing = Drawing()
    title = f"Wiring: {kit_name} to {plan.board_name}"
    columns = _columns(plan, kit_name)
    width = max(LEAST_WIDTH, columns[-1].x + columns[-1].width + MARGIN if columns else 0.0)
    y = _lines(drawing, title, MARGIN + LINE, width, bold=True)
    y = _lines(drawing, f"{plan.state.value.upper()}: {plan.sentence.show('us')}", y, width) + LINE / 2
    for lane in plan.lanes:
        y = _lane(drawing, lane, columns, y, _marks(present)) + ROW
    for heading, notes in _notes(plan):
        y = _lines(drawing, heading, y, width, bold=True)
        for note in notes:
            y = _lines(drawing, note, y, width)
        y += LINE / 2
    return drawing.written(width, y + MARGIN, title, _description(plan), NAME)


def _lines(drawing: Drawing, words: str, y: float, width: float, *, bold: bool = False) -> float:
    """Write text over the width of the sheet and return where the next may stand."""
    return drawing.lines(MARGIN, y, words, width - 2 * MARGIN, bold=bold)


def _row_text(cavity: CavityView) -> str:
    """What stands in a row of the kit or the board."""
    mark = "" if cavity.label == str(cavity.cavity) else f"{cavity.label}: "
    colour = f" ({cavity.colour})" if cavity.colour else ""
    return short(f"{mark}{cavity.function}{colour}", ROW_WIDTH)


def _box_text(cavity: CavityView, end: EndView) -> str:
    """What stands in the box of a cavity: its number; at a screw terminal its mark, for a wire that lands there the word."""
    if end.described != "screw terminals":
        return str(cavity.cavity)
    return cavity.label if len(cavity.label) <= SHORT_MARK else "wire"


def _side_width(ends: list[EndView], title: str) -> float:
    """Width of the kit or the board: its widest row, or its name broken into lines."""
    rows = [width_of(_row_text(cavity)) for end in ends for cavity in end.cavities]
    return max([170.0, min(width_of(title), 200.0), *rows]) + SOCKET + 16


def _columns(plan: WiringPlan, kit_name: str) -> list[_Column]:
    """Place the columns: the board, as many adapters as the longest lane has, the kit."""
    if not plan.lanes:
        return []
    deepest = max(len(lane.parts) for lane in plan.lanes)
    widths = [_side_width([lane.board for lane in plan.lanes if lane.board], plan.board_name)]
    widths += [STUB + CROSSING + 2 * SOCKET] * deepest
    widths.append(_side_width([lane.kit for lane in plan.lanes], kit_name))
    names = [plan.board_name, *([""] * deepest), kit_name]
    found, x = [], MARGIN
    for width, name in zip(widths, names, strict=True):
        found.append(_Column(x, width, tuple(wrapped(name, width - 8)) if name else ()))
        x += width + GAP
    return found


def _marks(present: Landing | None) -> Marks:
    """Say which cavities the wire of the present step touches."""
    if present is None:
        return frozenset()
    ends = {(present.kit_end, present.kit_cavity), (present.board_end, present.board_cavity)}
    hops = {
        (f"{hop.part}, {side}", cavity)
        for hop in present.way
        for side, cavity in (("in", hop.enters), ("out", hop.leaves))
    }
    return frozenset(ends | hops)


def _lane(drawing: Drawing, lane: LaneView, columns: list[_Column], top: float, marks: Marks) -> float:
    """Draw one lane and return where it ends. Adapters stand next to the kit; a short lane has a long way to the board."""
    parts = list(zip(lane.parts, columns[-2::-1], strict=False))
    heads = {id(column): [*wrapped(part.name, column.width - 8)] for part, column in parts}
    above = [len(lines) + part.turned for part, lines in zip(lane.parts, heads.values(), strict=True)]
    above += [len(column.name) + len(_connector_lines(end, column.width))
              for end, column in ((lane.board, columns[0]), (lane.kit, columns[-1])) if end is not None]  # fmt: skip
    first_row = top + (max(above) + 1) * LINE + 12
    bottom = first_row
    ends: list[tuple[float, Rows]] = []
    kit = columns[-1]
    rows = _end(drawing, lane.kit, kit, list(kit.name), top, first_row, marks, left=True)
    ends.append((kit.x, rows))
    bottom = max([bottom, *rows.values()])
    for part, column in parts:
        near, far = _part(drawing, part, column, heads[id(column)], top, first_row, marks)
        ends += [(column.x + column.width, near), (column.x, far)]
        bottom = max([bottom, *near.values(), *far.values()])
    if lane.board is not None:
        rows = _end(drawing, lane.board, columns[0], list(columns[0].name), top, first_row, marks, left=False)
        ends.append((columns[0].x + columns[0].width, rows))
        bottom = max([bottom, *rows.values()])
    for number, joint in enumerate(lane.joints):
        _joint(drawing, joint, ends[2 * number], ends[2 * number + 1], first_row)
    if lane.board is None:
        drawing.text(columns[0].x, first_row + 4, "left open: nothing needs it")
    return bottom + ROW


def _end(
    drawing: Drawing, end: EndView, column: _Column, name: list[str], top: float, first_row: float, marks: Marks, *, left: bool
) -> Rows:  # fmt: skip
    """Draw a connector of the kit or the board; ``left`` has its cavities at the left edge."""
    rows = {cavity.cavity: first_row + number * ROW for number, cavity in enumerate(end.cavities)}
    height = max([first_row, *rows.values()]) + ROW - top
    drawing.box(column.x, top, column.width, height, heavy=True)
    _head(drawing, column.x + column.width / 2, top, name, end, column.width)
    for cavity in end.cavities:
        y = rows[cavity.cavity]
        x = column.x if left else column.x + column.width - SOCKET
        now = (end.name, cavity.label) in marks
        drawing.box(x, y - ROW / 2 + 1, SOCKET, ROW - 2, heavy=now)
        drawing.text(x + SOCKET / 2, y + 4, _box_text(cavity, end), anchor="middle", bold=now)
        text = _row_text(cavity)
        drawing.text(column.x + SOCKET + 6 if left else column.x + 8, y + 4, text, bold=now)
    return rows


def _head(
    drawing: Drawing, middle: float, top: float, name: list[str], end: EndView | None, width: float
) -> None:
    """Write the name of a part and of its connector above the cavities."""
    for number, line in enumerate(name, start=1):
        drawing.text(middle, top + number * LINE, line, anchor="middle", bold=True)
    if end is not None:
        for number, line in enumerate(_connector_lines(end, width), start=len(name) + 1):
            drawing.text(middle, top + number * LINE, line, anchor="middle")


def _connector_lines(end: EndView, width: float) -> list[str]:
    return wrapped(f"{end.name}, {end.described}", width - 8)


def _part(
    drawing: Drawing,
    part: PartView,
    column: _Column,
    name: list[str],
    top: float,
    first_row: float,
    marks: Marks,
) -> tuple[Rows, Rows]:
    """Draw an adapter with its wires: the end toward the kit at its right edge, the one toward the unit at its left."""
    near = {one.cavity: first_row + number * ROW for number, one in enumerate(part.kit_side.cavities)}
    far = {one.cavity: first_row + number * ROW for number, one in enumerate(part.unit_side.cavities)}
    height = max([first_row, *near.values(), *far.values()]) + ROW - top
    drawing.box(column.x, top, column.width, height, heavy=True)
    _head(drawing, column.x + column.width / 2, top, name, None, column.width)
    if part.turned:
        drawing.text(
            column.x + column.width / 2, top + (len(name) + 1) * LINE, "turned round", anchor="middle"
        )
    right, left = column.x + column.width - SOCKET, column.x + SOCKET
    for wire in part.wires:
        _wire(
            drawing,
            wire,
            (right, near),
            (left, far),
            now=(f"{part.name}, in", str(wire.from_cavity)) in marks,
        )
    for x, rows, side in ((right, near, "in"), (column.x, far, "out")):
        for cavity, y in rows.items():
            now = (f"{part.name}, {side}", str(cavity)) in marks
            drawing.box(x, y - ROW / 2 + 1, SOCKET, ROW - 2, heavy=now)
            drawing.text(x + SOCKET / 2, y + 4, str(cavity), anchor="middle", bold=now)
    return near, far


def _wire(
    drawing: Drawing, wire: WireView, near: tuple[float, Rows], far: tuple[float, Rows], *, now: bool
) -> None:
    """Draw a wire through an adapter, or a loop at one of its ends, its colour written on it.

    The colour stands where the wire leaves the end toward the kit, before any wire crosses another.
    """
    words = short(wire.colour, STUB - 30) + ("" if wire.right else " !")
    (right, here), (left, there) = near, far
    if wire.loop:
        x, rows, turn = (right, here, -18.0) if wire.loop == "kit side" else (left, there, 18.0)
        start, stop = rows[wire.from_cavity], rows[wire.to_cavity]
        points = [(x, start), (x + turn, start), (x + turn, stop), (x, stop)]
        drawing.line(points, wrong=not wire.right)
        drawing.text(x + turn * 1.3, (start + stop) / 2 + 4, words, anchor="start" if turn > 0 else "end")
        return
    start, stop = here[wire.from_cavity], there[wire.to_cavity]
    points = [(right, start), (right - STUB, start), (left + 8, stop), (left, stop)]
    drawing.line(points, wrong=not wire.right)
    if now:
        drawing.strokes([points], width=4)
    drawing.label(right - STUB / 2, start, words)


def _joint(
    drawing: Drawing, joint: JointView, near: tuple[float, Rows], far: tuple[float, Rows], first_row: float
) -> None:
    """Draw where two connectors meet: the cavities that touch, or that they do not go together."""
    (right, here), (left, there) = near, far
    middle = (right + left) / 2
    if not joint.fits:
        drawing.line(
            [(middle, first_row - ROW), (middle, max([first_row, *here.values(), *there.values()]))],
            wrong=True,
        )
        drawing.label(middle, first_row - ROW - 8, "no fit")
        return
    for contact in joint.contacts:
        start, stop = here[contact.from_cavity], there[contact.to_cavity]
        drawing.line(
            [(right, start), (right - 8, start), (left + 8, stop), (left, stop)], wrong=not contact.right
        )
    if joint.by_hand:
        drawing.label(middle, first_row - ROW, "by hand")


def _notes(plan: WiringPlan) -> list[tuple[str, list[str]]]:
    """What stands below the drawing: what is wrong, what to know, what to do before power, how to read it."""
    wrong = [f"- {one.sentence.show('us')}" for one in plan.findings if one.weight is Weight.CONFLICT]
    known = [
        f"- {one.sentence.show('us')}"
        for one in plan.findings
        if one.weight is Weight.ADVICE and one.name != "wiring.live_spare"
    ]
    before = [f"{number}. {one.do.show('us')}" for number, one in enumerate(plan.before_power, start=1)]
    restore = [f"- {one.show('us')}" for one in plan.restore]
    legend = [
        "thin line: nothing wrong with it; heavy dashed line with !: wrong; the word on a wire is its colour, which names nothing"
    ]
    helps = [f"- {plan.remedy.show('us')}"] if plan.remedy and plan.remedy.text else []
    listed = [("Wrong", wrong), ("What would help", helps), ("To know", known), ("Before power", before),
              ("Mechanical cooling comes back by", restore), ("To read this", legend)]  # fmt: skip
    return [(heading, notes) for heading, notes in listed if notes]


def _description(plan: WiringPlan) -> str:
    """Say the drawing in words: every wire of the kit and where it lands."""
    said = [f"{plan.state.value}: {plan.sentence.show('us')}."]
    for one in plan.landings:
        way = "".join(
            f", through {hop.part} {hop.enters} to {hop.leaves} ({hop.colour or 'no colour'})"
            for hop in one.way
        )
        end = f"{one.board_end} {one.board_cavity} ({one.board_function})" if one.board_end else "nowhere"
        said.append(
            f"{one.function}, {one.kit_end} {one.kit_cavity} ({one.kit_colour or 'no colour'}){way}, lands on {end}: {one.standing}."
        )
    return " ".join(said)
