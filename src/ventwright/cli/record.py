"""Write what is handed over: record and card as PDF, the record as an accessible page, and the data.

Where the job names a year of weather, what free cooling saves is reckoned for it; else a published range stands there.
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_job, add_units, units

if TYPE_CHECKING:
    from ventwright.job import Worked
    from ventwright.quantity import System
    from ventwright.record import Paper
    from ventwright.record.subject import ReckonedYear
    from ventwright.store import Kept


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
    year = reckoned_year(kept, system)
    written = write_files(
        worked, folder, arguments.paper, system, year
    )  # first: a closed pipe must not stop it
    print_verdicts(worked.verdicts, system)
    for path in written:
        print(f"wrote {path}")
    print_unfinished(worked.verdicts.ledger)
    return exit_code(worked.verdicts)


def reckoned_year(kept: Kept, system: System) -> ReckonedYear | None:
    """Reckon the year of weather that a job names; None where it names none."""
    if kept.job.facts.site.weather_file is None:
        return None
    from ventwright.cli.savings import DRAWS, savings_report
    from ventwright.record.savings_pictures import savings_picture
    from ventwright.record.subject import ReckonedYear

    found = savings_report(kept, None, DRAWS)
    return ReckonedYear(found.owner, savings_picture(found.savings, system) if found.savings else "")


def write_files(
    worked: Worked, folder: Path, paper: Paper, system: System, year: ReckonedYear | None = None
) -> list[Path]:
    """Write the record of a worked job into a folder."""
    from datetime import datetime

    from ventwright.job import record_of
    from ventwright.store import write

    files = record_of(worked, made=datetime.now().astimezone(), paper=paper, system=system, year=year)
    for name, content in files.items():
        write(folder / name, content)
    return [folder / name for name in files]
