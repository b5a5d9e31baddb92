"""Start a job: answer questions in a terminal, or get a commented template to fill in.

example: ventwright new my-unit.yaml            (asks)
         ventwright new my-unit.yaml --template (writes the template)
"""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ventwright.cli.new_questions import Question

UNFINISHED = ".unfinished.yaml"


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the file and how to fill it."""
    parser.add_argument("job", type=Path, metavar="JOB", help="file to write, .yaml")
    parser.add_argument("--template", action="store_true", help="write the template, ask nothing")
    parser.add_argument(
        "--si", action="store_true", help="SI units in the examples, and in the document's screens and paper"
    )
    parser.add_argument("--force", action="store_true", help="write over a file that exists")


def run(arguments: argparse.Namespace) -> int:
    """Write a new job."""
    from ventwright.cli.new_questions import examples
    from ventwright.cli.new_text import job_text
    from ventwright.errors import Refusal, Refused
    from ventwright.store import write

    path: Path = arguments.job
    if path.suffix not in {".yaml", ".yml"}:
        raise Refused(Refusal("is no name for a new job", "a name that ends in .yaml", given=str(path)))
    if path.exists() and not arguments.force:
        raise Refused(Refusal("exists already", "another name, or --force to write over it", given=str(path)))
    if sys.stdin.isatty() and not arguments.template:
        kept = path.with_suffix(UNFINISHED)
        if kept.exists() and not arguments.force:
            accepted = "its answers carried on under another name, or --force to begin anew"
            raise Refused(Refusal("is left from an earlier start", accepted, given=str(kept)))
        answers = _ask(kept, si=arguments.si)
        write(path, job_text(answers, si=arguments.si, asked=True).encode())
        kept.unlink(missing_ok=True)
    else:
        write(path, job_text(examples(si=arguments.si, template=True), si=arguments.si).encode())
    print(f"{path} written. Next: `ventwright check {path}`, then `ventwright plan {path}`.")
    return 0


def _ask(kept: Path, *, si: bool) -> dict[str, str]:
    """Ask one question after another; a wrong answer is explained and asked again, each one given is kept at once."""
    from ventwright.cli.new_questions import questions
    from ventwright.cli.new_text import job_text
    from ventwright.store import write

    answers: dict[str, str] = {}
    print(
        "Enter alone takes what stands in brackets: an example where something is needed, else nothing. "
        "Ctrl-C keeps what you answered."
    )
    try:
        for question in questions(answers, si=si):
            text = _answer(question)
            if text:
                answers[question.key] = text
                write(kept, job_text(answers, si=si, asked=True).encode())
    except (KeyboardInterrupt, EOFError):
        print(f"\nStopped; your answers are in {kept}." if answers else "\nStopped.")
        raise KeyboardInterrupt from None
    return answers


def _answer(question: Question) -> str:
    """Ask until an answer will do; an empty one leaves open what is not required."""
    from ventwright.errors import Refused

    usual = question.example if question.required else ""
    while True:
        text = input(question.prompt).strip() or usual
        try:
            if text:
                question.check(text)
            elif question.left_open is not None:
                question.left_open()
        except Refused as refused:
            print(f"  {refused}")
            continue
        return text
