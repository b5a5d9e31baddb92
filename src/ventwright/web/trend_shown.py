"""What logs show of the unit of a job, made as a piece of work and kept as plain data: sentences, rows and drawings.

What is kept is what the page shows, in both systems of units, so that it is there when the logs are not any more.
"""

from __future__ import annotations

from base64 import b64decode, b64encode
from collections.abc import Sequence
from datetime import datetime
from pathlib import Path
from typing import Any
from zlib import compress, decompress

from ventwright.document import read_document
from ventwright.entry import validated
from ventwright.errors import Refused
from ventwright.quantity import System
from ventwright.readings.trend import REASONS, PointMap, Understood, look
from ventwright.record.html import report_html
from ventwright.record.trend_pictures import pictures
from ventwright.record.trend_report import trend_report
from ventwright.record.trend_words import day, hours_words
from ventwright.tables.caution import cautions
from ventwright.tables.measurement import measurements
from ventwright.verdict.trend_compared import compared
from ventwright.verdict.trend_findings import KnownUnit, TrendFinding, rule_set
from ventwright.verdict.trend_judged import Judged, has_columns, judging_unit
from ventwright.verdict.trend_known import known_in_log
from ventwright.web.work import Steps
from ventwright.words import in_words

SYSTEMS: tuple[System, System] = ("us", "si")

MAP = "points.yaml"
"""Name under which the point map of a job is kept among its own files."""

WHOLE = 1000
"""Into how many parts the work is counted."""

READING = 900
"""How many of them are the reading; the rest is judging and drawing, which says nothing on the way."""


CLOCK = "No time zone was given: the clock of the logs is taken as it is, without summer time."


def map_of(text: str) -> PointMap:
    """Read a point map as it is kept; nothing said where none is kept."""
    if not text:
        return PointMap()
    data, lines = read_document(text, MAP)
    return validated(PointMap, data, lines=lines, inside=MAP)


def looked(paths: Sequence[Path], text: str) -> Understood:
    """Look at logs with what is said of them so far.

    Raises
    ------
    Refused
        None of them can be read.
    """
    return look(paths, map_of(text))


def judging_log(understood: Understood, unit: str, known: KnownUnit, made: datetime) -> Steps[dict[str, Any]]:
    """Judge one unit of a log, as a piece of work, and return what the pages show of it."""
    steps = judging_unit(understood, unit, rule_set(), known, columns=has_columns())
    yield 0, WHOLE
    while True:
        try:
            step = next(steps)
        except StopIteration as ended:
            judged: Judged = ended.value
            break
        yield int(READING * step.done / max(1, step.total)), WHOLE
    yield READING, WHOLE
    return shown(judged, known, made, _remarks(understood))


def _remarks(understood: Understood) -> list[str]:
    """Say what was taken for granted; options of the command line are no help on a page."""
    kept = [one for one in understood.remarks if "--" not in one]
    return kept if understood.zone else [*kept, CLOCK]


def shown(judged: Judged, known: KnownUnit, made: datetime, remarks: Sequence[str]) -> dict[str, Any]:
    """Return what is shown of a unit, as plain data."""
    reports = {
        system: report_html(trend_report([judged], {judged.unit: known}, system, remarks), made=made)
        for system in SYSTEMS
    }
    return {
        "unit": judged.unit,
        "on": f"{made:%Y-%m-%d}",
        "first": day(judged.first, judged.zone),
        "last": day(judged.last, judged.zone),
        "logged": hours_words(judged.found.hours_logged),
        "rows": f"{judged.counts.rows:,}",
        "left_out": [[REASONS[reason], f"{count:,}"] for reason, count in judged.counts.dropped.items()],
        "remarks": [*judged.found.assumed, *remarks],
        "sound": [one.replace("_", " ") for one in judged.found.sound],
        **{system: _in_units(judged, known, system) for system in SYSTEMS},
        "report": {system: packed(text) for system, text in reports.items()},
    }


def packed(text: str) -> str:
    """Return a long text as short letters."""
    return b64encode(compress(text.encode(), 9)).decode()


def unpacked(held: str) -> str:
    """Return the text again."""
    return decompress(b64decode(held)).decode()


def _in_units(judged: Judged, known: KnownUnit, system: System) -> dict[str, Any]:
    found, zone = judged.found, judged.zone
    return {
        "findings": [_finding(one, zone, system) for one in found.findings],
        "cannot_tell": [
            {"words": one.words, "why": one.reason.show(system), "settle": one.settle_by.show(system)}
            for one in found.cannot_tell
        ],
        "as_left": [
            {
                "what": one.what.show(system),
                "verdict": one.verdict.value,
                "sentence": one.sentence.show(system),
                "settle": "" if one.shortfall is None else one.shortfall.settle_by.show(system),
            }
            for one in compared(known, found.observed)
        ],
        "pictures": [
            {"svg": one.svg, "words": one.words, "columns": one.columns, "rows": one.rows}
            for one in pictures(found, known, zone, system)
        ],
    }


def _finding(one: TrendFinding, zone: str | None, system: System) -> dict[str, Any]:
    following = one.next_measurement
    return {
        "words": one.words,
        "chance": in_words(one.probability),
        "first": day(one.first, zone),
        "last": day(one.last, zone),
        "judged": hours_words(one.hours_judged),
        "logged": hours_words(one.hours_logged),
        "does": one.consequence.sentence.show(system),
        "next": {
            "id": following.measurement if following.measurement in _offered() else "",
            "sentence": following.sentence,
            "minutes": round(following.minutes),
            "why": following.why,
            "cautions": [each.text for each in cautions() if each.stage == following.caution],
        },
        "evidence": [
            [each.sentence.show(system), hours_words(each.hours_shown), hours_words(each.hours_judged), str(each.days), each.source]
            for each in one.evidence
        ],
    }  # fmt: skip


def _offered() -> frozenset[str]:
    return frozenset(one.id for one in measurements().offered)


def unit_of(understood: Understood, tag: str, said: str) -> str:
    """Return which unit of a log is that of the job: the one a person named, of its tag, or the only one; else nothing."""
    if said in understood.units:
        return said
    try:
        return next(iter(known_in_log(understood.units, tag, KnownUnit())))
    except Refused:
        return ""
