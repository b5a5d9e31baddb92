"""Make safe and leave, at any moment: ends the visit, not the job, and writes the tag that stays at the unit.

example: ventwright leave JOB --told "Ms. Owner, by phone" --signal "21 %"
example: ventwright leave JOB --damper "where it failed" --why "linkage parted, blades wedged at the mark" --told "Ms. Owner"
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ventwright.cli.arguments import add_job, add_json, add_units, units, without_empty

if TYPE_CHECKING:
    from ventwright.errors import Refusal
    from ventwright.job import Worked
    from ventwright.readings import LeftSafe
    from ventwright.record.subject import Subject
    from ventwright.store import Kept

GIVEN = {
    "--told": ("told", 'who was told, and how, such as "Ms. Owner, by phone"'),
    "--damper": (
        "damper",
        "where the damper stands meanwhile: at ventilation (else taken), shut, open, where it failed",
    ),
    "--signal": ("damper_signal", 'damper signal or position it was left at, such as "21 %%"'),
    "--why": ("why", "why it stands there; needed where it is not at ventilation"),
    "--visit": ("visit", "id of the visit that ends (else the last one)"),
    "--by": ("by", "who leaves the unit so (else the technician of the visit)"),
    "--note": ("note", "free text"),
    "--id": ("id", "id of the entry (else one is made)"),
    "--at": ("at", "time with offset (else now)"),
}
"""Option: key in the document, help."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job, how the unit is left, and where the tag goes."""
    add_job(parser)
    for option, (key, words) in GIVEN.items():
        parser.add_argument(option, dest=key, metavar="X", help=words)
    parser.add_argument(
        "--out",
        type=Path,
        metavar="FOLDER",
        help="folder for the tag (else one named after the job, beside it)",
    )
    parser.add_argument("--paper", choices=("letter", "a4"), default="letter", help="paper size")
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Enter how the unit is left, write the tag, print it."""
    from datetime import datetime

    from ventwright.cli import show
    from ventwright.cli.ledger import exit_code
    from ventwright.job import subject_of, work
    from ventwright.record.tag import build_tag, tag_files, tag_text
    from ventwright.store import load, write

    kept, entry = _entered(load(arguments.job), arguments)
    system = units(arguments, kept.job.units)
    worked = work(kept.job, kept.beside)
    subject, made = subject_of(worked, system), datetime.now().astimezone()
    folder = arguments.out or kept.path.with_name(f"{kept.path.stem}-tag")
    files = tag_files(subject, entry, made=made, paper=arguments.paper)
    for name, content in files.items():
        write(folder / name, content)
    if arguments.json:
        show.as_json(leave_document(subject, worked, entry, [folder / name for name in files]))
    else:
        tag = build_tag(subject, entry)
        show.line(tag_text(tag))
        over = (
            "the visit is over, and nothing is open" if tag.finished else "the visit is over, the job is not"
        )
        show.line(f"{entry.id} added to {arguments.job}: {over}.")
        for name in files:
            show.line(f"wrote {folder / name}")
    return exit_code(worked.verdicts.ledger)


def leave_document(subject: Subject, worked: Worked, entry: LeftSafe, written: list[Path]) -> dict[str, Any]:
    """Return how the unit was left for programs."""
    from ventwright.cli import show
    from ventwright.record.tag import still_open
    from ventwright.words import plain

    return {
        **show.about(worked.job),
        "left": entry.model_dump(mode="json", exclude_none=True),
        "not_closed": plain(worked.verdicts.not_closed),
        "still_open": list(still_open(subject, entry)),
        "restore_mechanical_cooling": plain(() if worked.plan.wiring is None else worked.plan.wiring.restore),
        "wrote": [str(path) for path in written],
    }


def _entered(kept: Kept, arguments: argparse.Namespace) -> tuple[Kept, LeftSafe]:
    """Append the entry to the job and return both."""
    from secrets import token_hex

    from ventwright.cli.read import now
    from ventwright.errors import Refused
    from ventwright.readings import LeftSafe
    from ventwright.store import append

    visits = kept.job.readings.visits
    given = without_empty({key: getattr(arguments, key) for key, _ in GIVEN.values()})
    made = {"id": token_hex(4), "at": now(), "visit": visits[-1].id if visits else None}
    entry = without_empty({"what": "left safe", **made, **given})
    place = f"readings.entries[{len(kept.job.readings.entries) + 1}]."
    try:
        kept = append(kept, "readings", "entries", entry)
    except Refused as refused:
        raise Refused(*(_by_option(one, place) for one in refused.refusals)) from None
    added = kept.job.readings.entries[-1]
    assert isinstance(added, LeftSafe)  # noqa: S101 - for the reader of types: it was just appended
    return kept, added


def _by_option(refusal: Refusal, place: str) -> Refusal:
    """Name the option that a refused part of the entry was given by."""
    field = refusal.where.removeprefix(place)
    named = next((option for option, (key, _) in GIVEN.items() if key == field), None)
    return refusal if named is None else refusal.at(named)
