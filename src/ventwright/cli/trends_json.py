"""Findings in logs for programs: every unit, and how the files were read."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING, Any

from ventwright.record.trend_document import unit_document

if TYPE_CHECKING:
    from ventwright.readings.trend import Understood
    from ventwright.verdict.trend_findings import KnownUnit
    from ventwright.verdict.trend_judged import Judged


def document(
    understood: Understood, judged: Sequence[Judged], known: Mapping[str, KnownUnit]
) -> dict[str, Any]:
    """Return everything that was found."""
    return {
        "units": [unit_document(one, known.get(one.unit)) for one in judged],
        "questions": [one.sentence for one in understood.questions],
        "refused": [one.sentence for one in understood.refused],
        "remarks": list(understood.remarks),
        "zone": understood.zone,
    }
