"""One wire of the kit from end to end, drawn downwards, so that it is read on a phone: kit, adapters, board."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.plan.wiring.landing import Landing
from ventwright.record.drawing import LINE, Drawing, short, wrapped

WIDTH = 330.0
SIDE = 8.0
"""Between the edge of the sheet and the parts."""
IN = SIDE + 6.0
"""Left edge of the boxes in a part."""
SOCKET = 46.0
"""Width of the box with a cavity's number."""
ROW = 26.0
WIRE = 34.0
"""From one part to the next, the wire's colour written on it."""
LETTERS = 13.0
"""Size of the letters: those of a sheet seen at arm's length on a phone."""
SHORT_MARK = 4
"""Letters of a mark that fit in its box."""
NAME = "landing"


@dataclass(frozen=True, slots=True)
class _Part:
    """What the wire passes: its name, and each cavity there with what it carries."""

    name: str
    cavities: tuple[tuple[str, str], ...]
    colour: str
    """Of the wire that goes on from there."""


def draw_landing(landing: Landing, kit_name: str, board_name: str) -> str:
    """Draw the way of one wire.

    Parameters
    ----------
    landing, kit_name, board_name
        The wire, and what its two ends belong to.

    Returns
    -------
    str
        An SVG document 330 pixels wide: black on white, with a title and a description, without scripts.
    """
    drawing, y, middle = Drawing(), SIDE, IN + SOCKET / 2
    wrong = landing.standing == "wrong"
    parts = _parts(landing, kit_name, board_name)
    for number, part in enumerate(parts):
        if number:
            before = parts[number - 1]
            drawing.line([(middle, y), (middle, y + WIRE)], wrong=wrong)
            drawing.text(middle + 12, y + WIRE / 2 + 5, before.colour, size=LETTERS)
            y += WIRE
        y = _draw(drawing, part, y)
    if not landing.board_end:
        drawing.line([(middle, y), (middle, y + WIRE)], wrong=True)
        drawing.text(middle + 12, y + WIRE / 2 + 5, f"lands nowhere: {landing.standing}", size=LETTERS)
        y += WIRE
    title = f"{landing.function}, from the kit to the unit"
    return drawing.written(WIDTH, y + SIDE, title, _said(parts, landing), NAME)


def _parts(landing: Landing, kit_name: str, board_name: str) -> list[_Part]:
    kit = _Part(
        f"{kit_name}, {landing.kit_end}", ((landing.kit_cavity, landing.function),), landing.kit_colour
    )
    hops = [_Part(hop.part, ((hop.enters, "in"), (hop.leaves, "out")), hop.colour) for hop in landing.way]
    if not landing.board_end:
        return [kit, *hops]
    into = ((landing.board_cavity, landing.board_function),)
    return [kit, *hops, _Part(f"{board_name}, {landing.board_end}", into, landing.board_colour)]


def _draw(drawing: Drawing, part: _Part, top: float) -> float:
    """Draw one part and return where it ends."""
    width = WIDTH - 2 * SIDE
    lines = wrapped(part.name, (width - 12) * 11.0 / LETTERS)
    height = len(lines) * (LINE + 2) + len(part.cavities) * ROW + 10
    drawing.box(SIDE, top, width, height, heavy=True)
    y = top
    for line in lines:
        y += LINE + 2
        drawing.text(SIDE + 6, y, line, bold=True, size=LETTERS)
    y += 7
    for cavity, carries in part.cavities:
        drawing.box(IN, y, SOCKET, ROW - 2)
        number, words = (cavity, carries) if len(cavity) <= SHORT_MARK else ("wire", cavity)
        drawing.text(IN + SOCKET / 2, y + ROW / 2 + 4, number, anchor="middle", bold=True, size=LETTERS)
        room = (width - SOCKET - 22) * 11.0 / LETTERS
        drawing.text(IN + SOCKET + 8, y + ROW / 2 + 4, short(words, room), size=LETTERS)
        y += ROW
    return top + height


def _said(parts: list[_Part], landing: Landing) -> str:
    """Say the way in words."""
    ways = [
        f"{part.name}: " + " to ".join(f"{cavity} ({carries})" for cavity, carries in part.cavities)
        for part in parts
    ]
    return "; ".join(ways) + f". {landing.standing.capitalize()}."
