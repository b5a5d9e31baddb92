"""The command line: one verb a file. Only the verb that is called is imported, so that help is instant.

Exit codes: 0 done; 1 done, and something fails or conflicts; 2 an entry was refused; 3 done, and something cannot
be told with these readings; 130 stopped by the person.
"""

from __future__ import annotations

import argparse
import os
import re
import sys
from collections.abc import Sequence
from contextlib import suppress
from importlib import import_module
from io import TextIOWrapper
from pathlib import Path
from typing import Any, NoReturn

DONE, FAILS, REFUSED, CANNOT_TELL, STOPPED = 0, 1, 2, 3, 130

VERBS = {
    "new": "start a job: answer questions, or get a commented template",
    "check": "look a job, an equipment file or a point map over and name every mistake",
    "plan": "what to fit, set and test, worked out from the facts",
    "provable": "before climbing: what these instruments and this weather can prove, and when to come",
    "read": "add a reading to a job",
    "balance": "the minimum damper signal at each fan speed: what to set today, what to read next, whether it is proved",
    "prove": "functional tests: the next steps, what to expect of them in numbers, and how they came out",
    "verdict": "what the readings show so far",
    "savings": "what free cooling saves in a year, what a fault costs, which high limit suits, when to come back",
    "diagnose": "what may be wrong: likely faults with the evidence, and what to read next",
    "ledger": "what was changed for tests: what is open, what would prove it back, what forgetting it costs",
    "leave": "make safe and leave: ends the visit, not the job, and writes the tag for the unit",
    "recheck": "ten minutes a year later: a few numbers against as-left, what drifted, the next step",
    "record": "write the record, the card and the data",
    "trends": "logged points: what is wrong with each unit, since when, how sure, what to measure next",
    "fleet": "logs of many units: a ranked list and a page a site; a second time only what is new",
    "serve": "serve the app on this machine, for a browser here or a phone on the same network",
    "backup": "copy everything the server keeps to one file, while it goes on",
    "restore": "bring such a copy back, into a new folder or an empty database",
    "phone": "build the app for a phone with no network, which the server then hands out",
    "air": "everything about one state of moist air",
    "power": "whether the control power holds: loading, voltage drop, tap, fuse, joined transformers",
    "sensor": "ohms, mA and V to what they stand for; which curve a sensor follows; a substitute resistor",
    "zone": "the climate zone of a place, from its weather or its county",
    "harness": "whether kit, adapters and unit go together, and where every wire lands",
    "schema": "print the schema of the job document, or of an equipment file",
    "demo": "take two invented jobs from facts to a record: a first fit, and a complaint",
}


class Parser(argparse.ArgumentParser):
    """An argument parser that refuses in one sentence, naming the nearest right word."""

    def __init__(self, **options: Any) -> None:
        super().__init__(**options)
        self._negative_number_matcher = re.compile(r"-\.?\d")  # "-5F" is a cold morning, not an option

    def parse_known_args(  # type: ignore[override]
        self, args: Sequence[str] | None = None, namespace: Any = None
    ) -> tuple[Any, list[str]]:
        """Refuse what is not known where it is not known; of a misspelt option argparse would say what is then missing."""
        for given in () if self._subparsers or args is None else args:
            if given == "--":
                break
            option = given.partition("=")[0]
            if option.startswith("--") and " " not in given and option not in self._option_string_actions:
                self._refuse_unknown(option)
        found, strange = super().parse_known_args(args, namespace)
        for given in strange:
            self._refuse_unknown(given)
        return found, []

    def _refuse_unknown(self, given: str) -> NoReturn:
        """Say that a word of the command line is not known, and which is near it."""
        from ventwright.errors import nearest

        near = nearest(given, self._option_string_actions)
        hint = f" (did you mean {near}?)" if near else ""
        self.error(f"{given or 'an empty word'} is not known here{hint}")

    def _check_value(self, action: argparse.Action, value: Any) -> None:
        """Refuse a word that is not on a list, naming the nearest word that is."""
        from ventwright.errors import refuse_word

        if action.choices is not None and value not in action.choices:
            where = "/".join(action.option_strings) or str(action.metavar or action.dest)
            raise refuse_word(str(value), [str(one) for one in action.choices], "known here", where)

    def error(self, message: str) -> NoReturn:
        """Say what is wrong with the command line and end with the code for it."""
        _say(f"{message}; accepted: what `{self.prog} --help` lists.")
        sys.exit(REFUSED)


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command and return its exit code."""
    given = list(sys.argv[1:] if arguments is None else arguments)
    _stand_in_for_closed_streams()
    if arguments is None and isinstance(sys.stdout, TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")  # a "?" on a terminal that has no "°" rather than no plan
    try:
        try:
            return _called(given)
        finally:
            sys.stdout.flush()
    except BrokenPipeError:  # the reader of a pipe has seen enough
        _stop_writing()
        return DONE
    except KeyboardInterrupt:
        _say("stopped; nothing half-written is left behind.")
        return STOPPED
    except OSError as failure:
        reason = (failure.strerror or "an error of the system").lower()
        if failure.filename is not None:  # no fault of the output
            accepted = "a place that can be read and written"
            _say(f"{failure.filename}: cannot be used ({reason}); accepted: {accepted}.")
            return REFUSED
        _stop_writing()
        _say(f"the output cannot be written ({reason}); accepted: one with room.")
        return REFUSED


def _stand_in_for_closed_streams() -> None:
    """Put nothing to read and nowhere to write where the caller closed a stream: Python has no stream there at all."""
    nowhere = Path(os.devnull)
    if sys.stdin is None:
        sys.stdin = nowhere.open(encoding="utf-8")
    if sys.stdout is None:
        sys.stdout = nowhere.open("w", encoding="utf-8")
    if sys.stderr is None:
        sys.stderr = nowhere.open("w", encoding="utf-8")


def _say(sentence: str) -> None:
    """Say what went wrong, in one line and in letters that can be printed, whatever was typed."""
    line = " ".join(sentence.splitlines())
    print(f"ventwright: {line.encode(errors='backslashreplace').decode()}", file=sys.stderr)


def _stop_writing() -> None:
    """Point the output nowhere, or Python would complain of it once more on its way out."""
    with suppress(OSError):
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _called(given: list[str]) -> int:
    """Answer what needs no command, else run the command."""
    if not given or given[0] in {"-h", "--help"}:
        print(_help())
        return DONE
    if given[0] == "--version":
        from ventwright.version import VERSION

        print(f"ventwright {VERSION}")
        return DONE
    if given[0] not in VERBS:
        from ventwright.errors import refuse_word

        _say(str(refuse_word(given[0], list(VERBS), "a command")))
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
            _say(refusal.sentence)
        for note in getattr(refused, "__notes__", ()):
            _say(note)
        return REFUSED
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
