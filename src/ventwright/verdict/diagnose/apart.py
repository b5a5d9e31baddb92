"""Which faults no offered measurement tells apart, and which measurement would."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from math import log2

from ventwright.tables.measurement import Measurement
from ventwright.verdict.diagnose.likelihood import ELSE, Foreseen
from ventwright.verdict.diagnose.signature import Case, Signatures

TELLS_APART = 0.1
"""Information about which of two faults is there, both as likely before, from which a measurement tells them apart: our own
assumption. [bit]"""
LOOKED_AT = 8
"""Variations of the unit on which two faults are compared."""


def tells_apart(
    known: Signatures, one: Sequence[int], other: Sequence[int], measurement: Measurement
) -> float:
    """Information of a measurement about which of two sets of faults is there, both as likely before.

    Parameters
    ----------
    known
        Signatures of the situation.
    one, other
        Places of the faults of either set.
    measurement
        That is offered.

    Returns
    -------
    float
        0 where they look the same, 1 where they never do. [bit]

    References
    ----------
    Mutual information of two hypotheses and an outcome: Jensen-Shannon divergence (Lin, 1991; from memory).
    """
    first, second = (_outcomes(known, tuple(faults), measurement) for faults in (one, other))
    found = 0.0
    for outcome in first.keys() | second.keys():
        chances = (first.get(outcome, 0.0), second.get(outcome, 0.0))
        middle = 0.5 * sum(chances)
        found += sum(0.5 * chance * log2(chance / middle) for chance in chances if chance > 0.0)
    return found


def _outcomes(known: Signatures, faults: tuple[int, ...], measurement: Measurement) -> dict[Foreseen, float]:
    found: dict[Foreseen, float] = {}
    for number in range(LOOKED_AT):
        left = 1.0
        for outcome, chance in known.foreseen(Case(faults, number, guessed=len(faults) > 1), measurement):
            found[outcome] = found.get(outcome, 0.0) + chance / LOOKED_AT
            left -= chance
        found[ELSE] = found.get(ELSE, 0.0) + left / LOOKED_AT
    return found


def best_to_tell(
    known: Signatures, one: int, other: int, taken: Collection[str] = ()
) -> tuple[Measurement, float] | None:
    """Return the measurement, of those not taken, that tells two faults best apart, and how well; None where none does."""
    left = [measurement for measurement in known.offered if measurement.id not in taken]
    found = [(tells_apart(known, (one,), (other,), measurement), measurement) for measurement in left]
    information, best = max(found, key=lambda each: each[0], default=(0.0, None))
    return None if best is None or information < TELLS_APART else (best, information)


def alike(known: Signatures) -> tuple[tuple[int, ...], ...]:
    """Groups of faults that no offered measurement tells apart: each is one class.

    Parameters
    ----------
    known
        Signatures of the situation; every state is worked out for ``LOOKED_AT`` variations of the unit.

    Returns
    -------
    tuple
        Places of the faults, only groups of two and more.

    References
    ----------
    Less than ``TELLS_APART`` in every measurement: our own assumption.
    """
    groups: list[list[int]] = []
    for fault in range(len(known.hypotheses.rows)):
        own = next((group for group in groups if _same(known, group[0], fault)), None)
        if own is None:
            groups.append([fault])
        else:
            own.append(fault)
    return tuple(tuple(group) for group in groups if len(group) > 1)


def _same(known: Signatures, one: int, other: int) -> bool:
    return all(
        tells_apart(known, (one,), (other,), measurement) < TELLS_APART for measurement in known.offered
    )
