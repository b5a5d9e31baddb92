"""How the record and the card fill their pages: heads repeated, rows whole, titles with their text, one sheet a card."""

from __future__ import annotations

import io
import re
from dataclasses import replace
from pathlib import Path
from runpy import run_path
from typing import Any

import pytest
from pypdf import PdfReader
from pypdf.generic import Destination

from ventwright.record import pdf
from ventwright.record.content import Card, Notice, Pairs, Paragraph, Report, Section, Table, Tone
from ventwright.record.pdf_page import Paper

SAMPLE = run_path(str(Path(__file__).with_name("record_sample.py")))
JOB: bytes = SAMPLE["JOB"]
MADE = SAMPLE["MADE"]
PRODUCER: str = SAMPLE["PRODUCER"]
PAPERS: tuple[Paper, ...] = ("letter", "a4")


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


def sizes_of(reader: PdfReader) -> dict[str, list[float]]:
    """Return the type sizes [pt] of each piece of text on the first page, the smallest first."""
    sizes: dict[str, list[float]] = {}

    def visit(text: str, _cm: Any, _tm: Any, _font: Any, size: float) -> None:
        for line in text.split("\n"):
            if line.strip():
                sizes[line.strip()] = sorted([*sizes.get(line.strip(), []), size])

    reader.pages[0].extract_text(visitor_text=visit)
    return sizes


def test_pages_are_counted() -> None:
    """Each page carries its number, the count and the footer."""
    report = SAMPLE["sample_report"]("us")
    pages = print_report(report).pages
    assert len(pages) > 4
    for number, page in enumerate(pages, start=1):
        text = squeezed(page.extract_text())
        assert f"page{number}of{len(pages)}" in text
        assert squeezed(report.footer) in text


def test_a_table_has_its_head_on_every_page_and_whole_rows() -> None:
    """A table of 100 rows repeats its head, and what belongs to one row stays on one page."""
    report = SAMPLE["sample_report"]("us", trend_rows=100)
    pages = [squeezed(page.extract_text()) for page in print_report(report).pages]
    table = next(b for s in report.sections for b in s.blocks if isinstance(b, Table) and len(b.rows) == 100)
    head = squeezed("".join(table.columns))
    placed = [next(n for n, page in enumerate(pages) if squeezed("".join(row)) in page) for row in table.rows]
    assert placed == sorted(placed)
    assert len(set(placed)) > 2
    for number in sorted(set(placed)):
        assert head in pages[number]
    for number in sorted(set(placed))[1:]:
        assert pages[number].startswith(squeezed(f"{table.caption} (continued)") + head)


def test_a_cell_longer_than_a_page_is_carried_on() -> None:
    """A cell, a pair and a notice of more than a page lose no word."""
    words = " ".join(f"w{number}" for number in range(1500))
    blocks = (
        Table(("Short", "Long"), (("a", words),), (1, 2), "Long cells"),
        Pairs((("Label", words.replace("w", "x")),)),
        Notice(Tone.INFO, words.replace("w", "y")),
        Paragraph(words.replace("w", "z")),
    )
    reader = print_report(Report("Long", "", (Section("Long", blocks),), "foot"))
    tokens = set(re.findall(r"[wxyz]\d+", " ".join(page.extract_text() for page in reader.pages)))
    assert {f"{letter}{number}" for letter in "wxyz" for number in range(1500)} <= tokens


def test_small_tables_are_not_parted() -> None:
    """Six pairs stay on one page wherever the page before them ends."""
    pairs = Pairs(tuple((f"label{number}", f"value{number}") for number in range(6)))
    for lines in range(30, 42):
        filler = Paragraph("\n".join(f"line {number}" for number in range(lines)))
        reader = print_report(Report("T", "", (Section("S", (filler, pairs)),), "foot"))
        holding = [page for page in reader.pages if "label" in page.extract_text()]
        assert len(holding) == 1


def test_a_section_title_is_not_left_alone() -> None:
    """A title stands on the page of what follows it, wherever the page before ends."""
    for lines in range(24, 46):
        filler = Paragraph("\n".join(f"line {number}" for number in range(lines)))
        follower = Table(("Head",), (("first row",),), (1,), "Caption")
        reader = print_report(
            Report("T", "", (Section("S", (filler,)), Section("Lonely", (follower,))), "foot")
        )
        (page,) = [page.extract_text() for page in reader.pages if "Lonely" in page.extract_text()]
        assert "first row" in page


def test_a_section_starts_a_page_where_told() -> None:
    """The section marked so begins the page; the outline leads to it."""
    reader = print_report(SAMPLE["sample_report"]("us"))
    outline = {
        item.title: reader.get_destination_page_number(item)
        for item in reader.outline
        if isinstance(item, Destination)
    }
    assert list(outline) == [section.title for section in SAMPLE["sample_report"]("us").sections]
    number = outline["Wiring"]
    assert number is not None
    assert reader.pages[number].extract_text().startswith("Wiring")


@pytest.mark.parametrize("paper", PAPERS)
@pytest.mark.parametrize("system", ["us", "si"])
def test_a_full_card_is_one_page_in_letters_for_an_arms_length(paper: Paper, system: str) -> None:
    """Ten settings, four airflows, four sensors, three notices: text of 12 points, values of 18 and bold, one page."""
    card = SAMPLE["sample_card"](system)
    reader = print_card(card, paper)
    assert len(reader.pages) == 1
    sizes = sizes_of(reader)
    for line in (*card.settings, *card.airflow, *card.sensors):
        assert sizes[line.value][-1] >= 18  # common practice, no published source
        if "₂" not in line.label:  # which the typeface does not have
            assert sizes[line.label][0] >= 12
    text = squeezed(reader.pages[0].extract_text())
    for part in (card.title, card.subtitle, *card.purpose, *(notice.text for notice in card.notices)):
        assert squeezed(part) in text
    for column in ("What changed", "Old", "New", "Date", "Initials"):
        assert squeezed(column) in text


def test_a_short_card_is_set_larger() -> None:
    """A card of few lines uses the room for larger letters."""
    full = SAMPLE["sample_card"]("us")
    short = replace(full, settings=full.settings[:3], airflow=(), sensors=full.sensors[:1], notices=())
    value = full.settings[0].value
    assert sizes_of(print_card(short))[value] > sizes_of(print_card(full))[value]


def test_an_overfull_card_still_is_one_page() -> None:
    """Four settings too many come out smaller, not on a second sheet."""
    full = SAMPLE["sample_card"]("us")
    reader = print_card(replace(full, settings=full.settings + full.settings[:4]))
    assert len(reader.pages) == 1
    assert sizes_of(reader)[full.settings[0].value][0] < 18


@pytest.mark.parametrize("lines", range(1, 15))
def test_a_card_of_any_length_is_one_page(lines: int) -> None:
    """From one setting to fourteen, the sheet that was measured is the sheet that comes out."""
    full = SAMPLE["sample_card"]("si")
    settings = (full.settings * 2)[:lines]
    assert len(print_card(replace(full, settings=settings), "a4").pages) == 1


def test_a_report_of_nothing_has_one_page() -> None:
    """A report without a section is one page with its title."""
    (page,) = print_report(Report("Nothing yet", "", (), "foot")).pages
    assert "Nothing yet" in page.extract_text()
