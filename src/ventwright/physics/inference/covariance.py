"""How far readings err together: covariances of what was read, and the linear algebra of small triangular systems.

Covariance functions: Rasmussen and Williams, Gaussian Processes for Machine Learning (2006), 4.2 (from memory); errors
that readings share: JCGM 100:2008, F.1.2 (from memory).
"""

from __future__ import annotations

import math
from collections.abc import Sequence

from ventwright.physics.inference.curve_prior import CurvePrior
from ventwright.physics.inference.observation import Observation


def covariances(prior: CurvePrior, observations: Sequence[Observation]) -> list[list[float]]:
    """Lower triangle of the covariance of readings beyond leak and reach, noise included. [square of the values' unit]"""
    rows = [
        [covariance(prior, one, other) for other in observations[: i + 1]]
        for i, one in enumerate(observations)
    ]
    for i, one in enumerate(observations):
        rows[i][i] += one.noise**2
    return rows


def covariance(prior: CurvePrior, one: Observation, other: Observation, *, of_readings: bool = True) -> float:
    """Covariance of two values beyond leak and reach: departures of the curve, shared errors, layers if both were read.

    [product of the units of the values]
    """
    found = 0.0
    if one.speed is not None and other.speed is not None:
        apart = abs(one.signal - other.signal)
        departs = prior.roughness**2 * alike(apart, prior.roughness_length)
        if one.speed == other.speed:
            departs += prior.speed_effect**2 * alike(apart, prior.speed_length)
        found += departs * _grown(one.signal, prior.departs) * _grown(other.signal, prior.departs)
        if of_readings and one.layers and other.layers and one.layers.way == other.layers.way:
            found += one.layers.share_u * other.layers.share_u * alike(apart, prior.layers_length)
    for name, moved in one.errors:
        for its_name, its_moved in other.errors:
            if name == its_name:
                found += moved * its_moved
    return found


def _grown(signal: float, half: float) -> float:
    """Size of the departures at a signal, over their full size. [-]"""
    return signal / (signal + half)


def alike(apart: float, length: float) -> float:
    """Correlation of a once-differentiable random curve at two points (Matérn, 3/2). [-]"""
    x = math.sqrt(3.0) * apart / length
    return (1.0 + x) * math.exp(-x)


def cholesky(lower: Sequence[Sequence[float]]) -> list[list[float]]:
    """Lower factor of a covariance given by its lower triangle; a hair is added where rounding left none. [root of its unit]"""
    factor: list[list[float]] = []
    for i, row in enumerate(lower):
        new: list[float] = []
        for j in range(i):
            under = factor[j]
            new.append((row[j] - sum(new[k] * under[k] for k in range(j))) / under[j])
        new.append(math.sqrt(max(row[i] - sum(x * x for x in new), 1e-12)))
        factor.append(new)
    return factor


def forward(factor: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """Solve a lower triangular system. [right-hand side over factor]"""
    found: list[float] = []
    for row, value in zip(factor, right, strict=True):
        left = value
        for x, y in zip(row, found, strict=False):
            left -= x * y
        found.append(left / row[-1])
    return found


def backward(factor: Sequence[Sequence[float]], right: Sequence[float]) -> list[float]:
    """Solve the transpose of a lower triangular system. [right-hand side over factor]"""
    found = list(right)
    for i in range(len(factor) - 1, -1, -1):
        row = factor[i]
        found[i] /= row[i]
        for j in range(i):
            found[j] -= row[j] * found[i]
    return found
