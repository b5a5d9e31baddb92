"""The blocks of a printed matter as strips of paper: paragraphs, notices, pairs, tables, lines to fill in."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from ventwright.record.content import (
    Blanks,
    Block,
    Figure,
    Notice,
    Pairs,
    Paragraph,
    Section,
    Shots,
    Table,
    Tone,
)
from ventwright.record.pdf_figure import figure_band
from ventwright.record.pdf_page import Band, Pen, Type, height_of
from ventwright.record.pdf_shots import shots_bands

THIN, RULE, HEAVY = 0.5, 1.2, 2.5
"""Thickness [pt] of the rule between rows, under a heading row, under a title."""

ONE_PIECE = 1e6
"""Height [pt] of a page on which nothing is split."""

SMALL_SHARE = 0.3
"""Pairs and tables up to this share of a page are not parted by a page break."""

BAR = 6.0
"""Thickness [pt] of the rule at a notice's left edge; its pattern differs by tone, so that shape tells as well."""


@dataclass(frozen=True, slots=True)
class Look:
    """Where blocks stand and how they are set; lengths in points."""

    left: float
    width: float
    page_body: float  # the height that one page has for text
    text: Type
    cell: Type
    gap: float  # white between blocks
    padding: float  # white above and below the text of a row, and inside a notice
    blank_line: float  # height of a line to be filled in by hand
    rule: float = THIN  # below each row

    @property
    def longest(self) -> int:
        """Most lines of text that one strip may have, so that a heading row still fits above it."""
        return max(1, int(0.7 * self.page_body / self.text.line))


@dataclass(frozen=True, slots=True)
class Column:
    """A column of a row: where it stands and how it is set."""

    x: float
    width: float
    style: Type


def section_bands(section: Section, pen: Pen, look: Look) -> list[Band]:
    """Return a section as bands: its title, kept with what follows, then its blocks."""
    style = Type(16, 21, bold=True)
    lines = pen.lines(section.title, look.width, style)

    def draw(pen: Pen, top: float) -> None:
        pen.write(look.left, top, lines, style)

    title = Band(
        height=len(lines) * style.line,
        draw=draw,
        gap=2.2 * look.gap,
        keep_with_next=bool(section.blocks),
        starts_page=section.new_page,
        bookmark=section.title,
    )
    bands = [title]
    for number, block in enumerate(section.blocks):
        gap = 0.6 * look.gap if number == 0 else look.gap
        bands.extend(block_bands(block, pen, replace(look, gap=gap)))
    return bands


def block_bands(block: Block, pen: Pen, look: Look) -> list[Band]:
    """Return one block as bands."""
    match block:
        case Paragraph():
            return paragraph_bands(block, pen, look)
        case Notice():
            return notice_bands(block, pen, look)
        case Pairs():
            return pairs_bands(block, pen, look)
        case Table():
            return table_bands(block, pen, look)
        case Blanks():
            return blanks_bands(block, pen, look)
        case Figure():
            return [figure_band(block, pen, look.left, look.width, look.page_body)]
        case Shots():
            return shots_bands(block, pen, look.left, look.width, look.page_body)


def paragraph_bands(paragraph: Paragraph, pen: Pen, look: Look) -> list[Band]:
    """Return running text as a band for each line; its first two and its last two lines stay together."""
    lines = pen.lines(paragraph.text, look.width, look.text)
    bands = []
    for number, line in enumerate(lines):

        def draw(pen: Pen, top: float, line: str = line) -> None:
            pen.write(look.left, top, [line], look.text)

        bands.append(
            Band(
                height=look.text.line,
                draw=draw,
                gap=0.0 if number else look.gap,
                keep_with_next=len(lines) > 1 and number in {0, len(lines) - 2},
            )
        )
    return bands


def notice_bands(notice: Notice, pen: Pen, look: Look) -> list[Band]:
    """Return a notice as a box with its tone word in bold beside the text; a very long one takes several boxes."""
    word_style = replace(look.text, bold=True)
    word = _word(notice.tone)
    inset = BAR + 2 * look.padding
    text_x = (
        look.left + inset + max(pen.text_width(_word(tone), word_style) for tone in Tone) + look.text.size
    )
    text_width = look.left + look.width - text_x - 2 * look.padding
    lines = pen.lines(notice.text, text_width, look.text)
    bands = []
    for start in range(0, len(lines), look.longest):
        part = lines[start : start + look.longest]
        height = len(part) * look.text.line + 2 * look.padding

        def draw(pen: Pen, top: float, part: list[str] = part, height: float = height) -> None:
            pen.frame(look.left, top, look.width, height, THIN)
            _tone_bar(pen, notice.tone, look.left, top, height)
            pen.write(look.left + inset, top + look.padding, [word], word_style)
            pen.write(text_x, top + look.padding, part, look.text)

        bands.append(Band(height=height, draw=draw, gap=look.gap))
    return bands


def _word(tone: Tone) -> str:
    """Return the word a notice begins with."""
    return tone.value.capitalize()


def _tone_bar(pen: Pen, tone: Tone, x: float, top: float, height: float) -> None:
    """Draw a notice's left rule: solid for a caution, double for a failure, broken for not proved, slim for a note."""
    if tone is Tone.CAUTION:
        pen.bar(x, top, BAR, height)
    elif tone is Tone.FAILS:
        pen.bar(x, top, BAR * 0.4, height)
        pen.bar(x + BAR * 0.6, top, BAR * 0.4, height)
    elif tone is Tone.NOT_PROVED:
        dashes = max(2, round(height / 6))
        step = height / (2 * dashes - 1)
        for number in range(dashes):
            pen.bar(x, top + 2 * number * step, BAR, step)
    else:
        pen.bar(x, top, BAR * 0.4, height)


