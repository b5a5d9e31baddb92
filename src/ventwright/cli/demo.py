"""Take two invented jobs from facts to a record: a first fit, and a complaint with one fault behind another.

In a terminal the app is served with both jobs afterwards; elsewhere the command ends.
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence

    from ventwright.store import Kept

FIRST_PORT = 8000
"""Where the app is looked for first."""

FIRST_FIT, COMPLAINT = "larkspur-row-r-2.yaml", "tern-yard-u-4.yaml"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add where to write and in which units."""
    parser.add_argument(
        "--out", type=Path, default=Path("ventwright-demo"), metavar="FOLDER", help="folder to write into"
    )
    parser.add_argument(
        "--paper", choices=("letter", "a4"), default="letter", help="paper size of the record"
    )
    parser.add_argument("--units", choices=("us", "si"), default="us", help="units to show")


def run(arguments: argparse.Namespace) -> int:
    """Run every stage on the two jobs, which are copied into the folder first so that they can be changed and tried."""
    from ventwright.cli import DONE, show
    from ventwright.cli.demo_complaint import show_complaint
    from ventwright.cli.plan import print_plan
    from ventwright.cli.record import write_files
    from ventwright.cli.verdict import print_verdicts
    from ventwright.job import work

    first, second = _copied(arguments.out, FIRST_FIT), _copied(arguments.out, COMPLAINT)
    worked, later = work(first.job, first.beside), work(second.job, second.beside)
    # files first: a closed pipe must not stop them
    written = write_files(worked, arguments.out, arguments.paper, arguments.units)
    beside = arguments.out / second.path.stem
    written_later = write_files(later, beside, arguments.paper, arguments.units)
    print(f"An invented job: unit, site, kit, people and readings exist nowhere. Facts: {first.path}")
    print_plan(first.job, worked.plan, arguments.units)
    show.heading("Readings")
    show.table(("when", "visit", "what was entered"), [
        (f"{entry.at:%Y-%m-%d %H:%M}", entry.visit or "", entry.summary(arguments.units))
        for entry in first.job.readings.entries
    ])  # fmt: skip
    print_verdicts(worked.verdicts, arguments.units)
    _print_record(written)
    print(f"\nA second invented job: a complaint, one fault behind another. Facts: {second.path}")
    show_complaint(second, arguments.units)
    _print_record(written_later)
    print(f"\nChange {first.path} or {second.path} and try:")
    print("ventwright check, plan, read, verdict, prove, ledger, diagnose, record.")
    return _app(arguments.out, (first, second)) if _in_a_terminal() else DONE


def _in_a_terminal() -> bool:
    """Whether a person sits before it: only then does the app stay open."""
    return sys.stdin.isatty() and sys.stdout.isatty()


def _app(folder: Path, jobs: Sequence[Kept]) -> int:
    """Serve the app with the two jobs in it, on the first port that is free."""
    from ventwright.cli import show
    from ventwright.cli.serve import free_port, serve

    show.heading("The app")
    documents = [job.text.encode() for job in jobs]
    return serve("127.0.0.1", free_port(FIRST_PORT), folder / "app", documents=documents)


def _copied(folder: Path, name: str) -> Kept:
    """Copy one of the jobs that are shipped, unless somebody has changed the copy that is there."""
    from importlib.resources import files

    from ventwright.errors import Refusal, Refused
    from ventwright.store import load, write

    path, shipped = folder / name, files("ventwright.cli").joinpath("demo_job", name).read_bytes()
    if path.is_file() and path.read_bytes() != shipped:
        accepted = (
            "another folder by --out, or this file taken away; a changed job is shown by the other commands"
        )
        raise Refused(Refusal("is not the demo job any more", accepted, given=str(path)))
    write(path, shipped)
    return load(path)


def _print_record(written: list[Path]) -> None:
    from ventwright.cli import show

    show.heading("Record")
    for one in written:
        print(one)
