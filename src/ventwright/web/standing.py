"""Where a job stands, stage by stage, in a few words: for the list of jobs and the head of a job."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal

from ventwright.evidence import Verdict
from ventwright.job import Worked
from ventwright.plan import Weight
from ventwright.plan.wiring import WiringState
from ventwright.verdict import Check
from ventwright.verdict.prove import Proof
from ventwright.web.desk import Opened
from ventwright.web.wire_steps import wire_steps

Mark = Literal["done", "open", "wrong", "none"]

WIRES_WRONG = {WiringState.ADAPTER_MISSING, WiringState.NOT_WHOLE, WiringState.CANNOT_MATE}


@dataclass(frozen=True, slots=True)
class StageStands:
    """One stage: how it stands and the words for it.

    ``then`` is what to do there next, where that is known, and ``at`` the page of the stage on which it is done.
    """

    stage: str
    mark: Mark
    words: str
    then: str = ""
    at: str = ""


@dataclass(frozen=True, slots=True)
class Standing:
    """Every stage of a job, and the one to go on with."""

    stages: tuple[StageStands, ...]

    def stage(self, name: str) -> StageStands:
        """Return one stage."""
        return next(one for one in self.stages if one.stage == name)

    @property
    def next(self) -> StageStands:
        """The stage to go on with: what is wrong first, then the first that is not done; the record at last."""
        urgent = [one for one in self.stages if one.mark == "wrong"]
        ahead = [one for one in self.stages if one.mark != "done" and one.then]
        return (urgent or ahead or [self.stages[-1]])[0]


def standing_of(opened: Opened, proof: Proof | None) -> Standing:
    """Say how each stage of a job stands."""
    return Standing(tuple(_stages(opened, proof)))


def _stages(opened: Opened, proof: Proof | None) -> Iterator[StageStands]:
    worked = opened.worked
    if worked is None or proof is None:
        yield StageStands("facts", "open", "something is missing", "Enter what is missing.")
        waiting = ("plan", "wire", "set", "balance", "prove", "restore", "find", "record")
        yield from (StageStands(one, "none", "waits for the facts") for one in waiting)
        return
    guesses = len(worked.plan.guesses)
    then, at = (
        ("Enter the spaces served.", "/spaces") if worked.plan.ventilation.required_is_guess else ("", "")
    )
    guessed = StageStands("facts", "open", f"{guesses} guessed", then, at)
    yield guessed if guesses else StageStands("facts", "done", "entered")
    yield _plan(worked)
    yield _wire(worked)
    yield _checked("set", worked.verdicts.settings, "Read the settings back.")
    speeds = [one.verdict for one in worked.verdicts.speeds]
    yield _judged(
        "balance",
        speeds,
        "Set the damper and read.",
        started=any(one.damper_signal is not None for one in worked.verdicts.speeds),
    )
    yield _prove(proof)
    not_back = len(worked.verdicts.not_closed)
    put_back = StageStands("restore", "done", "nothing is left behind")
    yield (
        StageStands("restore", "wrong", f"{not_back} not put back", "Put back what was changed.")
        if not_back
        else put_back
    )
    yield StageStands("find", "none", "when something is wrong")
    signed = bool(worked.job.record.signatures)
    yield (
        StageStands("record", "done", "signed")
        if signed
        else StageStands("record", "none", "not signed", "Write the record and sign it.")
    )


def _plan(worked: Worked) -> StageStands:
    conflicts = sum(one.weight is Weight.CONFLICT for one in worked.plan.concerns)
    conflicts += sum(not one.can_deliver for one in worked.plan.speeds)
    if conflicts:
        return StageStands("plan", "wrong", f"{conflicts} to settle", "Settle what does not go together.")
    return StageStands("plan", "done", "worked out")


def _wire(worked: Worked) -> StageStands:
    wiring = worked.plan.wiring
    if wiring is None:
        return StageStands("wire", "none", "not entered", "Find how kit and unit are joined.")
    if wiring.state in WIRES_WRONG:
        return StageStands("wire", "wrong", str(wiring.state.value), "See what keeps the wires from landing.")
    steps = wire_steps(wiring, worked.job.readings)
    ticked = sum(one.tick is not None for one in steps)
    if any(one.tick is not None and one.tick.found == "not in order" for one in steps):
        return StageStands("wire", "wrong", "not in order", "See what is not in order.")
    if steps and ticked == len(steps):
        return StageStands("wire", "done", "landed and metered")
    if wiring.state is WiringState.WHOLE and not ticked:
        return StageStands("wire", "none", f"{len(steps)} steps to do", "Land the wires.")
    return StageStands(
        "wire",
        "open",
        f"{ticked} of {len(steps)} steps" if steps else str(wiring.state.value),
        "Land the wires.",
    )


def _checked(stage: str, checks: tuple[Check, ...], then: str) -> StageStands:
    return _judged(
        stage,
        [one.verdict for one in checks],
        then,
        started=any(one.verdict is not Verdict.CANNOT_TELL for one in checks),
    )


def _judged(stage: str, verdicts: list[Verdict], then: str, *, started: bool) -> StageStands:
    fails = verdicts.count(Verdict.FAILS)
    passes = verdicts.count(Verdict.PASSES)
    if fails:
        return StageStands(stage, "wrong", f"{fails} of {len(verdicts)} fail", then)
    if passes == len(verdicts):
        return StageStands(stage, "done", f"all {passes} pass" if passes > 1 else "passes")
    if not started:
        return StageStands(stage, "none", "not begun", then)
    return StageStands(stage, "open", f"{passes} of {len(verdicts)} pass", then)


def _prove(proof: Proof) -> StageStands:
    done = [one for one in proof.steps if one.entered]
    verdicts = [one.verdict for one in proof.steps if one.verdict is not None]
    return _judged("prove", verdicts, "Go through the tests.", started=bool(done))
