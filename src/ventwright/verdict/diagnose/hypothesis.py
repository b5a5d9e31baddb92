"""What may be wrong with a unit: nothing, one fault or two, each in several severities on several variations of the unit."""

from __future__ import annotations

from dataclasses import dataclass
from random import Random

from ventwright.plan.software_fault import can_have
from ventwright.tables.fault_prior import FaultPrior, FaultRow, fault_prior
from ventwright.verdict.diagnose.roof import Situation


@dataclass(frozen=True, slots=True)
class Hypothesis:
    """A set of faults, as places in the list of faults that the unit can have."""

    faults: tuple[int, ...]
    probability: float
    """Before anything is read. [-]"""


@dataclass(frozen=True, slots=True)
class Hypotheses:
    """Every set of faults that is thought of for a unit."""

    rows: tuple[FaultRow, ...]
    sets: tuple[Hypothesis, ...]

    def place(self, fault: str) -> int | None:
        """Place of a fault in the list, or nothing where the unit cannot have it."""
        return next((place for place, row in enumerate(self.rows) if row.id == fault), None)


def hypotheses(situation: Situation) -> Hypotheses:
    """Build the sets of faults that a unit can have, with their first probabilities.

    Parameters
    ----------
    situation
        Unit and settings say which faults it can have.

    Returns
    -------
    Hypotheses
        None, each single fault, each pair that can come together; probabilities add up to 1.

    References
    ----------
    Probabilities: ``tables/priors/faults.toml``, with their sources; two faults come together as if by chance: our own
    assumption.
    """
    prior = fault_prior()
    able = [
        (row, share)
        for row, share in zip(prior.faults, prior.shares, strict=True)
        if can_have(row, situation.unit, situation.settings)
    ]
    rows, shares = tuple(row for row, _ in able), [share for _, share in able]
    whole = sum(shares)
    pairs = {
        (first, second): shares[first] * shares[second]
        for second in range(len(rows))
        for first in range(second)
        if _together(rows[first], rows[second])
    }
    of_pairs = sum(pairs.values())
    sets = [Hypothesis((), prior.none)]
    sets += [Hypothesis((place,), prior.one * share / whole) for place, share in enumerate(shares)]
    sets += [Hypothesis(pair, prior.two * share / of_pairs) for pair, share in pairs.items()]
    return Hypotheses(rows, tuple(sets))


def _together(one: FaultRow, other: FaultRow) -> bool:
    return not one.excludes or one.excludes != other.excludes


def draws(fault: str, variation: int) -> tuple[float, float]:
    """Two numbers from 0 to 1 for a fault on one variation: the first few of them already lie far apart.

    Parameters
    ----------
    fault
        Its id: each has a beginning of its own.
    variation
        Which.

    Returns
    -------
    tuple of two floats
        [-]

    References
    ----------
    Sequences of van der Corput and Halton in bases 2 and 3, shifted by a random number (from memory).
    """
    dice = Random(f"severity {fault}")  # noqa: S311 - no secret: the same fault has to give the same numbers
    return (
        (_mirrored(variation + 1, 2) + dice.random()) % 1.0,
        (_mirrored(variation + 1, 3) + dice.random()) % 1.0,
    )


def _mirrored(number: int, base: int) -> float:
    value, digit = 0.0, 1.0
    while number:
        digit /= base
        number, rest = divmod(number, base)
        value += digit * rest
    return value


def complaint_likelihood(prior: FaultPrior, rows: tuple[FaultRow, ...], complaint: str, known: int) -> float:
    """Probability of a complaint from somebody whose unit has these faults.

    Parameters
    ----------
    prior
        How complaints come about.
    rows
        The faults.
    complaint
        Its id, or nothing for a routine visit.
    known
        Number of complaints that there are.

    Returns
    -------
    float
        [-]

    References
    ----------
    our own assumption: half of the complaints fit a fault that is there.
    """
    if not complaint:
        return prior.complaint_none + (0.0 if rows else prior.complaint_fitting)
    fitting = [complaint in row.complaints and 1.0 / len(row.complaints) for row in rows]
    own = prior.complaint_fitting * sum(fitting) / len(rows) if rows else 0.0
    return own + prior.complaint_other / known
