"""The part of the record on the functional tests: what was seen, how it came out, by simulation or by the air; and repairs."""

from __future__ import annotations

from collections.abc import Iterator

from ventwright.evidence import Verdict
from ventwright.readings import FaultFinding, Repaired
from ventwright.record.content import Block, Notice, Paragraph, Section, Table, Tone
from ventwright.record.subject import Subject
from ventwright.verdict.prove import Proof, ProvedStep, prove

EXPECTED = (
    "The source is that of the step. A number that is expected is what a unit in software shows with these settings in the "
    "same air, and what is accepted beside it is our own assumption; outdoor air and sensors have the limits named above."
)


def functions_section(subject: Subject) -> Section:
    """Build the section on the functional tests."""
    proof = prove(subject.facts, subject.plan, subject.readings, subject.verdicts)
    done = [one for one in proof.steps if one.entered]
    blocks: list[Block] = [*_failures(subject, done)]
    if done:
        blocks.append(Table(("Step", "Expected", "Outcome", "Why", "Source"), tuple(
            (_said(one.planned.id), one.planned.step.expects, _outcome(one),
             "–" if one.check is None else subject.say(one.check.sentence), one.planned.step.source)
            for one in done
        ), (0.15, 0.21, 0.13, 0.24, 0.27), "Functional tests"))  # fmt: skip
    if any(one.check is not None and one.check.estimate is not None for one in done):
        blocks.append(Paragraph(EXPECTED))
    blocks += _not_done(proof)
    blocks += _looked_for(subject)
    blocks += _again(subject, proof)
    return Section("Functional tests", tuple(blocks))


def _said(step: str) -> str:
    """Say the id of a step as people read it: test, then step."""
    return step.replace("_", " ").replace(".", ": ")


def _outcome(one: ProvedStep) -> str:
    if one.verdict is None:
        return "not fitted"
    simulated = one.by_simulation and one.verdict is Verdict.PASSES
    return one.verdict.listed + (", proved by simulation" if simulated else "")


def _failures(subject: Subject, done: list[ProvedStep]) -> Iterator[Notice]:
    for one in done:
        if one.verdict is Verdict.FAILS and one.check is not None and one.planned.step.answer != "check":
            yield Notice(Tone.FAILS, f"{_said(one.planned.id)}: {subject.say(one.check.sentence)}.")


def _not_done(proof: Proof) -> Iterator[Paragraph]:
    """Say plainly which steps nobody did, and which are shown by readings that nobody took."""
    left = [one.planned for one in proof.steps if not one.entered and one.verdict is Verdict.CANNOT_TELL]
    for begun, by_readings in (("Not done", False), ("Not read", True)):
        named = [_said(one.id) for one in left if (one.step.answer == "check") is by_readings]
        if named:
            yield Paragraph(f"{begun}, and so not proved: {'; '.join(named)}.")


def _looked_for(subject: Subject) -> Iterator[Table]:
    """What was found while a fault was looked for, and what was repaired, in the order of time."""
    entries = [*subject.readings.standing(FaultFinding), *subject.readings.standing(Repaired)]
    rows = tuple(
        (f"{one.at:%Y-%m-%d %H:%M}", one.summary(subject.system), one.note or "–")
        for one in sorted(entries, key=lambda one: one.at)
    )
    if rows:
        yield Table(
            ("When", "Found, or repaired", "Note"), rows, (0.18, 0.57, 0.25), "Looked for, and repaired"
        )


def _again(subject: Subject, proof: Proof) -> Iterator[Table]:
    """What a repair asks to be done again."""
    rows = tuple(
        (_said(again.step), again.repaired, f"{again.since:%Y-%m-%d %H:%M}", subject.say(again.why))
        for one in proof.steps for again in one.retest
    )  # fmt: skip
    if rows:
        yield Table(("Step", "Repaired", "When", "Why again"), rows, (0.24, 0.2, 0.16, 0.4), "To do again")
