"""What the signs in a drawing of the curve mean: each one drawn small, with its words beside it."""

from __future__ import annotations

from collections.abc import Iterable

from ventwright.record.drawing import Drawing
from ventwright.record.phone_sheet import EDGE, SAMPLE, beside_sign

SIGNS = {
    "curve": "most likely share",
    "band": "the true share lies here 95 times in 100",
    "reading": "a reading; its ± holds 95 times in 100",
    "needed": "share needed; dotted: what is accepted",
}


def draw_legend(drawing: Drawing, signs: Iterable[str], y: float) -> float:
    """Draw signs below one another from a base line downward, and return where the sheet ends. [px]"""
    for sign in signs:
        _SIGN[sign](drawing, y - 4)
        y = beside_sign(drawing, SIGNS[sign], y) + 3
    return y


def _curve(drawing: Drawing, middle: float) -> None:
    drawing.strokes([[(EDGE, middle), (EDGE + SAMPLE, middle)]], width=2)


def _band(drawing: Drawing, middle: float) -> None:
    """A box, hatched as the band is."""
    drawing.box(EDGE, middle - 6, SAMPLE, 12)
    starts = [EDGE + 7 * number for number in range(3)]
    drawing.strokes([[(x, middle + 6), (x + 12, middle - 6)] for x in starts], width=0.4)


def _reading(drawing: Drawing, middle: float) -> None:
    x, ends = EDGE + SAMPLE / 2, (middle - 6, middle + 6)
    caps = [[(x - 4, end), (x + 4, end)] for end in ends]
    drawing.strokes([[(x, ends[0]), (x, ends[1])], *caps], width=1.2)
    drawing.ring(x, middle, 3.5)


def _needed(drawing: Drawing, middle: float) -> None:
    drawing.strokes([[(EDGE, middle), (EDGE + SAMPLE, middle)]])
    accepted = [[(EDGE, middle + away), (EDGE + SAMPLE, middle + away)] for away in (-4, 4)]
    drawing.strokes(accepted, width=0.8, dashes="1 3")


_SIGN = {"curve": _curve, "band": _band, "reading": _reading, "needed": _needed}
