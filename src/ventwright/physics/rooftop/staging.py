"""Compressor stages with least times of running and resting, so that oil comes back and pressures equalize."""

from __future__ import annotations

import math
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Stage:
    """One compressor stage."""

    running: bool = False
    since: float = math.inf
    """Time since it started or stopped. [s]"""


def staged(
    stages: tuple[Stage, ...],
    wanted: int,
    seconds: float,
    *,
    least_on: float,
    least_off: float,
    stop: bool = False,
) -> tuple[Stage, ...]:
    """Stages after a time, when so many of them are wanted now.

    Parameters
    ----------
    stages
        As they were.
    wanted
        How many shall run, the first ones first.
    seconds
        Time since then. [s]
    least_on
        Least time that a stage runs. [s]
    least_off
        Least time that it rests. [s]
    stop
        Stop every stage, least time or not: a protection.

    Returns
    -------
    tuple of Stage
        As they are.

    References
    ----------
    Common practice, no published source.
    """
    return tuple(
        _one(stage, number < wanted, seconds, least_on, least_off, stop=stop)
        for number, stage in enumerate(stages)
    )


def _one(
    stage: Stage, wanted: bool, seconds: float, least_on: float, least_off: float, *, stop: bool
) -> Stage:
    since = stage.since + seconds
    if stage.running and (stop or (not wanted and since >= least_on)):
        return Stage(running=False, since=0.0)
    if not stage.running and wanted and not stop and since >= least_off:
        return Stage(running=True, since=0.0)
    return Stage(stage.running, since)
