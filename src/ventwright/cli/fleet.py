"""Logs of many units: a ranked list of what is certain and costly, a page a site and a unit; later only what is new.

example: ventwright fleet logs/ --out found/ --zone America/Chicago
example: ventwright fleet logs/ --out found/ --points points.yaml --jobs jobs/ --airflow "4000 cfm"
example: ventwright fleet postgresql://reader@db.example/logs --table readings --out found/ --engine dask
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ventwright.cli.arguments import add_json, add_units, quantity, units

if TYPE_CHECKING:
    from ventwright.readings.trend import PointMap
    from ventwright.store.fleet import Gathered
    from ventwright.verdict.trend_findings import KnownUnit


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add where the logs are, what is known, and who does the work."""
    from ventwright.cli.trends import add_reading

    parser.add_argument(
        "logs",
        metavar="FOLDER",
        help="a folder for every site with the logs of its units; or a database, postgresql://…",
    )
    parser.add_argument(
        "--out", type=Path, required=True, metavar="OUT", help="folder of the findings, kept from run to run"
    )
    add_reading(parser, with_unit=False)
    parser.add_argument(
        "--jobs", type=Path, metavar="FOLDER", help="jobs of the units: settings as left, airflow"
    )
    parser.add_argument(
        "--airflow",
        metavar="Q",
        help="supply airflow of a unit whose job is not there, for what a fault takes",
    )
    parser.add_argument("--again", action="store_true", help="judge every unit again, not only what is new")
    parser.add_argument(
        "--engine", choices=("here", "dask"), default="here", help="who does the work: this process, or Dask"
    )
    parser.add_argument(
        "--scheduler",
        default="",
        metavar="ADDRESS",
        help="of a Dask cluster that is up, such as tcp://10.0.0.5:8786",
    )
    parser.add_argument(
        "--workers",
        type=int,
        default=0,
        metavar="N",
        help="units at a time; 0 for as many as there are processors",
    )
    parser.add_argument(
        "--table",
        default="readings",
        metavar="NAME",
        help="table in the database: a row a moment, a column a point",
    )
    parser.add_argument("--time-column", default="time", metavar="NAME", help="its column of times")
    parser.add_argument("--unit-column", default="unit", metavar="NAME", help="its column of units")
    parser.add_argument(
        "--site-column", default="site", metavar="NAME", help="its column of sites, where it has one"
    )
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Judge what is new, and write the pages of all of it."""
    from ventwright.cli import show
    from ventwright.errors import Refusal, Refused
    from ventwright.store.fleet import Kept
    from ventwright.store.fleet.written import write_fleet
    from ventwright.verdict.trend_findings import rule_set

    if arguments.workers < 0:
        raise Refused(Refusal("is no number of workers", "0 or more", "--workers", str(arguments.workers)))
    system = units(arguments, "us")
    kept = Kept(arguments.out)
    found = _gathered(arguments)
    new = list(found.tasks) if arguments.again else kept.new(found.tasks, rule_set())
    kept.let_go(found.tasks)
    try:
        _judge(arguments, kept, new)
    finally:
        kept.write_marks()  # what was found before it was stopped is not judged again
    documents = list(kept.documents())
    refused = [one.sentence for one in found.refused]
    rows = write_fleet(arguments.out, documents, refused, system)
    if arguments.json:
        show.as_json(
            {
                "judged": len(new),
                "kept": len(documents) - len(new),
                "findings": rows,
                "units": [_short(one) for one in documents],
                "refused": refused,
            }
        )
    else:
        _print(arguments.out, rows, documents, len(new), refused)
    return _exit_code(documents)


def _gathered(arguments: argparse.Namespace) -> Gathered:
    from ventwright.cli.trends import said_of_logs
    from ventwright.readings.trend import PointMap
    from ventwright.store.database import is_address
    from ventwright.store.fleet import gathered, gathered_from_table
    from ventwright.store.fleet.table import TableForm

    said: PointMap | None = said_of_logs(arguments)
    knows = _knows(arguments)
    system = units(arguments, "us")
    if is_address(arguments.logs):
        form = TableForm(arguments.table, arguments.time_column, arguments.unit_column, arguments.site_column)
        return gathered_from_table(arguments.logs, form, said, knows, system)
    return gathered(Path(arguments.logs), None if said == PointMap() else said, knows, system)


def _knows(arguments: argparse.Namespace) -> Callable[[str, str], KnownUnit]:
    """Return what is known of a unit: by its job, else the airflow that was said."""
    from ventwright.quantity import AIRFLOW
    from ventwright.store.fleet.known import known_in_jobs
    from ventwright.verdict.trend_findings import KnownUnit

    airflow = quantity(arguments.airflow, AIRFLOW, "--airflow", at_least=0.0)
    otherwise = KnownUnit() if airflow is None else replace(KnownUnit(), supply_airflow=airflow.value)
    return known_in_jobs(arguments.jobs, otherwise)


def _judge(arguments: argparse.Namespace, kept: Any, tasks: Sequence[Any]) -> None:
    """Judge units, keeping each as it comes, and say on a terminal how far that is."""
    from ventwright.store.fleet import judge_unit
    from ventwright.store.fleet import run as run_on
    from ventwright.verdict.trend_findings import rule_set

    if not tasks:
        return
    function = partial(judge_unit, rules=rule_set())
    outcomes = run_on(
        function, tasks, arguments.engine, scheduler=arguments.scheduler, workers=arguments.workers
    )
    for number, outcome in enumerate(outcomes, 1):
        kept.keep(outcome)
        if sys.stderr.isatty():
            print(
                f"\rjudged {number} of {len(tasks)}  {outcome.site:.30} {outcome.unit:.20}",
                end="",
                file=sys.stderr,
            )
    if sys.stderr.isatty():
        print(file=sys.stderr)


def _exit_code(documents: Sequence[Any]) -> int:
    """Return 1 where a fault is likelier than not, 3 where a unit could not be judged, else 0."""
    from ventwright.cli import CANNOT_TELL, DONE, FAILS
    from ventwright.verdict.diagnose.diagnosis import LIKELY

    if any(one["probability"] >= LIKELY for each in documents for one in each.get("findings", ())):
        return FAILS
    return CANNOT_TELL if any(one.get("refused") or not one.get("sound") for one in documents) else DONE


def _short(document: Any) -> dict[str, Any]:
    """Return one unit of the list for programs."""
    names = ("site", "unit", "first", "last", "hours_logged", "findings", "cannot_tell", "sound", "refused")
    return {name: document[name] for name in names if name in document}


def _print(
    out: Path, rows: Sequence[Any], documents: Sequence[Any], new: int, refused: Sequence[str]
) -> None:
    from ventwright.cli import show
    from ventwright.words import in_words

    show.line(f"{len(documents)} units, {new} of them new or changed. {len(rows)} findings.")
    if rows:
        show.table(
            ("", "site", "unit", "fault", "chance", "last seen"),
            [
                (
                    str(one["place"]),
                    one["site"],
                    one["unit"],
                    one["fault"].replace("_", " "),
                    in_words(one["probability"]),
                    one["last"][:10],
                )
                for one in rows[:20]
            ],
        )
    for one in documents:
        for sentence in one.get("refused", ()):
            show.line(f"not judged: {one['site']}, {one['unit']}: {sentence}")
    for sentence in refused:
        show.line(f"left out: {sentence}")
    show.line(
        f"{out / 'index.html'} written, a page for every site and unit beside it, and the rows in findings.csv."
    )
