"""(f) The attainable bound: same readings and budget, path family and error distributions known, errors unknown.

Policy: the check first where it can be made; then, at each speed in turn, the reading that leaves the best chance of
settling both speeds, one reading ahead: for each signal worth considering (the likeliest one, its neighbourhood, the
ends of the stroke, which teach the offsets) readings are foreseen, and the greatest chance at any signal after each of
them is averaged. Reading always at the likeliest signal settles half as many in mild weather without the check.
It stops a speed by the rule that binds everybody: *passes* with a chance of at least 95 % at the signal held or after
a last move, no signal can with a chance of at least 95 %. At the end both speeds are judged once more by all readings.
(g) is (f) without knowing the family: a unit may be of any, each as likely as it is drawn. No method that is told nothing
of the family can be expected to do better, so that what (f) does beyond (g) is knowledge nobody has on a roof.
(i) is (f) by a broad library of curves from physics (`library.py`) in place of the families: what an honest method could
do at most that has such a library and all the arithmetic it wants. Its wrong verdicts are counted, since its curves are
not those of the units; a bound that passes wrongly is none.
(j) is (g) without the unit's own family: it knows ten of the eleven kinds of air path exactly and meets the eleventh, as
every method does that is not told the answer beforehand. Its wrong verdicts are counted too.
One reading ahead is not all ahead, so the bound is one that is attained; the best possible may lie a little above.
"""

from __future__ import annotations

import numpy as np
from benchmarks.balance.air_path import ANY, Array, Family, all_but
from benchmarks.balance.belief import Belief
from benchmarks.balance.library import LIBRARY
from benchmarks.balance.roof import SPEEDS, Outcome, Speed, Visit

from ventwright.evidence import ACCEPTED_RISK

COARSE = np.linspace(0.0, 1.0, 65)
FORESIGHT = np.linspace(0.0, 1.0, 101)
ROWS, FORESEEN = 1000, 64
"""Particles, and readings drawn from them, for a look ahead."""
SURE = 1.0 - ACCEPTED_RISK


def attainable(visit: Visit) -> dict[Speed, Outcome]:
    """(f) Balance a unit as well as its readings allow to somebody who knows its family."""
    return _balanced(visit, visit.unit.family)


def family_unknown(visit: Visit) -> dict[Speed, Outcome]:
    """(g) The same for somebody who knows all families exactly, and not which of them the unit is of."""
    return _balanced(visit, ANY)


def own_family_never_met(visit: Visit) -> dict[Speed, Outcome]:
    """(j) The same for somebody who knows all families exactly but the unit's own, of which nobody told him."""
    return _balanced(visit, all_but(visit.unit.family))


def by_library(visit: Visit) -> dict[Speed, Outcome]:
    """(i) The same for somebody who knows a broad library of curves from physics and none of the families."""
    return _balanced(visit, LIBRARY)


def _balanced(visit: Visit, family: Family) -> dict[Speed, Outcome]:
    # The particles' dice are no part of the visit's: readings stay those of every other method.
    dice = np.random.default_rng([int(1e6 * number) for number in visit.unit.cube])
    belief = Belief(visit, dice, family)
    if visit.stated.check_possible:
        belief.check()
    for speed in SPEEDS:
        while visit.left(speed) > 0:
            outcome, likeliest = _judged(belief, speed)
            if outcome.kind != "cannot_tell":
                break
            belief.read(speed, _following(belief, speed, likeliest))
    return {speed: _judged(belief, speed)[0] for speed in SPEEDS}


def _judged(belief: Belief, speed: Speed) -> tuple[Outcome, float]:
    """The outcome as it stands, and the signal to read next."""
    held = belief.chance_held(speed)
    if held is not None and held[1] >= SURE:
        return Outcome("passes", held[0]), held[0]
    if belief.chance_none(speed) >= SURE:
        return Outcome("cannot_deliver"), 1.0
    signal, chance = _best(belief, speed)
    if chance >= SURE:
        return Outcome("passes", signal), signal
    return Outcome("cannot_tell", held[0] if held is not None else None), signal


def _best(belief: Belief, speed: Speed) -> tuple[float, float]:
    """Signal with the greatest chance of being within, on a coarse grid and then a fine one about it."""
    chances = belief.chances(speed, COARSE)
    middle = float(COARSE[int(chances.argmax())])
    fine: Array = np.clip(middle + np.linspace(-1.0, 1.0, 21) / (len(COARSE) - 1), 0.0, 1.0)
    chances = belief.chances(speed, fine)
    best = int(chances.argmax())
    return float(fine[best]), float(chances[best])


def _following(belief: Belief, speed: Speed, likeliest: float) -> float:
    """Signal whose reading leaves the best chance to settle this speed and those that are still to come."""
    if not belief.samples:
        return likeliest
    open_speeds = SPEEDS[SPEEDS.index(speed) :]
    chances = [belief.each_chance(other, FORESIGHT, ROWS) for other in open_speeds]
    signals = dict.fromkeys(
        min(1.0, max(0.0, signal))
        for signal in (
            *(likeliest + step for step in (0.0, -0.02, 0.02, -0.06, 0.06, -0.15, 0.15)),
            0.5 * likeliest,
            0.5 * (1.0 + likeliest),
            belief.samples[-1].signal,
            0.0,
            1.0,
        )
    )
    last = belief.visit.left(speed) == 1
    return max(signals, key=lambda signal: _worth(belief, speed, signal, chances, last=last))


def _worth(belief: Belief, speed: Speed, signal: float, chances: list[Array], *, last: bool) -> float:
    """Chance to settle after a reading, added over the speeds; before the last reading, the chance without the rule."""
    expected, variance = belief.foreseen(speed, signal, ROWS)
    spots = np.linspace(0, ROWS - 1, FORESEEN).astype(np.int64)
    dice = np.random.default_rng(len(belief.samples))  # the same for all signals
    readings = expected[spots] + np.sqrt(variance[spots]) * dice.standard_normal(FORESEEN)
    fits = -0.5 * ((readings[:, None] - expected[None, :]) ** 2 / variance + np.log(variance))
    weights = np.exp(fits - fits.max(axis=1, keepdims=True))
    weights /= weights.sum(axis=1, keepdims=True)
    worth = 0.0
    for place, chance in enumerate(chances):
        best = (weights @ chance).max(axis=1)
        settles = np.where(best >= SURE, best, 0.0)
        worth += float((settles + 0.1 * best if last and place == 0 else best).mean())
    return worth
