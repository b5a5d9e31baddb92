"""What free cooling saves here in a year, with its range; what faults and settings cost; which high limit suits.

With no weather file a published range is said, and marked so; an invented job has an invented year.

example: ventwright savings JOB --weather chicago.epw
example: ventwright savings JOB --picture savings.svg
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_job, add_json, add_units, units

if TYPE_CHECKING:
    from ventwright.quantity import System
    from ventwright.store import Kept
    from ventwright.verdict.savings.report import SavingsReport


LEAST_DRAWS, MOST_DRAWS = 2, 5000
"""Years that a range can be drawn from."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job, the weather, and what to show."""
    add_job(parser)
    parser.add_argument(
        "--weather",
        type=Path,
        metavar="FILE",
        help="a year of hourly weather: EPW, TMY3 CSV, or measured hours (else facts.site.weather_file)",
    )
    parser.add_argument(
        "--draws",
        type=int,
        default=200,
        metavar="N",
        help=f"years drawn for each range, {LEAST_DRAWS} to {MOST_DRAWS}",
    )
    parser.add_argument(
        "--picture", type=Path, metavar="FILE.svg", help="write what each control saves as a drawing"
    )
    parser.add_argument(
        "--hours", type=Path, metavar="FILE.svg", help="write the open hours on the chart of moist air"
    )
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show the year."""
    from ventwright.cli import DONE, show
    from ventwright.cli.pictures import refuse_other_picture
    from ventwright.errors import Refusal, Refused
    from ventwright.store import load

    for picture in (arguments.picture, arguments.hours):
        refuse_other_picture(picture)
    if not LEAST_DRAWS <= arguments.draws <= MOST_DRAWS:
        accepted = f"{LEAST_DRAWS} to {MOST_DRAWS}"
        raise Refused(Refusal("is no number of draws", accepted, "--draws", str(arguments.draws)))
    kept = load(arguments.job)
    job, system = kept.job, units(arguments, kept.job.units)
    found = savings_report(kept, arguments.weather, arguments.draws)
    _draw(arguments, found, system)
    if arguments.json:
        from ventwright.cli.savings_json import savings_document

        show.as_json(savings_document(job, found))
        return DONE
    from ventwright.cli.savings_view import print_savings

    invented = "  (invented example)" if job.invented else ""
    show.heading(f"What free cooling saves: unit {job.facts.unit.tag}, {job.facts.site.name}{invented}")
    print_savings(found, system)
    return DONE


def savings_report(kept: Kept, weather: Path | None, draws: int) -> SavingsReport:
    """Reckon the year of a job: with the weather named, that of the job, or for an invented job an invented year."""
    from ventwright.cli.year import year_of
    from ventwright.job import work
    from ventwright.tables.invented_year import invented_year
    from ventwright.verdict.savings.report import report

    job, worked = kept.job, work(kept.job, kept.beside)
    year = year_of(kept, weather)
    if year is None and job.invented:
        year = invented_year(worked.plan.basis.climate_zone)
    return report(
        job.facts, worked.plan, job.readings, worked.verdicts, job.verdict.deficiencies, year, draws=draws
    )


def _draw(arguments: argparse.Namespace, found: SavingsReport, system: System) -> None:
    """Write the pictures that were asked for."""
    from ventwright.cli import show
    from ventwright.errors import Refusal, Refused
    from ventwright.record.savings_pictures import hours_picture, savings_picture
    from ventwright.store import write

    for path, option, picture in (
        (arguments.picture, "--picture", savings_picture),
        (arguments.hours, "--hours", hours_picture),
    ):
        if path is None:
            continue
        if found.savings is None:
            problem = "needs a year of weather to draw"
            raise Refused(Refusal(problem, "--weather FILE beside it", option, str(path)))
        write(path, picture(found.savings, system).encode())
        if not arguments.json:
            show.line(f"{path} written.")
