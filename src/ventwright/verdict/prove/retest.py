"""After a repair: which steps the fault may have masked, and why they are to be done again."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import datetime

from ventwright.plan.functional_tests import PlannedStep
from ventwright.readings import Readings, Repaired
from ventwright.tables.procedure import MaskingFault, Step, fault_or_step, steps
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
        yield Retest(one.id, what.id, repair.at, why, repair.id)
    elif what.id in relied_on(one.step):
        why = words("it relies on {step}, which did not hold while this was read", step=Words(what.id))
        yield Retest(one.id, what.id, repair.at, why, repair.id)


def relied_on(step: Step) -> frozenset[str]:
    """Return every step that one relies on, at whatever remove."""
    known, found, open_ = steps(), set[str](), list(step.after)
    while open_:
        following = open_.pop()
        if following not in found:
            found.add(following)
            open_ += known[following].after
    return frozenset(found)
