"""The record and the card as PDF: archival (PDF/A-3B) with the job inside where the typeface is there.

fpdf2 and the typeface are imported when paper is asked for, not before: they take about a second.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime
from html import escape
from importlib import import_module
from importlib.util import find_spec
from pathlib import Path

from ventwright.errors import Refusal, Refused
from ventwright.record.content import Card, Report
from ventwright.record.letters import clean
from ventwright.record.pdf_blocks import HEAVY, THIN, Look, section_bands
from ventwright.record.pdf_card import card_bands
from ventwright.record.pdf_page import FACES, Band, Paper, Pen, Placed, Type, fill_pages

TYPEFACE_PACKAGE = "fontpkg_atkinson_hyperlegible"

MARGINS = (54.0, 48.0, 40.0)
"""Side, top and bottom margin [pt] of the record."""

CARD_MARGINS = (40.0, 28.0, 24.0)
"""The same for the card, which needs the room."""

SMALL = Type(9, 12)


@dataclass(frozen=True, slots=True)
class Attachment:
    """The job document that travels inside the PDF, and what the file says of itself."""

    content: bytes
    name: str
    made: datetime
    producer: str
    own_files: Mapping[str, bytes]

    def __post_init__(self) -> None:
        if self.made.utcoffset() is None:
            raise Refused(
                Refusal(
                    "has no offset from UTC",
                    "a time with its offset, such as 2025-05-14 15:20-07:00",
                    "made",
                    self.made.isoformat(sep=" "),
                )
            )


def typeface() -> Path | None:
    """Return the folder of the record's typeface, or None where its package is not installed."""
    if find_spec(TYPEFACE_PACKAGE) is None:
        return None
    folder = Path(import_module(TYPEFACE_PACKAGE).ROOT) / "files"
    return folder if all((folder / file).is_file() for file in FACES.values()) else None


def report_pdf(
    report: Report,
    *,
    paper: Paper,
    attachment: bytes,
    attachment_name: str = "job.json",
    own_files: Mapping[str, bytes] | None = None,
    made: datetime,
    producer: str,
) -> bytes:
    """Return a report as a PDF of as many pages as it needs.

    With the typeface it is PDF/A-3B with the job as associated file; without, an ordinary PDF in the standard fonts,
    in which words stand for the signs those do not have. The same input gives the same bytes.

    Parameters
    ----------
    report
        What is printed.
    paper
        "letter" or "a4".
    attachment
        The job document, carried inside; not empty.
    attachment_name
        Its file name.
    own_files
        Equipment files of the person's own that the job names, carried inside too, by file name.
    made
        When the record was made, with its offset from UTC.
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

    References
    ----------
    ISO 19005-3:2012 (PDF/A-3), from memory; conformance is written by fpdf2.
    """
    job = Attachment(attachment, attachment_name, made, producer, own_files or {})
    with Pen(paper, typeface()) as pen:
        sheet = Sheet(pen, MARGINS, report.footer, rule=THIN)
        look = Look(
            left=sheet.side,
            width=sheet.width,
            page_body=sheet.body,
            text=Type(11, 15.5),
            cell=Type(10.5, 14),
            gap=9,
            padding=4,
            blank_line=26,
        )
        bands = [_head(report, pen, look)]
        for section in report.sections:
            bands.extend(section_bands(section, pen, look))
        sheet.draw(fill_pages(bands, sheet.body))
        return finish(pen, report.title, report.language, job)


def card_pdf(
    card: Card,
    *,
    paper: Paper,
    attachment: bytes,
    attachment_name: str = "job.json",
    own_files: Mapping[str, bytes] | None = None,
    made: datetime,
    producer: str,
) -> bytes:
    """Return a card as a PDF of one page, in the largest letters that fit it.

    Holds and takes what :func:`report_pdf` does, for a card.

    Parameters
    ----------
    card
        What is printed.
    paper
        "letter" or "a4".
    attachment
        The job document, carried inside; not empty.
    attachment_name
        Its file name.
    own_files
        Equipment files of the person's own that the job names, carried inside too, by file name.
    made
        When the card was made, with its offset from UTC.
    producer
        The program and its version.

    Returns
    -------
    bytes
        The PDF.

    Raises
    ------
    Refused
        If ``made`` has no offset from UTC, or the card's text does not fit one sheet even in small letters.

    References
    ----------
    ISO 19005-3:2012 (PDF/A-3), from memory; conformance is written by fpdf2.
    """
    job = Attachment(attachment, attachment_name, made, producer, own_files or {})
    with Pen(paper, typeface()) as pen:
        sheet = Sheet(pen, CARD_MARGINS, card.footer, rule=0.0)
        bands = card_bands(card, pen, sheet.side, sheet.width, sheet.body)
        sheet.draw(fill_pages(bands, sheet.body))
        return finish(pen, card.title, card.language, job)


