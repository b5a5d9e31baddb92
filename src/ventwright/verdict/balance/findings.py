"""What the readings say besides airflow: a damper that does not follow, probes crossed, readings that contradict each other."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ventwright.evidence import ACCEPTED_RISK
from ventwright.physics.inference import Follows, Observation, Posterior, condition
from ventwright.quantity import FRACTION
from ventwright.readings import MixedAir
from ventwright.verdict.balance.observed import Observed
from ventwright.words import Amount, Words, words

UNLIKELY = 0.002
"""Chance of a reading as far out as it is, given the others, below which it contradicts them: our own choice. [-]"""


APART = 0.2
"""Share of stroke that the readings have to span before anything is said of how a damper follows: our own choice. [-]"""


@dataclass(frozen=True, slots=True)
class Finding:
    """Something amiss: its name, what it is, what to do, and the readings it rests on."""

    name: str
    sentence: Words
    settle_by: Words
    readings: tuple[str, ...] = ()


def findings(posterior: Posterior, observed: Sequence[Observed]) -> tuple[Finding, ...]:
    """List what is amiss.

    Parameters
    ----------
    posterior
        What all readings have taught together.
    observed
        The readings themselves, those that say nothing included.
    """
    return (*_of_damper(posterior), *_crossed(observed), *_contradicting(posterior))


def _of_damper(posterior: Posterior) -> Iterator[Finding]:
    ids = tuple(one.id for one in posterior.observations if one.speed is not None)
    signals = [one.signal for one in posterior.observations if one.speed is not None]
    if not signals or max(signals) - min(signals) < APART:
        return
    if posterior.chance(Follows.DEAD) >= 1.0 - ACCEPTED_RISK:
        yield Finding(
            "balance.damper_does_not_follow",
            Words("the share of outdoor air stays the same whatever the signal: the damper does not follow it"),
            Words("power off, hands clear: look whether the blades move with the actuator (coupling, linkage, signal at its terminals)"),
            ids,
        )  # fmt: skip
    if posterior.chance(Follows.FALLS) >= 1.0 - ACCEPTED_RISK:
        yield Finding(
            "balance.damper_reversed",
            Words("the share of outdoor air falls as the signal rises: actuator or linkage works the wrong way round"),
            Words("set the actuator's direction, or turn the linkage, and read again"),
            ids,
        )  # fmt: skip


def _crossed(observed: Sequence[Observed]) -> Iterator[Finding]:
    """Mixed air outside its streams that would lie inside if two probes were taken for each other."""
    for one in observed:
        entry = one.entry
        if (
            not isinstance(entry, MixedAir)
            or one.unusable is None
            or one.unusable.name != "airflow.mixed_outside_streams"
        ):
            continue
        cold, mixed, warm = entry.outdoor_air.value, entry.before_fan, entry.return_air.value
        nearer = "return" if abs(mixed - warm) < abs(mixed - cold) else "outdoor"
        yield Finding(
            "balance.probes_crossed",
            words("mixed air lies beyond {nearer} air, as if the probes for the two were taken for each other", nearer=Words(nearer)),
            words("hold the mixed and the {nearer} probe side by side, see which is which, and repeat this reading", nearer=Words(nearer)),
            (entry.id,),
        )  # fmt: skip


def _contradicting(posterior: Posterior) -> Iterator[Finding]:
    """The one reading that the others make most unlikely, if they do."""
    shares = [one for one in posterior.observations if one.speed is not None]
    if len(shares) < 2:
        return
    worst = min(((_tail(posterior, one), number) for number, one in enumerate(shares)), default=(1.0, 0))
    if worst[0] >= UNLIKELY:
        return
    one = shares[worst[1]]
    yield Finding(
        "balance.readings_contradict",
        words("the reading at {signal} ({speed} speed) does not go with the others", signal=Amount(one.signal, FRACTION), speed=Words(one.speed or "")),
        words("repeat the reading at {signal} first: if it comes out as before, repeat the others", signal=Amount(one.signal, FRACTION)),
        (one.id,),
    )  # fmt: skip


def _tail(posterior: Posterior, one: Observation) -> float:
    """Chance of a value as far out as this reading's, by all the others. [-]"""
    others = condition(posterior.prior, [other for other in posterior.observations if other is not one])
    belief = others.foretold(one)
    below = belief.below(one.value)
    return 2.0 * min(below, 1.0 - below) if math.isfinite(below) else 1.0
