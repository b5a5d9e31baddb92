"""What is printed, as an independent reader (pypdf) finds it: text, pages, fonts, attachment, what the file says it is.

Paper: ISO 216 (A4, 210 mm × 297 mm) and ANSI/ASME Y14.1 (letter, 8.5 in × 11 in). Identification as PDF/A-3B:
ISO 19005-3:2012, 6.6.4; associated files: the same, 6.8 (sections from memory).
"""

from __future__ import annotations

import io
import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path
from runpy import run_path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from pypdf import PdfReader

from ventwright.record import pdf
from ventwright.record.content import (
    Blanks,
    Card,
    Notice,
    Pairs,
    Paragraph,
    Report,
    Section,
    Table,
    Tone,
)
from ventwright.record.pdf_page import Paper

SAMPLE_FILE = Path(__file__).parents[1] / "shells" / "record_sample.py"
SAMPLE = run_path(str(SAMPLE_FILE))
JOB: bytes = SAMPLE["JOB"]
MADE = SAMPLE["MADE"]
PRODUCER: str = SAMPLE["PRODUCER"]

# ISO 216 and ANSI/ASME Y14.1, in points of 1/72 inch; a hundredth is how finely the file writes it.
PAPERS: dict[Paper, tuple[float, float]] = {
    "letter": (612.0, 792.0),
    "a4": (210 / 25.4 * 72, 297 / 25.4 * 72),
}
PDFAID = "{http://www.aiim.org/pdfa/ns/id/}"
DUBLIN_CORE = "{http://purl.org/dc/elements/1.1/}"
RDF = "{http://www.w3.org/1999/02/22-rdf-syntax-ns#}"


@pytest.fixture
def standard_fonts(monkeypatch: pytest.MonkeyPatch) -> None:
    """Hide the typeface, as on a machine that does not have its package."""
    monkeypatch.setattr(pdf, "typeface", lambda: None)


def print_report(report: Report, paper: Paper = "letter") -> PdfReader:
    """Print a report and open it."""
    return PdfReader(
        io.BytesIO(pdf.report_pdf(report, paper=paper, attachment=JOB, made=MADE, producer=PRODUCER))
    )


def print_card(card: Card, paper: Paper = "letter") -> PdfReader:
    """Print a card and open it."""
    return PdfReader(
        io.BytesIO(pdf.card_pdf(card, paper=paper, attachment=JOB, made=MADE, producer=PRODUCER))
    )


def squeezed(text: str) -> str:
    """Return a text without any white space: where lines end is the printer's business."""
    return re.sub(r"\s+", "", text)


def all_text(reader: PdfReader) -> str:
    """Return the text of all pages, squeezed."""
    return "".join(squeezed(page.extract_text()) for page in reader.pages)


def texts_of(report: Report) -> Iterator[str]:
    """Yield every text that a report holds."""
    yield from (report.title, report.subtitle, report.footer)
    for section in report.sections:
        yield section.title
        for block in section.blocks:
            match block:
                case Paragraph(text) | Notice(_, text):
                    yield text
                case Pairs(rows):
                    yield from (text for row in rows for text in row)
                case Table(columns, rows, _, caption):
                    yield caption
                    yield from columns
                    yield from (text for row in rows for text in row)
                case Blanks(columns):
                    yield from columns


def font_dictionaries(reader: PdfReader) -> list[Any]:
    """Return every font the pages use, a composite font's descendant in its stead."""
    found = {}
    for page in reader.pages:
        resources: Any = page["/Resources"]
        for name, reference in resources.get("/Font", {}).items():
            font = reference.get_object()
            found[name] = font["/DescendantFonts"][0].get_object() if "/DescendantFonts" in font else font
    return list(found.values())


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("system", ["us", "si"])
def test_every_text_of_the_report_is_on_paper(paper: Paper, system: str) -> None:
    """Each title, cell, pair, notice and paragraph is found again, signs and all."""
    report = SAMPLE["sample_report"](system)
    text = all_text(print_report(report, paper))
    assert [missing for missing in texts_of(report) if squeezed(missing) not in text] == []


@pytest.mark.parametrize("paper", PAPERS)
def test_paper_has_its_size(paper: Paper) -> None:
    """Report and card are as large as the paper that was asked for, on every page."""
    readers = [
        print_report(SAMPLE["sample_report"]("us"), paper),
        print_card(SAMPLE["sample_card"]("us"), paper),
    ]
    for page in (page for reader in readers for page in reader.pages):
        assert (float(page.mediabox.width), float(page.mediabox.height)) == pytest.approx(
            PAPERS[paper], abs=0.01
        )


@pytest.mark.parametrize("kind", ["report", "card"])
def test_the_job_travels_inside(kind: str) -> None:
    """The attachment comes out byte for byte, as the associated source file of the document."""
    reader = (
        print_report(SAMPLE["sample_report"]("us"))
        if kind == "report"
        else print_card(SAMPLE["sample_card"]("us"))
    )
    assert reader.attachments == {"job.json": [JOB]}
    catalog: Any = reader.trailer["/Root"]
    (specification,) = [reference.get_object() for reference in catalog["/AF"]]
    assert specification["/AFRelationship"] == "/Source"
    assert specification["/UF"] == specification["/F"] == "job.json"
    embedded = specification["/EF"]["/F"].get_object()
    assert embedded["/Subtype"] == "/application/json"
    assert "/ModDate" in embedded["/Params"]


