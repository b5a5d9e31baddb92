"""One comparison of shares of outdoor air, and how it turns into a probability."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from ventwright.tables.fault_rule import Figures
from ventwright.verdict.trend_findings.pool import ClassShare, Days, Pool
from ventwright.verdict.trend_findings.shape import COVERAGE, KnownUnit

IMPOSSIBLE = 0.15
"""A share so far below 0 or above 1 says that sensors are wrong, not what the damper does (our own assumption); where its
expanded uncertainty is larger, that. [-]"""
SPREAD = 0.01
"""Of what is compared beyond what is reckoned: no model is perfect (our own assumption). [-]"""


@dataclass(frozen=True, slots=True)
class Candidate:
    """A fault that some days may show."""

    fault: str
    what: str
    """What was compared: a sentence with {share} and {other}."""
    effect: float
    """Beyond the sound damper that is nearest. [-]"""
    u: float
    ln_odds: float
    """Natural logarithm of how many times likelier the fault makes the shares."""
    named: bool
    """Whether the effect is beyond doubt."""
    share: float
    other: float
    signal: float
    hours: float
    difference: float
    """Outdoor and return air apart. [K]"""
    classes: tuple[int, ...]
    """Of the signal, that were compared."""
    probability: float = 0.0
    days: int = 0
    """Pooled."""
    first: int = 0
    last: int = 0


def between(
    fault: str, what: str, effect: float, u: float, ln_odds: float, named: bool, pool: Pool, pair: tuple[int, int]
) -> Candidate:  # fmt: skip
    """Return what the comparison of two classes of signal says."""
    low, high = (pool.classes[name] for name in pair)
    return Candidate(
        fault, what, effect, u, ln_odds, named, high.share, low.share, high.signal, high.hours + low.hours,
        (low.difference * low.hours + high.difference * high.hours) / (low.hours + high.hours), pair,
    )  # fmt: skip


def at_one(
    fault: str, what: str, effect: float, u: float, ln_odds: float, named: bool, one: ClassShare, usual: float
) -> Candidate:  # fmt: skip
    """Return what one class of signal says beside what is usual."""
    return Candidate(
        fault,
        what,
        effect,
        u,
        ln_odds,
        named,
        one.share,
        usual,
        one.signal,
        one.hours,
        one.difference,
        (one.name,),
    )


def probability(prior: float, ln_odds: float, figures: Figures) -> float:
    """Return the chance of a fault by its prior and the evidence. [-]"""
    most = figures.days.most_evidence
    total = math.log(prior / (1.0 - prior)) + min(max(ln_odds, -most), most)
    return min(figures.named.most, 1.0 / (1.0 + math.exp(-total)))


def ln_beyond(effect: float, u: float) -> float:
    """Logarithm of how much likelier a faulty damper shows such an effect than a sound one does by chance.

    Half of the faulty ones show less; of the sound ones as many show more as lie beyond in a normal distribution.
    """
    tail = 0.5 * math.erfc(effect / (math.hypot(u, SPREAD) * math.sqrt(2.0)))
    return math.log(0.5 / max(tail, 1e-30))


def accepted_share(one: ClassShare, known: KnownUnit, figures: Figures) -> float:
    """Share that sensors may feign which are off by all that energy codes accept. [-]

    It counts for the sensors of which no accuracy is known: the mixed one in full, of return and outdoor air each as its
    air has part in the mixed air.
    """
    inside = min(max(one.share, 0.0), 1.0)
    parts = {"mixed_temperature": 1.0, "return_temperature": 1.0 - inside, "outdoor_temperature": inside}
    off = sum(part for name, part in parts.items() if name not in known.sensor_accuracy)
    return off * figures.accuracy.accepted / one.difference


def stretch(one: Candidate, chance: float, days: Days, start: int, end: int) -> Candidate:
    """Say over which days something was compared, and how probable that makes it."""
    allowed = max(IMPOSSIBLE, COVERAGE * one.u)
    named = one.named and all(-allowed <= share <= 1.0 + allowed for share in (one.share, one.other))
    first, last = days.span(start, end, one.classes) if named else (0, 0)
    return replace(one, named=named, probability=chance, days=end - start, first=first, last=last)


def worth_keeping(found: Sequence[Candidate]) -> list[Candidate]:
    """Return what is named, the surest first, and of every other fault what comes nearest to it."""
    named = sorted((one for one in found if one.named), key=lambda one: (-one.probability, one.first))
    nearest: dict[str, Candidate] = {}
    for one in found:
        known = nearest.get(one.fault)
        if not one.named and (known is None or one.effect / one.u > known.effect / known.u):
            nearest[one.fault] = one
    return [*named, *nearest.values()]
