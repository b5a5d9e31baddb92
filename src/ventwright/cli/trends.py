"""Logged points of rooftop units: what is wrong with each unit, since when, how sure, and what to measure next.

example: ventwright trends rtu-3.csv --zone America/Chicago --look   (only what the file holds)
         ventwright trends logs/ --write-points points.yaml      (then look the file over once)
         ventwright trends logs/ --points points.yaml --json
         ventwright trends logs/ --points points.yaml --job job.yaml --report found.html
         ventwright trends logs/ --points points.yaml --keep kept/   (to Parquet; later only what is new is read)
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_json, add_units

if TYPE_CHECKING:
    from ventwright.readings.trend import PointMap, Understood
    from ventwright.store import Kept
    from ventwright.verdict.trend_findings import KnownUnit
    from ventwright.verdict.trend_judged import Judged


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the files and what a person knows of them."""
    parser.add_argument(
        "files",
        nargs="*",
        type=Path,
        metavar="FILES",
        help="logs, or folders of logs: CSV of any kind, .gz of it, Parquet",
    )
    parser.add_argument(
        "--job",
        type=Path,
        metavar="JOB",
        help="job of the unit: its settings as left, its airflow, its curve",
    )
    add_reading(parser)
    parser.add_argument(
        "--write-points",
        type=Path,
        metavar="MAP",
        help="write what was understood as a point map, to look over and keep, and judge nothing",
    )
    parser.add_argument(
        "--look",
        action="store_true",
        help="only say what the files hold: points, units, what is left out and why",
    )
    parser.add_argument(
        "--keep",
        type=Path,
        metavar="FOLDER",
        help="keep the values there as Parquet; a second time only what is new is read",
    )
    parser.add_argument(
        "--report",
        type=Path,
        metavar="FILE.html",
        help="write the findings with their pictures, to be printed",
    )
    parser.add_argument("--list-points", action="store_true", help="list the points that are known, and end")
    add_units(parser)
    add_json(parser)


def add_reading(parser: argparse.ArgumentParser, *, with_unit: bool = True) -> None:
    """Add what a person says of logs: the point map, and what may stand on the command line instead."""
    parser.add_argument(
        "--points",
        type=Path,
        metavar="MAP",
        help="point map: which column is which point; see docs/trend.md",
    )
    parser.add_argument(
        "--zone", metavar="Z", help="time zone of the clock that wrote the files, such as America/Chicago"
    )
    parser.add_argument(
        "--dates", metavar="D", help='"month first" or "day first", of dates such as 03/04/2026'
    )
    parser.add_argument("--year", metavar="Y", help="year of the first row, where the files give none")
    if with_unit:
        parser.add_argument(
            "--unit",
            metavar="U",
            help="the rooftop unit it all belongs to, such as RTU-3; else as files and headings tell",
        )


def run(arguments: argparse.Namespace) -> int:
    """Look at the files; where nothing has to be asked, read them and say what is wrong with each unit."""
    from ventwright.cli import CANNOT_TELL, DONE, trends_look
    from ventwright.errors import Refusal, Refused
    from ventwright.readings.trend import look

    if arguments.list_points:
        trends_look.print_points(as_json=arguments.json)
        return DONE
    if not arguments.files:
        raise Refused(Refusal("are missing", "one log or more, or a folder of them", "FILES"))
    understood = look(arguments.files, said_of_logs(arguments), arguments.unit)
    if arguments.write_points:
        _write_map(arguments.write_points, understood)
    if arguments.look or arguments.write_points or understood.questions:
        trends_look.show_held(understood, arguments.keep, as_json=arguments.json)
        return CANNOT_TELL if understood.questions else DONE
    return _judge(arguments, understood)


