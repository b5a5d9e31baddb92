"""Which curve a sensor follows: readings of ohms beside a probe, held against every curve that could be meant."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from ventwright.errors import Refused
from ventwright.physics.sensor import Curve, sensor_temperature, slope, wire_resistance


@dataclass(frozen=True, slots=True)
class Pair:
    """One reading: the sensor's ohms, and the temperature a probe beside it shows. Uncertainties are standard ones."""

    resistance: float
    temperature: float
    resistance_u: float
    probe_u: float  # the probe's own offset, the same in every pair


@dataclass(frozen=True, slots=True)
class Candidate:
    """One curve that could be meant, and how far good sensors of it differ (standard uncertainty)."""

    name: str
    curve: Curve
    tolerance_u: float


@dataclass(frozen=True, slots=True)
class Match:
    """How well the pairs fit one curve; without residuals where a pair lies outside it altogether."""

    name: str
    residuals: tuple[float, ...]
    misfit: float  # root mean square of the residuals
    chance: float  # of residuals at least this large, if the sensor followed the curve
    probability: float  # that of all candidates it is this one


def matches(pairs: Sequence[Pair], candidates: Sequence[Candidate], beside_u: float) -> tuple[Match, ...]:
    """Hold pairs of ohms and temperature against curves, the likeliest first.

    The probe's offset and the sensor's own are the same in every pair and so count once; what is left between
    sensor and probe, and the meter's error, differ from pair to pair.

    Parameters
    ----------
    pairs
        One or more.
    candidates
        Curves taken as equally likely beforehand.
    beside_u
        Standard uncertainty of "the probe is as warm as the sensor". [K]

    Returns
    -------
    tuple
        One match for each candidate; its residuals are curve minus probe. [K]

    References
    ----------
    Normal distribution with one common and independent parts (JCGM 101:2008); chance from the chi-squared
    distribution (NIST/SEMATECH e-Handbook, 1.3.6.6.6, from memory); probability by Bayes' rule.
    """
    found = [_held(pairs, candidate, beside_u) for candidate in candidates]
    most = max((weight for *_, weight in found), default=-math.inf)
    shares = [math.exp(weight - most) if math.isfinite(weight) else 0.0 for *_, weight in found]
    total = sum(shares)
    ranked = [
        Match(
            candidate.name, residuals, _root_mean_square(residuals), chance, share / total if total else 0.0
        )
        for candidate, (residuals, chance, _), share in zip(candidates, found, shares, strict=True)
    ]
    return tuple(sorted(ranked, key=lambda match: (-match.probability, -match.chance, match.misfit)))


def _held(
    pairs: Sequence[Pair], candidate: Candidate, beside_u: float
) -> tuple[tuple[float, ...], float, float]:
    """Return residuals, chance and logarithm of the likelihood of one curve."""
    curve = candidate.curve
    try:
        residuals = tuple(sensor_temperature(pair.resistance, curve) - pair.temperature for pair in pairs)
    except Refused:
        return (), 0.0, -math.inf
    slopes = [abs(slope(pair.temperature + left, curve)) for pair, left in zip(pairs, residuals, strict=True)]
    own = [beside_u**2 + (pair.resistance_u / steep) ** 2 for pair, steep in zip(pairs, slopes, strict=True)]
    common = max(pair.probe_u for pair in pairs) ** 2 + candidate.tolerance_u**2
    weights = sum(1.0 / variance for variance in own)
    pulled = sum(left / variance for left, variance in zip(residuals, own, strict=True))
    squares = sum(left**2 / variance for left, variance in zip(residuals, own, strict=True))
    squares -= (
        common * pulled**2 / (1.0 + common * weights)
    )  # Sherman and Morrison: the common part counts once
    spread = sum(math.log(variance) for variance in own) + math.log(1.0 + common * weights)
    jacobian = sum(math.log(steep) for steep in slopes)  # the readings are ohms, the residuals kelvins
    return residuals, chance_beyond(squares, len(pairs)), -0.5 * (squares + spread) - jacobian


def _root_mean_square(residuals: Sequence[float]) -> float:
    return math.sqrt(sum(left**2 for left in residuals) / len(residuals)) if residuals else math.inf


def chance_beyond(squares: float, count: int) -> float:
    """Probability that a chi-squared variable lies beyond a value.

    Parameters
    ----------
    squares
        Sum of squared standardized residuals. [-]
    count
        Degrees of freedom.

    Returns
    -------
    float
        Upper tail of the distribution. [-]

    References
    ----------
    Abramowitz and Stegun, Handbook of Mathematical Functions, 26.4.4 and 26.4.5 (numbers from memory).
    """
    half = 0.5 * squares
    odd = count % 2
    powers = [step + 0.5 * odd for step in range(count // 2)]
    tail = sum(math.pow(half, power) / math.gamma(power + 1.0) for power in powers)
    return (math.erfc(math.sqrt(half)) if odd else 0.0) + math.exp(-half) * tail


def told_apart(candidates: Sequence[Candidate], temperatures: Sequence[float]) -> float:
    """Find the temperature at which the two curves that lie closest together lie furthest apart.

    Parameters
    ----------
    candidates
        Two curves or more.
    temperatures
        That can be made on a roof. [°C]

    Returns
    -------
    float
        One of the temperatures. [°C]

    References
    ----------
    The curves: how far a sensor of one, read on another, is off.
    """

    def closest(temperature: float) -> float:
        return min(
            _off(temperature, one.curve, other.curve)
            for number, one in enumerate(candidates)
            for other in candidates[number + 1 :]
        )

    return max(temperatures, key=closest)


def _off(temperature: float, one: Curve, other: Curve) -> float:
    try:
        return abs(sensor_temperature(wire_resistance(temperature, one), other) - temperature)
    except Refused:
        return math.inf
