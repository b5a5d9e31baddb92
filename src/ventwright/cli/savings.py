"""What free cooling saves here in a year, with its range; what faults and settings cost; which high limit suits.

With no weather file a published range is said, and marked so; an invented job has an invented year.

example: ventwright savings JOB --weather chicago.epw
example: ventwright savings JOB --picture savings.svg --calendar when.svg
         ventwright savings JOB --logs rtu-3.csv   (balance point from the hours that compressors ran)
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


DRAWS, LEAST_DRAWS, MOST_DRAWS = 200, 2, 5000
"""Years that a range is drawn from, and can be."""


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
        default=DRAWS,
        metavar="N",
        help=f"years drawn for each range, {LEAST_DRAWS} to {MOST_DRAWS}",
    )
    parser.add_argument(
        "--picture", type=Path, metavar="FILE.svg", help="write what each control saves as a drawing"
    )
    parser.add_argument(
        "--hours", type=Path, metavar="FILE.svg", help="write the open hours on the chart of moist air"
    )
    parser.add_argument(
        "--calendar",
        type=Path,
        metavar="FILE.svg",
        help="write when to come back, by month and hour, as a drawing",
    )
    parser.add_argument(
        "--logs",
        type=Path,
        nargs="+",
        default=[],
        metavar="FILE",
        help="logs of the unit, from which the balance point is found",
    )
    parser.add_argument("--points", type=Path, metavar="MAP", help="point map of the logs; see docs/trend.md")
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show the year."""
    from ventwright.cli import DONE, show
    from ventwright.cli.pictures import refuse_other_picture
    from ventwright.errors import Refusal, Refused
    from ventwright.store import load

    for picture, option in _pictures(arguments):
        refuse_other_picture(picture, option)
    if not LEAST_DRAWS <= arguments.draws <= MOST_DRAWS:
        accepted = f"{LEAST_DRAWS} to {MOST_DRAWS}"
        raise Refused(Refusal("is no number of draws", accepted, "--draws", str(arguments.draws)))
    kept = load(arguments.job)
    if arguments.logs:
        from ventwright.cli.compressors_logged import with_hours_seen

        kept = with_hours_seen(kept, arguments.logs, arguments.points)
    job, system = kept.job, units(arguments, kept.job.units)
    found = savings_report(kept, arguments.weather, arguments.draws)
    _draw(arguments, found, system)
    if arguments.json:
        from ventwright.cli.savings_json import savings_document

        show.as_json(savings_document(job, found))
        return DONE
    from ventwright.cli.savings_view import print_savings

    show.job_heading("What free cooling saves", job)
    print_savings(found, system)
    return DONE


def savings_report(kept: Kept, weather: Path | None, draws: int) -> SavingsReport:
    """Reckon the year of a job: with the weather named, that of the job, or for an invented job an invented year."""
    from ventwright.job import work
    from ventwright.tables.weather import read_weather
    from ventwright.verdict.savings.report import report
    from ventwright.verdict.savings.which_year import year_of_job

    job, year = kept.job, None if weather is None else read_weather(weather)
    if weather is not None:  # place and height come from it too, where the job does not say them
        site = job.facts.site.model_copy(update={"weather_file": str(weather.resolve())})
        job = job.model_copy(update={"facts": job.facts.model_copy(update={"site": site})})
    worked = work(job, kept.beside)
    year = year or year_of_job(job.facts, worked.plan, kept.beside, invented=job.invented)
    return report(
        job.facts, worked.plan, job.readings, worked.verdicts, job.verdict.deficiencies, year, draws=draws
    )


def _pictures(arguments: argparse.Namespace) -> tuple[tuple[Path | None, str], ...]:
    """Return where each drawing goes, with its option."""
    return (
        (arguments.picture, "--picture"),
        (arguments.hours, "--hours"),
        (arguments.calendar, "--calendar"),
    )


def _draw(arguments: argparse.Namespace, found: SavingsReport, system: System) -> None:
    """Write the pictures that were asked for."""
    from ventwright.cli import show
    from ventwright.errors import Refusal, Refused
    from ventwright.record.calendar_drawing import draw_come_back
    from ventwright.record.savings_pictures import hours_picture, savings_picture
    from ventwright.store import write
    from ventwright.verdict.savings.come_back import rarest

    check, savings = rarest(found.come_back), found.savings
    if arguments.calendar and savings is not None and check is None:
        problem, accepted = "has nothing to show", "a check that is open, and that weather settles"
        raise Refused(Refusal(problem, accepted, "--calendar", str(arguments.calendar)))
    for path, option in _pictures(arguments):
        if path is None:
            continue
        if savings is None:
            problem = "needs a year of weather to draw"
            raise Refused(Refusal(problem, "--weather FILE beside it", option, str(path)))
        match option:
            case "--picture":
                picture = savings_picture(savings, system)
            case "--hours":
                picture = hours_picture(savings, system)
            case _:
                picture = draw_come_back(check, system) if check is not None else ""
        write(path, picture.encode())
        if not arguments.json:
            show.line(f"{path} written.")
