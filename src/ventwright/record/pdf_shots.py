"""Photos on paper: two side by side, two rows on a page, each with what it shows below it."""

from __future__ import annotations

import io
from collections.abc import Sequence

from ventwright.record.content import Shot, Shots
from ventwright.record.pdf_page import Band, Pen, Type

CAPTION = Type(9.5, 12.5)

GUTTER = 16.0
"""White [pt] between two photos, and below a row of them."""

MOST_LINES = 3
"""Lines of a caption on paper; the whole of it stands in the data."""


def shots_bands(block: Shots, pen: Pen, left: float, width: float, page_body: float) -> list[Band]:
    """Return photos as bands of two; lengths in points."""
    pairs = [block.shots[number : number + 2] for number in range(0, len(block.shots), 2)]
    room = 0.46 * page_body
    return [_pair_band(pair, pen, left, width, room) for pair in pairs]


def _pair_band(pair: Sequence[Shot], pen: Pen, left: float, width: float, room: float) -> Band:
    across = (width - GUTTER) / 2
    captions = [pen.lines(shot.caption, across, CAPTION)[:MOST_LINES] for shot in pair]
    below = max(map(len, captions)) * CAPTION.line + 4
    scales = [min(across / shot.width, (room - below - GUTTER) / shot.height) for shot in pair]
    high = max(shot.height * scale for shot, scale in zip(pair, scales, strict=True))

    def draw(pen: Pen, top: float) -> None:
        for number, (shot, scale, lines) in enumerate(zip(pair, scales, captions, strict=True)):
            x = left + number * (across + GUTTER)
            pen.pdf.image(
                io.BytesIO(shot.content),
                x=x,
                y=top,
                w=shot.width * scale,
                h=shot.height * scale,
                alt_text=shot.caption,
            )
            pen.write(x, top + high + 4, lines, CAPTION)

    return Band(height=high + below + GUTTER, draw=draw, gap=6.0)
