"""A drawing on paper: vector, in the record's letters, on a page of its own and turned where that makes it larger."""

from __future__ import annotations

import io
import re
from contextlib import nullcontext

from ventwright.record.content import Figure
from ventwright.record.pdf_page import Band, Pen, Type

CAPTION = Type(10.5, 14, bold=True)

FONT = re.compile(r'font-family="[^"]*"')

UNDRAWN = re.compile(r"<(title|desc)\b[^>]*>.*?</\1>", re.DOTALL)
"""What is heard, not seen: the PDF writer knows no use for it."""


def figure_band(figure: Figure, pen: Pen, left: float, width: float, page_body: float) -> Band:
    """Return a drawing as a band of a whole page; lengths in points.

    A drawing wider than high is turned a quarter, to be read from the right-hand side of the sheet.
    """
    if figure.small:
        return _small_band(figure, pen, left, width)
    across, down = _size(figure.svg)
    caption = pen.lines(figure.caption, width, CAPTION)
    head = len(caption) * CAPTION.line + 6
    room = page_body - head
    turned = across > down
    scale = min(room / across, width / down) if turned else min(width / across, room / down)
    svg = FONT.sub(f'font-family="{pen.family}"', UNDRAWN.sub("", figure.svg))

    def draw(pen: Pen, top: float) -> None:
        pen.write(left, top, caption, CAPTION)
        corner_x, corner_y = left, top + head
        if turned:  # turned about its upper left corner, then moved right by what was its height
            corner_x += down * scale
        with pen.pdf.rotation(-90, corner_x, corner_y) if turned else nullcontext():
            pen.pdf.set_font(pen.family, "", 10)
            pen.pdf.image(io.BytesIO(svg.encode()), x=corner_x, y=corner_y, w=across * scale, h=down * scale)

    return Band(height=page_body, draw=draw, starts_page=True)


def _small_band(figure: Figure, pen: Pen, left: float, width: float) -> Band:
    """Return a drawing at the size it was drawn in, or as wide as the page."""
    across, down = _size(figure.svg)
    caption = pen.lines(figure.caption, width, CAPTION)
    head, scale = len(caption) * CAPTION.line + 2, min(1.0, width / across)

    def draw(pen: Pen, top: float) -> None:
        pen.write(left, top, caption, CAPTION)
        svg = UNDRAWN.sub("", figure.svg).encode()
        pen.pdf.image(io.BytesIO(svg), x=left, y=top + head, w=across * scale, h=down * scale)

    return Band(height=head + down * scale + 6, draw=draw)


def _size(svg: str) -> tuple[float, float]:
    """Width and height of a drawing, from its view box."""
    found = re.search(r'viewBox="0 0 ([\d.]+) ([\d.]+)"', svg)
    if found is None:
        message = "a drawing without a view box"
        raise ValueError(message)
    return float(found[1]), float(found[2])
