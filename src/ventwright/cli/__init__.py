"""The command line: one verb a file. Only the verb that is called is imported, so that help is instant.

Exit codes: 0 done; 1 done, and something fails or conflicts; 2 an entry was refused; 3 done, and something cannot
be told with these readings; 130 stopped by the person.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Sequence
from importlib import import_module
from typing import NoReturn

DONE, FAILS, REFUSED, CANNOT_TELL, STOPPED = 0, 1, 2, 3, 130

VERBS = {
    "new": "start a job: answer questions, or get a commented template",
    "check": "look a job or an equipment file over and name every mistake",
    "plan": "what to fit, set and test, worked out from the facts",
    "read": "add a reading to a job",
    "verdict": "what the readings show so far",
    "record": "write the record, the card and the data",
    "air": "everything about one state of moist air",
    "schema": "print the schema of the job document",
    "demo": "take the invented demo job from facts to record",
}


class Parser(argparse.ArgumentParser):
    """An argument parser that refuses in one sentence, naming the nearest right word."""

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the command line and end with the code for it."""
        print(f"ventwright: {_clear(message, self)}", file=sys.stderr)
        sys.exit(REFUSED)


def _clear(message: str, parser: argparse.ArgumentParser) -> str:
    """Turn argparse's complaint into a sentence that says what would be accepted."""
    from ventwright.errors import nearest

    unknown = (
        message.removeprefix("unrecognized arguments: ").split()[0]
        if message.startswith("unrecognized")
        else ""
    )
    if unknown:
        near = nearest(unknown.partition("=")[0], parser._option_string_actions)  # noqa: SLF001 - argparse offers no list
        hint = f" (did you mean {near}?)" if near else ""
        return f"{unknown} is not known here{hint}; accepted: what `{parser.prog} --help` lists."
    return f"{message}; accepted: what `{parser.prog} --help` lists."


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    if not given or given[0] in {"-h", "--help"}:
        print(_help())
        return DONE
    if given[0] == "--version":
        from ventwright.version import VERSION

        print(f"ventwright {VERSION}")
        return DONE
    if given[0] not in VERBS:
        from ventwright.errors import refuse_word

        print(f"ventwright: {refuse_word(given[0], VERBS, 'a command')}", file=sys.stderr)
        return REFUSED
    return _run(given[0], given[1:])


def _run(verb: str, arguments: list[str]) -> int:
    """Import a verb, read its arguments, and turn a refusal into sentences and a code."""
    from ventwright.errors import Refused

    module = import_module(f"ventwright.cli.{verb}")
    parser = Parser(prog=f"ventwright {verb}", description=module.__doc__, allow_abbrev=False,
                    formatter_class=argparse.RawDescriptionHelpFormatter)  # fmt: skip
    module.add_arguments(parser)
    try:
        code: int = module.run(parser.parse_args(arguments))
    except Refused as refused:
        for refusal in refused.refusals:
            print(f"ventwright: {refusal.sentence}", file=sys.stderr)
        return REFUSED
    except BrokenPipeError:  # the reader of a pipe has seen enough
        sys.stderr.close()
        return DONE
    except KeyboardInterrupt:
        print("ventwright: stopped; nothing half-written is left behind.", file=sys.stderr)
        return STOPPED
    return code


def _help() -> str:
    """Return the first help page; it imports nothing."""
    width = max(map(len, VERBS))
    lines = [f"  {verb:<{width}}  {what}" for verb, what in VERBS.items()]
    return "\n".join(
        [
            "usage: ventwright COMMAND [ARGUMENTS]",
            "",
            "From the facts of a rooftop unit to the proved settings of its outdoor-air economizer.",
            "",
            "Commands (each with --help):",
            *lines,
            "",
            "Exit codes: 0 done; 1 something fails or conflicts; 2 an entry was refused; 3 something cannot be told yet.",
        ]
    )
