"""The card's code: the settings and baseline numbers themselves, as plain text that any phone reads without a network.

One line a fact, so that a person can read it off the screen and a program can take it apart: a word that says what
the line is, then name and value. Nothing in it is a link.
"""

from __future__ import annotations

from collections.abc import Iterator

from ventwright.quantity import AIRFLOW, FRACTION, TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.readings import MixedAir
from ventwright.record.balance_section import provisional_signal
from ventwright.record.subject import Subject
from ventwright.verdict.checks import live_checks
from ventwright.words import Amount

FIRST_LINE = "Ventwright card 1"
"""What the text is, and the version of its form."""


MOST_BYTES = 900
"""What a code of the card's size carries with modules that a phone still reads."""

CUT = "rest in the record"


def card_text(subject: Subject) -> str:
    """Return the text of the card's code; what does not fit is left out from the end, and said."""
    lines = list(_lines(subject))
    while len("\n".join(lines).encode()) > MOST_BYTES:
        lines = [*lines[: -2 if lines[-1] == CUT else -1], CUT]
    return "\n".join(lines)


def _lines(subject: Subject) -> Iterator[str]:
    visits = subject.readings.visits
    yield FIRST_LINE
    yield f"unit {subject.facts.unit.tag}"
    yield f"site {subject.facts.site.name}{' (invented)' if subject.invented else ''}"
    yield f"job {subject.job_id}"
    yield f"left {max(visit.started for visit in visits):%Y-%m-%d}" if visits else "left no visit"
    assumed = ", assumed" if subject.plan.ventilation.required_is_guess else ""
    yield f"need {subject.say(Amount(subject.plan.ventilation.required, AIRFLOW))}{assumed}"
    yield from _settings(subject)
    yield from _airflow(subject)
    yield from _baseline(subject)


def _settings(subject: Subject) -> Iterator[str]:
    left = subject.readings.settings_left()
    for one in subject.plan.settings:
        entry = left.get(one.label.lower())
        yield (
            f"plan {one.label} = {subject.say(one.value)}"
            if entry is None
            else f"set {one.label} = {entry.value}"
        )


def _airflow(subject: Subject) -> Iterator[str]:
    for speed in subject.verdicts.speeds:
        if speed.outdoor_air is None or speed.outdoor_air_fraction is None or speed.damper_signal is None:
            yield f"air {speed.name} = not read"
            yield from _today(subject, speed.name)
            continue
        flow = subject.say(Amount(speed.outdoor_air, AIRFLOW, speed.outdoor_air_u))
        share = subject.say(Amount(speed.outdoor_air_fraction, FRACTION))
        signal = subject.say(Amount(speed.damper_signal, FRACTION))
        yield f"air {speed.name} = {flow}, {share} at {signal}, {speed.verdict.spoken}"
        yield from _today(subject, speed.name)


def _today(subject: Subject, speed: str) -> Iterator[str]:
    """The provisional signal of a speed that is not proved."""
    today = provisional_signal(subject, speed)
    if today is not None:
        yield f"today {speed} = {today}"


def _baseline(subject: Subject) -> Iterator[str]:
    """Sensor biases and the last temperatures: what to compare with a year later."""
    for one in live_checks(subject.readings, subject.verdicts.ledger):
        bias = subject.say(Amount(one.bias, TEMPERATURE_DIFFERENCE))
        yield f"bias {one.sensor} = {bias}"
    for found in subject.verdicts.balance.sensor_biases[-1:]:
        bias = subject.say(Amount(found.bias, TEMPERATURE_DIFFERENCE))
        yield f"bias mixed air at {subject.say(Amount(found.signal, FRACTION))} fan {found.speed} = {bias}"
    for read in subject.readings.standing(MixedAir)[-1:]:
        temperatures = (read.outdoor_air.value, read.return_air.value, read.before_fan)
        outdoor, returned, mixed = (subject.say(Amount(value, TEMPERATURE)) for value in temperatures)
        yield f"read {read.speed} {read.damper_signal} = outdoor {outdoor}, return {returned}, mixed {mixed}"
