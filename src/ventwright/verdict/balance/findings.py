"""What the readings say besides airflow: a damper that does not follow, probes crossed, readings that contradict each other."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ventwright.evidence import ACCEPTED_RISK
from ventwright.physics.inference import CurvePrior, Follows, Observation, Posterior, merged, of_one_thing
from ventwright.physics.inference.belief import Belief, Part, ln_beyond, widened
from ventwright.quantity import FRACTION
from ventwright.readings import MixedAir
from ventwright.verdict.balance.observed import Observed, instruments_used
from ventwright.words import Amount, Words, words

UNLIKELY = 1e-4
"""Chance of a reading as far out as it is, given the others, below which it contradicts them: our own choice. Of 120 random
units of other families, read truly, five have such a reading. [-]"""


APART = 0.2
"""Share of stroke that the readings have to span before anything is said of how a damper follows: our own choice. [-]"""


CONTRADICT = "balance.readings_contradict"
"""Every speed has learnt from such readings, and so rests on them."""

OF_DAMPER = ("balance.damper_does_not_follow", "balance.damper_reversed")
"""Names of what is amiss with the damper itself."""

MOST_OF_STROKE = 0.6
"""Share of stroke that one speed's readings have to span before equal shares alone tell of the damper: our own choice. [-]"""

UNMOVED = 0.03
"""Rise of the share over signal below which a damper does not follow: a sound one's is twenty times that: our own choice. [-]"""


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
    contradicting = tuple(_contradicting(posterior, observed))
    of_damper = (
        () if contradicting else tuple(_of_damper(posterior))
    )  # one wrong reading would blame the damper
    return (*of_damper, *_crossed(observed), *contradicting)


def _of_damper(posterior: Posterior) -> Iterator[Finding]:
    ids = tuple(one.id for one in posterior.observations if one.speed is not None)
    signals = [one.signal for one in posterior.observations if one.speed is not None]
    if not signals or max(signals) - min(signals) < APART:
        return
    if max(posterior.chance(Follows.DEAD), _unmoved(posterior)) >= 1.0 - ACCEPTED_RISK:
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
            Words("see that the probes for outdoor and return air were not taken for each other; then set the actuator's direction, or turn the linkage, and read again"),
            ids,
        )  # fmt: skip


def _unmoved(posterior: Posterior) -> float:
    """Greatest chance, of any speed read over most of the stroke, that the share moved next to nothing over it. [-]"""
    read: dict[str, list[float]] = {}
    for one in posterior.observations:
        if one.speed is not None:
            read.setdefault(one.speed, []).append(one.signal)
    chances = [0.0]
    for speed, signals in read.items():
        low, high = min(signals), max(signals)
        if high - low >= MOST_OF_STROKE:
            ends = zip(posterior.at(speed, low).parts, posterior.at(speed, high).parts, strict=True)
            chances.append(sum(_alike(one, other, UNMOVED * (high - low)) for one, other in ends))
    return max(chances)


def _alike(one: Part, other: Part, within: float) -> float:
    """Weight of a course times the chance that two shares under it lie so close; their errors taken as independent. [-]"""
    moved = widened(Belief((other._replace(mean=other.mean - one.mean),)), one.u)
    return moved.within(-within, within)


def _crossed(observed: Sequence[Observed]) -> Iterator[Finding]:
    """Mixed air outside its streams that would lie inside if two probes were taken for each other."""
    for one in observed:
        entry = one.entry
        if not isinstance(entry, MixedAir) or not one.outside_streams:
            continue
        cold, mixed, warm = entry.outdoor_air.value, entry.before_fan, entry.return_air.value
        nearer = "return" if abs(mixed - warm) < abs(mixed - cold) else "outdoor"
        if len(set(instruments_used(entry))) == 1:
            sentence = "mixed air lies beyond {nearer} air, as if what the probe showed in the two was written down the wrong way round"
            way = "see which of the two values is which, and repeat this reading"
        else:
            sentence = (
                "mixed air lies beyond {nearer} air, as if the probes for the two were taken for each other"
            )
            way = "hold the mixed and the {nearer} probe side by side, see which is which, and repeat this reading"
        named = {"nearer": Words(nearer)}
        yield Finding("balance.probes_crossed", Words(sentence, named), Words(way, named), (entry.id,))


def _contradicting(posterior: Posterior, observed: Sequence[Observed]) -> Iterator[Finding]:
    """The one reading that the others make most unlikely, if they do: none that was repeated and came out as before."""
    read = [one.observation for one in observed if one.observation is not None]
    repeated = [group for group in of_one_thing(read) if len(group) > 1]
    confirmed = {group[0].id for group in repeated}
    tails = [
        (tail, one)
        for one, tail in zip(posterior.observations, posterior.ln_tails(), strict=True)
        if one.speed is not None and one.id not in confirmed
    ]
    tails += [_within(group, posterior.prior) for group in repeated]
    worst, one = min(tails, key=lambda found: found[0], default=(0.0, None))
    if worst >= math.log(UNLIKELY) or one is None or len(read) < 2:
        return
    yield Finding(
        CONTRADICT,
        words("the reading at {signal} ({speed} speed) does not go with the others", signal=Amount(one.signal, FRACTION), speed=Words(one.speed or "")),
        words("repeat the reading at {signal} first: if it comes out as before, repeat the others", signal=Amount(one.signal, FRACTION)),
        (one.id,),
    )  # fmt: skip


def _within(group: Sequence[Observation], prior: CurvePrior) -> tuple[float, Observation]:
    """The reading farthest from the others of the same thing, and the logarithm of the chance that one of so many lies as far out."""
    mean = sum(one.value for one in group) / len(group)
    one = max(group, key=lambda other: abs(other.value - mean))
    (others,) = merged([other for other in group if other is not one])
    moved = prior.slope * (one.signal - others.signal)
    errors = dict(others.errors)
    apart_u = math.hypot(one.noise, others.noise, moved, *(u - errors[name] for name, u in one.errors))
    one_alone = math.log(2.0) + ln_beyond(abs(one.value - others.value) / apart_u)
    return min(0.0, math.log(len(group)) + one_alone), one
