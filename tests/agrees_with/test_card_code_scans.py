"""The card's code read back from the printed page by an independent decoder (zxing-cpp, page rendered by pypdfium2)."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, datetime
from importlib.resources import as_file, files
from typing import Literal

import pypdfium2
import pytest
import zxingcpp

from ventwright.job import Worked, record_of, work
from ventwright.record.card_code import CUT, MOST_BYTES
from ventwright.store import load

MADE = datetime(2026, 11, 25, 12, tzinfo=UTC)
SCAN = 150 / 72
"""Dots per point: 150 dots an inch, less than a phone's camera sees at arm's length."""


@pytest.fixture(scope="module")
def demo() -> Worked:
    """The invented demo job, worked."""
    with as_file(files("ventwright.cli").joinpath("demo_job", "larkspur-row-r-2.yaml")) as path:
        return work(load(path).job)


def scanned(
    worked: Worked, paper: Literal["letter", "a4"] = "letter", system: Literal["us", "si"] = "us"
) -> str:
    """Text of the code on the printed card."""
    card = record_of(worked, made=MADE, paper=paper, system=system)["card.pdf"]
    document = pypdfium2.PdfDocument(card)
    picture = document[0].render(scale=SCAN).to_pil()
    document.close()
    found = zxingcpp.read_barcodes(picture)

    assert len(found) == 1
    return str(found[0].text)


@pytest.mark.parametrize("paper", ["letter", "a4"])
def test_the_code_holds_settings_and_baseline(demo: Worked, paper: Literal["letter", "a4"]) -> None:
    """Every setting as left, the airflow at each speed with its verdict, and the last temperatures are in the code."""
    lines = scanned(demo, paper).split("\n")

    assert lines[0] == "Ventwright card 1"
    assert "unit R-2" in lines
    assert {line for line in lines if line.startswith("set ")} >= {
        "set Fresh-air opening, fan fast = 21 %",
        "set Outdoor air too warm above = 75 F",
    }
    assert [line.split(" = ")[0] for line in lines if line.startswith("air ")] == ["air high", "air low"]
    assert lines[-1] == "read high 21 % = outdoor 36.1 °F, return 72.8 °F, mixed 62.6 °F"


def test_the_code_speaks_the_units_of_the_card(demo: Worked) -> None:
    """In SI the computed numbers are in SI; settings stand as the controller shows them."""
    text = scanned(demo, system="si")

    assert "need 527 L/s" in text
    assert "outdoor 2.3 °C" in text


def test_a_long_text_is_cut_and_says_so(demo: Worked) -> None:
    """A name far too long costs the last lines, not the code."""
    site = demo.job.facts.site.model_copy(update={"name": "Long " * 60})
    facts = demo.job.facts.model_copy(update={"site": site})
    text = scanned(replace(demo, job=demo.job.model_copy(update={"facts": facts})))

    assert len(text.encode()) <= MOST_BYTES
    assert text.endswith(CUT)
