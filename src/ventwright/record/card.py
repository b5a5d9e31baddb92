"""The settings card that stays inside the panel: what the unit should do, how it was left, what it read."""

from __future__ import annotations

from collections.abc import Iterator

from ventwright.evidence import Verdict
from ventwright.quantity import AIRFLOW, FRACTION, TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.readings import MixedAir
from ventwright.record.balance_section import provisional_signal
from ventwright.record.card_code import card_text
from ventwright.record.content import Card, CardLine, Notice, Tone
from ventwright.record.subject import Subject
from ventwright.verdict import SpeedVerdict
from ventwright.verdict.checks import live_checks
from ventwright.words import Amount


def build_card(subject: Subject) -> Card:
    """Build the card."""
    started = [visit.started for visit in subject.readings.visits]
    last = f"{max(started):%Y-%m-%d}" if started else "no visit entered"
    return Card(
        title=f"Economizer settings – unit {subject.facts.unit.tag}",
        subtitle=f"{subject.facts.site.name} – as left {last} – next check: {subject.next_check or 'not set'}",
        purpose=_purpose(subject),
        settings=tuple(_settings(subject)),
        airflow=tuple(_airflow(subject, speed) for speed in subject.verdicts.speeds),
        sensors=tuple(_sensors(subject)),
        notices=tuple(_notices(subject)),
        footer=f"Job {subject.job_id} – {subject.made_with} – whole record with the owner",
        code=card_text(subject),
    )


def _purpose(subject: Subject) -> tuple[str, ...]:
    """Say in three lines what the economizer should do."""
    required = Amount(subject.plan.ventilation.required, AIRFLOW).show(subject.system)
    assumed = " (assumed: the spaces were not entered)" if subject.plan.ventilation.required_is_guess else ""
    limit = subject.plan.high_limit
    ends = (
        "outdoor air no longer helps"
        if limit.dry_bulb is None
        else "outdoor air is too warm (see the limit below)"
    )
    then = "with the compressor" if subject.plan.kit.integrated else "the compressor alone"
    return (
        f"Occupied: {required} of outdoor air at every fan speed{assumed}.",
        f"Cooling wanted: outdoor air first, {then} where it is not enough, until {ends}.",
        "Heating, or nobody in: damper at its minimum, or shut.",
    )


def _settings(subject: Subject) -> Iterator[CardLine]:
    left = subject.readings.settings_left()
    for one in subject.plan.settings:
        entry = left.get(one.label.lower())
        value = subject.say(one.value) if entry is None else subject.say_setting(entry.label, entry.value)
        yield CardLine(
            one.label, value, one.means.value + (", planned, NOT read back" if entry is None else "")
        )


def _airflow(subject: Subject, speed: SpeedVerdict) -> CardLine:
    today = provisional_signal(subject, speed.name)
    if speed.outdoor_air is None or speed.outdoor_air_fraction is None:
        return CardLine(f"Fan {speed.name}", "not read", today or "provisional: nothing proved at this speed")
    flow = Amount(speed.outdoor_air, AIRFLOW, speed.outdoor_air_u).show(subject.system)
    share = Amount(speed.outdoor_air_fraction, FRACTION).show(subject.system)
    signal = (
        f" at {Amount(speed.damper_signal, FRACTION).show(subject.system)} signal"
        if speed.damper_signal is not None
        else ""
    )
    proved = {
        Verdict.PASSES: "proved",
        Verdict.FAILS: "FAILS",
        Verdict.CANNOT_TELL: "provisional, not proved",
    }[speed.verdict]
    said = f"{share} outdoor air{signal}; {proved}"
    return CardLine(f"Fan {speed.name}", flow, said if today is None else f"{said}; {today}")


def _sensors(subject: Subject) -> Iterator[CardLine]:
    """Bias of each sensor, and the last set of temperatures to compare with next year."""
    for one in live_checks(subject.readings, subject.verdicts.ledger):
        bias = Amount(one.bias, TEMPERATURE_DIFFERENCE).show(subject.system)
        yield CardLine(f"{one.sensor.capitalize()} sensor", bias, f"shows minus probe, {one.at:%Y-%m-%d}")
    for found in subject.verdicts.balance.sensor_biases[-1:]:
        shown = Amount(found.bias, TEMPERATURE_DIFFERENCE).show(subject.system)
        at = Amount(found.signal, FRACTION).show(subject.system)
        yield CardLine("Mixed-air sensor", shown, f"shows minus mixed air as read, fan {found.speed}, {at}")
    last = subject.readings.standing(MixedAir)[-1:]
    for read in last:
        values = (read.outdoor_air.value, read.return_air.value, read.before_fan)
        shown = " / ".join(Amount(value, TEMPERATURE).show(subject.system) for value in values)
        yield CardLine(
            "Last reading", shown, f"outdoor / return / mixed, fan {read.speed}, {read.damper_signal}"
        )


def _notices(subject: Subject) -> Iterator[Notice]:
    if subject.not_real:
        yield Notice(Tone.INFO, f"{subject.not_real[:1].upper()}{subject.not_real[1:]}.")
    failed = [
        subject.say(check.what) for check in subject.verdicts.checks() if check.verdict is Verdict.FAILS
    ]
    if failed:
        yield Notice(Tone.FAILS, f"{'; '.join(failed)}.")
    unproved = len(subject.verdicts.not_closed)
    if unproved:
        yield Notice(
            Tone.FAILS, f"NOT FINISHED: {unproved} temporary change{'s' * (unproved > 1)} not proved back."
        )
    put_back = subject.verdicts.nothing_left.verdict is Verdict.PASSES
    none_left = " No resistor, jumper or override was left in." if put_back else ""
    yield Notice(Tone.CAUTION, f"Fan and damper move by themselves: lock out before reaching in.{none_left}")
