"""After a repair: which steps the fault may have masked, and why they are to be done again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from ventwright.evidence import Shortfall
from ventwright.plan.functional_tests import PlannedStep
from ventwright.readings import Readings, Repaired, SupplyAir
from ventwright.tables.procedure import MaskingFault, fault_or_step, relied_on, step_words
from ventwright.verdict.check import Check, cannot_tell
from ventwright.words import Words, words


@dataclass(frozen=True, slots=True)
class Retest:
    """One step that is to be done again, since a repair, and why."""

    step: str
    repaired: str
    since: datetime
    why: Words
    reading: str
    """Id of the entry of the repair."""


def retests(planned: Sequence[PlannedStep], readings: Readings) -> tuple[Retest, ...]:
    """List the steps that repairs ask for, in the order of the work."""
    repairs = readings.standing(Repaired)
    return tuple(found for one in planned for repair in repairs for found in _of(one, repair))


def _of(one: PlannedStep, repair: Repaired) -> Iterator[Retest]:
    what = fault_or_step(repair.of)
    if isinstance(what, MaskingFault):
        if what.hides(one.step):
            yield Retest(one.id, what.name, repair.at, Words(what.why), repair.id)
    elif one.step.id == what.id:
        why = Words("it failed, and what it failed by was repaired")
        yield Retest(one.id, step_words(what.id), repair.at, why, repair.id)
    elif what.id in relied_on(one.step):
        why = words(
            "it relies on {step}, which did not hold while this was read", step=Words(step_words(what.id))
        )
        yield Retest(one.id, step_words(what.id), repair.at, why, repair.id)


def times_of(ids: Sequence[str], readings: Readings) -> list[datetime]:
    """Return when the readings behind a check were taken; the supply airflow does not change with the damper's faults."""
    return [entry.at for entry in readings.entries if entry.id in ids and not isinstance(entry, SupplyAir)]


def masked(check: Check, since: Sequence[Retest]) -> Check:
    """Return a check whose readings are of before these repairs: they are no longer a proof."""
    repair = since[-1]
    sentence = words(
        "read before the repair of {what}, which may have masked it: {why}",
        what=Words(repair.repaired), why=repair.why,
    )  # fmt: skip
    shortfall = Shortfall(
        "step.before_repair",
        sentence,
        Words("do this step again; take back readings of before that still count"),
    )
    return cannot_tell(check.id, check.what, shortfall, readings=check.readings)
