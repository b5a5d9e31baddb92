"""The tag as strips of paper: one page, whatever stands on it; what does not fit is counted."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import datetime

from ventwright.record.content import Notice, Tone
from ventwright.record.pdf import CARD_MARGINS, Attachment, Sheet, finish, typeface
from ventwright.record.pdf_blocks import HEAVY, RULE, Column, Look, after_gap, notice_bands, row_bands
from ventwright.record.pdf_card import lines_band
from ventwright.record.pdf_page import Band, Paper, Pen, Type, fill_pages, height_of
from ventwright.record.tag import Tag

SIZES = (18.0, 16.0, 15.0, 14.0, 13.0, 12.0)
"""Size of the text [pt], tried from the top: 12 is the least that reads at arm's length (common practice, no published
source); with more lines than that holds, the last ones are counted and not shown."""


def tag_pdf(
    tag: Tag,
    *,
    paper: Paper,
    attachment: bytes,
    own_files: Mapping[str, bytes],
    made: datetime,
    producer: str,
) -> bytes:
    """Return the tag as a PDF of one page, black on white, with the job document inside.

    Parameters
    ----------
    tag
        What is printed.
    paper
        "letter" or "a4".
    attachment, own_files
        The job document and the equipment files of its own.
    made
        When the tag was made, with its offset from UTC.
    producer
        The program and its version.

    Returns
    -------
    bytes
        The PDF.

    Raises
    ------
    Refused
        If ``made`` has no offset from UTC.
    """
    job = Attachment(attachment, "job.json", made, producer, own_files)
    with Pen(paper, typeface()) as pen:
        sheet = Sheet(pen, CARD_MARGINS, tag.footer, rule=0.0)
        sheet.draw(fill_pages(tag_bands(tag, pen, sheet.side, sheet.width, sheet.body), sheet.body))
        return finish(pen, tag.title, tag.language, job)


def tag_bands(tag: Tag, pen: Pen, left: float, width: float, body: float) -> list[Band]:
    """Return the tag as bands that fit one page: smaller letters first, then fewer lines; lengths in points."""
    for size in SIZES:
        bands = _bands(tag, len(tag.steps), pen, _look(size, left, width, body))
        if height_of(bands) <= body:
            return bands
    look = _look(SIZES[-1], left, width, body)
    for shown in range(len(tag.steps) - 1, 0, -1):
        bands = _bands(tag, shown, pen, look)
        if height_of(bands) <= body:
            return bands
    return _bands(tag, 0, pen, look)


def _look(size: float, left: float, width: float, body: float) -> Look:
    text = Type(size, 1.22 * size)
    return Look(
        left=left, width=width, page_body=body, text=text, cell=text, gap=0.8 * size, padding=0.25 * size, blank_line=1.5 * size,
    )  # fmt: skip


def _bands(tag: Tag, shown: int, pen: Pen, look: Look) -> list[Band]:
    """Return the tag with its first steps, and the rest counted."""
    size = look.text.size
    heading = replace(look.text, size=size + 2, line=1.22 * (size + 2), bold=True)
    large = Type(1.5 * size, 1.7 * size, bold=True)
    bands = [
        *lines_band(tag.title, pen, look, Type(2 * size, 2.2 * size, bold=True)),
        *lines_band(tag.subtitle, pen, look, look.text, rule=HEAVY),
        *after_gap(lines_band("Damper stands meanwhile", pen, look, heading), look.gap),
        *lines_band(tag.damper, pen, look, large),
        *after_gap(lines_band("Told", pen, look, heading), look.gap),
        *lines_band(tag.told, pen, look, large),
    ]
    if tag.still_open:
        bands += after_gap(lines_band("Still open", pen, look, heading), look.gap)
        bands += [band for one in tag.still_open for band in lines_band(one, pen, look, look.text)]
    bands += after_gap(lines_band("To put back", pen, look, heading, rule=RULE), look.gap)
    bands += _steps(tag.steps[:shown], pen, look) or lines_band(
        "" if tag.steps else "nothing that is known of", pen, look, look.text
    )
    left_out = len(tag.steps) - shown
    if left_out:
        rest = f"AND {left_out} MORE: the whole list stands in the job inside this file, and in tag.txt"
        bands += lines_band(rest, pen, look, replace(look.text, bold=True))
    return [*bands, *after_gap(notice_bands(Notice(Tone.CAUTION, tag.caution), pen, look), look.gap)]


def _steps(steps: Sequence[tuple[str, str]], pen: Pen, look: Look) -> list[Band]:
    """Return a row for each step: number, when, what."""
    bold, space = replace(look.text, bold=True), look.text.size
    number = pen.text_width("99", bold)
    when = max((pen.text_width(word, bold) for word, _ in steps), default=0.0)
    columns = [
        Column(look.left, number + 0.1, bold),
        Column(look.left + number + space, when + 0.1, bold),
        Column(look.left + number + when + 2 * space, look.width - number - when - 2 * space, look.text),
    ]
    return [
        band
        for count, (word, step) in enumerate(steps, start=1)
        for band in row_bands((str(count), word, step), columns, pen, look)
    ]