class Sheet:
    """A page's margins and its footer: the footer text on the left, the page number on the right."""

    def __init__(self, pen: Pen, margins: tuple[float, float, float], footer: str, *, rule: float) -> None:
        self.pen, self.rule = pen, rule
        self.side, self.top, self.bottom = margins
        self.width = pen.width - 2 * self.side
        number_width = pen.measure("page 999 of 999", SMALL)
        self.footer = pen.lines(footer, self.width - number_width - 2 * SMALL.size, SMALL)
        self.footer_height = len(self.footer) * SMALL.line + 6
        self.body = pen.height - self.top - self.bottom - self.footer_height - 8

    def draw(self, pages: Sequence[Sequence[Placed]]) -> None:
        """Draw the pages."""
        for number, page in enumerate(pages, start=1):
            self.pen.pdf.add_page()
            for placed in page:
                if placed.band.bookmark:
                    self.pen.pdf.set_y(self.top + placed.top)
                    self.pen.pdf.start_section(clean(placed.band.bookmark).replace("\n", " "))
                placed.band.draw(self.pen, self.top + placed.top)
            self._draw_footer(f"page {number} of {len(pages)}")

    def _draw_footer(self, number: str) -> None:
        top = self.pen.height - self.bottom - self.footer_height
        if self.rule:
            self.pen.bar(self.side, top, self.width, self.rule)
        self.pen.write(self.side, top + 6, self.footer, SMALL)
        right = self.pen.width - self.side - self.pen.measure(number, SMALL)
        self.pen.write(right, top + 6, [number], SMALL)


def _head(report: Report, pen: Pen, look: Look) -> Band:
    """Return title and subtitle with a heavy rule below."""
    title_style, subtitle_style = Type(24, 29, bold=True), Type(12, 16)
    title = pen.lines(report.title, look.width, title_style)
    subtitle = pen.lines(report.subtitle, look.width, subtitle_style)
    under_title = len(title) * title_style.line + 2
    height = under_title + len(subtitle) * subtitle_style.line + 8 + HEAVY

    def draw(pen: Pen, top: float) -> None:
        pen.write(look.left, top, title, title_style)
        pen.write(look.left, top + under_title, subtitle, subtitle_style)
        pen.bar(look.left, top + height - HEAVY, look.width, HEAVY)

    return Band(height=height, draw=draw)


def finish(pen: Pen, title: str, language: str, attachment: Attachment) -> bytes:
    """Say what the file is, put the job inside and return the bytes."""
    from fpdf.prefs import ViewerPreferences

    pdf = pen.pdf
    pdf.set_title(clean(title))
    pdf.set_lang(language)
    pdf.set_producer(attachment.producer)
    pdf.set_creation_date(attachment.made)
    pdf.set_xmp_metadata(_metadata(clean(title), attachment, archival=pen.archival))
    pdf.viewer_preferences = ViewerPreferences(display_doc_title=True)
    pdf.embed_file(
        bytes=attachment.content,
        basename=attachment.name,
        mime_type="application/json",
        associated_file_relationship="SOURCE",
        desc="The job document this was printed from",
        creation_date=attachment.made,
        modification_date=attachment.made,
        compress=True,
    )
    for name, content in sorted(attachment.own_files.items()):
        pdf.embed_file(
            bytes=content,
            basename=name,
            mime_type="application/json" if name.endswith(".json") else "application/yaml",
            associated_file_relationship="SUPPLEMENT",
            desc="An equipment file of the job's own",
            creation_date=attachment.made,
            modification_date=attachment.made,
            compress=True,
        )
    return bytes(pdf.output())


def _metadata(title: str, attachment: Attachment, *, archival: bool) -> str:
    """Return the XMP packet; fpdf2's own would carry the hour of printing, and no two prints would be alike."""
    made = attachment.made.isoformat(timespec="seconds")
    conformance = "<pdfaid:part>3</pdfaid:part><pdfaid:conformance>B</pdfaid:conformance>" if archival else ""
    return f"""<x:xmpmeta xmlns:x="adobe:ns:meta/">
  <rdf:RDF xmlns:rdf="http://www.w3.org/1999/02/22-rdf-syntax-ns#">
    <rdf:Description rdf:about=""
        xmlns:dc="http://purl.org/dc/elements/1.1/"
        xmlns:xmp="http://ns.adobe.com/xap/1.0/"
        xmlns:pdf="http://ns.adobe.com/pdf/1.3/"
        xmlns:pdfaid="http://www.aiim.org/pdfa/ns/id/">
      {conformance}
      <xmp:CreateDate>{made}</xmp:CreateDate>
      <xmp:ModifyDate>{made}</xmp:ModifyDate>
      <xmp:MetadataDate>{made}</xmp:MetadataDate>
      <pdf:Producer>{escape(clean(attachment.producer), quote=False)}</pdf:Producer>
      <dc:title><rdf:Alt><rdf:li xml:lang="x-default">{escape(title, quote=False)}</rdf:li></rdf:Alt></dc:title>
    </rdf:Description>
  </rdf:RDF>
</x:xmpmeta>"""
