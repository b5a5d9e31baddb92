"""What a printed matter says, before it is known on what: sections of paragraphs, pairs, tables and notices.

Texts are final here: units chosen, numbers rounded. The PDF and the HTML page are two renderings of one ``Report``,
so that they cannot tell different stories.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum


class Tone(StrEnum):
    """What a notice is for; shown by word and shape, never by colour alone."""

    CAUTION = "caution"
    FAILS = "fails"
    NOT_PROVED = "not proved"
    INFO = "note"


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Running text."""

    text: str


@dataclass(frozen=True, slots=True)
class Notice:
    """A text that must not be missed."""

    tone: Tone
    text: str


@dataclass(frozen=True, slots=True)
class Pairs:
    """Labels and their values."""

    rows: tuple[tuple[str, str], ...]


@dataclass(frozen=True, slots=True)
class Table:
    """A table with a heading row. ``widths`` are shares of the page width, one for each column.

    ``links`` are addresses for the first cells of the rows, where the table is the contents of other pages.
    """

    columns: tuple[str, ...]
    rows: tuple[tuple[str, ...], ...]
    widths: tuple[float, ...]
    caption: str = ""
    links: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Blanks:
    """Ruled lines to be filled in by hand, with headings."""

    columns: tuple[str, ...]
    lines: int


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing as SVG of our own making: black on white, text escaped, its title and description inside.

    A narrow one fits a phone; any other is kept wide enough to be read, and scrolled there. A small one stands between
    other blocks at the size it was drawn in.
    """

    svg: str
    caption: str
    narrow: bool = False
    small: bool = False


@dataclass(frozen=True, slots=True)
class Shot:
    """A photo as JPEG, its size in pixels, and what it shows."""

    content: bytes
    width: int
    height: int
    caption: str


@dataclass(frozen=True, slots=True)
class Shots:
    """Photos, two side by side and four on a page."""

    shots: tuple[Shot, ...]


Block = Paragraph | Notice | Pairs | Table | Blanks | Figure | Shots


@dataclass(frozen=True, slots=True)
class Section:
    """A titled part of a report."""

    title: str
    blocks: tuple[Block, ...]
    new_page: bool = False


@dataclass(frozen=True, slots=True)
class Report:
    """A whole printed matter of any length."""

    title: str
    subtitle: str
    sections: tuple[Section, ...]
    footer: str  # stands on every page, beside the page number
    language: str = "en"


@dataclass(frozen=True, slots=True)
class CardLine:
    """One line of the card, read at arm's length: what it is, the value in large figures, a word of comment."""

    label: str
    value: str
    comment: str = ""


@dataclass(frozen=True, slots=True)
class Card:
    """The single sheet that stays inside the unit's panel."""

    title: str
    subtitle: str
    purpose: tuple[str, ...]  # what the economizer should do, in three lines
    settings: tuple[CardLine, ...]
    airflow: tuple[CardLine, ...]
    sensors: tuple[CardLine, ...]
    notices: tuple[Notice, ...]
    footer: str
    code: str = ""  # text of the QR code; none is drawn where it is empty
    language: str = "en"
