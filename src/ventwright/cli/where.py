"""Where a store is: a file in a folder, or a PostgreSQL database by its address."""

from __future__ import annotations

import argparse
from pathlib import Path

from ventwright.cli.serve_shop import DATABASE, database_of

FILE = "jobs.sqlite3"
"""Name of the file in the folder."""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the folder and the address, either of which names a store."""
    parser.add_argument(
        "--data", type=Path, metavar="FOLDER", help="folder of the jobs (else one of your own)"
    )
    parser.add_argument(
        "--database",
        metavar="ADDRESS",
        help=f"postgresql://… instead of a folder (else what {DATABASE} says)",
    )


def chosen(arguments: argparse.Namespace) -> Path | str:
    """Return the place of the store; a folder that is named counts more than what the environment says.

    Raises
    ------
    Refused
        Both were named.
    """
    from ventwright.cli.serve import data_folder

    address = database_of(arguments, of_a_folder=arguments.data is not None)
    return address or (data_folder() if arguments.data is None else Path(arguments.data)) / FILE
