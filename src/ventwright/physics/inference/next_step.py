"""What to do next at one fan speed: leave the damper, set it, read at another signal, compare the probes, or stop.

What is sure enough follows JCGM 106:2012, 8.3.2: a chance of being within the limits. Reading where a further reading most
probably settles the matter is one-step preposterior analysis, as in Raiffa and Schlaifer, Applied Statistical Decision
Theory (1961) (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence

from ventwright.evidence import ACCEPTED_RISK
from ventwright.physics.inference.belief import Part, ShareBelief, widened
from ventwright.physics.inference.covariance import cholesky, covariance, covariances, forward
from ventwright.physics.inference.curve_prior import Follows
from ventwright.physics.inference.observation import Observation
from ventwright.physics.inference.posterior import Posterior, condition
from ventwright.physics.inference.step import Asked, DamperNow, Do, Means, Rules, SignalChance, Step


def next_step(
    posterior: Posterior, asked: Asked, means: Means, rules: Rules, held: DamperNow | None = None
) -> Step:
    """Decide what is worth doing next at one fan speed.

    Parameters
    ----------
    posterior
        What the readings so far have taught.
    asked
        What is wanted.
    means
        How one would read, and how often one still may.
    rules
        When a chance is good enough. [-]
    held
        Where the damper stands; None before it was set.

    References
    ----------
    JCGM 106:2012, 8.3.2 (guarded acceptance); the order of the questions is our own choice.
    """
    if held is not None and near(posterior, asked.speed, held.signal) <= rules.near:
        chance = _held(posterior, asked, held).within(asked.low, asked.high)
        if chance >= rules.sure:
            return Step(Do.HOLD, held.signal, chance)
    hopeless = beyond_supply(asked, rules) or out_of_reach(posterior, asked, rules)
    if hopeless is not None:
        return hopeless
    best = best_signal(posterior, asked, rules.grid)
    if best.chance >= rules.sure and near(posterior, asked.speed, best.signal) <= rules.near:
        return Step(Do.SET, best.signal, best.chance, likeliest=best.signal)
    if means.readings_left <= 0:
        return Step(Do.STOP, best.signal, best.chance, likeliest=best.signal)
    return _worth_reading(posterior, asked, means, rules, best)


def _worth_reading(
    posterior: Posterior, asked: Asked, means: Means, rules: Rules, best: SignalChance
) -> Step:
    """Read, compare the probes first, or stop, by what the readings left could at best show."""
    if not any(one.speed is not None for one in posterior.observations):
        return Step(
            Do.READ, best.signal, best.chance, likeliest=best.signal
        )  # until then today's air is only foreseen
    left = means.readings_left
    again = [means.read(asked.speed, best.signal, asked.middle)] * left
    closed = means.read(asked.speed, 0.0, posterior.at(asked.speed, 0.0).mean)
    futures: list[tuple[float, Do | None]] = [(best_chance(posterior, asked, best.signal, again), None)]
    if means.compare:
        futures.append(
            (best_chance(posterior, asked, best.signal, [*means.compare, *again]) - COST, Do.COMPARE)
        )
    if left > 1 and near(posterior, asked.speed, 0.0) > rules.near:
        futures.append((best_chance(posterior, asked, best.signal, [closed, *again[1:]]) - COST, Do.READ))
    most, first = max(futures, key=_chance_of)
    signal, settles = telling_signal(posterior, asked, means, best.signal)
    if most < WORTH_TRYING and settles < LEAST_HOPE:
        return Step(Do.STOP, best.signal, best.chance, likeliest=best.signal)
    if first is Do.COMPARE:
        return Step(Do.COMPARE, best.signal, best.chance, likeliest=best.signal)
    if first is Do.READ and settles < LEAST_HOPE:
        return Step(Do.READ, 0.0, best.chance, likeliest=best.signal)
    if (
        means.compare
        and settles < SETTLES_ENOUGH
        and _comparing_helps(posterior, asked, means, best, settles)
    ):
        return Step(Do.COMPARE, best.signal, best.chance, likeliest=best.signal)
    telling = signal if settles >= LEAST_HOPE else best.signal
    return Step(Do.READ, telling, best.chance, likeliest=best.signal)


def _chance_of(future: tuple[float, Do | None]) -> float:
    return future[0]


COST = 0.02
"""Chance that a comparison, or a reading with the damper closed, has to add before it is worth its trip: our own choice. [-]"""


def _comparing_helps(
    posterior: Posterior, asked: Asked, means: Means, best: SignalChance, settles: float
) -> bool:
    """Whether one reading after a comparison of the probes would settle it far more probably than one without."""
    told = condition(posterior.prior, [*posterior.observations, *map(posterior.foreseen, means.compare)])
    _, with_check = telling_signal(told, asked, means, best.signal)
    posterior.evaluations += told.evaluations
    return with_check > settles + GAIN


WORTH_TRYING = 0.85
"""Attainable chance below which no further reading is asked for. It is reckoned for the likeliest course of the curve, and the
true one may be kinder, hence below what settles: our own choice. [-]"""

SETTLES_ENOUGH, GAIN = 0.6, 0.25
"""Chance of settling by the next reading above which no comparison is thought of, and what it has to add below: our own
choice. [-]"""

LEAST_HOPE = 0.3
"""Chance of settling by one reading below which the likeliest signal is read instead: more than one will be needed. [-]"""


def _held(posterior: Posterior, asked: Asked, held: DamperNow) -> ShareBelief:
    """What is believed with the damper where it stands: as it rests since a reading, else as it may come to rest."""
    if not held.resting:
        return settled_at(posterior, asked, held.signal)
    return posterior.at(asked.speed, held.signal, (*asked.errors, *held.resting))


def near(posterior: Posterior, speed: str, signal: float) -> float:
    """Return how far the nearest reading at a speed is from a signal; infinite where there is none. [-]"""
    return min(
        (abs(one.signal - signal) for one in posterior.observations if one.speed == speed), default=math.inf
    )


def settled_at(posterior: Posterior, asked: Asked, signal: float) -> ShareBelief:
    """Return what is believed of the share after the damper is set to a signal, where it comes to rest included. [-]"""
    step = 0.01
    ends = min(signal + step, 1.0), max(signal - step, 0.0)
    above, below = (posterior.at(asked.speed, end).mean for end in ends)
    slope = abs(above - below) / (ends[0] - ends[1])
    return widened(posterior.at(asked.speed, signal, asked.errors), slope * posterior.prior.positioning)


def best_signal(posterior: Posterior, asked: Asked, grid: int) -> SignalChance:
    """Return the signal that most probably brings in what is wanted: coarse over the stroke, then fine. [-]"""

    def chance(signal: float) -> float:
        return posterior.at(asked.speed, signal, asked.errors).within(asked.low, asked.high)

    best = max((chance(number / grid), number / grid) for number in range(grid + 1))
    for step in (0.25 / grid, 0.0625 / grid):
        best = max([best, *((chance(one), one) for one in _around(best[1], step, 3))])
    signal = best[1]
    return SignalChance(signal, settled_at(posterior, asked, signal).within(asked.low, asked.high))


def telling_signal(posterior: Posterior, asked: Asked, means: Means, about: float) -> tuple[float, float]:
    """Return the signal, about a likely one or at an end, at which one reading most probably settles the matter.

    It settles where it leaves the share surely within; at an end of the stroke, also where it leaves it surely short of
    what is wanted with the damper open, or over with it closed, or beyond where the other end is surely so. The chance
    of that comes with it. [-]
    """
    surely = {
        end: (belief.below(asked.low) > 1.0 - ACCEPTED_RISK, belief.below(asked.high) < ACCEPTED_RISK)
        for end in (0.0, 1.0)
        for belief in (posterior.at(asked.speed, end, asked.errors),)
    }

    def chance(signal: float) -> float:
        foretold = posterior.after(means.read(asked.speed, signal, asked.middle), asked.errors)
        found = foretold.within(asked.low, asked.high, GUARD)
        if signal in surely:  # what an end already shows surely is not shown by reading it once more
            short, over, (other_short, other_over) = *surely[signal], surely[1.0 - signal]
            if not short and (signal > 0.0 or other_short):
                found += foretold.below(asked.low, GUARD)
            if not over and (signal < 1.0 or other_over):
                found += foretold.above(asked.high, GUARD)
        return found

    best = max((chance(one), one) for one in (0.0, 1.0, *_around(about, 0.025, 4), about))
    best = max([best, *((chance(one), one) for one in _around(best[1], 0.00625, 3))])
    return best[1], best[0]


def _around(signal: float, step: float, number: int) -> list[float]:
    """Signals beside one, in steps to either side, within the stroke."""
    beside = (signal + step * place for place in range(-number, number + 1) if place)
    return [one for one in beside if 0.0 <= one <= 1.0]


GUARD = 1.6449
"""Standard uncertainties between an estimate and one end that leave the accepted risk of 5 % beyond it (normal
distribution). [-]"""


def beyond_supply(asked: Asked, rules: Rules) -> Step | None:
    """Say whether more outdoor air is wanted than the fan moves, which needs no reading at the damper. [-]"""
    if asked.low <= 1.0:
        return None
    all_outdoor = ShareBelief((Part(1.0, 1.0, max(asked.errors_u, 1e-9), Follows.RISES),))
    short = all_outdoor.below(asked.low)
    return Step(Do.CANNOT, 1.0, 1.0 - short, short=True) if short >= rules.sure else None


def out_of_reach(posterior: Posterior, asked: Asked, rules: Rules) -> Step | None:
    """Say whether no signal brings in what is wanted: read at the end of the stroke and surely short there, or over. [-]"""
    read_at = [end for end in (0.0, 1.0) if near(posterior, asked.speed, end) <= rules.near]
    if not read_at:
        return None
    ends = [posterior.at(asked.speed, end, asked.errors) for end in (0.0, 1.0)]
    short = min(end.below(asked.low) for end in ends)
    over = min(1.0 - end.below(asked.high) for end in ends)
    if short >= rules.sure:
        return Step(Do.CANNOT, max((0.0, 1.0), key=lambda end: ends[int(end)].mean), 1.0 - short, short=True)
    if over >= rules.sure:
        return Step(Do.CANNOT, min((0.0, 1.0), key=lambda end: ends[int(end)].mean), 1.0 - over, short=False)
    return None


def best_chance(posterior: Posterior, asked: Asked, signal: float, to_come: Sequence[Observation]) -> float:
    """Return the chance of being within that readings still to come could at best give, the share being in the middle. [-]

    Only how far they would spread counts, not what they show: that does not depend on the values.
    """
    observations = (*posterior.observations, *to_come)
    prior = posterior.prior
    course = max(posterior.courses, key=lambda one: one.weight)
    factor = cholesky(covariances(prior, observations))
    probe = Observation("", 0.0, 0.0, tuple(asked.errors), asked.speed, signal)
    v = forward(factor, [covariance(prior, one, probe, of_readings=False) for one in observations])
    own = covariance(prior, probe, probe, of_readings=False) - sum(x * x for x in v)
    spread = own + _of_leak_and_reach(
        course.shape.opened, signal, observations, factor, v, course.shape.leak_u, prior.reach_u
    )
    half = 0.5 * (asked.high - asked.low)
    return math.erf(half / math.sqrt(2.0 * max(spread, 1e-12)))


def _of_leak_and_reach(
    opened: Callable[[float], float], signal: float, observations: Sequence[Observation],
    factor: Sequence[Sequence[float]], v: Sequence[float], leak_u: float, reach_u: float,
) -> float:  # fmt: skip
    """Variance that not knowing leak and reach leaves in a prediction."""
    a0 = forward(factor, [1.0 if one.speed is not None else 0.0 for one in observations])
    a1 = forward(factor, [opened(one.signal) if one.speed is not None else 0.0 for one in observations])
    i00 = 1.0 / leak_u**2 + sum(x * x for x in a0)
    i01 = sum(x * y for x, y in zip(a0, a1, strict=True))
    i11 = 1.0 / reach_u**2 + sum(x * x for x in a1)
    one = 1.0 - sum(x * y for x, y in zip(v, a0, strict=True))
    other = opened(signal) - sum(x * y for x, y in zip(v, a1, strict=True))
    return (i11 * one * one - 2.0 * i01 * one * other + i00 * other * other) / (i00 * i11 - i01 * i01)
