"""Write what is handed over: record and card as PDF, the record as an accessible page, and the data."""

from __future__ import annotations

import argparse
from pathlib import Path

from ventwright.cli.arguments import add_job, add_units, units


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job, the folder and the paper."""
    add_job(parser)
    parser.add_argument(
        "--out",
        type=Path,
        metavar="FOLDER",
        help="folder to write into (else one named after the job, beside it)",
    )
    parser.add_argument("--paper", choices=("letter", "a4"), default="letter", help="paper size")
    add_units(parser)


def run(arguments: argparse.Namespace) -> int:
    """Write the files and say what they prove."""
    from ventwright.cli.ledger import print_unfinished
    from ventwright.cli.verdict import exit_code, print_verdicts
    from ventwright.job import work
    from ventwright.store import load

    kept = load(arguments.job)
    system = units(arguments, kept.job.units)
    worked = work(kept.job, kept.beside)
    folder = arguments.out or kept.path.with_name(f"{kept.path.stem}-record")
    written = write_files(worked, folder, arguments.paper, system)  # first: a closed pipe must not stop it
    print_verdicts(worked.verdicts, system)
    for path in written:
        print(f"wrote {path}")
    print_unfinished(worked.verdicts.ledger)
    return exit_code(worked.verdicts)


def write_files(worked: object, folder: Path, paper: str, system: str) -> list[Path]:
    """Write the record of a worked job into a folder."""
    from datetime import datetime
    from typing import cast

    from ventwright.job import Worked, record_of
    from ventwright.quantity import System
    from ventwright.record import Paper
    from ventwright.store import write

    made = datetime.now().astimezone()
    files = record_of(
        cast("Worked", worked), made=made, paper=cast("Paper", paper), system=cast("System", system)
    )
    for name, content in files.items():
        write(folder / name, content)
    return [folder / name for name in files]
