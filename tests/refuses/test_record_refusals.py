"""What the printer refuses, and in what words."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime
from pathlib import Path
from runpy import run_path

import pytest

from ventwright.errors import Refused
from ventwright.record.pdf import card_pdf, report_pdf

SAMPLE = run_path(str(Path(__file__).parents[1] / "shells" / "record_sample.py"))


def test_a_time_without_offset() -> None:
    """A time that could be anyone's noon is refused: the archive would carry the printer's own zone."""
    with pytest.raises(Refused) as caught:
        report_pdf(
            SAMPLE["sample_report"]("us"),
            paper="letter",
            attachment=b"{}",
            made=datetime(2025, 5, 14, 15, 20),  # noqa: DTZ001  (just what is refused)
            producer="test",
        )
    assert str(caught.value) == (
        'made: "2025-05-14 15:20:00" has no offset from UTC; '
        "accepted: a time with its offset, such as 2025-05-14 15:20-07:00."
    )


def test_a_card_that_no_sheet_holds() -> None:
    """Eighty settings are no card."""
    card = SAMPLE["sample_card"]("us")
    with pytest.raises(Refused) as caught:
        card_pdf(
            replace(card, settings=card.settings * 8),
            paper="letter",
            attachment=b"{}",
            made=SAMPLE["MADE"],
            producer="test",
        )
    assert str(caught.value) == (
        'card: "R-2 · Larkspur Row" has more text than one sheet holds; '
        "accepted: fewer or shorter lines; the record has room for the rest."
    )
