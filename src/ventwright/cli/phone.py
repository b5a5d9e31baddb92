"""Build the app for a phone with no network: the same pages and reckoning, running in the phone's own browser.

Needs Node.js with npm, and a network the first time. The server then hands it out at /phone/ ; any host of files
does too, over https.

example: ventwright phone build
example: ventwright phone build --out site
"""

from __future__ import annotations

import argparse
from pathlib import Path


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add what to do and where."""
    parser.add_argument("do", choices=["build"], metavar="build", help="build the folder of files")
    parser.add_argument(
        "--out", type=Path, metavar="FOLDER", help="folder to build (else where `ventwright serve` looks)"
    )
    parser.add_argument(
        "--kept", type=Path, metavar="FOLDER", help="where fetched packages are kept (else beside it)"
    )


def run(arguments: argparse.Namespace) -> int:
    """Build the folder and say what is in it."""
    from ventwright.cli import DONE, show
    from ventwright.cli.serve import data_folder
    from ventwright.web.on_phone.build import build

    out = arguments.out or data_folder() / "phone"
    kept = arguments.kept or out.parent / f"{out.name}-fetched"
    listed = build(out, kept, show.line)
    show.line(
        f"{out} holds edition {listed['edition']}: {len(listed['files'])} files, {listed['bytes'] / 1e6:.1f} MB on the phone."
    )
    return DONE
