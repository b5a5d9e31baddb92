"""A roof for methods to prove themselves on: a random unit, what everybody is told of the instruments, and one visit.

SI inside: temperatures in °C, differences in K, airflow in m3/s, shares and signals 0 to 1. Everything follows from
a seed and an index, so that any unit can be made again alone.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field
from functools import cache
from typing import Literal

import numpy as np
from benchmarks.balance.air_path import FAMILIES, Array, Family

Speed = Literal["high", "low"]
SPEEDS: tuple[Speed, Speed] = ("high", "low")
Kind = Literal["passes", "cannot_deliver", "cannot_tell"]
Reach = Literal["delivers", "short", "over"]

TOLERANCE = 0.10
"""Accepted difference from the required airflow, as a share of it."""
KELVIN_PER_FAHRENHEIT = 1.0 / 1.8
NODES = np.linspace(0.0, 1.0, 21)


class SpentError(Exception):
    """A method asked for a reading that it no longer has, or for a check that nobody can make."""


@dataclass(frozen=True, slots=True)
class Stated:
    """What everybody is told before the visit."""

    probe_u: float
    """Standard uncertainty of each probe's fixed offset (half the accuracy at k = 2); three independent ones. [K]"""
    noise_u: float
    """Standard deviation of each reading of each probe, independent. [K]"""
    layers_u: float
    """Standard deviation of the error of the mean of a traverse in layered air, as a share of the true
    outdoor-return difference: a normal process in the damper position, the same at both speeds, with correlation
    exp(-(apart / layers_length)^2 / 2). 0 where the air is well mixed. [-]"""
    difference: float
    """Outdoor-return difference expected today, without sign: the middle of the band, to plan with and no reading. [K]"""
    check_possible: bool
    """Whether the probes can be held side by side once."""
    supply_u: float
    """Relative standard uncertainty of the supply airflow as measured, once for each speed, independent. [-]"""
    budget: int
    """Readings at each speed; the side-by-side check counts as a reading, but not against a speed. [-]"""
    position_u: float = 0.002
    """Standard deviation of the damper's place each time it is moved, as a share of its stroke. [-]"""
    layers_length: float = 0.3
    """Share of the stroke over which the error from layers stays alike. [-]"""


@dataclass(frozen=True, slots=True)
class Sample:
    """One reading: one signal held with all probes read."""

    speed: Speed
    signal: float
    outdoor: float
    returned: float
    mixed: float


@dataclass(frozen=True, slots=True)
class Outcome:
    """What a method says of one speed at the end: *passes* at a signal, no signal can, or it cannot tell.

    ``signal`` is where the damper is left: the final signal of *passes*; for the others it may be None.
    """

    kind: Kind
    signal: float | None = None


@dataclass(frozen=True, slots=True)
class Unit:
    """A random unit: its air path, its airflow at two fan speeds, and the outdoor airflow required."""

    family: Family
    cube: tuple[float, ...]
    supply: dict[Speed, float]
    """True supply airflow. [m3/s]"""
    required: float
    """Outdoor airflow required at either speed. [m3/s]"""

    def flow(self, speed: Speed) -> float:
        """Supply airflow over that of the high speed. [-]"""
        return self.supply[speed] / self.supply["high"]

    def target(self, speed: Speed) -> float:
        """True outdoor-air share that gives the required airflow. [-]"""
        return self.required / self.supply[speed]

    def share(self, speed: Speed, position: float) -> float:
        """True outdoor-air share with the damper at a place of its stroke. [-]"""
        shares = self.family.shares(np.array([self.cube]), np.array([[position]]), self.flow(speed))
        return float(shares[0, 0])

    def reach(self, speed: Speed) -> Reach:
        """Say whether any place of the damper gives the required airflow within tolerance; the curves rise and are unbroken."""
        target = self.target(speed)
        if self.share(speed, 1.0) < (1.0 - TOLERANCE) * target:
            return "short"
        return "over" if self.share(speed, 0.0) > (1.0 + TOLERANCE) * target else "delivers"


def draw_unit(seed: int, index: int, targets: tuple[float, float] = (0.10, 0.40)) -> Unit:
    """Draw a unit; the target share at high speed is uniform between two ends."""
    dice = np.random.default_rng([seed, index, 1])
    family = FAMILIES[int(dice.integers(len(FAMILIES)))]
    high = float(dice.uniform(0.5, 4.0))
    supply: dict[Speed, float] = {"high": high, "low": high * float(dice.uniform(0.5, 0.7))}
    required = high * float(dice.uniform(*targets))
    return Unit(
        family, tuple(float(number) for number in dice.uniform(size=family.numbers)), supply, required
    )


@cache
def layers_cholesky(length: float) -> Array:
    """Lower root of the covariance of the layers' error at the nodes, for unit standard deviation."""
    apart = (NODES[:, None] - NODES[None, :]) / length
    return np.linalg.cholesky(np.exp(-0.5 * apart**2) + 1e-9 * np.eye(len(NODES))).astype(np.float64)


