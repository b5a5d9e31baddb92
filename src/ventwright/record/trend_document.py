"""What a log shows of one unit for programs: SI, units in the key names, times in UTC."""

from __future__ import annotations

from typing import Any

from ventwright.readings.trend import Counts
from ventwright.record.trend_words import moment
from ventwright.verdict.trend_compared import compared
from ventwright.verdict.trend_findings import KnownUnit
from ventwright.verdict.trend_judged import Judged
from ventwright.words import plain


def unit_document(judged: Judged, known: KnownUnit | None = None) -> dict[str, Any]:
    """Return what was found of one unit; what a job knows of it is compared."""
    found: dict[str, Any] = plain(judged.found)
    for one in found["findings"]:
        one |= {end: moment(one[end]) for end in ("first", "last")}
    for one in found["states"]:
        one |= {end: moment(one[end]) for end in ("start", "end")}
    found |= {"first": moment(judged.first), "last": moment(judged.last), "rows": rows(judged.counts)}
    if known is not None:
        found["as_left"] = plain(compared(known, judged.found.observed))
    return found


def rows(counts: Counts) -> dict[str, Any]:
    """Return what became of the lines of a log."""
    return {
        "read": counts.rows,
        "kept": counts.kept,
        "dropped": counts.dropped,
        "out_of_order": counts.out_of_order,
    }
