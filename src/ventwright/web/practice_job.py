"""A job on the practice roof as the store keeps it, and one played by somebody who takes every piece of advice."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from datetime import datetime, timedelta
from typing import Any

from ventwright.job import Worked, read_job, work
from ventwright.quantity import System
from ventwright.readings.fault_finding import COMPLAINT, NOBODY, measurement_named
from ventwright.readings.practice.code import PracticeCode
from ventwright.readings.practice.end import Ended, how_it_ended
from ventwright.readings.practice.hidden import hidden_unit
from ventwright.readings.practice.opening import practice_facts
from ventwright.readings.practice.shown import Shown, measured, roof_of
from ventwright.verdict.diagnose import Diagnosis, Found, diagnosing
from ventwright.verdict.diagnose.diagnosis import LIKELY
from ventwright.verdict.diagnose.slices import saying
from ventwright.version import VERSION
from ventwright.web.work import Steps

MOST = 40
"""Entries after which the player gives up (our own assumption)."""
READ_AGAIN = 2
"""Measurements that are taken again after a repair: those that spoke most for it (our own assumption)."""
SURE = 0.97
"""Chance that nothing is wrong from which the player packs up (our own assumption). [-]"""
BEGUN = datetime.fromisoformat("2026-06-01T08:00-05:00")
"""When the player begins; nothing hangs on it."""


def practice_document(code: PracticeCode, system: System, *, job: str) -> dict[str, Any]:
    """Make the document of a job on the practice roof."""
    return {
        "schema_version": 1,
        "id": job,
        "invented": True,
        "practice": str(code),
        "units": system,
        "made_with": f"ventwright {VERSION}",
        "facts": practice_facts(code),
    }


def complaint_of(code: PracticeCode) -> str:
    """Return what somebody inside says, by its id; "none" where nobody complains."""
    return hidden_unit(code).complaint or NOBODY


def typed(value: Shown, system: System = "us") -> str:
    """Return what an instrument shows as a person types it."""
    return value if isinstance(value, str) else value.show(system)


@dataclass(slots=True)
class Hands:
    """Somebody at the unit: enters what the pages would enter, and knows nothing else of it."""

    code: PracticeCode
    document: dict[str, Any]
    taken: list[str] = field(default_factory=list)
    """Measurements since the last repair."""
    again: list[str] = field(default_factory=list)
    """Measurements to take again, since they spoke for what was repaired."""

    def look(self) -> Worked:
        """Work the job out as the pages do."""
        return work(read_job(self.document))

    def enter(self, **entry: Any) -> None:
        """Put one more entry in the job."""
        entries = self.document["readings"]["entries"]
        at = BEGUN + timedelta(minutes=10 * (len(entries) + 1))
        entries.append({"id": f"e{len(entries) + 1}", "at": at.isoformat(), "visit": "visit-1", **entry})

    def read(self, worked: Worked, named: str) -> None:
        """Take a measurement and enter what the instruments show."""
        one = measurement_named(named)
        roof = roof_of(str(self.code), worked.job.facts, worked.plan, worked.job.readings)
        shown: Mapping[str, Shown] = measured(roof, one)
        self.enter(
            what="fault finding",
            measurement=named,
            found=[{"reads": reads, "value": typed(value)} for reads, value in shown.items()],
        )
        self.taken.append(named)

    def repair(self, fault: Found) -> None:
        """Put a fault right; what spoke for it is read again after it."""
        self.enter(what="repaired", of=fault.id)
        heavy = sorted(fault.evidence, key=lambda one: -one.log_likelihood_ratio)
        spoke = [
            one.measurement
            for one in heavy
            if one.log_likelihood_ratio > 0.0 and one.measurement in self.taken
        ]
        self.again = list(dict.fromkeys(spoke))[:READ_AGAIN]
        self.taken.clear()


def hands(code: PracticeCode) -> Hands:
    """Send somebody to a practice roof, who first asks what people inside say."""
    document = practice_document(code, "us", job="played")
    visit = {"id": "visit-1", "started": BEGUN.isoformat(), "technician": "Player (invented)"}
    document["readings"] = {"visits": [visit], "entries": []}
    made = Hands(code, document)
    made.enter(what="fault finding", measurement=COMPLAINT, found=[{"value": complaint_of(code)}])
    return made


def played(code: PracticeCode) -> Steps[Ended]:
    """Play a practice roof taking the advice every time: what to read next, what is likely, and reading again.

    A fault that is held likelier than not is looked at itself, then put right. It ends where nothing that is left says
    anything more, or where nothing is wrong any more as far as anybody can tell.
    """
    at_unit = hands(code)
    for number in range(MOST):
        yield number, MOST
        worked = at_unit.look()
        if at_unit.again:
            at_unit.read(worked, at_unit.again.pop(0))
            continue
        thinking = diagnosing(worked.job.facts, worked.plan, worked.job.readings)
        found = yield from saying(thinking, (number, MOST))
        if not _next(at_unit, worked, found):
            break
    return how_it_ended(hidden_unit(code), at_unit.look().job.readings)


def _before_repair(found: Diagnosis, top: Found, taken: Sequence[str]) -> str:
    """Name what is read before a likely fault is repaired: what tells it from its rival, and what shows it by itself."""
    for told in found.not_told:
        if top.id in told.faults and told.without and told.without not in taken:
            return told.without
    return "" if not top.proof or set(top.proof) & set(taken) else top.proof[0]


def _next(at_unit: Hands, worked: Worked, found: Diagnosis) -> bool:
    """Do what the diagnosis advises; False where there is nothing left to do."""
    top = found.faults[0] if found.faults else None
    if top is not None and top.probability > LIKELY:
        first = _before_repair(found, top, at_unit.taken)
        if first:
            at_unit.read(worked, first)
        else:
            at_unit.repair(top)
        return True
    if found.next_measurement is None or found.nothing_wrong >= SURE:
        return False
    at_unit.read(worked, found.next_measurement.id)
    return True
