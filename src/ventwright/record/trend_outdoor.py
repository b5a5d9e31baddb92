"""Outdoor temperature against what the unit did: a lane for every mode, a square for every class of temperature.

Where free cooling is given up, and where the compressors are kept off, can be seen: lines mark both as they were left and
as they are found in the data.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence

from ventwright.quantity import TEMPERATURE, System, show, unit_value
from ventwright.record.drawing import LINE, Drawing, width_of
from ventwright.record.phone_sheet import EDGE, WIDTH, across
from ventwright.verdict.trend_findings.shape import MODES, Observed

LANE = 18.0
"""Height of a lane. [px]"""

LARGEST, LEAST = 12.0, 1.5
"""Side of the square that stands for the most hours, and below which none would be seen. [px]"""

MARGIN = 12.0
"""Kept free left and right of the lanes. [px]"""

NAME = "outdoor"


def draw_outdoor(
    unit: str, observed: Observed, marks: Sequence[tuple[str, float]], system: System = "us"
) -> str:
    """Draw hours by outdoor temperature and mode.

    Parameters
    ----------
    unit
        Name of the unit.
    observed
        As found in the data.
    marks
        Outdoor temperatures that mean something, with the words for them. [°C]
    system
        Units of its words.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.
    """
    sheet, y = Drawing(), EDGE + LINE
    title = f"{unit}: outdoor temperature and what the unit did"
    y = across(sheet, title, y, bold=True)
    cells = by_mode(observed)
    if not cells:
        sheet.text(EDGE, y, "no outdoor temperature was logged")
        return sheet.written(WIDTH, y + LINE, title, "No outdoor temperature was logged.", NAME)
    classes = sorted({at for of in cells.values() for at in of})
    low, high = classes[0] - 1.0, classes[-1] + 1.0

    def x(at: float) -> float:
        return MARGIN + (at - low) / (high - low) * (WIDTH - 2 * MARGIN)

    shown = [(words, x(at)) for words, at in marks if low <= at <= high]
    heads, y = y, y + LINE * len(shown)
    most = max(hours for of in cells.values() for hours in of.values())
    for mode, of in cells.items():
        sheet.text(EDGE, y + LINE - 3, mode)
        middle = y + LINE + LANE / 2
        sheet.strokes([[(MARGIN, middle), (WIDTH - MARGIN, middle)]], width=0.4)
        for at, hours in of.items():
            sheet.square(x(at), middle, max(LEAST, LARGEST * math.sqrt(hours / most)))
        y += LINE + LANE
    for number, (_, place) in enumerate(shown):
        sheet.strokes([[(place, heads + number * LINE - 9), (place, y)]], width=1.2, dashes="3 3")
    _names(sheet, shown, heads)
    y = _axis(sheet, low, high, y, system) + LINE
    y = across(sheet, f"The largest square: {most:,.0f} hours.", y)
    return sheet.written(WIDTH, y, title, said(observed, marks, system), NAME)


def by_mode(observed: Observed) -> Mapping[str, dict[float, float]]:
    """Return the hours of every class of outdoor temperature, by mode in a fixed order. [°C: h]"""
    found: dict[str, dict[float, float]] = {}
    for at, mode, hours in observed.mode_by_outdoor:
        if hours > 0.0:
            found.setdefault(mode, {})[at] = hours
    return {mode: found[mode] for mode in MODES if mode in found}


def _names(sheet: Drawing, marks: Sequence[tuple[str, float]], y: float) -> None:
    """Write the words of the lines beside their heads, each on a row of its own, over the lines of others."""
    for number, (words, at) in enumerate(marks):
        row = y + number * LINE - 4
        if at + 4 + width_of(words) <= WIDTH - EDGE:
            sheet.label(at + 5, row, words, anchor="start")
        else:
            sheet.label(max(at - 5, EDGE + width_of(words)), row, words, anchor="end")


def _axis(sheet: Drawing, low: float, high: float, y: float, system: System) -> float:
    """Write round temperatures below the lanes."""
    unit = TEMPERATURE.us if system == "us" else TEMPERATURE.si
    first, last = unit_value(low, unit), unit_value(high, unit)
    step = next((one for one in (5, 10, 20) if (last - first) / one <= 7), 50)
    sheet.strokes([[(MARGIN, y), (WIDTH - MARGIN, y)]])
    for number in range(math.ceil(first / step), math.floor(last / step) + 1):
        x = MARGIN + (number * step - first) / (last - first) * (WIDTH - 2 * MARGIN)
        sheet.strokes([[(x, y), (x, y + 4)]])
        sheet.text(x, y + LINE, f"{number * step}", anchor="middle")
    sheet.text(WIDTH / 2, y + 2 * LINE, f"outdoor temperature, {unit.names[0]}", anchor="middle")
    return y + 2 * LINE


def said(observed: Observed, marks: Sequence[tuple[str, float]], system: System) -> str:
    """Say the lanes in words: of each mode between which temperatures most of it lies."""
    parts = []
    for mode, of in by_mode(observed).items():
        least, most = (show(at, TEMPERATURE, system) for at in (min(of), max(of)))
        parts.append(f"{mode}: {sum(of.values()):,.0f} hours from {least} to {most}")
    marked = [f"{words} {show(at, TEMPERATURE, system)}" for words, at in marks]
    return ". ".join([*parts, *marked]) + "."
