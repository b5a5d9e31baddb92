"""Find the minimum damper signal at each fan speed: what to set today, what to read next, and whether it is proved.

example: ventwright balance JOB
example: ventwright balance JOB --picture share.svg
"""

from __future__ import annotations

import argparse
from collections.abc import Mapping
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_job, add_json, add_units, units

if TYPE_CHECKING:
    from ventwright.job import Job, Worked
    from ventwright.quantity import System
    from ventwright.verdict import SpeedVerdict
    from ventwright.verdict.balance import SpeedBalance
    from ventwright.words import Words


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the job and how to show the balance."""
    add_job(parser)
    parser.add_argument(
        "--picture", type=Path, metavar="FILE.svg", help="draw share against signal, with band and readings"
    )
    add_units(parser)
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show where every speed stands."""
    from ventwright.cli import show
    from ventwright.cli.pictures import refuse_other_picture
    from ventwright.cli.year import year_of
    from ventwright.job import work
    from ventwright.store import load
    from ventwright.verdict.best_times import best_times

    refuse_other_picture(arguments.picture)
    kept = load(arguments.job)
    worked, system = work(kept.job, kept.beside), units(arguments, kept.job.units)
    times = best_times(kept.job.facts, worked.plan, worked.verdicts.speeds, lambda: year_of(kept))
    if arguments.picture is not None:
        _draw(worked, arguments.picture, system)
    if arguments.json:
        show.as_json(balance_document(kept.job, worked, times))
    else:
        from ventwright.cli.balance_view import print_balance

        print_balance(worked, times, system)
        if arguments.picture is not None:
            show.line(f"\n{arguments.picture} written.")
    return _exit_code(worked)


def _exit_code(worked: Worked) -> int:
    """Return 1 where a speed or the damper fails, 3 where one cannot be told, else 0."""
    from ventwright.cli import CANNOT_TELL, DONE, FAILS
    from ventwright.evidence import Verdict

    outcomes = {one.verdict for one in worked.verdicts.speeds}
    if Verdict.FAILS in outcomes or worked.verdicts.damper is not None:
        return FAILS
    return CANNOT_TELL if Verdict.CANNOT_TELL in outcomes else DONE


def _draw(worked: Worked, path: Path, system: System) -> None:
    from ventwright.record.balance_section import curve_panels
    from ventwright.record.curve_drawing import draw_curve
    from ventwright.store import write

    panels = curve_panels(worked.job.facts, worked.plan, worked.job.readings, worked.verdicts)
    write(path, draw_curve(panels, system).encode())


def balance_document(job: Job, worked: Worked, times: Mapping[str, Words]) -> dict[str, object]:
    """Return the balance for programs: SI, units in the key names; the signal to read or set next in per cent and volts."""
    from ventwright.cli import show
    from ventwright.words import plain

    verdicts, found = worked.verdicts, worked.verdicts.balance
    speeds = [_speed(one, found.speed(one.name), times.get(one.name)) for one in verdicts.speeds]
    return {
        **show.about(job),
        "speeds": speeds,
        "findings": plain(found.findings),
        "sensor_biases": plain(found.sensor_biases),
        "damper": plain(verdicts.damper),
        "evaluations": found.evaluations,
    }


def _speed(judged: SpeedVerdict, one: SpeedBalance, best_time: Words | None) -> dict[str, object]:
    from ventwright.words import plain

    advice, flow = one.advice, judged.flow
    following = advice.signal if advice is not None else None
    return {
        "name": judged.name,
        "target_outdoor_air_fraction": judged.target_outdoor_air_fraction,
        "outdoor_air_fraction": judged.outdoor_air_fraction,
        "outdoor_air_fraction_u": judged.outdoor_air_fraction_u,
        "outdoor_air_m3_s": judged.outdoor_air,
        "outdoor_air_u_m3_s": judged.outdoor_air_u,
        "damper_signal": judged.damper_signal,
        "next_signal_percent": None if following is None else 100.0 * following,
        "next_signal_V": advice.signal_voltage if advice is not None else None,
        "next": advice.do.value if advice is not None else None,
        "because": plain(advice.because) if advice is not None else None,
        "way_out": plain(advice.way_out) if advice is not None else None,
        "best_time": plain(best_time),
        "verdict": judged.verdict.value,
        "probability_within": judged.probability_within,
        "side": _side(judged),
        "shortfall": plain(flow.shortfall) if flow is not None else None,
        "set_today": _set_today(judged, one),
        "readings": plain(one.readings),
    }


def _set_today(judged: SpeedVerdict, one: SpeedBalance) -> object:
    """The signal to set today, marked provisional where the speed is not proved."""
    from ventwright.evidence import Verdict
    from ventwright.words import plain

    if one.set_today is None:
        return None
    return {**plain(one.set_today), "provisional": judged.verdict is not Verdict.PASSES}


def _side(judged: SpeedVerdict) -> str | None:
    """Whether a speed that fails is short or over; None where it does not fail."""
    from ventwright.evidence import Verdict

    flow = judged.flow
    if flow is None or flow.verdict is not Verdict.FAILS or flow.estimate is None or flow.at_least is None:
        return None
    return "short" if flow.estimate.value < flow.at_least.value else "over"
