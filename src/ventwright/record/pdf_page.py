"""Paper: a pen that measures and draws, strips that are never split, and how strips fill pages."""

from __future__ import annotations

import re
import warnings
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal, Self

from ventwright.record.letters import HARD_SPACE, printable, unparted, windows_1252

if TYPE_CHECKING:
    from fpdf import FPDF

Paper = Literal["letter", "a4"]

FAMILY = "record"
STANDARD_FAMILY = "helvetica"
FACES = {"": "AtkinsonHyperlegible-Regular.ttf", "B": "AtkinsonHyperlegible-Bold.ttf"}

HAIR = 0.01
"""Excess height [pt] that is rounding, not text."""


@dataclass(frozen=True, slots=True)
class Type:
    """How letters are set: size and line height in points, bold or not."""

    size: float
    line: float
    bold: bool = False

    @property
    def baseline(self) -> float:
        """Depth [pt] of the baseline below the top of a line's strip."""
        # A third of the size is about half a capital's height: capitals stand in the middle of their strip.
        return 0.5 * self.line + 0.34 * self.size


class Pen:
    """Measures and draws on one PDF document; all lengths in points, down from the top left corner."""

    def __init__(self, paper: Paper, typeface: Path | None) -> None:
        with warnings.catch_warnings():
            # Without Pillow fpdf2 warns that it can add no picture; the record has none.
            warnings.simplefilter("ignore")
            from fpdf import FPDF

        self.archival = typeface is not None  # PDF/A wants every font inside the file
        self.pdf: FPDF = FPDF(
            unit="pt", format=paper, enforce_compliance="PDF/A-3B" if self.archival else None
        )
        self.pdf.set_auto_page_break(auto=False)
        self.pdf.str_alias_nb_pages = (
            ""  # pages are counted before they are drawn; a text may well say "{nb}"
        )
        self.pdf.core_fonts_encoding = "cp1252"
        self.family = STANDARD_FAMILY
        self.can_print = windows_1252
        if typeface is not None:
            self.family = FAMILY
            for style, file in FACES.items():
                self.pdf.add_font(FAMILY, "B" if style else "", typeface / file)
            known = [set(getattr(font, "cmap", ())) for font in self.pdf.fonts.values()]
            both = frozenset.intersection(*map(frozenset, known))
            self.can_print = lambda character: ord(character) in both
        self._widths: dict[tuple[str, bool], float] = {}

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        from fpdf.fonts import TTFFont

        for font in self.pdf.fonts.values():
            if isinstance(font, TTFFont):
                font.close()  # fpdf2 leaves the font's file open

    @property
    def width(self) -> float:
        """Width of the paper [pt]."""
        return self.pdf.w

    @property
    def height(self) -> float:
        """Height of the paper [pt]."""
        return self.pdf.h

    def measure(self, text: str, style: Type) -> float:
        """Width [pt] of a text that can be printed, on one line."""
        total = 0.0
        for character in text:
            key = (character, style.bold)
            if key not in self._widths:
                self.pdf.set_font(self.family, "B" if style.bold else "", 100)
                self._widths[key] = self.pdf.get_string_width(character) / 100
            total += self._widths[key]
        return total * style.size

    def text_width(self, text: str, style: Type) -> float:
        """Width [pt] that a text needs so as not to be wrapped."""
        return max(self.measure(line, style) for line in printable(text, self.can_print).split("\n"))

    def lines(self, text: str, width: float, style: Type) -> list[str]:
        """Return a text as printable lines that fit a width [pt]; at least one, which may be empty."""
        found: list[str] = []
        for paragraph in printable(unparted(text), self.can_print).split("\n"):
            line = ""
            for word in re.split(r" +", paragraph.strip(" ")):
                longer = f"{line} {word}" if line else word
                if self.measure(longer, style) <= width:
                    line = longer
                    continue
                if line:
                    found.append(line)
                *full, line = self._split_word(word, width, style)
                found.extend(full)
            found.append(line)
        return [line.replace(HARD_SPACE, " ") for line in found]  # so that a search for "75 °F" finds it

    def _split_word(self, word: str, width: float, style: Type) -> list[str]:
        """Break a word wider than a line: after a hyphen, a slash or a hard space where it has one, else anywhere."""
        parts = [""]
        for piece in re.findall("[^-/–\u00a0]*[-/–\u00a0]?", word):
            if self.measure(parts[-1] + piece, style) <= width:
                parts[-1] += piece
            elif self.measure(piece, style) <= width:
                parts.append(piece)
            else:
                for character in piece:
                    if parts[-1] and self.measure(parts[-1] + character, style) > width:
                        parts.append("")
                    parts[-1] += character
        return parts

    def write(self, x: float, top: float, lines: Sequence[str], style: Type) -> None:
        """Draw lines one under the other, the first one's strip beginning at ``top``."""
        self.pdf.set_font(self.family, "B" if style.bold else "", style.size)
        for number, line in enumerate(lines):
            self.pdf.text(x, top + number * style.line + style.baseline, line)

    def bar(self, x: float, top: float, width: float, height: float) -> None:
        """Fill a black rectangle; rules are thin ones."""
        self.pdf.rect(x, top, width, height, style="F")

    def frame(self, x: float, top: float, width: float, height: float, thickness: float) -> None:
        """Draw a rectangle."""
        self.pdf.set_line_width(thickness)
        self.pdf.rect(x, top, width, height, style="D")


@dataclass(frozen=True, slots=True)
class Band:
    """A strip across the page that is never split.

    ``gap`` is the white above it, left out at the top of a page. ``heading`` is drawn again above it where it comes
    first on a page. ``bookmark`` names it in the outline.
    """

    height: float
    draw: Callable[[Pen, float], None]
    gap: float = 0.0
    keep_with_next: bool = False
    starts_page: bool = False
    heading: Band | None = None
    bookmark: str = ""


@dataclass(frozen=True, slots=True)
class Placed:
    """A band and where its strip begins, from the top of the page's body [pt]."""

    band: Band
    top: float


def height_of(bands: Sequence[Band]) -> float:
    """Return the height [pt] of bands one under the other, at the top of a page."""
    return sum(band.height + (band.gap if number else 0.0) for number, band in enumerate(bands))


def _groups(bands: Sequence[Band]) -> Iterator[list[Band]]:
    """Yield the runs of bands that belong on one page."""
    group: list[Band] = []
    for band in bands:
        group.append(band)
        if not band.keep_with_next:
            yield group
            group = []
    if group:
        yield group


def fill_pages(bands: Sequence[Band], body: float) -> list[list[Placed]]:
    """Place bands on as many pages as they need.

    Parameters
    ----------
    bands
        The bands in reading order; one higher than the body stands alone on its page.
    body
        Height [pt] of a page between its margins.

    Returns
    -------
    list of list of Placed
        The pages; at least one.
    """
    pages: list[list[Placed]] = [[]]
    end = 0.0
    for group in _groups(bands):
        needed = height_of(group) + group[0].gap
        if pages[-1] and (group[0].starts_page or end + needed > body + HAIR):
            pages.append([])
            end = 0.0
        for band in group:
            if pages[-1] and end + band.gap + band.height > body + HAIR:
                pages.append([])
                end = 0.0
            first = not pages[-1]
            if first and band.heading is not None:
                pages[-1].append(Placed(band.heading, 0.0))
                end = band.heading.height
            top = end if first else end + band.gap
            pages[-1].append(Placed(band, top))
            end = top + band.height
    return pages
