"""What is asked of a fan speed, how one would read, when a chance is good enough, and what comes of it: the next step."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from enum import Enum

from ventwright.physics.inference.observation import Observation
from ventwright.physics.inference.posterior import NamedErrors


class Do(Enum):
    """What is worth doing next."""

    HOLD = "hold"
    SET = "set"
    READ = "read"
    COMPARE = "compare"
    CANNOT = "cannot"
    STOP = "stop"


@dataclass(frozen=True, slots=True)
class Asked:
    """What is wanted at one fan speed. The share counts with ``errors``, such as that of the supply airflow. [-]"""

    speed: str
    low: float
    high: float
    errors: NamedErrors = ()

    @property
    def middle(self) -> float:
        """Between the two ends. [-]"""
        return 0.5 * (self.low + self.high)

    @property
    def errors_u(self) -> float:
        """Standard uncertainty that its errors add up to, which are independent. [-]"""
        return math.hypot(*(moved for _, moved in self.errors))


@dataclass(frozen=True, slots=True)
class DamperNow:
    """Signal at which the damper stands. [-]

    ``resting`` is the error of where it came to rest, shared with the reading taken there while it was not moved since;
    empty where it will be set anew.
    """

    signal: float
    resting: NamedErrors = ()


@dataclass(frozen=True, slots=True)
class Means:
    """How one would read: the next reading at a speed, signal and expected share; a comparison of probes, if any is left."""

    read: Callable[[str, float, float], Observation]
    compare: tuple[Observation, ...] = ()
    readings_left: int = 4


@dataclass(frozen=True, slots=True)
class Rules:
    """When a chance is good enough, and how far from a reading a signal is still trusted. [-]"""

    sure: float
    near: float
    grid: int = 32


@dataclass(frozen=True, slots=True)
class SignalChance:
    """A signal with the chance that it brings in what is wanted. [-]"""

    signal: float
    chance: float


@dataclass(frozen=True, slots=True)
class Step:
    """What to do next, at which signal, and with what chance of being within. [-]

    ``likeliest`` is the signal that most probably brings it in, where that was looked for; for CANNOT, ``short`` says
    whether every signal brings in too little.
    """

    do: Do
    signal: float
    chance: float
    short: bool | None = None
    likeliest: float | None = None
