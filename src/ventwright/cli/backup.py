"""Copy everything in a store to one file, while the server goes on: jobs, photos, settings, accounts.

The file holds names and the hashes of passwords: keep it as carefully as the server. The command restore takes it back
into a file or into PostgreSQL, whichever it came from.

example: ventwright backup --to friday.backup
example: ventwright backup --data /var/lib/ventwright --to /mnt/backups/friday.backup
"""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add where from and where to."""
    from ventwright.cli import where

    parser.add_argument("--to", type=Path, required=True, metavar="FILE", help="file to write; not there yet")
    where.add_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Write the file and say what is in it."""
    import asyncio

    from ventwright.cli import DONE, show, where
    from ventwright.store.backup import back_up

    to: Path = arguments.to
    copied = asyncio.run(back_up(where.chosen(arguments), to))
    rows = copied.rows
    show.line(
        f"{to} holds {rows['job']} jobs with {rows['change']} changes, {rows['photo']} photos and"
        f" {rows.get('person', 0)} accounts, {to.stat().st_size / 1e6:.1f} MB."
    )
    return DONE
