"""The record as a page: sound HTML, accessible structure, nothing fetched, everything escaped."""

from __future__ import annotations

import re
import subprocess
import sys
from collections import Counter
from html.parser import HTMLParser
from itertools import pairwise
from pathlib import Path
from runpy import run_path

import pytest

from ventwright.record.content import Report, Section, Table
from ventwright.record.html import report_html

SAMPLE = run_path(str(Path(__file__).with_name("record_sample.py")))
VOID = {"meta", "col", "br", "link", "img", "input", "hr"}


class Page(HTMLParser):
    """The page taken apart: elements with their attributes, texts, and whether every element is closed in order."""

    def __init__(self, text: str) -> None:
        super().__init__(convert_charrefs=True)
        self.open: list[str] = []
        self.elements: list[tuple[str, dict[str, str | None]]] = []
        self.texts: list[str] = []
        self.inside: dict[int, list[str]] = {}  # number of a table -> tags seen in it
        self.faults: list[str] = []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        """Note an element."""
        self.elements.append((tag, dict(attrs)))
        repeated = [name for name, count in Counter(name for name, _ in attrs).items() if count > 1]
        self.faults += [f"{tag} has {name} twice" for name in repeated]
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        """Note the end of an element."""
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> closes something else")

    def handle_data(self, data: str) -> None:
        """Note a text."""
        self.texts.append(data)

    def all(self, tag: str) -> list[dict[str, str | None]]:
        """Return the attributes of every element of one kind."""
        return [attributes for name, attributes in self.elements if name == tag]


@pytest.fixture(scope="module", params=["us", "si"])
def report(request: pytest.FixtureRequest) -> Report:
    """Return the invented record in either unit system."""
    made: Report = SAMPLE["sample_report"](request.param)
    return made


@pytest.fixture(scope="module")
def text(report: Report) -> str:
    """Return the page as written."""
    return report_html(report, made=SAMPLE["MADE"])


@pytest.fixture(scope="module")
def page(text: str) -> Page:
    """Return the page taken apart."""
    return Page(text)


def test_every_element_is_closed_in_order(page: Page, text: str) -> None:
    """The page is balanced, begins as HTML5 and says its language and character set."""
    assert page.faults == []
    assert page.open == []
    assert text.lstrip().startswith("<!DOCTYPE html>")
    assert page.all("html") == [{"lang": "en"}]
    assert {"charset": "utf-8"} in page.all("meta")
    assert {"name": "viewport", "content": "width=device-width, initial-scale=1"} in page.all("meta")


def test_headings_go_down_one_step_at_a_time(page: Page, report: Report) -> None:
    """One heading for the record, one below it for each section, none skipped."""
    levels = [int(tag[1]) for tag, _ in page.elements if re.fullmatch(r"h[1-6]", tag)]
    assert levels.count(1) == 1
    assert levels.count(2) == len(report.sections)
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_every_table_has_a_caption_and_scoped_heads(text: str) -> None:
    """A table names itself, its columns and its rows for whoever hears it instead of seeing it."""
    tables = re.findall(r"<table.*?</table>", text, re.DOTALL)
    assert len(tables) == 5
    for table in tables:
        part = Page(table)
        assert len(part.all("caption")) == 1
        assert re.search(r"<caption[^>]*>\s*\S", table)
        heads = part.all("th")
        assert heads
        assert {head.get("scope") for head in heads} <= {"col", "row"}
        assert sum(head.get("scope") == "col" for head in heads) >= 1


def test_rows_are_labelled_where_they_are_stacked(page: Page) -> None:
    """On a phone each cell says its column; the label is the column's heading."""
    labels = {attributes["data-label"] for attributes in page.all("td") if "data-label" in attributes}
    assert {"Found", "Limit", "Verdict", "Command"} <= labels


def test_a_cell_is_one_piece(text: str) -> None:
    """Label and cell stand side by side as two pieces; a cell of several would be torn apart on a phone."""
    cells = re.findall(r"<td[^>]*data-label[^>]*>(.*?)</td>", text)
    assert len(cells) > 500
    for cell in cells:
        assert re.fullmatch(r"<span>(?:[^<]|<span class=\"q\">[^<]*</span>)*</span>", cell)


