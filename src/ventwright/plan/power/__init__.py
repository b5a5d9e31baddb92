"""The control power of a unit: does it hold, idle, running, and while the actuator strokes and a coil pulls in."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from ventwright.evidence import Verdict
from ventwright.facts.instrument import Instrument
from ventwright.facts.power import Power
from ventwright.plan.basis import Guess
from ventwright.plan.power.budget import TransformerBudget, budget_of, guesses_of
from ventwright.plan.power.checks import load_findings, nothing_drawn, voltage_findings
from ventwright.plan.power.finding import PowerFinding, overall
from ventwright.plan.power.joined import JoinPlan, join_findings, join_of
from ventwright.plan.power.primary_tap import Tap, tap_finding, taps_of
from ventwright.plan.power.source_checks import source_findings
from ventwright.plan.power.wire_run import RunPlan, device_findings, drop_finding, runs_of
from ventwright.quantity import TEMPERATURE
from ventwright.tables.caution import Caution, cautions
from ventwright.tables.control_power import assumed
from ventwright.words import Amount, Words, words

LIVE = ("open the unit", "read with power on")
"""Stages at which a hand meets control power."""


@dataclass(frozen=True, slots=True)
class PowerPlan:
    """The budget of every transformer, every run and join, and what was found; ``verdict`` sums up what stops power."""

    verdict: Verdict
    transformers: tuple[TransformerBudget, ...]
    taps: tuple[Tap, ...]
    runs: tuple[RunPlan, ...]
    joined: tuple[JoinPlan, ...]
    findings: tuple[PowerFinding, ...]
    guesses: tuple[Guess, ...]
    cautions: tuple[Caution, ...]


def plan_power(power: Power, instruments: Sequence[Instrument] = (), where: str = "facts.power") -> PowerPlan:
    """Work out the control power.

    Parameters
    ----------
    power
        What is known of it.
    instruments
        The job's instruments, for the accuracy of the meter.
    where
        Place of it in the document, for refusals.

    Raises
    ------
    Refused
        A meter that is no instrument of the job.
    """
    budgets = tuple(
        budget_of(
            transformer,
            [load for load in power.loads if power.transformer_of(load) == transformer.name],
            instruments,
            f"{where}.transformers[{number}]",
        )
        for number, transformer in enumerate(power.transformers, start=1)
    )
    pairs = list(zip(power.transformers, budgets, strict=True))
    taps = [taps_of(transformer, budget) for transformer, budget in pairs]
    runs = tuple(runs_of(power, budgets))
    joined = tuple(
        join_of(join, budgets, instruments, f"{where}.joined[{number}]")
        for number, join in enumerate(power.joined, start=1)
    )
    found = [] if power.loads else [nothing_drawn()]
    for (transformer, budget), possible in zip(pairs, taps, strict=True):
        tap = tap_finding(transformer, budget, possible)
        found += [
            *load_findings(budget),
            *voltage_findings(budget),
            tap,
            *source_findings(transformer, budget),
        ]
    for run, budget in runs:
        found += [drop_finding(run), *device_findings(run, budget)]
    for join, plan in zip(power.joined, joined, strict=True):
        found += join_findings(join, plan)
    return PowerPlan(
        verdict=overall(tuple(found)),
        transformers=budgets,
        taps=tuple(tap for possible in taps for tap in possible),
        runs=tuple(run for run, _ in runs),
        joined=joined,
        findings=tuple(found),
        guesses=tuple(_guesses(budgets, [run for run, _ in runs])),
        cautions=live_cautions(),
    )


def live_cautions() -> tuple[Caution, ...]:
    """Return the cautions that belong to work on control power."""
    return tuple(caution for caution in cautions() if caution.stage in LIVE)


def _guesses(budgets: Iterable[TransformerBudget], runs: Iterable[RunPlan]) -> list[Guess]:
    found = [guess for budget in budgets for guess in guesses_of(budget)]
    found += [
        Guess(f"power.{run.name}.temperature", words(
            f"{{name}}: wire taken at {{temperature}}, the careful end ({assumed('wire_temperature').source})",
            name=Words(run.name), temperature=Amount(run.temperature, TEMPERATURE)))
        for run in runs if run.temperature_is_guess
    ]  # fmt: skip
    return found
