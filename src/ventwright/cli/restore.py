"""Bring a backup back into a store in which nothing is kept yet: a new folder, or an empty database.

example: ventwright restore friday.backup --data /var/lib/ventwright
"""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add where from and where to."""
    from ventwright.cli import where

    parser.add_argument("backup", type=Path, metavar="FILE", help="what the command backup wrote")
    where.add_arguments(parser)


def run(arguments: argparse.Namespace) -> int:
    """Bring it back and say what to look after."""
    import asyncio

    from ventwright.cli import DONE, show, where
    from ventwright.store.backup import bring_back

    copied = asyncio.run(bring_back(arguments.backup, where.chosen(arguments)))
    rows = copied.rows
    show.line(
        f"{rows['job']} jobs with {rows['change']} changes, {rows['photo']} photos and {rows.get('person', 0)} accounts"
        f" are back as of {copied.made_at:%Y-%m-%d %H:%M} UTC."
    )
    if rows.get("token"):
        show.line(
            "Whatever was ended since then lets somebody in again: look through devices, links and accounts."
        )
    return DONE
