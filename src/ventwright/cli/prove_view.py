"""The functional tests for a person: the next steps with their cautions, what to do again, what waits for other weather."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from ventwright.cli import show
from ventwright.evidence import Verdict
from ventwright.plan.functional_tests import Expected, PlannedStep
from ventwright.quantity import DURATION, System
from ventwright.tables.procedure import step_words
from ventwright.verdict.prove import Proof, ProvedStep
from ventwright.words import Amount

NEXT = 3
"""Steps that are shown at once: what a person keeps in mind with gloves on (our own choice)."""


def print_proof(proof: Proof, system: System, *, everything: bool) -> None:
    """Print the next steps, or all of them with how they came out."""
    if everything:
        _all(proof, system)
    coming = proof.next_steps
    for one in coming if everything else coming[:NEXT]:
        _step(one, system)
    if not everything and len(coming) > NEXT:
        show.line(f"\nThen {len(coming) - NEXT} more that can be done today; --all shows them.")
    _retest(proof, system)
    _later(proof, system)
    show.guesses(proof.guesses, system)
    counts = ", ".join(f"{proof.counted(outcome)} {outcome.listed}" for outcome in Verdict)
    show.line(f"\n{counts}, of {len(proof.steps)} steps.")


def _all(proof: Proof, system: System) -> None:
    rows = [
        (step_words(one.planned.id), one.planned.state.value, outcome(one), "" if one.check is None else one.check.sentence.show(system))
        for one in proof.steps
    ]  # fmt: skip
    show.table(("step", "how today", "verdict", "why"), rows)


def outcome(one: ProvedStep) -> str:
    """Say how a step came out, and that it was simulated where it was."""
    if one.verdict is None:
        return "not fitted"
    behind = " (simulated)" if one.by_simulation and one.verdict is Verdict.PASSES else ""
    if one.verdict is Verdict.CANNOT_TELL and not one.entered:
        return "not done"
    return one.verdict.listed + behind


def _step(one: ProvedStep, system: System) -> None:
    planned, step = one.planned, one.planned.step
    show.heading(f"{step_words(planned.id)}  ({planned.test})")
    for caution in planned.cautions:
        show.line(f"! {caution.text}")
    show.pairs([
        ("power", f"disconnect {step.disconnect}, fan {step.fan if step.fan != 'any' else 'on or off'}"),
        *_panels(planned),
        *_how(planned, system),
        ("do", step.do),
        *([("alone", planned.alone)] if planned.alone else []),
        ("expect", step.expects),
        *_numbers(planned.expected, system),
        *_waits(planned, system),
        ("put back", step.restore),
        ("from", f"{step.source} ({step.confirmed})"),
        *([("so far", one.check.sentence.show(system))] if one.check is not None and one.entered else []),
        *([("enter", entry_of(planned))] if step.answer != "check" else []),
    ])  # fmt: skip


def _panels(planned: PlannedStep) -> Iterator[tuple[str, str]]:
    if planned.closes:
        yield "close", planned.closes
    if planned.opens:
        yield "open", planned.opens


def _how(planned: PlannedStep, system: System) -> Iterator[tuple[str, str]]:
    """Say how the condition comes about: by the air, or by what."""
    if planned.simulated is not None:
        yield "simulate", planned.simulated.how.show(system)
        yield "then", planned.simulated.restore.show(system)
    elif planned.needs.text:
        yield "needs", f"{planned.needs.show(system)}; {planned.state.value}"


def _numbers(expected: Sequence[Expected], system: System) -> Iterator[tuple[str, str]]:
    for one in expected:
        yield "", f"{one.what}: {one.show(system)}{' (decides)' if one.answer else ''}"


def _waits(planned: PlannedStep, system: System) -> Iterator[tuple[str, str]]:
    if planned.wait > 0.0:
        yield "wait", Amount(planned.wait, DURATION).show(system)
    if planned.meanwhile:
        yield "meanwhile", ", ".join(planned.meanwhile)


def entry_of(planned: PlannedStep) -> str:
    """Return the command that enters what was seen."""
    answer = "--seen yes" if planned.step.answer == "yes" else "--value X"
    answer += " --speed NAME" if planned.step.named == "minimum" else ""
    simulated = planned.simulated is not None and planned.step.simulation == "proves logic"
    changed = simulated or planned.changes_something
    behind = f"{' --simulated' if simulated else ''}{' --changes ID' if changed else ''}"
    return f"ventwright read JOB test-step --step {planned.id} {answer}{behind}"


def _retest(proof: Proof, system: System) -> None:
    rows = [
        (step_words(again.step), again.repaired, again.why.show(system))
        for one in proof.steps
        for again in one.retest
    ]
    if rows:
        show.heading("To do again after a repair")
        show.table(("step", "repaired", "why"), rows)


def _later(proof: Proof, system: System) -> None:
    if proof.later:
        show.heading("Not today")
        for one in proof.later:
            show.line(f"- {step_words(one.planned.id)}: {one.planned.needs.show(system)}")
