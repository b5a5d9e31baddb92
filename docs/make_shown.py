# ruff: noqa: INP001 - a script of the documents, not a package
"""Write into the README what the commands in it print today.

Run from the repository: ``.venv/bin/python docs/make_shown.py``. A test fails when the page is not what this script
would write. Blocks are worked through in the order of the page, in one empty folder:

* ``console``: every command after "$ " is run, and what it prints is put under it. A comment ``<!-- shown ... -->``
  before the block says what to keep of a long output: one line "from" or "from .. to" for each part, regular
  expressions both, and a line "$" between the commands. What is left out becomes "...".
* ``yaml``: the entries take the place of those in the job file, as the page asks the reader to do.
* ``python`` and the ``text`` after it: the example is run, and what it prints is put there.
"""

from __future__ import annotations

import io
import re
import shlex
import tempfile
from collections.abc import Iterator
from contextlib import chdir, redirect_stderr, redirect_stdout
from pathlib import Path

from ventwright import cli

PAGE = Path(__file__).parents[1] / "README.md"
JOB = "my-unit.yaml"
LEFT_OUT = "..."

BLOCK = re.compile(
    r"(?:<!-- shown\n(?P<cuts>(?:(?!-->).)*)-->\n)?^```(?P<kind>\w+)\n(?P<body>.*?)^```$",
    re.MULTILINE | re.DOTALL,
)
MADE_UP = re.compile(r"^[0-9a-f]{8}(?= added to )")
AN_ID = "3c5e81d2"
"""Stands for every id that the program makes anew each time, so that the page does not change without need."""


def page(text: str) -> str:
    """Return a page with what its commands print today."""
    said: list[str] = []
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)

        def renewed(found: re.Match[str]) -> str:
            kind, body = found["kind"], found["body"]
            head = found[0][: found.start("body") - found.start()]
            if kind == "console":
                body = "".join(_shown(body, found["cuts"] or "", folder))
            elif kind == "yaml":
                _edit(folder / JOB, body)
            elif kind == "python":
                said[:] = [_example(body, folder)]
            elif kind == "text" and said:
                body = said.pop()
            return f"{head}{body}```"

        return BLOCK.sub(renewed, text)


def commands(block: str) -> Iterator[str]:
    """Yield the commands of a console block, each as it stands there, over several lines where it does."""
    yield from (found[0] for found in re.finditer(r"^\$ (?:.*\\\n)*.*$", block, re.MULTILINE))


def words(command: str) -> list[str]:
    """Return a command in words."""
    return shlex.split(command.removeprefix("$ ").replace("\\\n", " "), comments=True)


def called(given: list[str]) -> list[str]:
    """Return what the program is called with; ``./dev run`` and the bare name are the same."""
    return given[2:] if given[:2] == ["./dev", "run"] else given[1:]


def run(arguments: list[str], folder: Path) -> str:
    """Run the program in a folder and return what it prints, on both channels."""
    out = io.StringIO()
    with chdir(folder), redirect_stdout(out), redirect_stderr(out):
        cli.main(arguments)
    return out.getvalue()


def _shown(block: str, cuts: str, folder: Path) -> Iterator[str]:
    """Yield each command of a block with what it prints, cut as asked."""
    asked = [part.strip("\n").split("\n") for part in re.split(r"^\$$", cuts, flags=re.MULTILINE)]
    for number, command in enumerate(commands(block)):
        printed = run(called(words(command)), folder).strip("\n").split("\n")
        lines = [MADE_UP.sub(AN_ID, line.rstrip()) for line in printed]
        wanted = asked[number] if cuts else []
        yield from (f"{line}\n" for line in (command, *(cut(lines, wanted) if wanted else lines)))


def cut(lines: list[str], parts: list[str]) -> list[str]:
    """Keep the parts of an output that are asked for, with "..." for what is left out."""
    kept: list[str] = []
    done = 0
    for part in parts:
        first, _, last = part.partition(" .. ")
        start = _find(lines, first, done)
        end = _find(lines, last, start + 1) if last else start
        kept += [LEFT_OUT] * any(lines[done:start]) + lines[start : end + 1]
        done = end + 1
    return kept + [LEFT_OUT] * any(lines[done:])


def _find(lines: list[str], pattern: str, start: int) -> int:
    """Return the number of the first line, from one on, in which a pattern is found."""
    for number in range(start, len(lines)):
        if re.search(pattern, lines[number]):
            return number
    message = f"nothing like {pattern!r} is printed any more:\n" + "\n".join(lines)
    raise LookupError(message)


def _edit(path: Path, entries: str) -> None:
    """Put entries in the place of those of the same name in a job, or of their commented examples."""
    text = path.read_text(encoding="utf-8")
    for entry in re.findall(r"^  \w.*\n(?:    .*\n)*", entries, re.MULTILINE):
        key = entry.strip().partition(":")[0]
        there = re.compile(rf"^  (?:# )?{key}:.*\n(?:  (?:#   |  ).*\n)*", re.MULTILINE)
        text, count = there.subn(entry.replace("\\", r"\\"), text)
        if count != 1:
            message = f"a new job has no entry {key}, or several"
            raise LookupError(message)
    path.write_text(text, encoding="utf-8")


def _example(code: str, folder: Path) -> str:
    """Run an example and return what it prints."""
    out = io.StringIO()
    with chdir(folder), redirect_stdout(out):
        exec(compile(code, PAGE.name, "exec"), {})  # noqa: S102 - our own page
    return out.getvalue()


if __name__ == "__main__":
    PAGE.write_text(page(PAGE.read_text(encoding="utf-8")), encoding="utf-8")
