"""The balance on paper: what to set today at each speed, what is amiss, and the picture of share against signal."""

from __future__ import annotations

from collections.abc import Iterator

from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.quantity import AIRFLOW, FRACTION, VOLTAGE
from ventwright.readings import Readings
from ventwright.record.content import Block, Figure, Notice, Paragraph, Section, Table, Tone
from ventwright.record.curve_drawing import BandPoint, CurvePanel, CurvePoint, Mark, draw_curve
from ventwright.record.subject import Subject
from ventwright.verdict import Verdicts
from ventwright.verdict.balance import SpeedBalance, curves
from ventwright.words import Amount

CAPTION = "Outdoor-air share against damper signal (band and bars: 95 %)"


def balance_section(subject: Subject) -> Section:
    """Build the section on the minimum damper signal."""
    found = subject.verdicts.balance
    blocks: list[Block] = [
        Table(("Fan speed", "Set today", "Probably brings in", "Standing", "Next"), tuple(
            _row(subject, one) for one in found.speeds
        ), (0.14, 0.16, 0.24, 0.14, 0.32), "What to set at each fan speed (what it brings in holds 95 times in 100)")
    ]  # fmt: skip
    blocks += [
        Notice(Tone.FAILS, f"{subject.say(one.sentence)}: {subject.say(one.settle_by)}.")
        for one in found.findings
    ]
    if any(one.readings for one in found.speeds):
        panels = curve_panels(subject.facts, subject.plan, subject.readings, subject.verdicts)
        blocks.append(Figure(draw_curve(panels, subject.system), CAPTION, narrow=True))
    else:
        blocks.append(Paragraph("Nothing was read at the damper yet: the signals are first guesses."))
    return Section("Minimum damper signal", tuple(blocks))


def provisional_signal(subject: Subject, speed: str) -> str | None:
    """Say the signal to set today and what it probably brings in, where a speed is not proved; None where it is."""
    one, verdict = subject.verdicts.balance.speed(speed), _verdict(subject.verdicts, speed)
    if one.set_today is None or verdict is Verdict.PASSES:
        return None
    return f"set {set_today_words(subject, one)}: probably {_range(subject, one)}, provisional"


def set_today_words(subject: Subject, one: SpeedBalance) -> str:
    """Say the signal in per cent, and in volts where the kit takes them."""
    if one.set_today is None:
        return "–"
    volts = one.set_today.signal_voltage
    said = subject.say(Amount(one.set_today.signal, FRACTION))
    return said if volts is None else f"{said} ({subject.say(Amount(volts, VOLTAGE))})"


def _range(subject: Subject, one: SpeedBalance) -> str:
    if one.set_today is None:
        return "–"
    low, high = (subject.say(Amount(end, AIRFLOW)) for end in (one.set_today.at_least, one.set_today.at_most))
    return f"{low} to {high}"


def _row(subject: Subject, one: SpeedBalance) -> tuple[str, ...]:
    proved = _verdict(subject.verdicts, one.name) is Verdict.PASSES
    following = subject.say(one.advice.because) if one.advice else "–"
    if one.advice and one.advice.way_out:
        following = f"{following}: {subject.say(one.advice.way_out)}"
    return (
        one.name,
        set_today_words(subject, one),
        _range(subject, one),
        "proved" if proved else "provisional",
        following,
    )


def _verdict(verdicts: Verdicts, speed: str) -> Verdict:
    return next(one.verdict for one in verdicts.speeds if one.name == speed)


def curve_panels(facts: Facts, plan: Plan, readings: Readings, verdicts: Verdicts) -> tuple[CurvePanel, ...]:
    """Fill the picture of share against signal, one panel a fan speed.

    Parameters
    ----------
    facts, plan, readings
        The sections upstream.
    verdicts
        Whose balance is drawn.
    """
    traced = curves(facts, plan, readings)
    supplies = {one.name: one.supply_air for one in verdicts.speeds}
    return tuple(
        CurvePanel(
            speed=one.name,
            target=one.target_outdoor_air_fraction,
            tolerance=plan.ventilation.tolerance,
            points=tuple(
                CurvePoint(point.signal, point.outdoor_air_fraction, point.outdoor_air_fraction_u)
                for point in one.readings
            ),
            curve=tuple(
                BandPoint(point.signal, point.outdoor_air_fraction, point.at_least, point.at_most)
                for point in traced[one.name]
            ),
            marks=tuple(_marks(one, verdicts)),
            supply_air=supplies[one.name],
        )
        for one in verdicts.balance.speeds
    )


def _marks(one: SpeedBalance, verdicts: Verdicts) -> Iterator[Mark]:
    left = next(speed.damper_signal for speed in verdicts.speeds if speed.name == one.name)
    if left is not None:
        yield Mark(left, "judged")
    if one.advice is not None and not one.advice.final and one.advice.signal is not None:
        yield Mark(one.advice.signal, "read next")
    elif one.set_today is not None:
        yield Mark(one.set_today.signal, "set today")
