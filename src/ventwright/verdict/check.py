"""One check: what was held against what, and how it came out."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ventwright.evidence import Estimate, Limits, Shortfall, Verdict, probability_within, verdict
from ventwright.words import Amount, Words


@dataclass(frozen=True, slots=True)
class Check:
    """The outcome of one check. ``shortfall`` is there exactly where the verdict cannot be told."""

    id: str
    what: Words
    verdict: Verdict
    sentence: Words
    estimate: Amount | None = None
    at_least: Amount | None = None
    at_most: Amount | None = None
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


def held_against(  # noqa: PLR0913 - a check is what it is made of
    id_: str, what: Words, estimate: Amount, at_least: Amount, at_most: Amount, sentence: Words, shortfall: Shortfall,
    *, readings: tuple[str, ...] = (), may_pass: bool = True,
) -> Check:  # fmt: skip
    """Judge an estimate; ``shortfall`` is used where it cannot be told, or where it may not pass for another reason."""
    known, limits = (
        Estimate(estimate.value, estimate.uncertainty or 0.0),
        Limits(at_least.value, at_most.value),
    )
    outcome, probability = verdict(known, limits), probability_within(known, limits)
    if outcome is Verdict.CANNOT_TELL or (outcome is Verdict.PASSES and not may_pass):
        return cannot_tell(
            id_, what, shortfall, readings=readings, estimate=estimate, at_least=at_least, at_most=at_most,
            probability_within=probability,
        )  # fmt: skip
    return Check(id_, what, outcome, sentence, estimate, at_least, at_most, probability, None, readings)
