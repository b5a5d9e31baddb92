# ruff: noqa: INP001, T201 - a script of the documents, not a package; it says what it wrote
"""Make the pictures that the README shows, from the record and the card of the demo job.

Run from the repository: ``./dev demo`` once, then ``.venv/bin/python docs/make_pictures.py``. It needs the program
``pdftoppm`` (on Debian: ``apt-get install poppler-utils``).
"""

from __future__ import annotations

import shutil
import subprocess
import sys
import tempfile
from contextlib import redirect_stdout
from io import StringIO
from pathlib import Path

from ventwright.cli import main as ventwright

PICTURES = Path(__file__).with_name("pictures")
DOTS_PER_INCH = "80"
MATTER = ("record", "card")


def main() -> int:
    """Make the first page of each as a grey PNG."""
    program = shutil.which("pdftoppm")
    if program is None:
        print("pdftoppm is missing; on Debian: apt-get install poppler-utils", file=sys.stderr)
        return 2
    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as folder:
        with redirect_stdout(StringIO()):
            ventwright(["demo", "--out", folder])
        for name in MATTER:
            first_page = ["-f", "1", "-l", "1", "-singlefile"]
            look = ["-png", "-gray", "-r", DOTS_PER_INCH]
            subprocess.run(  # noqa: S603 - our own files
                [program, *look, *first_page, f"{folder}/{name}.pdf", str(PICTURES / name)], check=True
            )
            print(PICTURES / f"{name}.png")
    return 0


if __name__ == "__main__":
    sys.exit(main())
