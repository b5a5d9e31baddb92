"""Logged points: what a set of files holds, which point each column is, how sure that is, and which rows are left out.

example: ventwright trend rtu-3.csv --zone America/Chicago
         ventwright trend logs/ --write-map points.yaml      (then look the file over once)
         ventwright trend logs/ --map points.yaml --json
         ventwright trend logs/ --map points.yaml --keep kept/   (to Parquet; goes on where it was stopped)
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_json

if TYPE_CHECKING:
    from ventwright.readings.trend import PointMap, Understood


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
        "--map", type=Path, metavar="FILE", help="point map: which column is which point; see docs/trend.md"
    )
    parser.add_argument(
        "--write-map",
        type=Path,
        metavar="FILE",
        help="write what was understood as a point map, to look over and keep",
    )
    parser.add_argument(
        "--zone", metavar="Z", help="time zone of the clock that wrote the files, such as America/Chicago"
    )
    parser.add_argument(
        "--dates", metavar="D", help='"month first" or "day first", of dates such as 03/04/2026'
    )
    parser.add_argument("--year", metavar="Y", help="year of the first row, where the files give none")
    parser.add_argument(
        "--unit",
        metavar="U",
        help="the rooftop unit it all belongs to, such as RTU-3; else as files and headings tell",
    )
    parser.add_argument(
        "--keep",
        type=Path,
        metavar="FOLDER",
        help="keep the values there as Parquet; a second time only what is new is read",
    )
    parser.add_argument("--points", action="store_true", help="list the points that are known, and end")
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Look at the files, read them where nothing has to be asked, and say what they hold."""
    from ventwright.cli import CANNOT_TELL, DONE, show, trend_view
    from ventwright.errors import Refusal, Refused
    from ventwright.readings.trend import look

    if arguments.points:
        trend_view.print_points(as_json=arguments.json)
        return DONE
    if not arguments.files:
        raise Refused(Refusal("are missing", "one log or more, or a folder of them", "FILES"))
    understood = look(arguments.files, _said(arguments), arguments.unit)
    if arguments.write_map:
        _write_map(arguments.write_map, understood)
    read = [] if understood.questions else trend_view.read_through(understood, arguments.keep)
    if arguments.json:
        show.as_json(trend_view.document(understood, read))
    else:
        trend_view.print_understood(understood, read)
    return CANNOT_TELL if understood.questions else DONE


def _said(arguments: argparse.Namespace) -> PointMap:
    """Return what the person says: the point map, and above it what stands on the command line."""
    from ventwright.entry import validated
    from ventwright.readings.trend import PointMap, read_point_map

    held = read_point_map(arguments.map) if arguments.map else PointMap()
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
            Refusal("is there already", "a new name, or that file with --map", "--write-map", str(path))
        ) from None
    except (OSError, ValueError):
        raise Refused(
            Refusal("cannot be written", "a file in a folder that exists", "--write-map", str(path))
        ) from None
