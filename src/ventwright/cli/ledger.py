"""What was changed for tests: the state of each line, what would prove it back, and what forgetting it would cost.

example: ventwright ledger JOB
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_job, add_json, add_units, units

if TYPE_CHECKING:
    from ventwright.job import Job
    from ventwright.quantity import System
    from ventwright.verdict import Line
    from ventwright.verdict.forgotten import Forgetting


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job and how to show it."""
    add_job(parser)
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show the ledger."""
    from ventwright.cli import show
    from ventwright.job import work
    from ventwright.store import load
    from ventwright.verdict.forgotten import all_forgetting

    kept = load(arguments.job)
    worked = work(kept.job, kept.beside)
    lines = worked.verdicts.ledger
    costs = all_forgetting(kept.job.facts, worked.plan, kept.job.readings)
    if arguments.json:
        show.as_json(ledger_document(kept.job, lines, costs))
    else:
        print_ledger(lines, costs, units(arguments, kept.job.units))
    return exit_code(lines)


def exit_code(lines: Sequence[Line]) -> int:
    """Return 1 where a line is open, 3 where one is not proved, else 0."""
    from ventwright.cli import CANNOT_TELL, DONE, FAILS
    from ventwright.verdict import LineState

    states = {line.state for line in lines}
    if LineState.OPEN in states:
        return FAILS
    return CANNOT_TELL if LineState.NOT_PROVED in states else DONE


def ledger_document(job: Job, lines: Sequence[Line], costs: Mapping[str, Forgetting]) -> dict[str, object]:
    """Return the ledger for programs."""
    from ventwright.cli import show
    from ventwright.words import plain

    return {
        **show.about(job),
        "finished": all(line.closed for line in lines),
        "lines": [plain(line) | {"forgetting": plain(costs[line.id])} for line in lines],
    }


def print_ledger(lines: Sequence[Line], costs: Mapping[str, Forgetting], system: System) -> None:
    """Print every line: state by word, why, what would prove it, and the cost of those that are not closed."""
    from ventwright.cli import show

    show.heading("Changed for tests")
    if not lines:
        show.line("No temporary change was entered.")
        return
    show.table(("line", "changed", "it was", "state", "why", "what would prove it"), [
        (line.id, f"{line.point}: {line.changed_to}", line.was, line.state.value if line.closed else line.state.value.upper(),
         line.sentence.show(system), "" if line.would_prove is None else line.would_prove.show(system))
        for line in lines
    ])  # fmt: skip
    for line in lines:
        if not line.closed:
            show.line(f"\nForgetting {line.id} would cost: {costs[line.id].sentence.show(system)}.")
    print_unfinished(lines)


def print_unfinished(lines: Sequence[Line]) -> None:
    """Say plainly that a job with lines that are not closed is not finished."""
    from ventwright.cli import show

    named = ", ".join(line.id for line in lines if not line.closed)
    if named:
        show.line(f"\nNOT FINISHED: open lines: {named}. No job is finished before every line is proved.")
