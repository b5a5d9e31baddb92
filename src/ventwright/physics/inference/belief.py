"""What is believed of one share: mixtures of normal distributions, one for each course that the curve may take."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import NamedTuple

from ventwright.physics.inference.curve_prior import Follows


class Part(NamedTuple):
    """What one course of the curve says: its weight, expected share, and standard uncertainty. [-]"""

    weight: float
    mean: float
    u: float
    follows: Follows


@dataclass(frozen=True, slots=True)
class ShareBelief:
    """What is believed of one share: a mixture of normal distributions, one for each course of the curve. [-]"""

    parts: tuple[Part, ...]

    @property
    def mean(self) -> float:
        """Expected share. [-]"""
        return sum(part.weight * part.mean for part in self.parts)

    @property
    def u(self) -> float:
        """Standard uncertainty of the share. [-]"""
        mean = self.mean
        return math.sqrt(sum(part.weight * (part.u**2 + (part.mean - mean) ** 2) for part in self.parts))

    def below(self, share: float) -> float:
        """Chance that the share is less. [-]"""
        chance = 0.0
        for weight, mean, u, _ in self.parts:
            chance += weight * math.erfc((mean - share) * ROOT_HALF / u)
        return 0.5 * chance

    def above(self, share: float) -> float:
        """Chance that the share is more: not what is left of the chance that it is less, of which small ones lose their digits. [-]"""
        chance = 0.0
        for weight, mean, u, _ in self.parts:
            chance += weight * math.erfc((share - mean) * ROOT_HALF / u)
        return 0.5 * chance

    def within(self, low: float, high: float) -> float:
        """Chance that the share lies between two ends. [-]"""
        chance = 0.0
        for weight, mean, u, _ in self.parts:
            scale = ROOT_HALF / u
            chance += weight * (math.erfc((mean - high) * scale) - math.erfc((mean - low) * scale))
        return max(0.0, 0.5 * chance)


ROOT_HALF = math.sqrt(0.5)


def _below(z: float) -> float:
    return 0.5 * math.erfc(-z / math.sqrt(2.0))


def ln_beyond(z: float) -> float:
    """Logarithm of the chance beyond so many standard deviations, on one side of a normal distribution.

    Parameters
    ----------
    z
        Standard deviations from the mean. [-]

    References
    ----------
    Abramowitz and Stegun, Handbook of Mathematical Functions (1964), 7.1.23: the complementary error function far out
    (from memory).
    """
    if z < FAR_OUT:
        return math.log(_below(-z))
    return -0.5 * z * z - math.log(z * math.sqrt(2.0 * math.pi))


FAR_OUT = 30.0
"""Standard deviations from which on the chance itself would be lost; the form used there is right to one in 900. [-]"""


class Move(NamedTuple):
    """Under one course: the expected share, the standard deviation by which a reading may move it, and what is left. [-]"""

    weight: float
    mean: float
    moved: float
    left: float


@dataclass(frozen=True, slots=True)
class Foretold:
    """What one further reading would leave, before its value is known."""

    moves: tuple[Move, ...]

    def within(self, low: float, high: float, guard: float) -> float:
        """Chance that it leaves the share inside both ends by ``guard`` standard uncertainties. [-]"""
        return sum(
            move.weight * max(0.0, _between(move, low + guard * move.left, high - guard * move.left))
            for move in self.moves
        )

    def below(self, share: float, guard: float) -> float:
        """Chance that it leaves the share below an end by ``guard`` standard uncertainties. [-]"""
        return sum(
            m.weight * _below((share - guard * m.left - m.mean) / max(m.moved, 1e-6)) for m in self.moves
        )

    def above(self, share: float, guard: float) -> float:
        """Chance that it leaves the share above an end by ``guard`` standard uncertainties. [-]"""
        return sum(
            m.weight * _below((m.mean - share - guard * m.left) / max(m.moved, 1e-6)) for m in self.moves
        )


def _between(move: Move, low: float, high: float) -> float:
    if high <= low:
        return 0.0
    moved = max(move.moved, 1e-6)
    return _below((high - move.mean) / moved) - _below((low - move.mean) / moved)


def widened(belief: ShareBelief, by: float) -> ShareBelief:
    """Add an independent standard uncertainty to a belief. [-]"""
    return ShareBelief(tuple(Part(p.weight, p.mean, math.hypot(p.u, by), p.follows) for p in belief.parts))