def row_bands(
    cells: Sequence[str],
    columns: Sequence[Column],
    pen: Pen,
    look: Look,
    heading: Band | None = None,
) -> list[Band]:
    """Return a row of cells as one band with a rule below it, or several where a cell is too long for that."""
    wrapped = [
        pen.lines(cell, column.width, column.style) for cell, column in zip(cells, columns, strict=True)
    ]
    tallest = max(len(lines) for lines in wrapped)
    lowest = max(column.style.baseline for column in columns)
    drops = [lowest - column.style.baseline for column in columns]  # first lines stand on one baseline
    bands = []
    for start in range(0, tallest, look.longest):
        parts = [lines[start : start + look.longest] for lines in wrapped]
        ends = [
            drop + len(part) * column.style.line
            for drop, part, column in zip(drops, parts, columns, strict=True)
        ]
        height = max(ends) + 2 * look.padding
        below = look.rule if start + look.longest >= tallest else 0.0

        def draw(
            pen: Pen,
            top: float,
            parts: list[list[str]] = parts,
            height: float = height,
            below: float = below,
        ) -> None:
            for drop, part, column in zip(drops, parts, columns, strict=True):
                pen.write(column.x, top + look.padding + drop, part, column.style)
            if below:
                pen.bar(look.left, top + height - below, look.width, below)

        bands.append(Band(height=height, draw=draw, heading=heading))
    return bands


def pairs_bands(pairs: Pairs, pen: Pen, look: Look) -> list[Band]:
    """Return labels and values as rows: the label in bold, the value beside it."""
    label_width = round(0.34 * look.width)
    space = look.cell.size
    columns = [
        Column(look.left, label_width - space, replace(look.cell, bold=True)),
        Column(look.left + label_width, look.width - label_width, look.cell),
    ]
    bands = [band for row in pairs.rows for band in row_bands(row, columns, pen, look)]
    return _one_block(bands, look)


def table_bands(table: Table, pen: Pen, look: Look) -> list[Band]:
    """Return a table: caption, heading row (again on top of each further page), rows."""
    columns = _columns(table.widths, look, look.cell)
    heads = [replace(column, style=replace(look.cell, bold=True)) for column in columns]
    caption_style = replace(look.cell, bold=True, size=look.cell.size + 0.5)
    heading = _heading_row(table.columns, heads, pen, look)
    above: list[Band] = []
    again = heading
    if table.caption:
        above = [_caption(table.caption, caption_style, pen, look)]
        again = _stacked(_caption(f"{table.caption} (continued)", caption_style, pen, look), heading)
    bands = [*above, replace(heading, keep_with_next=True)]
    for row in table.rows:
        bands.extend(row_bands(row, columns, pen, look, again))
    return _one_block(bands, look)


def blanks_bands(blanks: Blanks, pen: Pen, look: Look) -> list[Band]:
    """Return ruled lines to be filled in by hand, under their headings."""
    style = replace(look.cell, bold=True)
    even = [1.0] * len(blanks.columns)
    columns = _columns(even, look, style)
    heading = _heading_row(blanks.columns, columns, pen, look)

    def draw(pen: Pen, top: float) -> None:
        pen.bar(look.left, top + look.blank_line - THIN, look.width, THIN)
        for column in columns[1:]:
            # Short ticks part the columns and leave the writing hand free.
            pen.bar(column.x - look.cell.size / 2, top + 0.55 * look.blank_line, THIN, 0.45 * look.blank_line)

    line = Band(height=look.blank_line, draw=draw, heading=heading)
    return _one_block([replace(heading, keep_with_next=True), *[line] * blanks.lines], look)


def _heading_row(texts: Sequence[str], columns: Sequence[Column], pen: Pen, look: Look) -> Band:
    """Return the heading row of a table, in one piece, with a stronger rule below it."""
    (heading,) = row_bands(texts, columns, pen, replace(look, page_body=ONE_PIECE, rule=RULE))
    return heading


def _caption(text: str, style: Type, pen: Pen, look: Look) -> Band:
    """Return a table's caption, kept with the heading row."""
    lines = pen.lines(text, look.width, style)

    def draw(pen: Pen, top: float) -> None:
        pen.write(look.left, top, lines, style)

    return Band(height=len(lines) * style.line, draw=draw, keep_with_next=True)


def _stacked(upper: Band, lower: Band) -> Band:
    """Return two bands as one."""

    def draw(pen: Pen, top: float) -> None:
        upper.draw(pen, top)
        lower.draw(pen, top + upper.height)

    return Band(height=upper.height + lower.height, draw=draw)


def _columns(shares: Sequence[float], look: Look, style: Type) -> list[Column]:
    """Return columns that take their shares of the width, with white between them."""
    scale = look.width / sum(shares)
    columns = []
    x = look.left
    for number, share in enumerate(shares):
        last = number == len(shares) - 1
        columns.append(Column(x, share * scale - (0.0 if last else style.size), style))
        x += share * scale
    return columns


def after_gap(bands: Sequence[Band], gap: float) -> list[Band]:
    """Return bands with white above the first."""
    return [replace(band, gap=gap) if number == 0 else band for number, band in enumerate(bands)]


def _one_block(bands: Sequence[Band], look: Look) -> list[Band]:
    """Return a block's bands with white above, on one page if it is small; the last band is free of what follows."""
    small = height_of(bands) <= SMALL_SHARE * look.page_body
    last = len(bands) - 1
    kept = [
        replace(band, keep_with_next=number < last and (small or band.keep_with_next))
        for number, band in enumerate(bands)
    ]
    return after_gap(kept, look.gap)
