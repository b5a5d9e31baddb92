"""What a unit did over the time of a log, as lanes: one for every mode, and below them a bar for every fault found.

Each upright stroke is a slice of the time; as high as the share of it that the unit spent in that mode. Black on white
and narrow enough for a phone.
"""

from __future__ import annotations

from collections.abc import Sequence

from ventwright.record.drawing import LINE, Drawing, short
from ventwright.record.phone_sheet import EDGE, WIDTH, across
from ventwright.record.trend_words import at_place, day, hours_words
from ventwright.verdict.trend_findings.shape import MODES, Spell, TrendFinding, UnitFindings
from ventwright.words import in_words

SLICE = 2.0
"""Width of a slice of the time. [px]"""

LANE = 14.0
"""Height of a lane, which stands for the whole of a slice. [px]"""

NAME = "timeline"


def draw_timeline(found: UnitFindings, zone: str | None) -> str:
    """Draw the modes of a unit over time and the faults below them.

    Parameters
    ----------
    found
        Of one unit.
    zone
        Time zone of the place; None for UTC.

    Returns
    -------
    str
        An SVG document: black on white, with a title and a description for those who do not see it, without scripts.
    """
    sheet, y = Drawing(), EDGE + LINE
    title = f"{found.unit}: what it did, and when"
    y = across(sheet, title, y, bold=True)
    if not found.states:
        sheet.text(EDGE, y, "nothing logged tells it")
        return sheet.written(WIDTH, y + LINE, title, "Nothing logged tells it.", NAME)
    start, end = found.states[0].start, found.states[-1].end
    for mode, shares in lanes(found.states).items():
        sheet.text(EDGE, y, f"{mode}: {hours_words(_hours(found.states, mode))}")
        y += 4 + LANE
        _lane(sheet, shares, y)
        y += LINE + 2
    for one in found.findings:
        y = _fault(sheet, one, start, end, y)
    _times(sheet, start, end, zone, y)
    return sheet.written(WIDTH, y + LINE + 4, title, said(found, zone), NAME)


def lanes(states: Sequence[Spell]) -> dict[str, list[float]]:
    """Return, for every mode that occurs, the share of each slice of the time that was spent in it. [-]"""
    start, end = states[0].start, states[-1].end
    count = int((WIDTH - 2 * EDGE) / SLICE)
    length = (end - start) / count or 1.0
    present = {one.mode for one in states}
    shares = {mode: [0.0] * count for mode in MODES if mode in present}
    for one in states:
        first, last = (one.start - start) / length, (one.end - start) / length
        row = shares[one.mode]
        for number in range(int(first), min(count, int(last) + 1)):
            row[number] += max(0.0, min(last, number + 1) - max(first, number))
    return shares


def _lane(sheet: Drawing, shares: Sequence[float], bottom: float) -> None:
    """Draw one lane upward from its bottom."""
    strokes = [
        [
            (EDGE + (number + 0.5) * SLICE, bottom),
            (EDGE + (number + 0.5) * SLICE, bottom - LANE * min(1.0, share)),
        ]
        for number, share in enumerate(shares)
        if share > 0.01
    ]
    sheet.strokes(strokes, width=SLICE)
    sheet.strokes([[(EDGE, bottom), (WIDTH - EDGE, bottom)]], width=0.6)


def _fault(sheet: Drawing, one: TrendFinding, start: int, end: int, y: float) -> float:
    """Draw a fault as a bar from when it was first seen to when it was last seen."""
    y = across(sheet, f"{one.words}, {in_words(one.probability)}", y, bold=True)
    scale = (WIDTH - 2 * EDGE) / max(1, end - start)
    left, right = (EDGE + scale * (min(max(at, start), end) - start) for at in (one.first, one.last))
    middle = y - 6
    ends = [[(at, middle - 5), (at, middle + 5)] for at in (left, max(right, left + SLICE))]
    sheet.strokes([[(left, middle), (max(right, left + SLICE), middle)], *ends], width=2)
    return y + LINE


def _times(sheet: Drawing, start: int, end: int, zone: str | None, y: float) -> None:
    """Write the time at the left, in the middle and at the right."""
    form = "%Y-%m-%d" if end - start > 3 * 86_400 else "%d. %H:%M"
    places = ((EDGE, start, "start"), (WIDTH - EDGE, end, "end"), (WIDTH / 2, (start + end) // 2, "middle"))
    for x, at, anchor in places:
        sheet.text(x, y, short(f"{at_place(at, zone):{form}}", WIDTH / 3), anchor=anchor)


def _hours(states: Sequence[Spell], mode: str) -> float:
    return sum(one.end - one.start for one in states if one.mode == mode) / 3600.0


def said(found: UnitFindings, zone: str | None) -> str:
    """Say the lanes and the faults in words."""
    modes = [f"{mode} {hours_words(hours)}" for mode, hours in found.observed.mode_hours if hours > 0.0]
    faults = [
        f"{one.words}, {in_words(one.probability)}, seen {day(one.first, zone)} to {day(one.last, zone)}"
        for one in found.findings
    ]
    return f"Hours in each mode: {'; '.join(modes)}. Faults: {'; '.join(faults) or 'none shown'}."
