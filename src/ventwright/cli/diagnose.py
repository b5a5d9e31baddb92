"""What may be wrong with the unit: likely faults with the evidence for and against, and what to read next.

example: ventwright diagnose JOB
example: ventwright diagnose JOB --evidence --json
example: ventwright diagnose JOB --card last-year.yaml
"""

from __future__ import annotations

import argparse
from collections.abc import Sequence
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_job, add_json, add_units, units

if TYPE_CHECKING:
    from ventwright.job import Job, Worked
    from ventwright.quantity import System
    from ventwright.verdict import Line
    from ventwright.verdict.diagnose import Diagnosis, Found, ReadingEvidence
    from ventwright.verdict.diagnose.baseline import Baseline


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job and how much to show."""
    add_job(parser)
    parser.add_argument(
        "--evidence", action="store_true", help="show the readings for and against each fault"
    )
    parser.add_argument(
        "--card",
        metavar="X",
        help="the unit as it was left: the job of then, or the text of its card's code, in a file or as it is",
    )
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show what is likely; 1 where a fault is, 3 where nothing can be told yet."""
    from ventwright.cli import show
    from ventwright.job import work
    from ventwright.store import load
    from ventwright.verdict.diagnose import diagnose

    kept = load(arguments.job)
    worked, system = work(kept.job, kept.beside), units(arguments, kept.job.units)
    baseline = None if arguments.card is None else _baseline(arguments.card, worked)
    found = diagnose(kept.job.facts, worked.plan, kept.job.readings, baseline)
    if arguments.json:
        show.as_json(diagnosis_document(kept.job, found))
    else:
        print_diagnosis(worked, found, system, evidence=arguments.evidence)
    return exit_code(found)


def exit_code(found: Diagnosis) -> int:
    """Return 1 where a fault is likelier than not, 3 where nothing can be told yet, else 0."""
    from ventwright.cli import CANNOT_TELL, DONE, FAILS
    from ventwright.verdict.diagnose.diagnosis import LIKELY

    if found.unexplained:
        return CANNOT_TELL
    if any(one.probability >= LIKELY for one in found.faults):
        return FAILS
    return DONE if found.nothing_wrong >= LIKELY else CANNOT_TELL


def _baseline(given: str, worked: Worked) -> Baseline:
    """Read the unit as it was left from an earlier job, or from the text of its card."""
    from pathlib import Path

    from ventwright.errors import Refusal, Refused
    from ventwright.job import work
    from ventwright.record.card_reading import HOW, baseline_of_card, is_card
    from ventwright.store import load, read_text
    from ventwright.verdict.diagnose.baseline import baseline_of

    try:
        text = given if is_card(given) else read_text(Path(given))
        if is_card(text):
            found = baseline_of_card(text, worked.plan)
        else:
            kept = load(given)
            then = work(kept.job, kept.beside)
            found = baseline_of(then.plan.kit, kept.job.readings, then.verdicts.speeds)
    except Refused as refused:
        raise Refused(*(one.at(f"--card: {one.where}".rstrip(": ")) for one in refused.refusals)) from None
    if not found.shares:
        raise Refused(Refusal("says no share of outdoor air at any fan speed", HOW, "--card"))
    return found


def diagnosis_document(job: Job, found: Diagnosis) -> dict[str, object]:
    """Return what is believed for programs: SI."""
    from ventwright.cli import show
    from ventwright.words import plain

    return {**show.about(job), **plain(found)}


def print_diagnosis(worked: Worked, found: Diagnosis, system: System, *, evidence: bool) -> None:
    """Print what is likely, what does not fit, what stands open in the ledger, and what to read next."""
    from ventwright.cli import show
    from ventwright.tables.fault_words import fault_words
    from ventwright.words import chance

    job = worked.job
    show.job_heading("What may be wrong", job)
    show.line(f"From {found.readings} readings: {found.sentence}.")
    rows = [(chance(found.nothing_wrong), "nothing is wrong")]
    rows += [(chance(one.probability), one.words) for one in found.faults]
    show.table(("Probability", "Fault, alone or with another"), rows)
    pairs = [one for one in found.together if len(one.faults) > 1]
    if pairs:
        show.heading("Two at once")
        show.table(
            ("Probability", "Faults"),
            [(chance(one.probability), " and ".join(map(fault_words, one.faults))) for one in pairs],
        )
    if evidence:
        for one in found.faults:
            _print_evidence(one, system)
    for told in found.not_told:
        show.line(f"- {told.sentence}.")
    if found.not_fitting:
        said = [one.subject(system) for one in job.readings.entries if one.id in found.not_fitting]
        show.line(f"- Hardly fits anything, take it again: {'; '.join(said)}.")
    _print_open(worked.verdicts.not_closed)
    if found.next_measurement is None:
        show.line("\nNo measurement that is left says anything more.")
        return
    upcoming = found.next_measurement
    show.heading("Read next")
    show.line(f"{upcoming.what}. About {upcoming.minutes:.0f} min.")
    if upcoming.caution:
        show.line(f"Caution: {upcoming.caution}")
    if upcoming.put_back:
        show.line(f"Enter it as a temporary change, and put it back: {upcoming.put_back}.")
    show.line(f"Enter what it gave: `{entry_of(upcoming.id)}`.")


def entry_of(measurement: str) -> str:
    """Return the command that enters what a measurement gave."""
    from ventwright.readings.fault_finding import measurement_named

    parts = measurement_named(measurement).parts
    found = "; ".join(f"{part.reads} = X" for part in parts)
    return f'ventwright read JOB finding --measurement {measurement} --found "{found}"'


def _print_open(lines: Sequence[Line]) -> None:
    """Name the temporary changes that nobody proved undone: the unit may still have them."""
    from ventwright.cli import show

    for line in lines:
        show.line(
            f"- Not proved put back ({line.id}): {line.point}, {line.changed_to}. `ventwright ledger` says what it costs."
        )


def _print_evidence(one: Found, system: System) -> None:
    from ventwright.cli import show

    show.heading(f"{one.words}: what speaks for it (+) and against it (-)")
    show.table(
        ("Weight", "Reading", "Seen", "With it", "Without it"),
        [_row(piece, system) for piece in sorted(one.evidence, key=lambda piece: -abs(piece.log_likelihood_ratio))],
    )  # fmt: skip


def _row(piece: ReadingEvidence, system: System) -> tuple[str, ...]:
    from ventwright.quantity import show as shown
    from ventwright.readings.fault_finding import measurement_named
    from ventwright.tables.measurement import measurements

    dimension = measurements().entered[piece.part].dimension
    values = (
        value if isinstance(value, str) else shown(value, dimension, system) if dimension else f"{value:g}"
        for value in (piece.seen, piece.expected_with, piece.expected_without)
    )
    read = measurement_named(piece.measurement)
    where = f"{read.state.words}: {piece.part}" if read.state else piece.part
    return (f"{piece.log_likelihood_ratio:+.1f}", where, *values)
