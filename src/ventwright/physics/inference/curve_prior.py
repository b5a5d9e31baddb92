"""What is believed of the curve of outdoor-air share against damper signal before anything is read."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import Enum
from functools import cache, lru_cache

from ventwright.errors import Refusal, Refused


class Follows(Enum):
    """How a damper goes with its signal."""

    RISES = "rises"
    FALLS = "falls"
    DEAD = "dead"


@dataclass(frozen=True, slots=True)
class Shape:
    """One course that the share may take: from what leak, where and how steeply it rises, and how likely beforehand. [-]"""

    follows: Follows
    centre: float
    width: float
    leak: float
    leak_u: float
    weight: float

    def opened(self, signal: float) -> float:
        """How much of the way from its closed to its open share the curve has gone at a signal, 0 to 1. [-]"""
        if self.follows is Follows.DEAD:
            return 0.0
        return _opened(self.centre, self.width, signal if self.follows is Follows.RISES else 1.0 - signal)

    def reach(self, prior: CurvePrior) -> tuple[float, float]:
        """By how much the share rises from closed to fully open, and its standard uncertainty. [-]

        The departures vanish at a signal of 0, where a damper the wrong way round is open: there its reach takes them.
        """
        if self.follows is Follows.DEAD:
            return 0.0, 1e-6
        if self.follows is Follows.RISES:
            return prior.reach, prior.reach_u
        return prior.reach, math.hypot(prior.reach_u, prior.roughness, prior.speed_effect)


def _opened(centre: float, width: float, along: float) -> float:
    """A smooth rise from 0 to 1 over the stroke."""
    start, end = _step(-centre / width), _step((1.0 - centre) / width)
    return (_step((along - centre) / width) - start) / (end - start)


def _step(x: float) -> float:
    return 0.5 * (1.0 + math.tanh(0.5 * x))


@dataclass(frozen=True, slots=True)
class CurvePrior:
    """Plain numbers that describe the dampers one may meet; who disagrees hands in others.

    Attributes
    ----------
    leaks
        Kinds of closed damper: share that it lets in, its standard uncertainty, and how often it is met. [-]
    reach, reach_u
        By how much the share rises from closed to fully open, and its standard uncertainty. [-]
    steps
        Widths of the rise that are considered, each with the distance of the centres tried for it. [-]
    departs
        Signal at which the departures below have half their size: a closed damper has none but its leak. [-]
    roughness, roughness_length
        How far a real curve departs from a smooth rise, and over how much of the stroke it does so. [-]
    speed_effect, speed_length
        How far the curve of one fan speed departs from what the speeds share, and over how much of the stroke. [-]
    layers_length
        Over how much of the stroke the error that layers in the mixed air make stays alike. [-]
    positioning
        Standard uncertainty of where the blades come to rest, as a share of stroke. [-]
    dead, reversed_
        How often a damper does not follow its signal, or follows it the wrong way round. [-]
    dead_share, dead_share_u
        Share that a damper that does not follow lets in, and its standard uncertainty. [-]
    slope
        Usual slope of share against signal where a minimum is set: what the positioning does to a reading. [-]
    """

    leaks: tuple[tuple[float, float, float], ...]
    reach: float
    reach_u: float
    steps: tuple[tuple[float, float], ...]
    departs: float
    roughness: float
    roughness_length: float
    speed_effect: float
    speed_length: float
    layers_length: float
    positioning: float
    dead: float
    reversed_: float
    dead_share: float
    dead_share_u: float
    slope: float

    def __hash__(self) -> int:
        """Two that are equal have the same; short, since it is asked for again and again."""
        return hash((self.reach, self.roughness, self.speed_effect, self.departs))

    def __post_init__(self) -> None:
        """Refuse what describes no damper.

        Raises
        ------
        Refused
            No step, a spread that is not above zero, or chances that leave none for a damper in order.
        """
        spreads = (*(u for _, u, _ in self.leaks), self.departs, self.reach_u, self.roughness, self.roughness_length, self.speed_effect,
                   self.speed_length, self.layers_length, self.dead_share_u)  # fmt: skip
        if (
            not self.steps
            or not self.leaks
            or min(spreads) <= 0.0
            or not 0.0 <= self.dead + self.reversed_ < 1.0
        ):
            raise Refused(
                Refusal("describes no damper", "spreads above 0, one step or more, chances below 1")
            )

    def shapes(self) -> tuple[Shape, ...]:
        """Every course that is considered; their weights sum to 1."""
        return _shapes(self)

    def opened(self, signal: float) -> tuple[float, ...]:
        """How far open every course is at a signal, in the order of the shapes. [-]"""
        return _all_opened(self, signal)


@lru_cache(maxsize=4000)
def _all_opened(prior: CurvePrior, signal: float) -> tuple[float, ...]:
    """Kept, since a search asks for the same signals again and again."""
    return tuple(shape.opened(signal) for shape in _shapes(prior))


@cache
def _shapes(prior: CurvePrior) -> tuple[Shape, ...]:
    coarse = prior.steps[
        len(prior.steps) // 2 :
    ]  # a damper the wrong way round has to be noticed, not traced
    rises, whole = 1.0 - prior.dead - prior.reversed_, sum(often for _, _, often in prior.leaks)
    made = []
    for leak, leak_u, often in prior.leaks:
        for follows, chance, tried in (
            (Follows.RISES, rises, prior.steps),
            (Follows.FALLS, prior.reversed_, coarse),
        ):
            for width, apart in tried:
                number = round(1.0 / apart)
                weight = chance * often / whole / (len(tried) * number)
                made += [
                    Shape(follows, (place + 0.5) / number, width, leak, leak_u, weight)
                    for place in range(number)
                ]
    dead = Shape(Follows.DEAD, 0.5, 1.0, prior.dead_share, prior.dead_share_u, prior.dead)
    return tuple(shape for shape in (*made, dead) if shape.weight > 0.0)
