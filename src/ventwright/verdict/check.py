"""One check: what was held against what, and how it came out."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import Any

from ventwright.evidence import Chances, Estimate, Limits, Shortfall, Verdict, probability_within, verdict
from ventwright.words import OR_NO_KEY, Amount, Words


@dataclass(frozen=True, slots=True)
class Check:
    """The outcome of one check. ``shortfall`` is there exactly where the verdict cannot be told."""

    id: str
    what: Words
    verdict: Verdict
    sentence: Words
    estimate: Amount | None = field(default=None, metadata=OR_NO_KEY)
    at_least: Amount | None = field(default=None, metadata=OR_NO_KEY)
    at_most: Amount | None = field(default=None, metadata=OR_NO_KEY)
    probability_within: float | None = None
    shortfall: Shortfall | None = None
    readings: tuple[str, ...] = ()


def cannot_tell(
    id_: str, what: Words, shortfall: Shortfall, *, readings: tuple[str, ...] = (), **more: Any
) -> Check:
    """Build a check that these readings cannot settle."""
    return Check(
        id_, what, Verdict.CANNOT_TELL, shortfall.sentence, shortfall=shortfall, readings=readings, **more
    )


def held_against(
    id_: str, what: Words, estimate: Amount, at_least: Amount, at_most: Amount, sentence: Words, shortfall: Shortfall,
    *, readings: tuple[str, ...] = (),
) -> Check:  # fmt: skip
    """Judge an estimate; ``shortfall`` says why where it cannot be told."""
    known, limits = (
        Estimate(estimate.value, estimate.uncertainty or 0.0),
        Limits(at_least.value, at_most.value),
    )
    outcome, probability = verdict(known, limits), probability_within(known, limits)
    if outcome is Verdict.CANNOT_TELL or (outcome is Verdict.FAILS and not _surely_beyond(known, limits)):
        return cannot_tell(
            id_, what, shortfall, readings=readings, estimate=estimate, at_least=at_least, at_most=at_most,
            probability_within=probability,
        )  # fmt: skip
    return Check(id_, what, outcome, sentence, estimate, at_least, at_most, probability, None, readings)


@dataclass(frozen=True, slots=True)
class EstimateAgainstLimits:
    """An estimate between two limits, with the chances of how its true value lies to them."""

    chances: Chances
    estimate: Amount
    at_least: Amount
    at_most: Amount


def judged(
    id_: str,
    what: Words,
    held: EstimateAgainstLimits,
    sentence: Words,
    shortfall: Shortfall,
    *,
    readings: tuple[str, ...] = (),
) -> Check:
    """Judge an estimate by its chances, whatever its distribution; ``shortfall`` says why where it cannot be told."""
    outcome = held.chances.verdict
    of_held: dict[str, Any] = {
        "estimate": held.estimate, "at_least": held.at_least, "at_most": held.at_most,
        "probability_within": held.chances.within, "readings": readings,
    }  # fmt: skip
    if outcome is Verdict.CANNOT_TELL:
        return cannot_tell(id_, what, shortfall, **of_held)
    return Check(id_, what, outcome, sentence, **of_held)


def _surely_beyond(known: Estimate, limits: Limits) -> bool:
    """Whether the true value lies beyond one named end: where next to nothing is known, little lies within any band."""
    ends = (Limits(at_least=limits.at_least), Limits(at_most=limits.at_most))
    return any(verdict(known, end) is Verdict.FAILS for end in ends)
