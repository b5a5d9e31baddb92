"""Whether the control power holds: loading, voltage drop, tap, fuse, Class 2, and transformers that are joined.

example: ventwright power JOB
example: ventwright power --wire 18 --length "60 ft" --load "20 VA"
example: ventwright power --transformer "40 VA" --loads "board 12 VA, controller 5 VA, actuator 8 VA inrush 20 VA"
example: ventwright power --transformer "40 VA" --supply "208 V" --idle "23.1 V"
"""

from __future__ import annotations

import argparse
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from ventwright.cli.arguments import add_json, add_units, quantity, typed, units, without_empty

if TYPE_CHECKING:
    from ventwright.evidence import Verdict
    from ventwright.facts.power import Power

ONE = "transformer"
"""What the one transformer of the command line is called."""

OF_SOURCE = {
    "transformers[1].rating": "--transformer",
    "transformers[1].supply": "--supply",
    "transformers[1].tap": "--tap",
    "transformers[1].fuse": "--fuse",
    "transformers[1].metered.idle": "--idle",
    "transformers[1].metered.loaded": "--loaded",
}
"""The option behind each place of the facts."""

LOAD = re.compile(
    r"^(?P<name>.*?\D)\s*(?P<power>\d[\d.]*\s*k?VA)\b(?P<rest>.*)$",
    re.IGNORECASE,
)
REST = re.compile(
    r"^(?:inrush\s+(?P<inrush>\d[\d.]*\s*k?VA)|(?:pf|power factor)\s+(?P<power_factor>[\d.]+)"
    r"|(?P<rectifier>half wave|full wave)|(?P<when>always on|while stroking|on call))\b\s*",
    re.IGNORECASE,
)
A_LOAD = (
    'NAME and VA, then if known "inrush 20 VA", "pf 0.6", "half wave" or "full wave", '
    '"always on", "while stroking" or "on call", such as "actuator 8 VA inrush 20 VA"'
)


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job, or what describes one wire or one transformer."""
    parser.add_argument(
        "job", type=Path, nargs="?", metavar="JOB", help="job file whose facts.power is looked at"
    )
    one = parser.add_argument_group("one run of wire")
    one.add_argument("--wire", metavar="AWG", help="American wire gauge, such as 18")
    one.add_argument("--stranded", action="store_true", help="stranded wire (else solid)")
    one.add_argument("--length", metavar="L", help='length one way, such as "60 ft"')
    one.add_argument("--load", metavar="VA", help='apparent power at its far end, such as "20 VA"')
    one.add_argument("--voltage", metavar="V", help='nominal voltage (else "24 V")')
    one.add_argument("--temperature", metavar="T", help='of the wire, such as "110 F" (else 167 °F, 75 °C)')
    one.add_argument("--drop", metavar="SHARE", help='most that may be lost (else "10 %%")')
    source = parser.add_argument_group("one transformer")
    source.add_argument(
        "--transformer", metavar="VA", help='its rating, such as "40 VA"; "unknown" where it cannot be read'
    )
    source.add_argument("--loads", metavar="LIST", help=f"loads with commas between: {A_LOAD}")
    source.add_argument("--supply", metavar="V", help='voltage at its primary, such as "208 V"')
    source.add_argument("--tap", metavar="V", help='primary tap that is connected, such as "240 V"')
    source.add_argument("--fuse", metavar="A", help='fuse on its secondary, such as "3 A"')
    source.add_argument("--idle", metavar="V", help='metered idle, such as "26.3 V" or "26.3 V ± 1 %%"')
    source.add_argument(
        "--loaded", metavar="V", help="metered with everything running and the actuator moving"
    )
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Look at a job, at one run of wire, or at one transformer."""
    from ventwright.errors import Refusal, Refused

    of_wire = ("wire", "length", "load", "voltage", "temperature", "drop")
    of_source = ("transformer", "loads", "supply", "tap", "fuse", "idle", "loaded")
    asked = {
        "JOB": arguments.job is not None,
        "--wire": arguments.stranded or any(getattr(arguments, name) is not None for name in of_wire),
        "--transformer": any(getattr(arguments, name) is not None for name in of_source),
    }
    if sum(asked.values()) != 1:
        problem = (
            "is nothing to look at" if not any(asked.values()) else "is more than one question at a time"
        )
        given = " and ".join(name for name, is_asked in asked.items() if is_asked) or "nothing"
        accepted = "a JOB, or --wire with --length and --load, or --transformer with --loads"
        raise Refused(Refusal(problem, accepted, given=given))
    if asked["JOB"]:
        return _job(arguments)
    return _wire(arguments) if asked["--wire"] else _source(arguments)


def _code(outcome: Verdict) -> int:
    """Exit code of an outcome."""
    from ventwright.cli import CANNOT_TELL, DONE, FAILS

    return {"passes": DONE, "fails": FAILS, "cannot_tell": CANNOT_TELL}[outcome.value]