def _judge(arguments: argparse.Namespace, understood: Understood) -> int:
    """Judge every unit, show what was found, and write the report that was asked for."""
    from datetime import datetime

    from ventwright.cli import show, trends_json, trends_view
    from ventwright.record.html import report_html
    from ventwright.record.trend_report import trend_report
    from ventwright.store import load, write

    kept = load(arguments.job) if arguments.job else None
    known = known_units(understood.units, kept)
    judged = _judged(understood, known, arguments.keep)
    system = arguments.units or (kept.job.units if kept else "us")
    if arguments.report:
        report = trend_report(judged, known, system, understood.remarks)
        write(arguments.report, report_html(report, made=datetime.now().astimezone()).encode())
    if arguments.json:
        show.as_json(trends_json.document(understood, judged, known))
    else:
        trends_view.print_findings(understood, judged, known, system)
        if arguments.report:
            show.line(f"{arguments.report} written.")
    return exit_code(judged)


def exit_code(judged: Sequence[Judged]) -> int:
    """Return 1 where a fault is likelier than not, 0 where some were judged and none was found, else 3."""
    from ventwright.cli import CANNOT_TELL, DONE, FAILS
    from ventwright.verdict.diagnose.diagnosis import LIKELY

    if any(fault.probability >= LIKELY for one in judged for fault in one.found.findings):
        return FAILS
    told = all(one.found.sound and not one.found.findings for one in judged)
    return DONE if told and judged else CANNOT_TELL


def known_units(units: Sequence[str], kept: Kept | None) -> Mapping[str, KnownUnit]:
    """Return what a job says of the one of these units that is its own."""
    from ventwright.job import work
    from ventwright.verdict.trend_known import known_in_log, known_of

    if kept is None:
        return {}
    worked = work(kept.job, kept.beside)
    known = known_of(kept.job.facts, worked.plan, kept.job.readings, worked.verdicts)
    return known_in_log(units, kept.job.facts.unit.tag, known)


def _judged(
    understood: Understood, known: Mapping[str, KnownUnit], folder: Path | None
) -> tuple[Judged, ...]:
    """Read and judge one unit after another, saying on a terminal how far that is."""
    from ventwright.cli.trends_look import LARGE, end_of_progress, progress
    from ventwright.readings.trend.looking import need_polars
    from ventwright.verdict.trend_findings import rule_set
    from ventwright.verdict.trend_judged import has_columns, judged_kept, judging

    if folder is not None:
        need_polars("--keep")
        kept = tuple(judged_kept(understood, folder, rule_set(), known, progress))
        end_of_progress()
        return kept
    columns = has_columns() and understood.size > LARGE
    steps = judging(understood, rule_set(), known, columns=columns)
    while True:
        try:
            progress(next(steps))
        except StopIteration as ended:
            end_of_progress()
            found: tuple[Judged, ...] = ended.value
            return found


def said_of_logs(arguments: argparse.Namespace) -> PointMap:
    """Return what the person says: the point map, and above it what stands on the command line."""
    from ventwright.entry import validated
    from ventwright.readings.trend import PointMap, read_point_map

    held = read_point_map(arguments.points) if arguments.points else PointMap()
    typed = {
        "zone": arguments.zone,
        "dates": arguments.dates,
        "year": int(arguments.year) if arguments.year and arguments.year.isdigit() else arguments.year,
    }
    here = validated(PointMap, {key: value for key, value in typed.items() if value is not None})
    return held.model_copy(
        update={key: getattr(here, key) for key, value in typed.items() if value is not None}
    )


def _write_map(path: Path, understood: Understood) -> None:
    """Write the point map; one that is there may hold somebody's corrections."""
    from ventwright.errors import Refusal, Refused
    from ventwright.readings.trend import point_map_of

    try:
        with path.open("x", encoding="utf-8") as file:
            file.write(point_map_of(understood))
    except FileExistsError:
        raise Refused(
            Refusal("is there already", "a new name, or that file with --points", "--write-points", str(path))
        ) from None
    except (OSError, ValueError):
        raise Refused(
            Refusal("cannot be written", "a file in a folder that exists", "--write-points", str(path))
        ) from None
