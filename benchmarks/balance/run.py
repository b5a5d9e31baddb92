"""Runs methods over units: every unit by seed and index alone, on as many processes as wanted."""

from __future__ import annotations

import json
import math
import os
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import asdict, dataclass, replace
from functools import partial
from hashlib import sha256
from importlib import import_module
from pathlib import Path

import numpy as np
from benchmarks.balance.attainable import attainable, by_library, family_unknown, own_family_never_met
from benchmarks.balance.bisection import oracle, textbook
from benchmarks.balance.roof import KELVIN_PER_FAHRENHEIT, Outcome, Speed, Stated, Visit, draw_unit, visit
from benchmarks.balance.rules_of_thumb import percent_for_percent, read_once_and_scaled
from benchmarks.balance.score import Scored, scored

NOISE_U = 0.05
"""Standard deviation of a reading as taken: the mean over a minute or so of steady air; our own assumption. [K]"""
LAYERS_U = 0.015
"""Standard deviation of the error of a traverse's mean in layered air, of the difference; our own assumption. [-]"""
WELL_MIXED = 0.0

Counted = Callable[[Visit], tuple[dict[Speed, Outcome], float]]


@dataclass(frozen=True, slots=True)
class Circumstances:
    """What a study fixes for a visit; a tuple is drawn from, evenly."""

    band: tuple[float, float]
    """True outdoor-return difference, drawn between the two. [°F]"""
    accuracy: tuple[float, ...] = (0.5,)
    """Of each probe, k = 2. [°F]"""
    check: tuple[bool, ...] = (False,)
    layers: tuple[float, ...] = (WELL_MIXED,)
    supply: tuple[float, ...] = (0.0,)
    """Accuracy of the supply airflow, k = 2; 0 where it is known, so that the fraction is scored. [-]"""
    budget: tuple[int, ...] = (4,)


def draw_visit(circumstances: Circumstances, seed: int, index: int) -> tuple[Visit, float]:
    """Make one visit and its true outdoor-return difference. [°F]"""
    dice = np.random.default_rng([seed, index, 5])
    difference = float(dice.uniform(*circumstances.band))
    accuracy, check, layers, supply, budget = (
        options[int(dice.integers(len(options)))]
        for options in (
            circumstances.accuracy,
            circumstances.check,
            circumstances.layers,
            circumstances.supply,
            circumstances.budget,
        )
    )
    stated = Stated(
        probe_u=0.5 * accuracy * KELVIN_PER_FAHRENHEIT,
        noise_u=NOISE_U,
        layers_u=layers,
        difference=0.5 * sum(circumstances.band) * KELVIN_PER_FAHRENHEIT,
        check_possible=bool(check),
        supply_u=0.5 * supply,
        budget=int(budget),
    )
    return visit(draw_unit(seed, index), stated, difference * KELVIN_PER_FAHRENHEIT, seed, index), difference


def _uncounted(method: Callable[[Visit], dict[Speed, Outcome]]) -> Counted:
    return lambda one: (method(one), 0.0)


def _ours(one: Visit) -> tuple[dict[Speed, Outcome], float]:
    """(d) Ours, with the evaluations of the steady state that its dearest answer took."""
    outcomes, cost = import_module("benchmarks.balance.ours").searched(one)
    return outcomes, float(cost.most)


def _ours_in_any_weather(one: Visit) -> tuple[dict[Speed, Outcome], float]:
    """(h) Ours, without the tool's rule that air too alike carries no verdict."""
    outcomes, cost = import_module("benchmarks.balance.ours").searched(one, minds_weather=False)
    return outcomes, float(cost.most)


def _ours_bolder(enough: float) -> Counted:
    """(k), (l), (m) Ours with a smaller chance as enough for a pass."""

    def method(one: Visit) -> tuple[dict[Speed, Outcome], float]:
        outcomes, cost = import_module("benchmarks.balance.ours").searched(one, enough=enough)
        return outcomes, float(cost.most)

    return method


BOLDER = {"k": 0.90, "l": 0.80, "m": 0.70}
"""Chance that is enough for a pass, by method, where ours is bolder than the tool. [-]"""

