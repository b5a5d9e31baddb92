# ruff: noqa: INP001, SLF001 - a script of the documents, not a package; argparse lists its arguments nowhere else
"""Write ``docs/commands.md`` from the parsers of the command line, so that the page cannot grow old.

Run from the repository: ``.venv/bin/python docs/make_commands.py``. A test fails when the page is not what this
script would write. The page is made from the parsers, not from their printed help, whose layout differs between
versions of Python.
"""

from __future__ import annotations

import argparse
import re
from collections.abc import Iterator
from importlib import import_module
from pathlib import Path

from ventwright import cli

PAGE = Path(__file__).with_name("commands.md")

HEAD = """\
# The commands

Made by `docs/make_commands.py` from the program itself; do not edit it by hand.

In a checkout a command is run as `./dev run COMMAND`; after `pip install .` it is `ventwright COMMAND`. The
[guide for the technician](technician.md) shows them in the order of the work, [the page on JSON](json.md) says what
`--json` prints. Quantities are typed with their unit, in either system: `"72 F"`, `"22 °C"`, `"350 cfm"`,
`"165 L/s ± 4 %"`. "±" is read as instrument makers print it: it holds 95 times in 100.

| exit code | when |
|---|---|
"""

CODES = (
    (cli.DONE, "done"),
    (
        cli.FAILS,
        "done, and something fails: a check, a conflict of settings, a fan speed, the control power, a harness",
    ),
    (cli.REFUSED, "an entry, a file or an option was refused; every reason is printed, the job is as it was"),
    (cli.CANNOT_TELL, "done, nothing fails, and something cannot be told with what was read"),
    (cli.STOPPED, "stopped by the person"),
)


def page() -> str:
    """Return the whole page."""
    codes = "".join(f"| {code} | {when} |\n" for code, when in CODES)
    verbs = "\n".join("\n".join(_verb(verb)) for verb in cli.VERBS)
    return f"{HEAD}{codes}\n{verbs}"


def parser_of(verb: str) -> argparse.ArgumentParser:
    """Return the parser that the program itself uses for a verb."""
    module = import_module(f"ventwright.cli.{verb}")
    parser = cli.Parser(prog=f"ventwright {verb}", description=module.__doc__, allow_abbrev=False)
    module.add_arguments(parser)
    return parser


def kinds_of(parser: argparse.ArgumentParser) -> dict[str, argparse.ArgumentParser]:
    """Return the sub-commands of a parser by their words; none for most."""
    for action in parser._actions:
        if isinstance(action, argparse._SubParsersAction):
            return dict(action.choices)
    return {}


def arguments_of(parser: argparse.ArgumentParser) -> list[argparse.Action]:
    """Return the arguments of a parser without its help and without its sub-commands."""
    other = (argparse._HelpAction, argparse._SubParsersAction)
    return [action for action in parser._actions if not isinstance(action, other)]


def _verb(verb: str) -> Iterator[str]:
    parser = parser_of(verb)
    kinds = kinds_of(parser)
    sentence, _, rest = (parser.description or "").strip().partition("\n\n")
    yield f"## `{verb}`\n"
    yield f"{' '.join(sentence.split())}\n"
    yield f"    {_usage(f'ventwright {verb}', parser)}{' KIND [OPTIONS]' if kinds else ''}\n"
    yield from _table(arguments_of(parser))
    examples = [line.strip() for line in rest.splitlines() if "ventwright " in line]
    if examples:
        yield "```sh"
        yield from (_example(line) for line in examples)
        yield "```\n"
    shared = _shared(kinds)
    for word, kind in kinds.items():
        own = [action for action in arguments_of(kind) if action.option_strings[0] not in shared]
        yield f"### `{verb} JOB {word}`\n"
        yield from _table(own) if own else ("Takes only what every kind takes.\n",)
    if kinds:
        yield "### What every kind takes\n"
        yield "A visit takes only `--id`, `--at` and `--json` of these.\n"
        yield from _table(list(shared.values()))


def _shared(kinds: dict[str, argparse.ArgumentParser]) -> dict[str, argparse.Action]:
    """Return the options that every kind of entry takes, visits aside."""
    listed = [
        {action.option_strings[0]: action for action in arguments_of(kind)}
        for word, kind in kinds.items()
        if word != "visit"
    ]
    return (
        {name: action for name, action in listed[0].items() if all(name in one for one in listed)}
        if listed
        else {}
    )


def _usage(start: str, parser: argparse.ArgumentParser) -> str:
    """Return how a command is called, in one line."""
    words = [start]
    groups = {id(one): group for group in parser._mutually_exclusive_groups for one in group._group_actions}
    for action in arguments_of(parser):
        group = groups.get(id(action))
        if group is None:
            words.append(_name(action) if action.required else f"[{_name(action)}]")
        elif action is group._group_actions[0]:
            choice = " | ".join(_name(one) for one in group._group_actions)
            words.append(f"({choice})" if group.required else f"[{choice}]")
    return " ".join(words)


def _name(action: argparse.Action) -> str:
    """Return an argument as it is typed: an option with what it takes, or the word for a positional one."""
    takes = "|".join(map(str, action.choices)) if action.choices else str(action.metavar or "")
    if not action.option_strings:
        return takes or action.dest.upper()
    return " ".join(part for part in (action.option_strings[0], takes) if part)


def _table(actions: list[argparse.Action]) -> Iterator[str]:
    if not actions:
        return
    yield "| argument | what it is |"
    yield "|---|---|"
    for action in actions:
        default = action.default if action.option_strings and action.nargs != 0 else None
        said = (action.help or "").replace("%%", "%")
        otherwise = f" (else {default})" if default is not None and "(else" not in said else ""
        name = _name(action).replace("|", "\\|")  # a bare bar would end the cell, in code too
        yield f"| `{name}` | {said}{otherwise} |"
    yield ""


def _example(line: str) -> str:
    """Turn an example of the help into a line for a shell; a remark in brackets becomes a comment."""
    return re.sub(r"\s+\(([^\"]*)\)$", r"  # \1", line[line.index("ventwright ") :])


if __name__ == "__main__":
    PAGE.write_text(page(), encoding="utf-8")
