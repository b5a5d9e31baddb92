"""One reading as the estimate sees it: an outdoor-air share, or a comparison of instruments, with its errors."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Layers:
    """The error that layers in the mixed air leave in readings taken in one way; alike at like signals. [-]"""

    way: str
    share_u: float


@dataclass(frozen=True, slots=True)
class Observation:
    """A number that was read, what it says, and which errors it shares with other readings.

    Attributes
    ----------
    id
        Of the reading it came from.
    value
        Apparent outdoor-air share; for a comparison of instruments, what they showed apart, in any one unit.
    noise
        Standard uncertainty of what differs between readings of one thing. [as value]
    errors
        Shared errors by name: by how much one standard deviation of each moves the value. [as value]
    speed, signal
        Fan speed and share of stroke; no speed for a comparison, which says nothing of any share.
    layers
        What layers in the mixed air add.
    """

    id: str
    value: float
    noise: float
    errors: tuple[tuple[str, float], ...] = ()
    speed: str | None = None
    signal: float = 0.0
    layers: Layers | None = None


def tracer_share(outdoor: float, returned: float, mixed: float) -> float:
    """Return the apparent outdoor-air share of a mixed-air reading by anything the air carries. [-]

    Parameters
    ----------
    outdoor, returned, mixed
        Temperature, humidity ratio or carbon dioxide of the three streams, in one unit.

    References
    ----------
    Steady mixing balance, such as ASHRAE Standard 62.1, appendix on checking outdoor airflow (from memory).
    """
    return (returned - mixed) / (returned - outdoor)


ALIKE = 0.005
"""Share of stroke within which two signals count as one. [-]"""

ENOUGH = 40
"""Readings from which on like signals are taken together more widely: our own choice, for the work grows with the cube. [-]"""


def merged(observations: Sequence[Observation]) -> tuple[Observation, ...]:
    """Put readings of one thing together: same speed, like signal, the same errors; what differs between them averages.

    Parameters
    ----------
    observations
        Any number; where many signals were read, those next to each other are taken together. [shares: -]

    References
    ----------
    Mean weighed by the inverse variances: JCGM 100:2008, G.4 and 4.2 (from memory).
    """
    within, groups = ALIKE, of_one_thing(observations)
    while len(groups) > ENOUGH and within < 1.0:
        within *= 2.0
        groups = of_one_thing(observations, within)
    return tuple(group[0] if len(group) == 1 else _mean(group) for group in groups)


def of_one_thing(observations: Sequence[Observation], within: float = ALIKE) -> list[list[Observation]]:
    """Sort readings by what they read.

    Parameters
    ----------
    observations
        Any number.
    within
        Share of stroke within which two signals count as one. [-]

    References
    ----------
    A sorting, no formula: common practice, no published source.
    """
    groups: dict[tuple[object, ...], list[Observation]] = {}
    for one in observations:
        way = one.layers.way if one.layers else None
        key = (one.speed, round(one.signal / within), way, tuple(name for name, _ in one.errors))
        groups.setdefault(key, []).append(one)
    return list(groups.values())


def _mean(group: Sequence[Observation]) -> Observation:
    """Mean weighed by the noise of each; a shared error moves it by the mean of what it moves."""
    weights = [1.0 / max(one.noise, 1e-9) ** 2 for one in group]
    whole = sum(weights)

    def mean(numbers: Iterable[float]) -> float:
        return sum(w * x for w, x in zip(weights, numbers, strict=True)) / whole

    errors = tuple(
        (name, mean(one.errors[place][1] for one in group)) for place, (name, _) in enumerate(group[0].errors)
    )
    layers = [one.layers for one in group if one.layers is not None]
    return Observation(
        group[0].id, mean(one.value for one in group), math.sqrt(1.0 / whole), errors, group[0].speed,
        mean(one.signal for one in group),
        Layers(layers[0].way, max(one.share_u for one in layers)) if layers else None,
    )  # fmt: skip
