"""An estimate held against a limit: passes, fails, or cannot be told. Guard bands live here.

Whoever foretells a verdict before there is an estimate (``physics.inference``) reckons with the same accepted risk.

The estimate is taken as normally distributed about its value with its standard uncertainty, and nothing else
is assumed about the true value. It *passes* only where the probability that the true value lies within the
limits is at least 95 %, *fails* only where that probability is at most 5 %; between the two it cannot be told.
Source: JCGM 106:2012, 7.4 (conformance probability) and 8.3.2 (guarded acceptance); the 5 % is our choice.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum

from ventwright.errors import Refusal, Refused
from ventwright.words import Words

ACCEPTED_RISK = 0.05
"""Greatest probability of a wrong *passes* and of a wrong *fails*."""


class Verdict(StrEnum):
    """What the readings show."""

    PASSES = "passes"
    FAILS = "fails"
    CANNOT_TELL = "cannot_tell"

    @property
    def spoken(self) -> str:
        """The verdict as people say it."""
        return self.value.replace("_", " ")

    @property
    def listed(self) -> str:
        """The verdict in a list of many: a failure stands in capitals, so that it is seen without colour."""
        return self.spoken.upper() if self is Verdict.FAILS else self.spoken


@dataclass(frozen=True, slots=True)
class Estimate:
    """A value and its standard uncertainty, in the SI unit of whatever is estimated."""

    value: float
    uncertainty: float

    def __post_init__(self) -> None:
        """Refuse what cannot be an estimate."""
        if not (math.isfinite(self.value) and self.uncertainty >= 0.0):
            given = f"{self.value} with standard uncertainty {self.uncertainty}"
            raise Refused(
                Refusal("is no estimate", "a finite value and an uncertainty of at least 0", given=given)
            )


@dataclass(frozen=True, slots=True)
class Limits:
    """The values that are accepted, ends included; an end that is None is open."""

    at_least: float | None = None
    at_most: float | None = None

    def __post_init__(self) -> None:
        """Refuse limits that nothing could meet, and what is no limit."""
        for end in (self.at_least, self.at_most):
            if end is not None and not math.isfinite(end):
                raise Refused(
                    Refusal("is no limit", "a finite number, or None for an open end", given=str(end))
                )
        if self.at_least is not None and self.at_most is not None and self.at_least > self.at_most:
            given = f"at least {self.at_least}, at most {self.at_most}"
            raise Refused(Refusal("cannot be met", "a lower limit not above the upper one", given=given))


@dataclass(frozen=True, slots=True)
class Shortfall:
    """Why a verdict cannot be told: a stable name, a sentence, the numbers behind it, and what would settle it."""

    name: str
    sentence: Words
    settle_by: Words
    numbers: Mapping[str, float] = field(default_factory=dict)


def probability_within(estimate: Estimate, limits: Limits) -> float:
    """Probability that the true value lies within the limits.

    Parameters
    ----------
    estimate, limits
        In the same SI unit.

    Returns
    -------
    float
        Conformance probability, JCGM 106:2012, equation (11) with a normal distribution. [-]
    """
    below_upper = 1.0 if limits.at_most is None else _below(limits.at_most, estimate)
    below_lower = 0.0 if limits.at_least is None else _below(limits.at_least, estimate, end_included=False)
    return max(0.0, below_upper - below_lower)


def _below(bound: float, estimate: Estimate, *, end_included: bool = True) -> float:
    """Probability that the true value is below a bound."""
    if estimate.uncertainty == 0.0:
        return float(estimate.value < bound or (end_included and estimate.value == bound))
    return 0.5 * math.erfc((estimate.value - bound) / (estimate.uncertainty * math.sqrt(2.0)))


def verdict(estimate: Estimate, limits: Limits) -> Verdict:
    """Judge an estimate against limits, with at most 5 % risk of a wrong *passes* or *fails*."""
    probability = probability_within(estimate, limits)
    if probability >= 1.0 - ACCEPTED_RISK:
        return Verdict.PASSES
    if probability <= ACCEPTED_RISK:
        return Verdict.FAILS
    return Verdict.CANNOT_TELL


@dataclass(frozen=True, slots=True)
class Chances:
    """How the true value probably lies to two limits, whatever its distribution: below both, within, above both. [-]"""

    short: float
    within: float
    over: float

    @property
    def verdict(self) -> Verdict:
        """*passes* where within is sure enough, *fails* where one side beyond is, else *cannot tell*."""
        sure = 1.0 - ACCEPTED_RISK
        if self.within >= sure:
            return Verdict.PASSES
        return Verdict.FAILS if max(self.short, self.over) >= sure else Verdict.CANNOT_TELL


def uncertainty_that_passes(value: float, limits: Limits) -> float | None:
    """Largest standard uncertainty with which a value would pass; None where no uncertainty would do.

    Returns
    -------
    float or None
        In the unit of the value; found by bisection, since the probability falls as the uncertainty grows.
    """
    if probability_within(Estimate(value, 0.0), limits) < 1.0:
        return None
    ends = [abs(value - end) for end in (limits.at_least, limits.at_most) if end is not None]
    if not ends:
        return math.inf
    low, high = 0.0, max(ends)  # wider than the farther end, no more than 68 % can lie within
    for _ in range(60):
        middle = 0.5 * (low + high)
        if verdict(Estimate(value, middle), limits) is Verdict.PASSES:
            low = middle
        else:
            high = middle
    return low
