"""The second story of the demo: a job as it stood before and after each repair, by the commands that anybody would use.

Nothing of it is told beforehand: each moment is the job cut off there, and all that is shown is worked out from it.
"""

from __future__ import annotations

from collections.abc import Iterable
from datetime import datetime
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.cli import show

if TYPE_CHECKING:
    from ventwright.job import Job, Worked
    from ventwright.quantity import System
    from ventwright.readings import Noted
    from ventwright.store import Kept
    from ventwright.verdict.prove import Retest


def show_complaint(kept: Kept, system: System) -> None:
    """Show a job with repairs: what was likely, what the ledger said, what each repair opened again, how it ended.

    Parameters
    ----------
    kept
        The job, as far as it went.
    system
        Units to show.
    """
    from ventwright.job import work
    from ventwright.readings import Repaired

    shown: datetime | None = None
    for repair in kept.job.readings.standing(Repaired):
        before = _as_it_stood(kept.job, repair.at, including=False)
        _entered(before, shown, system)
        _asked_for(before, kept.beside)
        _likely(work(before, kept.beside), system)
        after = work(_as_it_stood(kept.job, repair.at, including=True), kept.beside)
        show.heading(f"{repair.at:%Y-%m-%d %H:%M}  {repair.subject(system)}")
        _again(after, repair.id)
        shown = repair.at
    _entered(kept.job, shown, system)
    ended = work(kept.job, kept.beside)
    _likely(ended, system)
    _ledger(ended, system)
    _verdict(ended, system)


def _as_it_stood(job: Job, moment: datetime, *, including: bool) -> Job:
    """Cut a job off at a moment."""
    entries = [one for one in job.readings.entries if one.at < moment or (including and one.at == moment)]
    visits = [one for one in job.readings.visits if one.started <= moment]
    readings = job.readings.model_copy(update={"entries": tuple(entries), "visits": tuple(visits)})
    return job.model_copy(update={"readings": readings})


def _entered(job: Job, since: datetime | None, system: System) -> None:
    entries: Iterable[Noted] = job.readings.entries
    show.heading("Entered")
    show.table(("when", "what was entered"), [
        (f"{one.at:%Y-%m-%d %H:%M}", one.summary(system)) for one in entries if since is None or one.at > since
    ])  # fmt: skip


def _asked_for(job: Job, beside: Path) -> None:
    """What was thought before the last measurement, and which one was asked for."""
    from ventwright.job import work
    from ventwright.readings import FaultFinding
    from ventwright.verdict.diagnose import diagnose
    from ventwright.words import chance

    last = job.readings.standing(FaultFinding)[-1]
    earlier = _as_it_stood(job, last.at, including=False)
    found = diagnose(earlier.facts, work(earlier, beside).plan, earlier.readings)
    thought = "; ".join(f"{one.words} {chance(one.probability)}" for one in found.faults[:3])
    asked = "nothing" if found.next_measurement is None else found.next_measurement.what
    show.line(f"\nAt {last.at:%H:%M}, before the last measurement: {thought}. Asked for: {asked}.")


def _likely(worked: Worked, system: System) -> None:
    """What `ventwright diagnose` says; and `ventwright ledger`, where a change was not proved put back."""
    from ventwright.cli.diagnose import print_diagnosis
    from ventwright.verdict.diagnose import diagnose

    found = diagnose(worked.job.facts, worked.plan, worked.job.readings)
    print_diagnosis(worked, found, system, evidence=False)
    if worked.verdicts.not_closed:
        _ledger(worked, system)


def _ledger(worked: Worked, system: System) -> None:
    from ventwright.cli.ledger import print_ledger
    from ventwright.verdict.forgotten import all_forgetting

    costs = all_forgetting(worked.job.facts, worked.plan, worked.job.readings)
    print_ledger(worked.verdicts.ledger, costs, system)


def _again(worked: Worked, repair: str) -> None:
    """What `ventwright prove` asks to be done again since a repair, test by test, each with its reason."""
    from ventwright.verdict.prove import prove

    job = worked.job
    proof = prove(job.facts, worked.plan, job.readings, worked.verdicts)
    by_test: dict[str, list[Retest]] = {}
    for one in proof.steps:
        for again in one.retest:
            if again.reading == repair:
                by_test.setdefault(one.planned.test, []).append(again)
    show.table(("to do again", "steps", "why"), [
        (test.replace("_", " "), ", ".join(one.step.partition(".")[2].replace("_", " ") for one in again), str(again[0].why.text))
        for test, again in by_test.items()
    ])  # fmt: skip


def _verdict(worked: Worked, system: System) -> None:
    from ventwright.cli.verdict import print_verdicts

    print_verdicts(worked.verdicts, system, passing=False)
