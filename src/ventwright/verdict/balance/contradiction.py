"""Readings that contradict each other: one against all others, and each way to read the outdoor air against the other ways."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ventwright.physics.inference import CurvePrior, Observation, Posterior, condition, merged, of_one_thing
from ventwright.physics.inference.belief import ln_beyond
from ventwright.quantity import FRACTION
from ventwright.readings import CarbonDioxide, Humidity, OutdoorAirflow
from ventwright.tables.balance_prior import balance_prior
from ventwright.verdict.balance.finding import CONTRADICT, BalanceFinding
from ventwright.verdict.balance.observed import Observed
from ventwright.words import Amount, Words, words

UNLIKELY = 1e-4
"""Chance of a reading as far out as it is, given the others, below which it contradicts them: our own choice. Of 120 random
units of other families, read truly, five have such a reading. [-]"""

WAYS_APART = 0.0027
"""Chance of an outdoor airflow as far out as it was measured, by the readings of other kinds, below which the two ways
disagree: three standard deviations, on either side. Of ten sound comparisons at one place on a visit one or more are accused
then in 1 - (1 - 0.0027)^10 = 2.7 % of visits, below the 3 % that we allow: our own choice. On 500 random roofs of other
families 23 of 6,903 were (0.33 %). Away from what was read the shape of the curve counts too: of 11,474 sound airflows on
3,000 such roofs 89 lie that far out (0.8 %). [-]"""

CLOSED_END = 0.15
"""Signal below which, away from what was read, ``UNLIKELY`` holds: there dampers differ most, and of 4,122 sound airflows 113 lie
three standard deviations out (2.7 %) for no other reason than the curve; 43 are accused so (1.0 %). Our own choice. [-]"""


@dataclass(frozen=True, slots=True)
class _Way:
    """One way to read the outdoor air beside temperatures, and how it is spoken of."""

    kind: type[OutdoorAirflow | CarbonDioxide | Humidity]
    found: str
    again: str
    name: str
    otherwise: str
    """What to do where it came out the same twice, and so did the other ways."""


WAYS = (
    _Way(
        OutdoorAirflow, "the outdoor airflow measured", "measure the outdoor airflow", "the outdoor airflow",
        "measure the supply airflow again, or the outdoor airflow with another instrument",
    ),
    _Way(
        CarbonDioxide, "the outdoor air by carbon dioxide", "read carbon dioxide", "carbon dioxide",
        "read carbon dioxide with another instrument",
    ),
    _Way(
        Humidity, "the outdoor air by humidity", "read humidity", "humidity", "read humidity with another instrument"
    ),
)  # fmt: skip


def _contradicting(posterior: Posterior, observed: Sequence[Observed]) -> Iterator[BalanceFinding]:
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
    yield BalanceFinding(
        CONTRADICT,
        words("the reading at {signal} ({speed} speed) does not go with the others", signal=Amount(one.signal, FRACTION), speed=Words(one.speed or "")),
        words("repeat the reading at {signal} first: if it comes out as before, repeat the others", signal=Amount(one.signal, FRACTION)),
        (one.id,),
    )  # fmt: skip


def contradictions(posterior: Posterior, observed: Sequence[Observed]) -> tuple[BalanceFinding, ...]:
    """Say what does not go with what: for each way the readings of all others among themselves, then its own with these, then all.

    The others are asked alone first: what errs alike in every reading of one way would else be confirmed by itself.

    Parameters
    ----------
    posterior
        What all readings have taught together.
    observed
        The readings themselves, those that say nothing included.
    """
    among: tuple[BalanceFinding, ...] = ()
    for way in WAYS:
        others = [one for one in observed if not isinstance(one.entry, way.kind)]
        ids = {one.entry.id for one in others}
        own = [one for one in posterior.observations if one.speed is not None and one.id not in ids]
        rest = [one for one in posterior.observations if one not in own]
        if not own or all(one.speed is None for one in rest):
            continue
        of_others = condition(posterior.prior, rest)
        posterior.evaluations += of_others.evaluations
        among_others = tuple(_contradicting(of_others, others))
        disagree = () if among_others else tuple(_disagreeing(way, of_others, own, observed))
        if disagree:
            return disagree
        among = among or among_others
    return tuple(_contradicting(posterior, observed)) or among


def _disagreeing(
    way: _Way, of_others: Posterior, own: Sequence[Observation], observed: Sequence[Observed]
) -> Iterator[BalanceFinding]:
    """The reading of one way that goes least with those of all others, if it does not."""
    worst, number = min((sound_so_far(of_others, one), number) for number, one in enumerate(own))
    if worst >= 1.0:
        return
    one = own[number]
    said = of_others.at(one.speed or "", one.signal)
    again, settle_by = _which_again(way, one, of_others.observations, observed)
    yield BalanceFinding(
        CONTRADICT,
        words(
            "{way} at {signal} ({speed} speed) is {found} of the supply air, and the other readings say {said}: the two ways disagree",
            way=Words(way.found), signal=Amount(one.signal, FRACTION), speed=Words(one.speed or ""),
            found=Amount(one.value, FRACTION), said=Amount(max(0.0, said.mean), FRACTION, said.u),
        ),
        settle_by,
        again,
    )  # fmt: skip


def sound_so_far(of_others: Posterior, one: Observation) -> float:
    """Chance of a reading as far out on either side as it is, over that below which it disagrees: below 1 it does. [-]

    Parameters
    ----------
    of_others
        What the readings of all other kinds have taught.
    one
        The reading of one way, as a share.

    References
    ----------
    Two-sided predictive chance with the curve's own freedom in it; the bounds are our own choice.
    """
    foretold = of_others.foretold(one)
    as_far_out = min(1.0, 2.0 * min(foretold.below(one.value), foretold.above(one.value)))
    told = one.signal >= CLOSED_END or _beside(one, of_others.observations)
    return as_far_out / (WAYS_APART if told else UNLIKELY)


def _beside(one: Observation, others: Sequence[Observation]) -> bool:
    """Whether another of the readings was taken at about the same place."""
    near = balance_prior().rules.near
    return any(other.speed == one.speed and abs(other.signal - one.signal) <= near for other in others)


def _which_again(
    way: _Way, own: Observation, others: Sequence[Observation], observed: Sequence[Observed]
) -> tuple[tuple[str, ...], Words]:
    """Which reading to repeat, and how that is said: that of the way first, then the nearest of the others, each once."""
    read = [one.observation for one in observed if one.observation is not None]
    confirmed = {group[0].id for group in of_one_thing(read) if len(group) > 1}
    if own.id not in confirmed:
        return (own.id,), words(
            "{way} at {signal} again first: if it comes out as before, read the three temperatures there {too}",
            way=Words(way.again), signal=Amount(own.signal, FRACTION), too=Words("again" if _beside(own, others) else "too"),
        )  # fmt: skip
    left = [one for one in others if one.speed is not None and one.id not in confirmed]
    if not left:
        return (), words(
            "each way came out the same twice, so one of them errs by more than its ±: {otherwise}, and take back what errs",
            otherwise=Words(way.otherwise),
        )
    nearest = min(left, key=lambda one: (one.speed != own.speed, abs(one.signal - own.signal)))
    return (nearest.id,), words(
        "read again at {signal} ({speed} speed): {way} came out the same twice",
        signal=Amount(nearest.signal, FRACTION), speed=Words(nearest.speed or ""), way=Words(way.name),
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
