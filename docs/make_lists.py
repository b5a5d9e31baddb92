# ruff: noqa: INP001 - a script of the documents, not a package
"""Fill in the lists that pages take from the source: the house in design.md, the outside checks in calculations.md.

Run from the repository: ``.venv/bin/python docs/make_lists.py``. A list stands between ``<!-- made: NAME -->`` and
``<!-- end -->``; each line of it is the first sentence of a file's own docstring. A test fails when a list is old.
"""

from __future__ import annotations

import ast
import re
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[1]
SOURCE = ROOT / "src" / "ventwright"
CHECKS = ROOT / "tests" / "agrees_with"

ORDER = (
    "",
    "quantity",
    "entry",
    "physics",
    "tables",
    "facts",
    "plan",
    "readings",
    "verdict",
    "record",
    "store",
    "web",
    "cli",
)
"""The rooms in the order of the imports; the top of the package comes first."""

MADE = re.compile(r"(?<=<!-- made: )(?P<name>[\w ]+) -->\n.*?(?=<!-- end -->)", re.DOTALL)


def page(text: str) -> str:
    """Return a page with its lists as they are today."""
    return MADE.sub(lambda found: f"{found['name']} -->\n{LISTS[found['name']]()}", text)


def first_sentence(path: Path) -> str:
    """Return what a file says of itself, up to the first full stop or blank line."""
    said = ast.get_docstring(ast.parse(path.read_text(encoding="utf-8"))) or ""
    paragraph = " ".join(said.split("\n\n")[0].split())
    sentence = re.split(r"(?<=[\w`)])\.(?: (?=[A-Z\"])|$)", paragraph)[0]
    return sentence.replace("``", "`").replace("|", "\\|")


def house() -> str:
    """Return a table for every room: each module with its sentence."""
    rooms = sorted({room_of(path) for path in SOURCE.rglob("*.py")}, key=_rank)
    return "\n".join(_room(room) for room in rooms)


def room_of(path: Path) -> str:
    """Return the folder of a module below the package; nothing for the modules at its top."""
    return path.parent.relative_to(SOURCE).as_posix().removeprefix(".")


def _rank(room: str) -> tuple[int, str]:
    top = room.partition("/")[0]
    return (ORDER.index(top), room)


def _room(room: str) -> str:
    files = sorted((SOURCE / room).glob("*.py"))
    said = next((first_sentence(path) for path in files if path.name == "__init__.py"), "")
    title = f"### `{room}/`\n\n{said}.\n" if room else "### At the top of the package\n"
    lines = [
        f"| `{path.relative_to(SOURCE).as_posix()}` | {first_sentence(path)} |"
        for path in files
        if path.name != "__init__.py"
    ]
    return "\n".join([title, "| module | holds |", "|---|---|", *lines, ""]) if lines else title


def outside_checks() -> str:
    """Return a table of the files that hold the program against something outside."""
    lines = [f"| `{path.name}` | {first_sentence(path)} |" for path in sorted(CHECKS.glob("test_*.py"))]
    return "\n".join(["| file | holds |", "|---|---|", *lines, ""])


LISTS: dict[str, Callable[[], str]] = {"house": house, "outside checks": outside_checks}
PAGES = (ROOT / "docs" / "design.md", ROOT / "docs" / "calculations.md")


if __name__ == "__main__":
    for made in PAGES:
        made.write_text(page(made.read_text(encoding="utf-8")), encoding="utf-8")
