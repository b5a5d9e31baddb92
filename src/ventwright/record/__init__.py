"""What stays with the owner and in the unit: record, card, accessible page and data."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import datetime
from typing import TypedDict

from ventwright.record.card import build_card
from ventwright.record.content import Card, Report
from ventwright.record.html import report_html
from ventwright.record.pdf import card_pdf, report_pdf
from ventwright.record.pdf_page import Paper
from ventwright.record.report import build_report
from ventwright.record.savings_section import owner_of
from ventwright.record.subject import Subject
from ventwright.words import plain


def write_record(subject: Subject, *, made: datetime, paper: Paper = "letter") -> dict[str, bytes]:
    """Write everything that is handed over.

    Returns
    -------
    dict
        File name to content: record.pdf and card.pdf (each carrying the job document and its own equipment files), record.html, record.json.

    Raises
    ------
    Refused
        ``made`` has no offset from UTC.
    """
    report, card = build_report(subject), build_card(subject)
    carried: _Carried = {
        "paper": paper,
        "attachment": subject.document,
        "own_files": subject.own_files,
        "made": made,
        "producer": subject.made_with,
    }
    return {
        "record.pdf": report_pdf(report, **carried),
        "card.pdf": card_pdf(card, **carried),
        "record.html": report_html(report, made=made).encode(),
        "record.json": _data(subject, made),
    }


class _Carried(TypedDict):
    """What both PDFs take besides their text."""

    paper: Paper
    attachment: bytes
    own_files: Mapping[str, bytes]
    made: datetime
    producer: str


def _data(subject: Subject, made: datetime) -> bytes:
    """Return the record for programs: the job as entered, and what was computed from it, in SI."""
    document = {
        "schema_version": subject.schema_version,
        "made": made.isoformat(timespec="seconds"),
        "made_with": subject.made_with,
        "invented": subject.invented,
        "sha256_of_job": subject.digest,
        "job": json.loads(subject.document),
        "own_files": {name: content.decode() for name, content in subject.own_files.items()},
        "plan": plain(subject.plan) | {"kit": subject.plan.kit.id},
        "verdicts": plain(subject.verdicts),
        "owner": plain(owner_of(subject)),
    }
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False).encode() + b"\n"


__all__ = ["Card", "Paper", "Report", "Subject", "build_card", "build_report", "write_record"]
