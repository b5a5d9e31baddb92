"""The balance for a person: cautions, each speed's next step and why, what to set today, what is amiss."""

from __future__ import annotations

from collections.abc import Mapping

from ventwright.cli import show
from ventwright.evidence import Verdict
from ventwright.job import Worked
from ventwright.quantity import AIRFLOW, FRACTION, TEMPERATURE_DIFFERENCE, VOLTAGE, System
from ventwright.verdict import SpeedVerdict
from ventwright.verdict.balance import SpeedBalance
from ventwright.words import Amount, Words, chance

AT_THE_DAMPER = {"damper and fan"}
"""Stages of the cautions that belong where the hand goes in."""


def print_balance(worked: Worked, times: Mapping[str, Words], system: System) -> None:
    """Print everything, next steps first."""
    job, found = worked.job, worked.verdicts.balance
    show.job_heading("Minimum damper signal", job)
    for one in worked.plan.cautions:
        if one.stage in AT_THE_DAMPER:
            show.line(f"! {one.text}")
    show.heading("Next at each fan speed")
    for speed in found.speeds:
        _next(speed, system)
    show.heading("As read")
    show.table(("fan speed", "signal", "wanted", "share", "outdoor air", "chance within", "verdict"),
               [_row(one, system) for one in worked.verdicts.speeds])  # fmt: skip
    for judged in worked.verdicts.speeds:
        _held_back(judged, system)
    show.heading("Set today")
    show.table(("fan speed", "signal", "probably brings in", "standing"),
               [_set(found.speed(one.name), one, system) for one in worked.verdicts.speeds])  # fmt: skip
    for name, time in times.items():
        show.line(f"Best time to read {name} speed again: {time.show(system)}.")
    for finding in found.findings:
        show.line(f"! {finding.sentence.show(system)}: {finding.settle_by.show(system)}.")
    for bias in found.sensor_biases:
        shown = Amount(bias.bias, TEMPERATURE_DIFFERENCE).show(system)
        at = Amount(bias.signal, FRACTION).show(system)
        show.line(
            f"The unit's mixed-air sensor shows {shown} against the mixed air as read, at {bias.speed} speed and {at}."
        )


def _next(one: SpeedBalance, system: System) -> None:
    if one.advice is None:
        show.line(f"{one.name}: this speed moves less air than is required; raise it first.")
        return
    volts = (
        f" ({Amount(one.advice.signal_voltage, VOLTAGE).show(system)})"
        if one.advice.signal_voltage is not None
        else ""
    )
    show.line(f"{one.name}: {one.advice.because.show(system)}{volts}.")
    if one.advice.way_out is not None:
        show.line(f"  {one.advice.way_out.show(system)}.")


def _held_back(one: SpeedVerdict, system: System) -> None:
    """Say why the readings of a speed carry no verdict, which the step after them does not tell."""
    reason = one.flow.shortfall if one.flow is not None else None
    is_held = one.outdoor_air_fraction is not None and one.probability_within is None
    if one.verdict is Verdict.CANNOT_TELL and is_held and reason is not None:
        show.line(f"! {one.name}: {reason.sentence.show(system)}: {reason.settle_by.show(system)}.")


def _row(one: SpeedVerdict, system: System) -> tuple[str, ...]:
    share = (
        None
        if one.outdoor_air_fraction is None
        else Amount(one.outdoor_air_fraction, FRACTION, one.outdoor_air_fraction_u)
    )
    flow = None if one.outdoor_air is None else Amount(one.outdoor_air, AIRFLOW, one.outdoor_air_u)
    signal = None if one.damper_signal is None else Amount(one.damper_signal, FRACTION)
    return (
        one.name,
        "–" if signal is None else signal.show(system),
        Amount(one.target_outdoor_air_fraction, FRACTION).show(system),
        "–" if share is None else share.show(system),
        "–" if flow is None else flow.show(system),
        "–" if one.probability_within is None else chance(one.probability_within),
        one.verdict.spoken,
    )


def _set(one: SpeedBalance, judged: SpeedVerdict, system: System) -> tuple[str, ...]:
    today = one.set_today
    if today is None:
        return (one.name, "–", "–", "–")
    volts = "" if today.signal_voltage is None else f" ({Amount(today.signal_voltage, VOLTAGE).show(system)})"
    low, high = (Amount(end, AIRFLOW).show(system) for end in (today.at_least, today.at_most))
    return (
        one.name,
        f"{Amount(today.signal, FRACTION).show(system)}{volts}",
        f"{low} to {high}",
        "proved" if judged.verdict is Verdict.PASSES else "provisional",
    )
