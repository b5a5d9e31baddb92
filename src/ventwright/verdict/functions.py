"""The functional tests among the checks of a job: one that failed fails it, and a repair takes back what passed before."""

from __future__ import annotations

from dataclasses import replace

from ventwright.evidence import Shortfall, Verdict
from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.plan.functional_tests.applies import chosen_steps
from ventwright.readings import Noted, Readings, Repaired, StepSeen
from ventwright.tables.procedure import step_words
from ventwright.verdict import SpeedVerdict, Verdicts
from ventwright.verdict.check import Check, cannot_tell
from ventwright.verdict.prove import Proof, checks_of, prove
from ventwright.verdict.prove.retest import masked, times_of
from ventwright.words import Words, words


def with_functions(facts: Facts, plan: Plan, readings: Readings, verdicts: Verdicts) -> Verdicts:
    """Add the steps of the functional tests to the verdicts of a job.

    Parameters
    ----------
    facts, plan, readings
        Of the job.
    verdicts
        Its other checks, from ``judge``.
    """
    if any(isinstance(one, StepSeen | Repaired) for one in readings.standing(Noted)):
        proof = prove(facts, plan, readings, verdicts)
        return replace(_as_proved(verdicts, proof, readings), steps=step_checks(proof))
    # nothing to judge: the unit need not be put into software to count what nobody did
    own = sum(one.step.answer != "check" for one in chosen_steps(facts, plan))
    return replace(verdicts, steps=(_not_done(own, own),) if own else ())


def _as_proved(verdicts: Verdicts, proof: Proof, readings: Readings) -> Verdicts:
    """Take back what passes alone, and not as a step of the tests: by readings of before a repair, or a change unsaid."""
    repairs = {check.id: one.retest for one in proof.steps for check in checks_of(one.planned, verdicts)}

    def still(check: Check, of: str = "") -> Check:
        times = times_of(check.readings, readings)
        since = [one for one in repairs.get(of or check.id, ()) if times and min(times) < one.since]
        return masked(check, since) if since and check.verdict is Verdict.PASSES else check

    def speed(one: SpeedVerdict) -> SpeedVerdict:
        if one.flow is None:
            return one
        flow = still(one.flow)
        fraction = None if one.fraction is None else still(one.fraction, flow.id)
        return replace(one, flow=flow, fraction=fraction, verdict=flow.verdict)

    return replace(
        verdicts,
        speeds=tuple(speed(one) for one in verdicts.speeds),
        sensors=tuple(still(one) for one in verdicts.sensors),
        settings=tuple(still(one) for one in verdicts.settings),
        nothing_left=_nothing_left(verdicts.nothing_left, proof),
    )


def _nothing_left(check: Check, proof: Proof) -> Check:
    """Return the check as the step has it where that knows of a change that nobody entered."""
    steps = (one.check for one in proof.steps if one.planned.step.check == "nothing_left")
    of_step = next((one for one in steps if one is not None), check)
    taken_back = check.verdict is Verdict.PASSES and of_step.verdict is not Verdict.PASSES
    return replace(of_step, id=check.id, what=check.what) if taken_back else check


def step_checks(proof: Proof) -> tuple[Check, ...]:
    """Return every step that was entered, as a check, and those that nobody did as one.

    Steps that are checks of their own (airflow, sensors, settings, nothing left behind) stand among the checks already.
    """
    own = [one for one in proof.steps if one.planned.step.answer != "check" and one.check is not None]
    judged = [
        replace(
            one.check,
            what=words("step {name}: {what}", name=Words(step_words(one.planned.id)), what=one.check.what),
        )
        for one in own
        if one.entered and one.check is not None
    ]
    left = len(own) - len(judged)
    return (*judged, *((_not_done(left, len(own)),) if left else ()))


def _not_done(left: int, whole: int) -> Check:
    """Steps that nobody did are not proved; that is no failure."""
    sentence = Words(f"{left} of {whole} steps were not done")
    settle = Words("the next steps of the functional tests that today's weather allows")
    shortfall = Shortfall("functions.not_done", sentence, settle)
    return cannot_tell("functions.not_done", Words("functional tests"), shortfall)
