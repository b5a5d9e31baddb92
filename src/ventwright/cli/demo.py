"""Take the invented demo job from facts to a plan, readings, verdicts and a PDF record."""

from __future__ import annotations

import argparse
from pathlib import Path

NAME = "larkspur-row-r-2.yaml"


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
    """Run every stage on the demo job, which is copied into the folder first so that it can be changed and tried."""
    from importlib.resources import files

    from ventwright.cli import DONE, show
    from ventwright.cli.plan import print_plan
    from ventwright.cli.record import write_files
    from ventwright.cli.verdict import print_verdicts
    from ventwright.errors import Refusal, Refused
    from ventwright.job import work
    from ventwright.store import load, write

    path, shipped = arguments.out / NAME, files("ventwright.cli").joinpath("demo_job", NAME).read_bytes()
    if path.is_file() and path.read_bytes() != shipped:
        accepted = (
            "another folder by --out, or this file taken away; a changed job is shown by the other commands"
        )
        raise Refused(Refusal("is not the demo job any more", accepted, given=str(path)))
    write(path, shipped)
    kept = load(path)
    worked = work(kept.job, kept.beside)
    written = write_files(
        worked, arguments.out, arguments.paper, arguments.units
    )  # first: a closed pipe must not stop it
    print(f"An invented job: unit, site, kit, people and readings exist nowhere. Facts: {path}")
    print_plan(kept.job, worked.plan, arguments.units)
    show.heading("Readings")
    readings = kept.job.readings
    show.table(("when", "visit", "what was entered"), [
        (f"{entry.at:%Y-%m-%d %H:%M}", entry.visit or "", entry.summary(arguments.units)) for entry in readings.entries
    ])  # fmt: skip
    print_verdicts(worked.verdicts, arguments.units)
    show.heading("Record")
    for one in written:
        print(one)
    print(f"\nChange {path} and try: ventwright check, plan, read, verdict, record.")
    return DONE