METHODS: dict[str, tuple[str, Counted]] = {
    "a": ("percent for percent", _uncounted(percent_for_percent)),
    "b": ("read once and scaled", _uncounted(read_once_and_scaled)),
    "c": ("bisection, textbook uncertainty", _uncounted(textbook)),
    "d": ("ours", _ours),
    "e": ("oracle of the sensor errors", _uncounted(oracle)),
    "f": ("attainable bound, family of the air path known", _uncounted(attainable)),
    "g": ("attainable bound, family unknown", _uncounted(family_unknown)),
    "h": ("ours, without the least difference of temperatures", _ours_in_any_weather),
    "i": ("attainable bound, broad library of curves from physics", _uncounted(by_library)),
    "j": ("attainable bound, every family known but the unit's own", _uncounted(own_family_never_met)),
    **{
        letter: (f"ours, a pass at a chance of {100 * enough:.0f} %", _ours_bolder(enough))
        for letter, enough in BOLDER.items()
    },
}


@dataclass(frozen=True, slots=True)
class Task:
    """Some methods on some units under some circumstances."""

    circumstances: Circumstances
    methods: str
    seed: int
    first: int
    units: int

    def parts(self, size: int) -> list[Task]:
        """Cut the task into pieces of so many units."""
        ends = range(self.first, self.first + self.units, size)
        last = self.first + self.units
        return [replace(self, first=begin, units=min(size, last - begin)) for begin in ends]


def done(task: Task) -> list[Scored]:
    """Do a task: each method meets the same unit with the same errors, on a visit of its own."""
    verdicts: list[Scored] = []
    for index in range(task.first, task.first + task.units):
        for letter in task.methods:
            one, difference = draw_visit(task.circumstances, task.seed, index)
            outcomes, cost = METHODS[letter][1](one)
            verdicts += scored(letter, index, one, outcomes, difference, cost)
    return verdicts


def kept_or_done(task: Task, folder: Path) -> list[Scored]:
    """Do a task, or read what came of it before; a folder holds the answers of one state of the code."""
    file = _file(task, folder)
    if file.exists():
        return [Scored(**one) for one in json.loads(file.read_text(encoding="utf-8"))]
    verdicts = done(task)
    part = file.with_suffix(f".{os.getpid()}")
    part.write_text(json.dumps([asdict(one) for one in verdicts]), encoding="utf-8")
    part.replace(file)  # whole or not at all, should the study be ended
    return verdicts


def _file(task: Task, folder: Path) -> Path:
    return folder / f"{sha256(repr(task).encode()).hexdigest()[:24]}.json"


class Runner:
    """Does tasks, on one process or several; the answers do not depend on how many, or on what was kept from before."""

    def __init__(self, processes: int = 1, keep: Path | None = None, minutes: float | None = None) -> None:
        self.pool = ProcessPoolExecutor(processes) if processes > 1 else None
        self.keep = keep
        self.ends = math.inf if minutes is None else time.monotonic() + 60.0 * minutes
        if keep is not None:
            keep.mkdir(parents=True, exist_ok=True)

    def run(self, task: Task, size: int = 5) -> list[Scored]:
        """Do one task."""
        return [verdict for part in self._parts(self._cut(task, size)) for verdict in part]

    def may_run(self, task: Task, size: int = 5) -> bool:
        """Whether there is time left to do a task, or it is done already."""
        if time.monotonic() < self.ends:
            return True
        keep = self.keep
        return keep is not None and all(_file(part, keep).exists() for part in self._cut(task, size))

    def _cut(self, task: Task, size: int) -> list[Task]:
        """Pieces of so many units; of one method each where they are kept, so that another can be added later."""
        methods = [task.methods] if self.keep is None else list(task.methods)
        return [part for letters in methods for part in replace(task, methods=letters).parts(size)]

    def _parts(self, tasks: list[Task]) -> Iterator[list[Scored]]:
        job = done if self.keep is None else partial(kept_or_done, folder=self.keep)
        return iter(map(job, tasks) if self.pool is None else self.pool.map(job, tasks))

    def close(self) -> None:
        """End the processes."""
        if self.pool is not None:
            self.pool.shutdown()
