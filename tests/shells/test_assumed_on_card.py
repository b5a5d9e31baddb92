"""An airflow that was only assumed is never printed as if the spaces needed it."""

from __future__ import annotations

from datetime import UTC, datetime

from ventwright.job import read_job, record_of, subject_of, work
from ventwright.record.card import build_card
from ventwright.record.card_code import card_text

FACTS = {
    "site": {"name": "Nowhere (invented)", "county": "Cook", "state": "IL"},
    "unit": {"tag": "R-1", "cooling_capacity": "10 ton"},
    "kit": "two-speed-dry-bulb",
}


def test_card_and_its_code_say_that_the_airflow_is_assumed() -> None:
    worked = work(read_job({"id": "x", "invented": True, "facts": FACTS}))
    subject = subject_of(worked, "us")
    assert "(assumed: the spaces were not entered)" in build_card(subject).purpose[0]
    assert "cfm, assumed" in card_text(subject)
    assert record_of(worked, made=datetime(2026, 11, 30, tzinfo=UTC))["card.pdf"].startswith(b"%PDF")
