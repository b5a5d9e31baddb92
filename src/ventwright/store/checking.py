"""What a change would do to a job: refused where it adds a mistake, kept where the job only stays unfinished."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import Any

from ventwright.document import LARGEST
from ventwright.entry import validated
from ventwright.errors import Refusal, Refused
from ventwright.job import Job, read_job, upgraded
from ventwright.store.change import Change, value_json
from ventwright.store.folding import Folding
from ventwright.store.history import History
from ventwright.store.outside_names import refuse_outside_names
from ventwright.store.place import overlap, steps_of


@dataclass(frozen=True, slots=True)
class Checked:
    """A job with changes in it: its history, its document, and what is still missing or wrong there."""

    history: History
    document: dict[str, Any]
    refusals: tuple[Refusal, ...]


def checked(before: History, changes: Iterable[Change], beside: Path) -> Checked:
    """Return a job with changes in it, unless they add a mistake.

    A refusal that the job had before stays unsaid, and so does one that only comes to light because an earlier one
    hid it, unless it stands where something was changed. What a change only makes necessary may come later: so a standard
    can be chosen before what it asks for is known.

    Parameters
    ----------
    before
        What is known of the job.
    changes
        What a person enters.
    beside
        Folder with the equipment files that the job sees.

    Raises
    ------
    Refused
        With the refusals that are new.
    """
    new = tuple(changes)
    after = before.plus(*new)
    document = after.document
    refuse_outside_names(document)
    refusals = refusals_of(document, beside)
    if not refusals:
        return Checked(after, document, ())
    earlier = before.document
    known = {_compared(one, before.folding) for one in refusals_of(earlier, beside)}
    added = [one for one in refusals if not one.missing and _compared(one, after.folding) not in known]
    if known and added and _hides(earlier, beside):
        added = [one for one in added if _touched(one, new, after)]
    if added:
        raise Refused(*added)
    return Checked(after, document, refusals)


def refusals_of(document: dict[str, Any], beside: Path) -> tuple[Refusal, ...]:
    """Return what is missing or wrong in a document; what was found is remembered."""
    text = value_json(document)
    if len(text) > LARGEST:
        return (Refusal("is too large", f"a job of at most {LARGEST // 1_000_000} MB"),)
    return _refusals(text, beside)


@lru_cache(maxsize=64)
def _refusals(text: str, beside: Path) -> tuple[Refusal, ...]:
    from json import loads

    try:
        read_job(loads(text), beside=beside)
    except Refused as refused:
        return refused.refusals
    return ()


def _compared(refusal: Refusal, folding: Folding) -> tuple[str, str, str]:
    """Return what makes two refusals the same; an item of a list is the same wherever it has moved to."""
    try:
        place = folding.stored_place(refusal.where)
    except Refused:
        place = refusal.where
    return place, refusal.problem, refusal.given


def _hides(document: dict[str, Any], beside: Path) -> bool:
    """Whether what is wrong in a document keeps the rest of it from being looked at."""
    if any(not one.where or one.where.startswith("facts") for one in refusals_of(document, beside)):
        return True
    try:
        validated(Job, upgraded(document))
    except Refused:
        return True
    return False


def _touched(refusal: Refusal, changes: Sequence[Change], after: History) -> bool:
    """Whether a refusal stands where something was changed, or where an undone change had been."""
    by_id = {change.id: change for change in after.changes}
    touched = [by_id.get(one.value, one) if one.do == "undo" else one for one in changes]
    try:
        steps = steps_of(after.folding.stored_place(refusal.where))
    except Refused:
        return True
    return any(overlap(one.steps, steps) for one in touched)