def _job(arguments: argparse.Namespace) -> int:
    from ventwright.cli import show
    from ventwright.errors import Refusal, Refused
    from ventwright.plan.power import plan_power
    from ventwright.store import load
    from ventwright.words import plain

    job = load(arguments.job).job
    if job.facts.power is None:
        raise Refused(Refusal("is missing", "transformers and what hangs on them", "facts.power"))
    plan = plan_power(job.facts.power, job.facts.instruments)
    if arguments.json:
        show.as_json(show.about(job) | plain(plan))
    else:
        invented = "  (invented example)" if job.invented else ""
        show.line(f"Unit {job.facts.unit.tag}, {job.facts.site.name}{invented}")
        _print(plan, units(arguments, job.units))
    return _code(plan.verdict)


def _print(plan: Any, system: Any) -> None:
    """Print a plan of control power for a person: cautions first, guesses last."""
    from ventwright.cli import power_view, show

    power_view.print_cautions(plan.cautions)
    power_view.print_power(plan, system)
    show.guesses(plan.guesses, system)


def _wire(arguments: argparse.Namespace) -> int:
    from ventwright.cli import power_view, show
    from ventwright.entry import validated
    from ventwright.errors import Refused
    from ventwright.facts.power import WireRun
    from ventwright.plan.power import live_cautions
    from ventwright.plan.power.finding import overall
    from ventwright.plan.power.wire_run import drop_finding, run_of
    from ventwright.quantity import APPARENT_POWER, FRACTION, VOLTAGE
    from ventwright.words import plain

    for option in ("wire", "length", "load"):
        _needed(getattr(arguments, option), f"--{option}")
    load = typed(arguments.load, APPARENT_POWER, "--load", at_least=0.01, at_most=1000.0)
    volts = typed(arguments.voltage or "24 V", VOLTAGE, "--voltage", at_least=5.0, at_most=60.0)
    allowed = quantity(arguments.drop, FRACTION, "--drop", at_least=0.001, at_most=0.5)
    given = without_empty({
        "gauge": arguments.wire, "conductor": "stranded" if arguments.stranded else "solid", "length": arguments.length,
        "temperature": arguments.temperature, "loads": [ONE],
    })  # fmt: skip
    try:
        wire = validated(WireRun, given)
    except Refused as refused:
        options = {"gauge": "--wire", "length": "--length", "temperature": "--temperature"}
        raise Refused(*(one.at(options.get(one.where, one.where)) for one in refused.refusals)) from None
    plan = run_of(wire, "this run", load.value, volts.value, allowed.value if allowed else None)
    found = drop_finding(plan)
    outcome = overall((found,))
    if arguments.json:
        show.as_json({"verdict": outcome} | plain(plan) | {"findings": [plain(found)]})
        return _code(outcome)
    system = units(arguments, "us")
    power_view.print_cautions(live_cautions())
    show.heading("Voltage drop")
    power_view.print_run(plan, system)
    show.line()
    power_view.print_findings([found], system)
    return _code(outcome)


def _needed(given: str | None, option: str) -> None:
    from ventwright.errors import Refusal, Refused

    if given is None:
        raise Refused(Refusal("is missing", '--wire 18 --length "60 ft" --load "20 VA"', option))


def _source(arguments: argparse.Namespace) -> int:
    from ventwright.cli import show
    from ventwright.plan.power import plan_power
    from ventwright.words import plain

    plan = plan_power(_power(arguments))
    if arguments.json:
        show.as_json(plain(plan))
    else:
        _print(plan, units(arguments, "us"))
    return _code(plan.verdict)


def _power(arguments: argparse.Namespace) -> Power:
    """Read the facts of one transformer from the options."""
    from ventwright.entry import validated
    from ventwright.errors import Refused
    from ventwright.facts.power import Power

    rating = arguments.transformer
    source = without_empty({
        "name": ONE, "rating": None if rating == "unknown" else rating, "supply": arguments.supply, "tap": arguments.tap,
        "fuse": arguments.fuse, "metered": without_empty({"idle": arguments.idle, "loaded": arguments.loaded}),
    })  # fmt: skip
    loads = _loads(arguments.loads) if arguments.loads is not None else []
    try:
        return validated(Power, {"transformers": [source], "loads": loads})
    except Refused as refused:
        raise Refused(
            *(one.at(OF_SOURCE.get(one.where) or f"--{one.where}") for one in refused.refusals)
        ) from None


def _loads(text: str) -> list[dict[str, Any]]:
    """Read a list of loads."""
    return [_load(part.strip()) for part in text.split(",")]


def _load(text: str) -> dict[str, Any]:
    """Read one load."""
    from ventwright.errors import Refusal, Refused

    found = LOAD.match(text)
    if found is None:
        raise Refused(Refusal("is no load", A_LOAD, "--loads", text))
    entry: dict[str, Any] = {"name": found["name"].strip(), "apparent_power": found["power"]}
    rest = found["rest"].strip()
    while rest:
        more = REST.match(rest)
        if more is None:
            raise Refused(Refusal("is not known of a load", A_LOAD, "--loads", rest))
        entry |= {key: value.lower() for key, value in more.groupdict().items() if value is not None}
        rest = rest[more.end() :].strip()
    return entry
