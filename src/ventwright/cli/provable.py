"""What these instruments and this weather can prove, before anybody climbs: checks, readings, and when to come.

example: ventwright provable JOB
example: ventwright provable JOB --weather chicago.epw --picture when.svg
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_job, add_json, add_units, units

if TYPE_CHECKING:
    from ventwright.job import Job
    from ventwright.plan.provable import Calendar, Provable
    from ventwright.quantity import System
    from ventwright.tables.weather import WeatherYear


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job, the weather, and how to show what can be proved."""
    add_job(parser)
    parser.add_argument(
        "--weather",
        type=Path,
        metavar="FILE",
        help="a year of hourly weather, EPW or TMY3 CSV (else facts.site.weather_file)",
    )
    parser.add_argument(
        "--picture", type=Path, metavar="FILE.svg", help="write the map of months and hours as a drawing"
    )
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show what can be proved; not everything can be today."""
    from ventwright.cli import CANNOT_TELL, DONE, show
    from ventwright.cli.pictures import refuse_other_picture
    from ventwright.cli.year import year_of
    from ventwright.job import work
    from ventwright.plan.provable import make_provable
    from ventwright.store import load

    refuse_other_picture(arguments.picture)
    kept = load(arguments.job)
    job, system = kept.job, units(arguments, kept.job.units)
    year = year_of(kept, arguments.weather)
    _refuse_no_weather(job, year)
    plan = work(job, kept.beside).plan
    found = make_provable(job.facts, plan, year)
    if arguments.picture is not None:
        _draw(found.calendar, year, arguments.picture, system)
    if arguments.json:
        show.as_json(provable_document(job, found))
    else:
        from ventwright.cli.provable_view import print_provable

        show.job_heading("Before you climb", job)
        print_provable(found, plan.cautions, system)
        if arguments.picture is not None:
            show.line(f"\n{arguments.picture} written.")
    return DONE if found.all_today else CANNOT_TELL


def provable_document(job: Job, found: Provable) -> dict[str, object]:
    """Return what can be proved for programs: SI, units in the key names."""
    from ventwright.cli import show
    from ventwright.words import plain

    return {**show.about(job), **plain(found)}


def _refuse_no_weather(job: Job, year: WeatherYear | None) -> None:
    from ventwright.errors import Refusal, Refused

    if job.facts.weather is None and year is None:
        accepted = "outdoor_air and return_air of today, or a year of weather with --weather FILE"
        raise Refused(Refusal("is missing", accepted, "facts.weather"))


def _draw(calendar: Calendar | None, year: WeatherYear | None, path: Path, system: System) -> None:
    from ventwright.errors import Refusal, Refused
    from ventwright.record.calendar_drawing import draw_calendar
    from ventwright.store import write

    if year is None:
        raise Refused(
            Refusal("needs a year of weather to draw", "--weather FILE beside it", "--picture", str(path))
        )
    if calendar is None:
        accepted = "instruments with which some difference settles an airflow"
        raise Refused(Refusal("has nothing to show", accepted, "--picture", str(path)))
    write(path, draw_calendar(calendar, system).encode())
