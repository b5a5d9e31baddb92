"""What the readings say besides airflow: a damper that does not follow, probes crossed, readings that contradict each other."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from datetime import timedelta

from ventwright.evidence import ACCEPTED_RISK
from ventwright.physics.inference import (
    CurvePrior,
    Follows,
    Observation,
    Posterior,
    condition,
    merged,
    of_one_thing,
)
from ventwright.physics.inference.belief import Belief, Part, ln_beyond, widened
from ventwright.quantity import FRACTION
from ventwright.readings import MixedAir, OutdoorAirflow
from ventwright.tables.balance_prior import balance_prior
from ventwright.verdict.balance.observed import Observed, instruments_used
from ventwright.verdict.supply import Supply
from ventwright.words import Amount, Words, words

UNLIKELY = 1e-4
"""Chance of a reading as far out as it is, given the others, below which it contradicts them: our own choice. Of 120 random
units of other families, read truly, five have such a reading. [-]"""

WAYS_APART = 0.0027
"""Chance of an outdoor airflow as far out as it was measured, by the readings of other kinds near it, below which the two
ways disagree: three standard deviations, on either side. Of ten sound comparisons on a visit one or more are accused then
in 1 - (1 - 0.0027)^10 = 2.7 % of visits, below the 3 % that we allow: our own choice. On 500 random roofs of other
families 23 of 6,903 were (0.33 %). Away from what was read the shape of the curve counts too, and 1.5 % of sound ones lie
that far out: there ``UNLIKELY`` holds, with 0.4 %. [-]"""

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


def findings(
    posterior: Posterior, observed: Sequence[Observed], supplies: Mapping[str, Supply]
) -> tuple[Finding, ...]:
    """List what is amiss.

    Parameters
    ----------
    posterior
        What all readings have taught together.
    observed
        The readings themselves, those that say nothing included.
    supplies
        The supply airflow of each speed.
    """
    contradicting = _contradictions(posterior, observed)
    of_damper = (
        () if contradicting else tuple(_of_damper(posterior))
    )  # one wrong reading would blame the damper
    return (*of_damper, *_crossed(observed), *contradicting, *of_supply(supplies))


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


def _contradictions(posterior: Posterior, observed: Sequence[Observed]) -> tuple[Finding, ...]:
    """What goes with what: readings of other kinds among themselves, then airflows measured directly with these, then all.

    The others are asked alone first: what errs alike in every direct measurement would else be confirmed by itself.
    """
    others = [one for one in observed if not isinstance(one.entry, OutdoorAirflow)]
    ids = {one.entry.id for one in others}
    direct = [one for one in posterior.observations if one.speed is not None and one.id not in ids]
    rest = [one for one in posterior.observations if one not in direct]
    if not direct or all(one.speed is None for one in rest):
        return tuple(_contradicting(posterior, observed))
    of_others = condition(posterior.prior, rest)
    among_others = tuple(_contradicting(of_others, others))
    posterior.evaluations += of_others.evaluations
    ways = () if among_others else tuple(_ways_disagree(of_others, direct, observed))
    return ways or tuple(_contradicting(posterior, observed)) or among_others


def _ways_disagree(
    of_others: Posterior, direct: Sequence[Observation], observed: Sequence[Observed]
) -> Iterator[Finding]:
    """The outdoor airflow measured directly that goes least with readings of all other kinds, if it does not."""
    others = of_others.observations
    held = [(one, of_others.foretold(one)) for one in direct]
    apart = [
        (_as_far_out(*found) / _accused_below(found[0], others), number) for number, found in enumerate(held)
    ]
    worst, number = min(apart)
    if worst >= 1.0:
        return
    one = held[number][0]
    said = of_others.at(one.speed or "", one.signal)
    again, settle_by = _which_again(one, others, observed)
    yield Finding(
        CONTRADICT,
        words(
            "the outdoor airflow measured at {signal} ({speed} speed) is {found} of the supply air, and the other readings say {said}: the two ways disagree",
            signal=Amount(one.signal, FRACTION), speed=Words(one.speed or ""),
            found=Amount(one.value, FRACTION), said=Amount(max(0.0, said.mean), FRACTION, said.u),
        ),
        settle_by,
        again,
    )  # fmt: skip


def _accused_below(one: Observation, others: Sequence[Observation]) -> float:
    """Chance below which an airflow is said to disagree: greater where the other way was read at about the same place. [-]"""
    near = balance_prior().rules.near
    beside = any(other.speed == one.speed and abs(other.signal - one.signal) <= near for other in others)
    return WAYS_APART if beside else UNLIKELY


def _as_far_out(one: Observation, foretold: Belief) -> float:
    """Chance of a value as far out on either side as the one that was read. [-]"""
    return min(1.0, 2.0 * min(foretold.below(one.value), foretold.above(one.value)))


def _which_again(
    direct: Observation, others: Sequence[Observation], observed: Sequence[Observed]
) -> tuple[tuple[str, ...], Words]:
    """Which reading to repeat, and how that is said: the airflow first, then the nearest of the others, each once."""
    read = [one.observation for one in observed if one.observation is not None]
    confirmed = {group[0].id for group in of_one_thing(read) if len(group) > 1}
    if direct.id not in confirmed:
        return (direct.id,), words(
            "measure the outdoor airflow at {signal} again first: if it comes out as before, read the three temperatures there again",
            signal=Amount(direct.signal, FRACTION),
        )
    left = [one for one in others if one.speed is not None and one.id not in confirmed]
    if not left:
        return (), Words(
            "each way came out the same twice, so one of them errs by more than its ±: measure the supply airflow again, or the outdoor airflow with another instrument, and take back what errs"
        )
    nearest = min(left, key=lambda one: (one.speed != direct.speed, abs(one.signal - direct.signal)))
    return (nearest.id,), words(
        "read again at {signal} ({speed} speed): the outdoor airflow came out the same twice",
        signal=Amount(nearest.signal, FRACTION), speed=Words(nearest.speed or ""),
    )  # fmt: skip


def of_supply(supplies: Mapping[str, Supply]) -> Iterator[Finding]:
    """Supply airflows of another time than the readings at the damper, and those that no longer count.

    Parameters
    ----------
    supplies
        The supply airflow of each speed.
    """
    for speed, supply in supplies.items():
        named = {"speed": Words(speed)}
        if supply.before_repair:
            yield Finding(
                "balance.supply_before_repair",
                Words("the supply airflow at {speed} speed was measured before the fan was made to move another one: it no longer counts", named),
                Words("measure the supply airflow at {speed} speed again", named),
                supply.before_repair,
            )  # fmt: skip
        if supply.older_by is not None and supply.read_at is not None and supply.reading is not None:
            named |= {
                "method": supply.words,
                "date": Words(f"{supply.read_at:%Y-%m-%d}"),
                "age": old(supply.older_by),
            }
            yield Finding(
                "balance.supply_of_another_time",
                Words("the supply airflow at {speed} speed ({method}) is of {date}, {age} the readings at the damper", named),
                Words("measure it again, or see that fan, belt, filters and speeds are as they were then", named),
                (supply.reading,),
            )  # fmt: skip


def old(apart: timedelta) -> Words:
    """Say how long one thing was before another, or after it.

    Parameters
    ----------
    apart
        Below zero where it was after.
    """
    days = abs(apart).days
    count, unit = (
        (days, "days") if days < 60 else (days // 30, "months") if days < 730 else (days // 365, "years")
    )
    return Words(f"{count} {unit} {'before' if apart > timedelta(0) else 'after'}")


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
