"""Look a job, an equipment file or a point map over and name every mistake: its line, its place, what is accepted."""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the file."""
    parser.add_argument(
        "file",
        type=Path,
        metavar="FILE",
        help="a job, kit, unit, board, adapter or point map as .yaml or .json",
    )


def run(arguments: argparse.Namespace) -> int:
    """Read the file as what it says it is."""
    from ventwright.errors import Refused

    try:
        _look_over(arguments.file)
    except Refused as refused:
        if refused.more:
            what, hangs = ("this is", "it") if len(refused.refusals) == 1 else ("these are", "them")
            refused.add_note(
                f"More may follow once {what} mended: some of the file hangs on {hangs} and could not be looked at."
            )
        raise
    return 0


def _look_over(file: Path) -> None:
    """Read the file, and say that it is in order."""
    from ventwright.document import read_document
    from ventwright.errors import refuse_word
    from ventwright.store import load, read_text
    from ventwright.tables.adapter import Adapter
    from ventwright.tables.board import Board
    from ventwright.tables.kit import Kit
    from ventwright.tables.shelf import read_part
    from ventwright.tables.unit_sheet import UnitSheet

    parts: dict[str, type[Kit | UnitSheet | Board | Adapter]] = {
        "kit": Kit,
        "unit": UnitSheet,
        "board": Board,
        "adapter": Adapter,
    }
    data, _ = read_document(read_text(file), file.name)
    kind = data.get("kind") if isinstance(data, dict) else None
    if kind is None:
        job = load(file).job
        entries, visits = len(job.readings.entries), len(job.readings.visits)
        print(
            f"{file}: a job in order: unit {job.facts.unit.tag} at {job.facts.site.name}, {visits} visits, {entries} entries."
        )
    elif kind == "point map":
        from ventwright.readings.trend.point_map import read_point_map

        mapped = read_point_map(file)
        print(f"{file}: a point map in order: {len(mapped.columns)} columns.")
    elif kind in parts:
        part = read_part(file, parts[kind])
        print(f"{file}: {'an' if kind == 'adapter' else 'a'} {kind} in order: {part.name}.")
    else:
        raise refuse_word(str(kind), [*parts, "point map"], "a kind of equipment file", "kind")
