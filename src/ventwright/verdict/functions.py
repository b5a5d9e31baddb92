"""The functional tests among the checks of a job: a function that was seen to fail fails the job."""

from __future__ import annotations

from dataclasses import replace

from ventwright.evidence import Shortfall
from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.plan.functional_tests.applies import chosen_steps
from ventwright.readings import Readings, StepSeen
from ventwright.verdict import Verdicts
from ventwright.verdict.check import Check, cannot_tell
from ventwright.verdict.prove import Proof, prove
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
    if readings.standing(StepSeen):
        return replace(verdicts, steps=step_checks(prove(facts, plan, readings, verdicts)))
    # nothing to judge: the unit need not be put into software to count what nobody did
    own = sum(one.step.answer != "check" for one in chosen_steps(facts, plan))
    return replace(verdicts, steps=(_not_done(own, own),) if own else ())


def step_checks(proof: Proof) -> tuple[Check, ...]:
    """Return every step that was entered, as a check, and those that nobody did as one.

    Steps that are checks of their own (airflow, sensors, settings, nothing left behind) stand among the checks already.
    """
    own = [one for one in proof.steps if one.planned.step.answer != "check" and one.check is not None]
    judged = [
        replace(one.check, what=words("step {id}: {what}", id=Words(one.planned.id), what=one.check.what))
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
