"""Method (d), ours: the estimate and the search of the package, with the errors that everybody is told."""

from __future__ import annotations

import math
from dataclasses import dataclass, field, replace

from benchmarks.balance.roof import SPEEDS, TOLERANCE, Outcome, Sample, Speed, Stated, Visit

from ventwright.physics.inference import (
    Asked,
    DamperNow,
    Do,
    Layers,
    Means,
    Observation,
    Step,
    condition,
    next_step,
    tracer_share,
)
from ventwright.tables.balance_prior import balance_prior
from ventwright.verdict.balance.standing import too_even


@dataclass(slots=True)
class Cost:
    """How often the unit's steady state was evaluated, and for how many answers."""

    evaluations: int = 0
    answers: int = 0
    most: int = 0

    def add(self, evaluations: int) -> None:
        """Count one answer."""
        self.evaluations += evaluations
        self.answers += 1
        self.most = max(self.most, evaluations)


@dataclass(slots=True)
class Search:
    """What was read on one visit, and what is left to read."""

    visit: Visit
    minds_weather: bool = True
    """Whether it gives no verdict where outdoor and return air are too alike, as the tool does."""
    enough: float | None = None
    """Chance that is enough for a pass; None for the tool's own. [-]"""
    cost: Cost = field(default_factory=Cost)
    observations: list[Observation] = field(default_factory=list)
    held: dict[Speed, DamperNow] = field(default_factory=dict)
    difference: float | None = None
    """Return minus outdoor air as last read. [K]"""

    def asked(self, speed: Speed) -> Asked:
        """What is wanted at a speed, the error of its supply airflow included."""
        target = self.visit.required / self.visit.supply(speed)
        supply_u = self.visit.stated.supply_u
        errors = ((f"supply {speed}", target * supply_u),) if supply_u else ()
        return Asked(speed, (1.0 - TOLERANCE) * target, (1.0 + TOLERANCE) * target, errors)

    def step(self, speed: Speed) -> Step:
        """Ask what to do next at a speed."""
        if self.minds_weather and self.difference is not None and too_even(abs(self.difference)):
            return Step(Do.STOP, self.held[speed].signal if speed in self.held else 0.0, 0.0)
        prior = balance_prior()
        posterior = condition(prior.curve, self.observations)
        checked = self.visit.checks or not self.visit.stated.check_possible
        compare = () if checked else comparison(self.visit.stated, 0.0, 0.0)
        means = Means(self.planned, compare, self.visit.left(speed))
        rules = prior.rules if self.enough is None else replace(prior.rules, sure=self.enough)
        step = next_step(posterior, self.asked(speed), means, rules, self.held.get(speed))
        self.cost.add(posterior.evaluations)
        return step

    def planned(self, speed: str, signal: float, share: float) -> Observation:
        """The reading one would take."""
        return observed(
            self.visit.stated, speed, signal, share, self.difference or self.visit.stated.difference
        )

    def take(self, speed: Speed, step: Step) -> None:
        """Do what was advised."""
        if step.do is Do.COMPARE:
            self.observations += comparison(self.visit.stated, *self.visit.compare())
            return
        sample = self.visit.read(speed, step.signal)
        self.held[speed] = DamperNow(step.signal, (resting(len(self.observations)),))
        self.difference = sample.returned - sample.outdoor
        self.observations.append(_from_sample(self.visit.stated, sample, len(self.observations)))


def ours(visit: Visit) -> dict[Speed, Outcome]:
    """Search the signal of both speeds; a speed that stopped is asked once more when the other has taught something."""
    return searched(visit)[0]


def searched(
    visit: Visit, *, minds_weather: bool = True, enough: float | None = None
) -> tuple[dict[Speed, Outcome], Cost]:
    """Search, and say what it cost."""
    search, last = Search(visit, minds_weather, enough), dict[Speed, Step]()
    for speed in (*SPEEDS, *SPEEDS):
        if speed in last and last[speed].do is not Do.STOP:
            continue
        step = search.step(speed)
        while step.do in {Do.READ, Do.COMPARE}:
            search.take(speed, step)
            step = search.step(speed)
        last[speed] = step
    return {speed: _outcome(step) for speed, step in last.items()}, search.cost


def _outcome(step: Step) -> Outcome:
    if step.do in {Do.HOLD, Do.SET}:
        return Outcome("passes", step.signal)
    return Outcome("cannot_deliver" if step.do is Do.CANNOT else "cannot_tell", step.signal)


def _from_sample(stated: Stated, sample: Sample, number: int) -> Observation:
    share = tracer_share(sample.outdoor, sample.returned, sample.mixed)
    return observed(stated, sample.speed, sample.signal, share, sample.returned - sample.outdoor, number)


def observed(
    stated: Stated, speed: str, signal: float, share: float, difference: float, number: int = -1
) -> Observation:
    """A reading with the errors that everybody is told; ``difference`` is return minus outdoor air. [K]"""
    bounded = min(1.0, max(0.0, share))
    noise = stated.noise_u / abs(difference) * math.sqrt(1.0 + (1.0 - bounded) ** 2 + bounded**2)
    offset = stated.probe_u / difference
    errors = (("outdoor", bounded * offset), ("return", (1.0 - bounded) * offset), ("mixed", -offset))
    layers = Layers("traverse", stated.layers_u) if stated.layers_u else None
    return Observation(f"{speed} {signal}", share, noise, (*errors, resting(number)), speed, signal, layers)


def resting(number: int) -> tuple[str, float]:
    """Error of where the damper came to rest for a reading: it stays while the damper is not moved. [-]"""
    curve = balance_prior().curve
    return f"rest {number}", curve.slope * curve.positioning


def comparison(stated: Stated, outdoor: float, mixed: float) -> tuple[Observation, ...]:
    """Probes side by side: outdoor and mixed each against the return probe, whose scatter is in both. [K]"""
    scatter = ("scatter of the return probe", -stated.noise_u)
    offset = stated.probe_u
    return tuple(
        Observation(
            f"{name} beside return", value, stated.noise_u, ((name, offset), ("return", -offset), scatter)
        )
        for name, value in (("outdoor", outdoor), ("mixed", mixed))
    )
