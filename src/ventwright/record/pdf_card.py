"""The card as strips of paper: one sheet, set as large as it fits."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import groupby

from ventwright.errors import Refusal, Refused
from ventwright.record.content import Blanks, Card, CardLine
from ventwright.record.pdf_blocks import (
    HEAVY,
    RULE,
    Column,
    Look,
    after_gap,
    blanks_bands,
    notice_bands,
    row_bands,
)
from ventwright.record.pdf_page import Band, Pen, Type, height_of

BLANK_COLUMNS = ("What changed", "Old", "New", "Date", "Initials")
BLANK_LINES = 4
BLANK_LINE_AT_MOST = 28.0  # [pt]
BLANK_TITLE = "If you change anything, write it here"

CODE_SIZE = 122.0
"""Side of the QR code with its quiet zone [pt]: 43 mm, so that a module is some 0.43 mm and a phone reads it."""

CODE_GAP = 10.0  # [pt]
QUIET_ZONE = 4
"""Light modules around a QR code; ISO/IEC 18004, 6.3.8 (from memory)."""

LADDER = (
    (16.0, 5.0),
    (15.0, 4.5),
    (14.0, 4.0),
    (13.5, 3.5),
    (13.0, 3.0),
    (12.5, 2.5),
    (12.0, 2.0),
    (12.0, 1.4),
    (12.0, 0.8),
    (11.5, 0.8),
    (11.0, 0.8),
    (10.5, 0.8),
    (10.0, 0.8),
    (9.5, 0.8),
    (9.0, 0.6),
)
"""Size of the text and white above and below it in a row [pt], tried from the top; values are half as large again.

