"""How often an airflow measured soundly is said to disagree with temperatures read elsewhere: random roofs of the benchmark.

Dampers of eleven families, none of them the model's own, read truly at signals at random, and an outdoor airflow measured
directly far from these, with the error that everybody is told of.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
from benchmarks.balance.ours import comparison, observed
from benchmarks.balance.roof import SPEEDS, Speed, Visit
from benchmarks.balance.run import Circumstances, draw_visit

from ventwright.physics.inference import Observation, condition, tracer_share
from ventwright.tables.balance_prior import balance_prior
from ventwright.verdict.balance.contradiction import CLOSED_END, UNLIKELY, WAYS_APART, sound_so_far
from ventwright.verdict.balance.direct import positioning

ROOFS, AIRFLOWS, SEED = 500, 6, 77
MILD_AND_GOOD = Circumstances(
    (10.0, 50.0), (0.5, 1.0), (False, True), (0.0, 0.015), (0.03, 0.05, 0.10), (4, 8)
)


def _signal(dice: np.random.Generator) -> float:
    """A signal at random, more often low: there minimum positions are."""
    return float(round(dice.uniform() ** 1.5, 2))


def _read(visit: Visit, dice: np.random.Generator) -> Iterator[Observation]:
    """One to four readings at one speed, none to four at the other, and now and then the probes side by side."""
    for speed, fewest in zip(SPEEDS, (1, 0), strict=True):
        for _ in range(int(dice.integers(fewest, 5))):
            one = visit.read(speed, _signal(dice))
            share = tracer_share(one.outdoor, one.returned, one.mixed)
            number = sum(visit.readings.values())
            yield observed(visit.stated, speed, one.signal, share, one.returned - one.outdoor, number)
    if visit.stated.check_possible and dice.uniform() < 0.5:
        yield from comparison(visit.stated, *visit.compare())


def _measured(visit: Visit, dice: np.random.Generator) -> Observation:
    """A sound outdoor airflow as a share, by an instrument of 2 to 30 %."""
    speed: Speed = SPEEDS[int(dice.integers(2))]
    signal, accuracy = _signal(dice), float(dice.choice([0.02, 0.04, 0.10, 0.15, 0.20, 0.30]))
    place = min(1.0, max(0.0, signal + visit.stated.position_u * float(dice.standard_normal())))
    true = visit.unit.share(speed, place) * visit.unit.supply[speed] / visit.supply(speed)
    value = true * (1.0 + 0.5 * accuracy * float(dice.standard_normal()))
    errors = (("airflow", 0.5 * accuracy * value), (f"supply {speed}", visit.stated.supply_u * value))
    return Observation("hood", value, positioning(), errors, speed, signal)


def test_few_sound_airflows_far_from_the_temperatures_are_accused() -> None:
    """At most about one in a hundred; near the closed end as many lie three deviations out by the curve alone, and more."""
    near = balance_prior().rules.near
    elsewhere, closed = list[float](), list[float]()
    for index in range(ROOFS):
        visit, _ = draw_visit(MILD_AND_GOOD, SEED, index)
        dice = np.random.default_rng([SEED, index, 9])
        read = list(_read(visit, dice))
        of_others = condition(balance_prior().curve, read)
        for one in (_measured(visit, dice) for _ in range(AIRFLOWS)):
            if (
                min(
                    (abs(other.signal - one.signal) for other in read if other.speed == one.speed),
                    default=1.0,
                )
                > near
            ):
                (closed if one.signal < CLOSED_END else elsewhere).append(sound_so_far(of_others, one))

    def share_below(found: list[float], bound: float) -> float:
        return sum(one < bound for one in found) / len(found)

    assert min(len(elsewhere), len(closed)) > 500
    assert share_below(elsewhere + closed, 1.0) <= 0.01
    assert share_below(elsewhere, 1.0) <= 0.01
    assert share_below(closed, WAYS_APART / UNLIKELY) > 0.015
