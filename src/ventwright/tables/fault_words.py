"""Faults as people say them: from the words of the diagnosis to the id of a fault, and back."""

from __future__ import annotations

from ventwright.tables.fault_prior import fault_prior
from ventwright.tables.procedure import MaskingFault, fault_or_step, step_words, steps


def fault_id(given: str) -> str:
    """Return the id of a fault, or of a step, that is given by its words; whatever else is given stays as it is."""
    called = {row.words: row.id for row in fault_prior().faults}
    called |= {step_words(id_): id_ for id_ in steps()}
    said = " ".join(given.casefold().split())
    return next((id_ for words, id_ in called.items() if words.casefold() == said), given)


def fault_words(given: str) -> str:
    """Say what was repaired: a fault of the diagnosis, one of the tests, or a step, given by its id or name.

    Raises
    ------
    Refused
        It is none of these.
    """
    known = {row.id: row.words for row in fault_prior().faults}
    if given in known:
        return known[given]
    what = fault_or_step(given)
    return what.name if isinstance(what, MaskingFault) else step_words(what.id)
