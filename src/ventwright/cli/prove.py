"""Functional tests: the next steps with their cautions and what to expect in numbers, and how those done came out.

example: ventwright prove JOB
example: ventwright prove JOB --all
example: ventwright read JOB test-step --step free_cooling.engages --value "100 %"
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_job, add_json, add_units, units

if TYPE_CHECKING:
    from ventwright.job import Job
    from ventwright.verdict.prove import Proof, ProvedStep


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job, how many steps to show, and how."""
    add_job(parser)
    parser.add_argument(
        "--all", action="store_true", help="show every step, those done and those for later too"
    )
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show the functional tests; the code says whether any step fails or is still open."""
    from ventwright.cli import show
    from ventwright.job import work
    from ventwright.store import load
    from ventwright.verdict.prove import prove

    kept = load(arguments.job)
    job, system = kept.job, units(arguments, kept.job.units)
    worked = work(job, kept.beside)
    proof = prove(job.facts, worked.plan, job.readings, worked.verdicts)
    if arguments.json:
        show.as_json(prove_document(job, proof))
    else:
        from ventwright.cli.prove_view import print_proof

        show.job_heading("Functional tests", job)
        print_proof(proof, system, everything=arguments.all)
    return exit_code(proof)


def exit_code(proof: Proof) -> int:
    """Return 1 where a step fails, 3 where one is open, else 0."""
    from ventwright.cli import CANNOT_TELL, DONE, FAILS
    from ventwright.evidence import Verdict

    if proof.counted(Verdict.FAILS):
        return FAILS
    return CANNOT_TELL if proof.counted(Verdict.CANNOT_TELL) else DONE


def prove_document(job: Job, proof: Proof) -> dict[str, object]:
    """Return every step for programs: SI, units in the key names."""
    from ventwright.cli import show
    from ventwright.words import plain

    return {
        **show.about(job),
        "people": proof.people,
        "steps": [_step_document(one) for one in proof.steps],
        "next": [one.planned.id for one in proof.next_steps],
        "retest": [
            plain(again) | {"since": again.since.isoformat()} for one in proof.steps for again in one.retest
        ],
        "guesses": plain(proof.guesses),
    }


def _step_document(one: ProvedStep) -> dict[str, object]:
    from ventwright.words import plain

    planned, step = one.planned, one.planned.step
    simulated = planned.simulated
    document: dict[str, object] = {
        "id": planned.id,
        "test": planned.test,
        "state": planned.state.value,
        "needs": plain(planned.needs),
        "do": step.do,
        "expects": step.expects,
        "answer": step.answer,
        "expected": plain(planned.expected),
        "simulate": None,
        "wait_s": planned.wait,
        "meanwhile": plain(planned.meanwhile),
        "disconnect": step.disconnect,
        "fan": step.fan,
        "opens": planned.opens,
        "closes": planned.closes,
        "people": step.people,
        "alone": planned.alone,
        "cautions": plain(planned.cautions),
        "restore": step.restore,
        "source": step.source,
        "confirmed": step.confirmed,
        "verdict": None if one.verdict is None else one.verdict.value,
        "by_simulation": one.by_simulation,
        "check": plain(one.check),
    }
    if simulated is not None:
        document["simulate"] = {
            "way": simulated.way, "how": plain(simulated.how), "restore": plain(simulated.restore), "setting": simulated.setting,
            "resistance_ohm": simulated.resistance, "shows_C": simulated.shows,
        }  # fmt: skip
    return document
