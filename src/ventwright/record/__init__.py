"""What stays with the owner and in the unit: record, card, accessible page and data."""

from __future__ import annotations

import json
from datetime import datetime

from ventwright.record.card import build_card
from ventwright.record.content import Card, Report
from ventwright.record.html import report_html
from ventwright.record.pdf import card_pdf, report_pdf
from ventwright.record.pdf_page import Paper
from ventwright.record.report import build_report
from ventwright.record.subject import Subject
from ventwright.words import plain


def write_record(subject: Subject, *, made: datetime, paper: Paper = "letter") -> dict[str, bytes]:
    """Write everything that is handed over.

    Returns
    -------
    dict
        File name to content: record.pdf and card.pdf (each carrying the job document), record.html, record.json.

    Raises
    ------
    Refused
        ``made`` has no offset from UTC.
    """
    report, card = build_report(subject), build_card(subject)
    return {
        "record.pdf": report_pdf(
            report, paper=paper, attachment=subject.document, made=made, producer=subject.made_with
        ),
        "card.pdf": card_pdf(
            card, paper=paper, attachment=subject.document, made=made, producer=subject.made_with
        ),
        "record.html": report_html(report, made=made).encode(),
        "record.json": _data(subject, made),
    }


def _data(subject: Subject, made: datetime) -> bytes:
    """Return the record for programs: the job as entered, and what was computed from it, in SI."""
    document = {
        "schema_version": subject.schema_version,
        "made": made.isoformat(timespec="seconds"),
        "made_with": subject.made_with,
        "invented": subject.invented,
        "sha256_of_job": subject.digest,
        "job": json.loads(subject.document),
        "plan": plain(subject.plan) | {"kit": subject.plan.kit.id},
        "verdicts": plain(subject.verdicts),
    }
    return json.dumps(document, indent=2, ensure_ascii=False, allow_nan=False).encode() + b"\n"


__all__ = ["Card", "Paper", "Report", "Subject", "build_card", "build_report", "write_record"]