def test_every_text_is_there_and_escaped(page: Page, text: str, report: Report) -> None:
    """Angle brackets, ampersands, quotation marks and braces come through as text, never as markup."""
    seen = re.sub(r"\s+", " ", "".join(page.texts))
    assert "page {nb} of {{ pages }} <script>alert('x')</script> ${x}" in seen
    assert "<not a make>" in seen
    assert "disconnect & lock" in seen
    assert "<script" not in text
    assert "<not" not in text
    for section in report.sections:
        for block in section.blocks:
            if isinstance(block, Table):
                for cell in (cell for row in block.rows for cell in row):
                    assert re.sub(r"\s+", " ", cell) in seen


def test_markup_in_every_place_is_escaped() -> None:
    """Title, subtitle, footer, captions, heads and labels are escaped too."""
    evil = "\"><b id='x'>&"
    table = Table((evil, evil), ((evil, evil),), (1, 1), evil)
    made = report_html(
        Report(evil, evil, (Section(evil, (table,)),), evil, language="en"), made=SAMPLE["MADE"]
    )
    part = Page(made)
    assert part.faults == []
    assert part.all("b") == []
    # title twice, subtitle, section in the contents and above its table, caption, two heads, two cells, footer
    assert "".join(part.texts).count(evil) == 11
    assert [cell["data-label"] for cell in part.all("td")] == [evil]


def test_nothing_is_fetched_and_nothing_runs(page: Page, text: str) -> None:
    """No script, no picture, no style sheet, font or page from anywhere; links lead within the page."""
    tags = {tag for tag, _ in page.elements}
    assert not tags & {"script", "img", "link", "iframe", "object", "embed", "base", "form", "video", "audio"}
    attributes = [name for _, found in page.elements for name in found]
    assert not [name for name in attributes if name.startswith("on") or name in {"src", "srcset", "action"}]
    style = re.search(r"<style>(.*?)</style>", text, re.DOTALL)
    assert style is not None
    assert "url(" not in style[1]
    assert "@import" not in style[1]
    assert "//" not in text.replace("<!DOCTYPE html>", "")
    targets = {str(link["href"]) for link in page.all("a")}
    identifiers = {f"#{found['id']}" for _, found in page.elements if "id" in found}
    assert targets <= identifiers


def test_the_first_link_skips_to_the_record(page: Page) -> None:
    """Who goes by the keyboard need not pass the contents."""
    assert page.all("a")[0]["href"] == "#record"
    assert {"id": "record", "tabindex": "-1"} in page.all("main")


def test_notices_say_their_tone_in_a_word(text: str) -> None:
    """Each notice begins with its word, and has a shape of its own beside it."""
    words = re.findall(r'<p class="notice ([a-z-]+)"><strong>([^<]+)</strong>', text)
    assert Counter(words) == Counter(
        {
            ("caution", "Caution"): 1,
            ("not-proved", "Not proved"): 1,
            ("fails", "Fails"): 1,
            ("note", "Note"): 1,
        }
    )
    for rule in (
        ".notice.fails { border-left-style: double",
        ".notice.not-proved { border-left-style: dashed",
    ):
        assert rule in text


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb (WCAG 2.2, definition of relative luminance)."""
    full = colour * 2 if len(colour) == 3 else colour
    if len(colour) == 3:
        full = "".join(c * 2 for c in colour)
    channels = [int(full[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def test_contrast_is_enough_for_the_weakest_eyes(text: str) -> None:
    """Every colour but the paper's stands at 7 to 1 or more on it (WCAG 2.2, success criterion 1.4.6)."""
    colours = set(re.findall(r"#([0-9a-f]{6}|[0-9a-f]{3})\b", text.split("</style>", maxsplit=1)[0]))
    paper = "fff"
    assert paper in colours
    inks = colours - {paper}
    assert inks
    for ink in inks:
        assert (luminance(paper) + 0.05) / (luminance(ink) + 0.05) >= 7


def test_numbers_keep_their_units_and_plain_spaces(text: str) -> None:
    """A number and its unit are one run for the browser, and still found by a search for plain text."""
    assert "\N{NO-BREAK SPACE}" not in text
    assert re.search(r'<span class="q">10 kΩ</span> at <span class="q">25 °C</span>', text)


def test_it_says_when_it_was_made(text: str) -> None:
    """Time and offset stand at the foot, for people and for programs."""
    assert '<time datetime="2025-05-14T15:20:00-07:00">2025-05-14 15:20 UTC-07:00</time>' in text


def test_jinja_comes_late() -> None:
    """Importing the renderer does not import the template engine."""
    code = "import sys, ventwright.record.html; sys.exit('jinja2' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0
