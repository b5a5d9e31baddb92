"""How one job stands among all: what is due, what is not proved, what was not put back; kept beside it until it changes."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict, dataclass
from datetime import date
from typing import Any

from ventwright.evidence import Verdict
from ventwright.store.jobs import Listed
from ventwright.version import VERSION
from ventwright.web.desk import Desk, Opened
from ventwright.web.pages.office_site import dues

AT_ONCE = 20
"""Jobs that are worked out for one page; the others stand without figures until they are (our own choice)."""


@dataclass(frozen=True, slots=True)
class FleetLine:
    """One job: checks that pass, fail and cannot be told, changes not put back, and the first day that is due."""

    passes: int
    fails: int
    open: int
    not_back: int
    due: str
    due_what: str
    next_check: str
    signed: bool
    lacking: bool

    def is_past(self, today: date) -> bool:
        """Whether the day that is due is past."""
        return bool(self.due) and self.due < today.isoformat()


NOTHING_YET = FleetLine(0, 0, 0, 0, "", "", "", signed=False, lacking=True)


def line_of(opened: Opened, row: Listed, today: date) -> FleetLine:
    """Sum a job up."""
    worked = opened.worked
    if worked is None:
        return NOTHING_YET
    verdicts, record = worked.verdicts, worked.job.record
    first = min(dues(worked, row, today), key=lambda one: one.day, default=None)
    return FleetLine(
        passes=verdicts.counted(Verdict.PASSES),
        fails=verdicts.counted(Verdict.FAILS),
        open=verdicts.counted(Verdict.CANNOT_TELL),
        not_back=len(verdicts.not_closed),
        due=first.day.isoformat() if first else "",
        due_what=first.what if first else "",
        next_check=record.next_check,
        signed=bool(record.signatures),
        lacking=False,
    )


async def lines(desk: Desk, rows: Sequence[Listed], today: date) -> dict[str, FleetLine]:
    """Return the lines of jobs that are known, after working some of the others out."""
    found, room = dict[str, FleetLine](), AT_ONCE
    for row in rows:
        kept = _kept(await desk.jobs.setting(_name(row)), row)
        if kept is None and room:
            room -= 1
            kept = line_of(await desk.open(row.id), row, today)
            await desk.jobs.set_setting(_name(row), {"of": _mark(row), "line": asdict(kept)})
        if kept is not None:
            found[row.id] = kept
    return found


def _name(row: Listed) -> str:
    return f"fleet of {row.id}"


def _mark(row: Listed) -> str:
    return f"{row.revision} {VERSION}"


def _kept(value: Any, row: Listed) -> FleetLine | None:
    if not isinstance(value, dict) or value.get("of") != _mark(row):
        return None
    return FleetLine(**value["line"])
