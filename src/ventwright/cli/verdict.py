"""What the readings of a job show so far: passes, fails, cannot tell, and what would settle it."""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_job, add_json, add_units, units

if TYPE_CHECKING:
    from ventwright.job import Job
    from ventwright.quantity import System
    from ventwright.store import Kept
    from ventwright.verdict import Verdicts


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job and how to show it."""
    add_job(parser)
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show the verdicts."""
    from ventwright.store import load

    kept = load(arguments.job)
    return report(kept, as_json=arguments.json, units=units(arguments, kept.job.units))


def report(kept: Kept, *, as_json: bool, units: System) -> int:
    """Judge a job, print the outcome, and return the exit code that says it."""
    from ventwright.cli import show
    from ventwright.job import work

    worked = work(kept.job, kept.beside)
    if as_json:
        show.as_json(verdict_document(kept.job, worked.verdicts))
    else:
        print_verdicts(worked.verdicts, units)
    return exit_code(worked.verdicts)


def verdict_document(job: Job, verdicts: Verdicts) -> dict[str, object]:
    """Return the verdicts for programs."""
    from ventwright.cli import show
    from ventwright.words import plain

    return {**show.about(job), **plain(verdicts)}


def exit_code(verdicts: Verdicts) -> int:
    """Return 1 where something fails, 3 where something cannot be told, else 0."""
    from ventwright.cli import CANNOT_TELL, DONE, FAILS
    from ventwright.evidence import Verdict

    if verdicts.counted(Verdict.FAILS):
        return FAILS
    return CANNOT_TELL if verdicts.counted(Verdict.CANNOT_TELL) else DONE


def print_verdicts(verdicts: Verdicts, system: System, *, passing: bool = True) -> None:
    """Print every check, or only those that do not pass: verdict by word, why, and what to do; and count them all."""
    from ventwright.cli import show
    from ventwright.evidence import Verdict

    show.heading("What the readings show")
    show.table(("check", "verdict", "why", "what would settle it"), [
        (one.what.show(system), one.verdict.listed, one.sentence.show(system), one.shortfall.settle_by.show(system) if one.shortfall else "")
        for one in verdicts.checks()
        if passing or one.verdict is not Verdict.PASSES
    ])  # fmt: skip
    counts = ", ".join(f"{verdicts.counted(outcome)} {outcome.listed}" for outcome in Verdict)
    show.line(f"{counts}.")
