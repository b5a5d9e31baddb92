"""The sheet of a drawing for the screen of a phone: how wide it is, and text across it or beside a sign."""

from __future__ import annotations

from ventwright.record.drawing import Drawing

WIDTH = 324.0
"""Width of the sheet: a phone of 360 px less what a page keeps free at its sides. [px]"""

EDGE = 6.0
"""Room kept free at the edges of the sheet. [px]"""

SAMPLE = 30.0
"""Width of a sign beside its words. [px]"""


def across(sheet: Drawing, words: str, y: float, *, bold: bool = False) -> float:
    """Write text over the width of the sheet, and return the base line of what comes next. [px]"""
    return sheet.lines(EDGE, y, words, WIDTH - 2 * EDGE, bold=bold)


def beside_sign(sheet: Drawing, words: str, y: float, *, bold: bool = False) -> float:
    """Write text to the right of a sign, and return the base line of what comes next. [px]"""
    left = EDGE + SAMPLE + 8
    return sheet.lines(left, y, words, WIDTH - EDGE - left, bold=bold)