Text of 12 and values of 18 are what reads at arm's length (common practice, no published source). The steps below are
for a card with more lines than a card should have, where smaller letters serve better than no card.
"""


@dataclass(frozen=True, slots=True)
class CardLook:
    """How the card is set at one size."""

    look: Look
    title: Type
    heading: Type
    value: Type


def card_bands(card: Card, pen: Pen, left: float, width: float, body: float) -> list[Band]:
    """Return the card as bands that fit one page, in the largest letters that do; lengths in points.

    Raises
    ------
    Refused
        If the card's text does not fit one sheet even in small letters.
    """
    for size, padding in LADDER:
        text, value = Type(size, 1.2 * size), 1.5 * size
        look = Look(
            left=left,
            width=width,
            page_body=body,
            text=text,
            cell=text,
            gap=4 * padding + 2,
            padding=padding,
            blank_line=1.5 * size,
        )
        set_in = CardLook(
            look=look,
            title=Type(value + 4, 1.1 * (value + 4), bold=True),
            heading=Type(size + 1, 1.2 * (size + 1), bold=True),
            value=Type(value, 1.05 * value, bold=True),
        )
        upper = _upper(card, pen, set_in)
        lower = _to_write_on(pen, set_in)
        spare = body - height_of([*upper, *lower])
        if spare >= 0:
            # Room that is left parts the lines to write on from the rest, then makes them higher, up to what a pen
            # likes; they stand at the foot.
            share = max(0.0, spare - 2 * look.gap) / BLANK_LINES
            line = max(look.blank_line, min(look.blank_line + share, BLANK_LINE_AT_MOST))
            lower = _to_write_on(pen, replace(set_in, look=replace(look, blank_line=line)))
            spare = body - height_of([*upper, *lower])
            return [*upper, replace(lower[0], gap=lower[0].gap + spare), *lower[1:]]
    raise Refused(
        Refusal(
            "has more text than one sheet holds",
            "fewer or shorter lines; the record has room for the rest",
            "card",
            card.title,
        )
    )


def _upper(card: Card, pen: Pen, set_in: CardLook) -> list[Band]:
    """Return everything above the lines to write on."""
    look = set_in.look
    bands = _head(card, pen, set_in)
    groups = [("Settings", card.settings), ("Airflow", card.airflow), ("Sensors", card.sensors)]
    columns = _columns([line for _, lines in groups for line in lines], pen, set_in)
    for title, lines in groups:
        if lines:
            bands += after_gap(lines_band(title, pen, look, set_in.heading, rule=RULE), look.gap)
            bands += [
                band
                for line in lines
                for band in row_bands((line.label, line.value, line.comment), columns, pen, look)
            ]
    for number, notice in enumerate(card.notices):
        boxes = notice_bands(notice, pen, replace(look, padding=look.padding + 1.2))
        bands += after_gap(boxes, look.gap if number == 0 else 0.5 * look.gap)
    return bands


def _head(card: Card, pen: Pen, set_in: CardLook) -> list[Band]:
    """Return title, subtitle and purpose, with the code to the right of them where the card has one."""
    look = set_in.look
    if card.code:
        look = replace(look, width=look.width - CODE_SIZE - CODE_GAP)
    bands = [
        *lines_band(card.title, pen, look, set_in.title),
        *lines_band(card.subtitle, pen, look, look.text, rule=HEAVY),
    ]
    purpose = [band for line in card.purpose for band in lines_band(line, pen, look, look.text)]
    if purpose:
        bands += after_gap(purpose, 0.6 * look.gap)
    return [_beside_code(bands, card.code, look)] if card.code else bands


def _beside_code(bands: Sequence[Band], code: str, look: Look) -> Band:
    """Return bands as one, with a QR code at their right."""
    import segno

    modules = [list(row) for row in segno.make(code, error="m", micro=False).matrix_iter(border=QUIET_ZONE)]
    side = CODE_SIZE / len(modules)
    left = look.left + look.width + CODE_GAP

    def draw(pen: Pen, top: float) -> None:
        y = top
        for number, band in enumerate(bands):
            y += band.gap if number else 0.0
            band.draw(pen, y)
            y += band.height
        for row, cells in enumerate(modules):
            for start, length in _runs(cells):
                pen.bar(left + start * side, top + row * side, length * side, side)

    return Band(height=max(height_of(bands), CODE_SIZE), draw=draw)


def _runs(cells: Sequence[int]) -> Iterator[tuple[int, int]]:
    """Yield where dark modules begin in a row, and how many stand together: fewer and seamless rectangles."""
    start = 0
    for dark, group in groupby(cells):
        length = len(list(group))
        if dark:
            yield start, length
        start += length


def _to_write_on(pen: Pen, set_in: CardLook) -> list[Band]:
    """Return the ruled lines for whoever changes a setting later."""
    look = replace(set_in.look, gap=0.0)
    title = after_gap(lines_band(BLANK_TITLE, pen, look, set_in.heading), set_in.look.gap)
    return [*title, *blanks_bands(Blanks(BLANK_COLUMNS, BLANK_LINES), pen, look)]


def _columns(lines: Sequence[CardLine], pen: Pen, set_in: CardLook) -> list[Column]:
    """Return the columns for label, value and comment, alike in all groups: no wider than their texts need."""
    look, space = set_in.look, set_in.look.text.size
    label = min(_widest([line.label for line in lines], pen, look.text), 0.36 * look.width)
    value = min(_widest([line.value for line in lines], pen, set_in.value), 0.42 * look.width)
    comment = _widest([line.comment for line in lines], pen, look.text)
    spare = look.width - label - value - comment - 2 * space
    if spare > 0:
        # Most of what is left over goes between label and value, so that the comment still stands by its value.
        label += 0.4 * spare
    return [
        Column(look.left, label, look.text),
        Column(look.left + label + space, value, set_in.value),
        Column(look.left + label + value + 2 * space, look.width - label - value - 2 * space, look.text),
    ]


def _widest(texts: Sequence[str], pen: Pen, style: Type) -> float:
    """Return the width [pt] that the widest of the texts needs."""
    return max((pen.text_width(text, style) for text in texts), default=0.0) + 0.1


def lines_band(text: str, pen: Pen, look: Look, style: Type, rule: float = 0.0) -> list[Band]:
    """Return a text of few lines as one band, with a rule below it if wanted."""
    lines = pen.lines(text, look.width, style)
    below = rule + look.padding if rule else 0.0
    height = len(lines) * style.line + below

    def draw(pen: Pen, top: float) -> None:
        pen.write(look.left, top, lines, style)
        if rule:
            pen.bar(look.left, top + height - rule, look.width, rule)

    return [Band(height=height, draw=draw)]
