"""Print the schema of the job document, or of an equipment file (JSON Schema 2020-12)."""

from __future__ import annotations

import argparse


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the choice of document."""
    parser.add_argument(
        "document",
        nargs="?",
        default="job",
        choices=("job", "kit", "unit", "board", "adapter"),
        help="which document (else the job)",
    )


def run(arguments: argparse.Namespace) -> int:
    """Print the schema."""
    from pydantic import BaseModel

    from ventwright.cli import show
    from ventwright.job import Job
    from ventwright.tables.adapter import Adapter
    from ventwright.tables.board import Board
    from ventwright.tables.kit import Kit
    from ventwright.tables.unit_sheet import UnitSheet

    models: dict[str, type[BaseModel]] = {
        "job": Job,
        "kit": Kit,
        "unit": UnitSheet,
        "board": Board,
        "adapter": Adapter,
    }
    schema = models[arguments.document].model_json_schema()
    show.as_json({"$schema": "https://json-schema.org/draft/2020-12/schema", **schema})
    return 0
