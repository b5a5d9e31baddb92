"""A line drawing as SVG: black on white, letters of one width, everything escaped, no script and no style sheet."""

from __future__ import annotations

import textwrap
import unicodedata
from collections.abc import Iterable
from xml.sax.saxutils import escape

FONT_SIZE = 11.0
LETTER = 0.62 * FONT_SIZE
"""Width of a letter: monospaced typefaces have 0.60 of the size, so that what is reckoned is a little too wide."""

LINE = 15.0
"""Height of a line of text."""


class Drawing:
    """What was drawn so far. Coordinates run right and down from the upper left corner."""

    def __init__(self) -> None:
        self._marks: list[str] = []

    def line(self, points: Iterable[tuple[float, float]], *, wrong: bool = False) -> None:
        """Draw a wire through points; a wrong one is dashed and heavier."""
        path = " ".join(f"{'L' if number else 'M'}{x:.1f} {y:.1f}" for number, (x, y) in enumerate(points))
        dashes = ' stroke-dasharray="6 4"' if wrong else ""
        self._marks.append(
            f'<path d="{path}" fill="none" stroke="#000" stroke-width="{2 if wrong else 1}"{dashes}/>'
        )

    def strokes(
        self, paths: Iterable[Iterable[tuple[float, float]]], *, width: float = 1.0, dashes: str = ""
    ) -> None:
        """Draw any number of lines, each through points, as one mark of one width [px]; ``dashes`` as SVG writes them."""
        path = " ".join(
            f"{'L' if number else 'M'}{x:.1f} {y:.1f}"
            for points in paths
            for number, (x, y) in enumerate(points)
        )
        if path:
            dashed = f' stroke-dasharray="{dashes}"' if dashes else ""
            self._marks.append(
                f'<path d="{path}" fill="none" stroke="#000" stroke-width="{width:g}"{dashed}/>'
            )

    def shape(self, points: Iterable[tuple[float, float]]) -> None:
        """Fill the shape between points with black."""
        path = " ".join(f"{'L' if number else 'M'}{x:.1f} {y:.1f}" for number, (x, y) in enumerate(points))
        self._marks.append(f'<path d="{path} Z" fill="#000" stroke="none"/>')

    def ring(self, x: float, y: float, radius: float) -> None:
        """Draw a circle about a point, white inside."""
        self._marks.append(
            f'<circle cx="{x:.1f}" cy="{y:.1f}" r="{radius:g}" fill="#fff" stroke="#000" stroke-width="1.5"/>'
        )

    def box(self, x: float, y: float, width: float, height: float, *, heavy: bool = False) -> None:
        """Draw a box, white inside."""
        self._marks.append(
            f'<rect x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}" fill="#fff" stroke="#000"'
            f' stroke-width="{2 if heavy else 1}"/>'
        )

    def text(
        self,
        x: float,
        y: float,
        words: str,
        *,
        anchor: str = "start",
        bold: bool = False,
        size: float = FONT_SIZE,
    ) -> None:
        """Write one line of text on a base line."""
        weight = ' font-weight="bold"' if bold else ""
        self._marks.append(
            f'<text x="{x:.1f}" y="{y:.1f}" font-family="monospace" font-size="{size:g}" text-anchor="{anchor}"{weight}'
            f' fill="#000">{escape(clean(words))}</text>'
        )

    def lines(self, x: float, y: float, words: str, width: float, *, bold: bool = False) -> float:
        """Write text in as many lines as fit a width, and return the base line of what comes next. [px]"""
        for line in wrapped(words, width):
            self.text(x, y, line, bold=bold)
            y += LINE
        return y

    def square(self, x: float, y: float, side: float) -> None:
        """Fill a square about a point with black."""
        half = 0.5 * side
        self.shape([(x - half, y - half), (x + half, y - half), (x + half, y + half), (x - half, y + half)])

    def label(self, x: float, y: float, words: str, *, anchor: str = "middle") -> None:
        """Write a label about the middle of a wire, on white, so that the wire does not strike it through.

        ``anchor`` as for text: "start" has it begin at the place, "end" has it end there.
        """
        if not words:
            return
        width = width_of(words) + 4
        left = {"start": x - 2, "middle": x - width / 2, "end": x - width + 2}[anchor]
        self._marks.append(
            f'<rect x="{left:.1f}" y="{y - 6.5:.1f}" width="{width:.1f}" height="13.0" fill="#fff"/>'
        )
        self.text(x, y + 4, words, anchor=anchor)

    def written(self, width: float, height: float, title: str, description: str, name: str) -> str:
        """Return the drawing as a document of its own, which a page may also hold as it is.

        Parameters
        ----------
        width, height
            Size of the sheet, in pixels of a screen.
        title, description
            What those hear who do not see it.
        name
            Begins the ids in it, so that two drawings on one page do not share any.
        """
        head = (
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width:.0f} {height:.0f}" width="{width:.0f}"'
            f' height="{height:.0f}" role="img" aria-labelledby="{name}-title {name}-description">'
        )
        said = [
            f'<title id="{name}-title">{escape(clean(title))}</title>',
            f'<desc id="{name}-description">{escape(clean(description))}</desc>',
        ]
        sheet = f'<rect x="0" y="0" width="{width:.0f}" height="{height:.0f}" fill="#fff"/>'
        return "\n".join([head, *said, sheet, *self._marks, "</svg>", ""])


def clean(words: str) -> str:
    """Return text without what XML cannot hold: control characters and lone halves of letters."""
    return "".join(" " if unicodedata.category(letter) in {"Cc", "Cs", "Cn"} else letter for letter in words)


def width_of(words: str, size: float = FONT_SIZE) -> float:
    """Return the width of a line of text, letters of East Asian width counted twice."""
    letters = sum(2 if unicodedata.east_asian_width(letter) in "WF" else 1 for letter in words)
    return letters * LETTER * size / FONT_SIZE


def wrapped(words: str, width: float) -> list[str]:
    """Break text into lines that fit a width; a word longer than a line is cut."""
    letters = max(int(width / LETTER), 8)
    wide = any(unicodedata.east_asian_width(letter) in "WF" for letter in words)
    return textwrap.wrap(clean(words), letters // 2 if wide else letters) or [""]


def short(words: str, width: float) -> str:
    """Return text cut to a width, the cut marked."""
    if width_of(words) <= width:
        return words
    while words and width_of(f"{words}…") > width:
        words = words[:-1]
    return f"{words}…"