@dataclass(slots=True)
class Visit:
    """One visit to one unit: what can be read there, and how much was."""

    unit: Unit
    stated: Stated
    _outdoor: float
    _returned: float
    _offsets: tuple[float, float, float]
    _layers: Array
    _measured: dict[Speed, float]
    _noise: np.random.Generator
    _places: np.random.Generator
    readings: dict[Speed, int] = field(default_factory=lambda: {"high": 0, "low": 0})
    checks: int = 0
    _at: tuple[float, float] | None = None
    _held: dict[Speed, tuple[float, float]] = field(default_factory=dict)

    @property
    def required(self) -> float:
        """Outdoor airflow required at either speed. [m3/s]"""
        return self.unit.required

    @property
    def spent(self) -> int:
        """All readings of the visit, the side-by-side check among them."""
        return sum(self.readings.values()) + self.checks

    def left(self, speed: Speed) -> int:
        """Readings that may still be taken at a speed."""
        return self.stated.budget - self.readings[speed]

    def supply(self, speed: Speed) -> float:
        """Supply airflow at a speed as it was measured: one figure, however often it is asked for. [m3/s]"""
        return self._measured[speed]

    def read(self, speed: Speed, signal: float) -> Sample:
        """Hold a signal, read all probes. A signal that is already held does not move the damper."""
        if self.left(speed) <= 0:
            problem = f"no reading left at {speed} speed"
            raise SpentError(problem)
        position = self._move(signal)
        self._held[speed] = (signal, position)
        self.readings[speed] += 1
        falls = self.unit.share(speed, position) + self._layers_at(position)
        mixed = self._returned + falls * (self._outdoor - self._returned)
        outdoor, returned, mixed = (
            true + offset + self.stated.noise_u * float(self._noise.standard_normal())
            for true, offset in zip((self._outdoor, self._returned, mixed), self._offsets, strict=True)
        )
        return Sample(speed, signal, outdoor, returned, mixed)

    def compare(self) -> tuple[float, float]:
        """Hold the probes side by side in one air: outdoor minus return probe, mixed minus return probe. [K]"""
        if not self.stated.check_possible or self.checks:
            problem = "no side-by-side check left"
            raise SpentError(problem)
        self.checks += 1
        outdoor, returned, mixed = (
            offset + self.stated.noise_u * float(self._noise.standard_normal()) for offset in self._offsets
        )
        return outdoor - returned, mixed - returned

    # What only the umpire and the oracle may look at.

    def truth(self, speed: Speed, signal: float) -> float:
        """True share with the damper as it is left: where it was last held at this speed, or moved there anew."""
        held = self._held.get(speed)
        position = held[1] if held is not None and held[0] == signal else self._placed(signal)
        return self.unit.share(speed, position)

    def deliverable(self, speed: Speed) -> Reach:
        """Whether any signal gives the required airflow within tolerance, and if not on which side."""
        return self.unit.reach(speed)

    def true_share(self, sample: Sample) -> float:
        """Share as one reading gives it to somebody who knows all fixed errors of this visit: only noise is left. [-]"""
        outdoor_offset, return_offset, mixed_offset = self._offsets
        returned = sample.returned - return_offset
        difference = returned - (sample.outdoor - outdoor_offset)
        return (returned - (sample.mixed - mixed_offset)) / difference - self._layers_at(sample.signal)

    def _move(self, signal: float) -> float:
        if self._at is None or self._at[0] != signal:
            self._at = (signal, self._placed(signal))
        return self._at[1]

    def _placed(self, signal: float) -> float:
        if not 0.0 <= signal <= 1.0:
            problem = f"a signal of {signal}"
            raise ValueError(problem)
        return min(1.0, max(0.0, signal + self.stated.position_u * float(self._places.standard_normal())))

    def _layers_at(self, position: float) -> float:
        if self.stated.layers_u == 0.0:
            return 0.0
        return float(np.exp(-0.5 * ((position - NODES) / self.stated.layers_length) ** 2) @ self._layers)


Method = Callable[[Visit], dict[Speed, Outcome]]


def visit(unit: Unit, stated: Stated, difference: float, seed: int, index: int) -> Visit:
    """Draw the errors of one visit; ``difference`` is the true one between outdoor and return air, without sign. [K]"""
    dice = np.random.default_rng([seed, index, 2])
    returned = float(dice.uniform(21.0, 24.0))
    colder = bool(dice.random() < 0.75)
    offsets = tuple(float(stated.probe_u * z) for z in dice.standard_normal(3))
    root = layers_cholesky(stated.layers_length)
    # Weights of the process between the nodes, so that what is drawn there is met there.
    weights = np.linalg.solve(root.T, dice.standard_normal(len(NODES)))
    layers = (stated.layers_u * weights).astype(np.float64)
    measured: dict[Speed, float] = {
        speed: unit.supply[speed] * (1.0 + stated.supply_u * float(dice.standard_normal()))
        for speed in SPEEDS
    }
    return Visit(
        unit,
        stated,
        returned - difference if colder else returned + difference,
        returned,
        (offsets[0], offsets[1], offsets[2]),
        layers,
        measured,
        np.random.default_rng([seed, index, 3]),
        np.random.default_rng([seed, index, 4]),
    )