@pytest.mark.parametrize("kind", ["report", "card"])
def test_the_file_says_pdf_a_3b(kind: str) -> None:
    """Part 3, conformance B, its title, its language, and what an archive asks for: identifier and colour intent."""
    thing = SAMPLE[f"sample_{kind}"]("us")
    reader = print_report(thing) if kind == "report" else print_card(thing)
    catalog: Any = reader.trailer["/Root"]
    packet = ET.fromstring(catalog["/Metadata"].get_object().get_data())  # noqa: S314  (our own output)
    assert [element.text for element in packet.iter(f"{PDFAID}part")] == ["3"]
    assert [element.text for element in packet.iter(f"{PDFAID}conformance")] == ["B"]
    (title,) = packet.iter(f"{DUBLIN_CORE}title")
    assert [element.text for element in title.iter(f"{RDF}li")] == [thing.title]
    assert list(packet.iter(f"{DUBLIN_CORE}creator")) == []
    assert catalog["/Lang"] == "en"
    assert catalog["/OutputIntents"][0].get_object()["/S"] == "/GTS_PDFA1"
    identifier: Any = reader.trailer["/ID"]
    assert len(identifier) == 2
    assert "/Encrypt" not in reader.trailer
    assert reader.pdf_header == "%PDF-1.7"


def test_every_font_is_inside() -> None:
    """Each font the pages use has its outlines embedded, as PDF/A asks."""
    for reader in (print_report(SAMPLE["sample_report"]("si")), print_card(SAMPLE["sample_card"]("si"))):
        fonts = font_dictionaries(reader)
        names = {font["/BaseFont"].split("+")[1] for font in fonts}
        assert names == {"AtkinsonHyperlegible", "AtkinsonHyperlegibleBold"}
        for font in fonts:
            assert len(font["/FontDescriptor"]["/FontFile2"].get_object().get_data()) > 1000


@pytest.mark.usefixtures("standard_fonts")
def test_standard_fonts_serve_without_the_typeface() -> None:
    """Without the typeface an ordinary PDF opens, claims no archive, has the job inside, and says signs in words."""
    reader = print_report(SAMPLE["sample_report"]("us"))
    assert {font["/BaseFont"] for font in font_dictionaries(reader)} == {"/Helvetica", "/Helvetica-Bold"}
    assert reader.attachments == {"job.json": [JOB]}
    catalog: Any = reader.trailer["/Root"]
    assert b"<pdfaid:" not in catalog["/Metadata"].get_object().get_data()
    assert "/OutputIntents" not in catalog
    assert reader.metadata is not None
    assert reader.metadata.title == SAMPLE["sample_report"]("us").title
    assert reader.metadata.author is None
    text = " ".join(" ".join(page.extract_text().split()) for page in reader.pages)
    assert "Needs at least 23 °F" in text
    assert "10 kohm at 25 °C" in text
    assert "“Proved by simulation”" in text
    assert "with difference 16.0 °F" in text


@pytest.mark.usefixtures("standard_fonts")
def test_a_card_in_standard_fonts_is_one_page() -> None:
    """The card fits in the wider standard letters too."""
    assert len(print_card(SAMPLE["sample_card"]("si"), "letter").pages) == 1


@pytest.mark.parametrize("embedded", [True, False])
def test_no_text_can_stop_the_printer(embedded: bool, monkeypatch: pytest.MonkeyPatch) -> None:
    """Other scripts, emoji, halves of pairs, control characters and nothing at all print as something."""
    if not embedded:
        monkeypatch.setattr(pdf, "typeface", lambda: None)
    odd = "漢字 Привет 🙂 \ud800 \x00\x07 \u200b\u202e e\u0301 ﬁ ½ ₂ \t tab\r\nline\u2028sep ’ end"
    blocks = (
        Paragraph(odd),
        Notice(Tone.CAUTION, odd),
        Pairs(((odd, odd), ("", ""))),
        Table((odd, ""), ((odd, odd), ("", "")), (1, 0.01), odd),
        Table(("only a head",), (), (1,)),
        Blanks((odd,), 0),
        Paragraph(""),
    )
    report = Report(odd, "", (Section(odd, blocks), Section("", ())), odd, language="en")
    assert "end" in print_report(report).pages[0].extract_text()


PRINT_BOTH = f"""
import hashlib, sys
from runpy import run_path
import ventwright.record.pdf as printer
assert "fpdf" not in sys.modules, "fpdf2 is imported too early"
sample = run_path({str(SAMPLE_FILE)!r})
how = dict(paper="a4", attachment=sample["JOB"], made=sample["MADE"], producer=sample["PRODUCER"])
for typeface in (printer.typeface, lambda: None):
    printer.typeface = typeface
    for made in (printer.report_pdf(sample["sample_report"]("si"), **how), printer.card_pdf(sample["sample_card"]("si"), **how)):
        assert made.startswith(b"%PDF-")
        print(hashlib.sha256(made).hexdigest())
"""

WITHOUT_PILLOW = """
import sys
class NoPillow:
    def find_spec(self, name, path=None, target=None):
        if name.split(".")[0] == "PIL":
            raise ModuleNotFoundError(f"No module named {name!r}", name=name)
sys.meta_path.insert(0, NoPillow())
"""


def run_python(code: str, **variables: str) -> str:
    """Run a program in a fresh interpreter in which a warning is an error."""
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", code],
        capture_output=True,
        text=True,
        check=False,
        env={**os.environ, **variables},
    )
    assert done.returncode == 0, done.stderr
    assert done.stderr == ""
    return done.stdout


def test_prints_alike_anywhere_and_without_pillow() -> None:
    """Same input, same bytes: another hash seed, another time zone, with Pillow or without, and no warning."""
    here = run_python(PRINT_BOTH, PYTHONHASHSEED="1", TZ="UTC")
    there = run_python(
        WITHOUT_PILLOW + PRINT_BOTH + 'assert "PIL" not in sys.modules', PYTHONHASHSEED="2", TZ="Asia/Tokyo"
    )
    assert here == there
    assert len(set(here.split())) == 4
