"""Ten minutes a year later: a few numbers against the unit as it was left, what drifted, and the next step.

example: ventwright recheck JOB --outdoor "48.2 F" --return "73.1 F" --mixed "66.0 F, 66.3 F, 66.1 F" --instrument probe
example: ventwright recheck JOB --signal "21 %" --high-limit "75 F" --sensor "outdoor air" --shown "48.9 F" --probe "48.2 F" --instrument probe
"""

from __future__ import annotations

import argparse
from typing import TYPE_CHECKING, Any

from ventwright.cli.arguments import add_job, add_json, add_units, units, without_empty

if TYPE_CHECKING:
    from ventwright.job import Job
    from ventwright.plan import Plan
    from ventwright.quantity import Quantity, System
    from ventwright.verdict.recheck import ReadToday, Recheck

GIVEN = {
    "--speed": ("speed", "fan speed (else the fastest)"),
    "--outdoor": ("outdoor_air", "outdoor temperature"),
    "--return": ("return_air", "return temperature"),
    "--mixed": ("mixed_air", "mixed temperature at minimum position, several points with commas between"),
    "--signal": ("damper_signal", 'damper signal read back at minimum, "21 %%" or "3.7 V ± 0.05 V"'),
    "--high-limit": ("high_limit", "the kit's free-cooling high limit as read back"),
    "--sensor": ("sensor", "a sensor held beside a probe: outdoor air, return air, mixed air or supply air"),
    "--shown": ("shown", "what the controller shows for it"),
    "--probe": ("probe", "what the probe shows"),
    "--instrument": ("instrument", "id of the probe, one of the job's instruments"),
}
"""Option: key, help."""

OF_AIR = ("outdoor_air", "return_air", "mixed_air")
OF_SENSOR = ("sensor", "shown", "probe")


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job as it was left, and the numbers."""
    add_job(parser)
    for option, (key, words) in GIVEN.items():
        parser.add_argument(option, dest=key, metavar="X", help=words)
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Compare, and say what drifted."""
    from ventwright.cli import CANNOT_TELL, DONE, FAILS, show
    from ventwright.evidence import Verdict
    from ventwright.job import work
    from ventwright.store import load
    from ventwright.verdict.recheck import recheck

    kept = load(arguments.job)
    worked = work(kept.job, kept.beside)
    today = _today(arguments, kept.job, worked.plan)
    found = recheck(kept.job.facts, worked.plan, kept.job.readings, worked.verdicts, today)
    if arguments.json:
        show.as_json(recheck_document(kept.job, found))
    else:
        print_recheck(kept.job, found, units(arguments, kept.job.units))
    if found.drifted:
        return FAILS
    untold = found.open_lines or any(check.verdict is Verdict.CANNOT_TELL for check in found.checks)
    return CANNOT_TELL if untold else DONE


def recheck_document(job: Job, found: Recheck) -> dict[str, object]:
    """Return the check for programs."""
    from ventwright.cli import show
    from ventwright.words import plain

    return {
        **show.about(job),
        **plain(found),
        "drifted": [check.id for check in found.drifted],
    }


def print_recheck(job: Job, found: Recheck, system: System) -> None:
    """Print each number: as left, drifted or not to be told, and the next step."""
    from ventwright.cli import show
    from ventwright.evidence import Verdict

    show.job_heading("As left, and today", job)
    shown = {Verdict.PASSES: "as left", Verdict.FAILS: "DRIFTED", Verdict.CANNOT_TELL: "cannot tell"}
    show.table(("number", "", "today and as left", "what would settle it"), [
        (one.what.show(system), shown[one.verdict], one.sentence.show(system),
         "" if one.shortfall is None else one.shortfall.settle_by.show(system))
        for one in found.checks
    ])  # fmt: skip
    show.line(f"\nNext: {found.next_step.show(system)}.")


def _today(arguments: argparse.Namespace, job: Job, plan: Plan) -> ReadToday:
    """Read the options as entries of today; a refusal names its option."""
    from ventwright.cli.arguments import as_entered
    from ventwright.entry import Signal
    from ventwright.readings import MixedAir, SensorCheck
    from ventwright.verdict.recheck import ReadToday

    speed = _known(arguments.speed, [one.name for one in plan.speeds], "a fan speed of this unit", "--speed")
    instruments = {one.id: one.name for one in job.facts.instruments}
    _known(arguments.instrument, instruments, "an instrument of this job (facts.instruments)", "--instrument")
    signal = as_entered(arguments.damper_signal, Signal, "--signal")
    _within_kit(plan, signal, arguments.high_limit)
    air = _given(arguments, OF_AIR)
    if "mixed_air" in air:
        air["mixed_air"] = [part.strip() for part in air["mixed_air"].split(",") if part.strip()]
    held = {"speed": speed, "damper_signal": arguments.damper_signal or "0 %"}
    mixed = _entry(MixedAir, "mixed air", air, held, arguments)
    sensor = _entry(SensorCheck, "sensor check", _given(arguments, OF_SENSOR), {}, arguments)
    return ReadToday(speed, mixed, signal, arguments.high_limit, sensor)


def _given(arguments: argparse.Namespace, keys: tuple[str, ...]) -> dict[str, Any]:
    return without_empty({key: getattr(arguments, key) for key in keys})


def _known(given: str | None, known: list[str] | dict[str, str], what: str, option: str) -> str:
    from ventwright.errors import refuse_word

    if given is None:
        return next(iter(known), "")
    if given not in known:
        raise refuse_word(given, known, what, option)
    return given


def _within_kit(plan: Plan, signal: Quantity | None, high_limit: str | None) -> None:
    """Refuse a signal or a high limit that the kit cannot have."""
    from ventwright.errors import Refused
    from ventwright.verdict.recheck import high_limit_setting

    setting, option = high_limit_setting(plan), "--high-limit"
    try:
        if high_limit is not None and setting is not None:
            setting.read(high_limit)
        if signal is not None:
            option = "--signal"
            _refuse_beyond(plan, signal)
    except Refused as refused:
        raise Refused(*(one.at(option) for one in refused.refusals)) from None


def _refuse_beyond(plan: Plan, signal: Quantity) -> None:
    from ventwright.errors import Refusal, Refused

    if not 0.0 <= plan.kit.share_of_stroke(signal) <= 1.0:
        ends = plan.kit.damper_signal
        accepted = f"{ends.closed} to {ends.open}, or 0 % to 100 %"
        raise Refused(Refusal("is outside the kit's range of signal", accepted, given=signal.typed))


def _entry(
    kind: Any, what: str, given: dict[str, Any], more: dict[str, Any], arguments: argparse.Namespace
) -> Any:
    """Read one entry of today; None where nothing of it was given."""
    from ventwright.cli.read import now
    from ventwright.entry import validated
    from ventwright.errors import Refused

    if not given:
        return None
    instrument = without_empty({"instrument": arguments.instrument})
    try:
        return validated(kind, {"what": what, "id": "today", "at": now(), **more, **instrument, **given})
    except Refused as refused:
        names = {key: option for option, (key, _) in GIVEN.items()}
        raise Refused(
            *(one.at(names.get(one.where.partition("[")[0], one.where)) for one in refused.refusals)
        ) from None
