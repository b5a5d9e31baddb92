"""How results look in a terminal: headings, tables that fit the width, verdicts by word. Plain text in a pipe."""

from __future__ import annotations

import json
import shutil
import sys
from collections.abc import Iterable, Sequence
from typing import TYPE_CHECKING, Any

from ventwright.words import plain

if TYPE_CHECKING:
    from rich.console import Console

    from ventwright.job import Job
    from ventwright.plan import Guess
    from ventwright.quantity import System

NARROWEST, PIPE_WIDTH = 40, 110


def console() -> Console:
    """Return a console as wide as the terminal, or a fixed width for a pipe."""
    from rich.console import Console

    class Plain(Console):
        """A console that leaves a closed pipe to the command line; of itself it would end with a code of ours."""

        def on_broken_pipe(self) -> None:
            raise BrokenPipeError

    is_terminal = sys.stdout.isatty()
    width = shutil.get_terminal_size((PIPE_WIDTH, 24)).columns if is_terminal else PIPE_WIDTH
    return Plain(
        width=max(width, NARROWEST),
        highlight=False,
        emoji=False,
        markup=False,
        soft_wrap=False,
        no_color=not is_terminal,
    )


def heading(text: str) -> None:
    """Print a heading."""
    console().print(f"\n{text}\n{'-' * len(text)}", style="bold")


def job_heading(text: str, job: Job) -> None:
    """Print a heading with the unit, the site, and whether they exist."""
    invented = "  (invented example)" if job.invented else ""
    heading(f"{text}: unit {job.facts.unit.tag}, {job.facts.site.name}{invented}")


def guesses(found: Iterable[Guess], system: System) -> None:
    """Print what was guessed, where anything was."""
    for number, guess in enumerate(found):
        if number == 0:
            heading("Guessed, because nobody gave it")
        line(f"- {guess.sentence.show(system)}")


def line(text: str = "") -> None:
    """Print a line, wrapped to the width."""
    console().print(text)


def table(columns: Sequence[str], rows: Iterable[Sequence[str]]) -> None:
    """Print a table; cells wrap rather than run out of the page."""
    from rich.box import SIMPLE_HEAD
    from rich.table import Table
    from rich.text import Text

    shown = Table(box=SIMPLE_HEAD, pad_edge=False, header_style="bold", show_edge=False, padding=(0, 1))
    for column in columns:  # a long name has to be typed again: no letter of it is left out
        shown.add_column(column, overflow="fold")
    for row in rows:
        shown.add_row(*(Text(cell) for cell in row))
    console().print(shown)


def pairs(rows: Iterable[tuple[str, str]]) -> None:
    """Print labels and values."""
    from rich.table import Table
    from rich.text import Text

    shown = Table.grid(padding=(0, 2))
    shown.add_column(style="bold")
    shown.add_column(overflow="fold")
    for label, value in rows:
        shown.add_row(Text(label), Text(value))
    console().print(shown)


def about(job: Job) -> dict[str, object]:
    """Return what stands at the head of every document about a job."""
    return {"schema_version": job.schema_version, "job": job.id, "invented": job.invented}


def as_json(thing: Any) -> None:
    """Print a result for programs; in plain letters where the output takes no others."""
    spelled_out = (sys.stdout.encoding or "ascii").lower() != "utf-8"
    print(json.dumps(plain(thing), indent=2, ensure_ascii=spelled_out, allow_nan=False))
