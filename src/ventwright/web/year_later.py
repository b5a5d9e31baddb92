"""The ten-minute check of a job: what belongs to it among the readings, how the unit was left before, and what drifted."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from pathlib import Path

from ventwright.entry import Typed
from ventwright.entry.typed import OF_A_SIGNAL
from ventwright.evidence import Verdict
from ventwright.job import Worked, work
from ventwright.quantity import FRACTION, TEMPERATURE_DIFFERENCE, Quantity
from ventwright.readings import MixedAir, Noted, Readings, SettingRead, Visit, Withdrawn
from ventwright.tables.kit import KitSetting
from ventwright.verdict import Check, Line
from ventwright.verdict.as_left import signal_as_left
from ventwright.verdict.checks import live_checks
from ventwright.verdict.recheck import (
    NOT_READ,
    ReadToday,
    Recheck,
    high_limit_setting,
    recheck,
    share_as_left,
)
from ventwright.web.balance_blocks import setting_of
from ventwright.web.last_read import OFFERED
from ventwright.words import Amount, Words, words

PURPOSE = "a year later"
"""What the visit of a check is for: its readings are today's, and those before it say how the unit was left."""

NUMBERS = ("signal", "high-limit", "sensor", "air")
"""What is read, the quickest first, by its name in addresses."""

NUMBER_OF = {"signal": "signal", "high_limit": "high-limit", "sensor": "sensor", "share": "air"}
"""By the second part of a check's id."""


@dataclass(frozen=True, slots=True)
class YearLater:
    """What came of the check at one fan speed. ``left`` says how each number was left, ``damper`` where it is read."""

    checks: tuple[Check, ...]
    open_lines: tuple[Line, ...]
    next_step: Words
    left: tuple[tuple[str, Words], ...]
    damper: str

    @property
    def unread(self) -> tuple[str, ...]:
        """The numbers that were not read today, in order."""
        return tuple(number_of(one) for one in self.checks if not read_today(one))

    @property
    def drifted(self) -> tuple[Check, ...]:
        """What parted from as-left beyond the uncertainty of the instruments."""
        return tuple(one for one in self.checks if one.verdict is Verdict.FAILS)


def number_of(check: Check) -> str:
    """Return which number a check is about, by its name in addresses."""
    return NUMBER_OF[check.id.split(".")[1]]


def read_today(check: Check) -> bool:
    """Whether the number of a check was read."""
    return check.shortfall is None or check.shortfall.name != NOT_READ


def last_check(readings: Readings) -> Visit | None:
    """Return the visit of the last check; None where nobody has checked yet."""
    return next((one for one in reversed(readings.visits) if one.purpose == PURPOSE), None)


def under_way(visit: Visit | None, now: datetime) -> bool:
    """Whether a check is still being made: begun within the hours of one day's work, and its visit not ended."""
    return visit is not None and visit.ended is None and now - visit.started <= OFFERED


def before(readings: Readings, visit: Visit | None) -> Readings:
    """Return the readings by which the unit was left: those before the check, and what took one of them back since."""
    today = [
        one.visit is not None and visit is not None and one.visit == visit.id for one in readings.entries
    ]
    first = today.index(True) if True in today else len(today)
    kept: list[Noted] = list(readings.entries[:first])
    known = {one.id for one in kept}
    for entry in readings.entries[first:]:
        if entry.corrects in known and (isinstance(entry, Withdrawn) or not _of(entry, visit)):
            kept.append(entry)
            known.add(entry.id)
    return readings.model_copy(update={"entries": tuple(kept)})


def _of(entry: Noted, visit: Visit | None) -> bool:
    return visit is not None and entry.visit == visit.id


def signal_setting(worked: Worked, speed: str) -> KitSetting | None:
    """Return the kit's setting of the minimum damper signal at a speed."""
    return setting_of(worked.plan, speed)


def limit_setting(worked: Worked) -> KitSetting | None:
    """Return the kit's setting that ends free cooling."""
    return high_limit_setting(worked.plan)


def year_later(worked: Worked, folder: Path, speed: str, visit: Visit | None) -> YearLater:
    """Hold the readings of a check against the unit as it was left.

    Parameters
    ----------
    worked
        The job with the readings of the check in it.
    folder
        With the equipment files that it sees.
    speed
        Fan speed of the damper signal and of the airflows.
    visit
        Of the check; None as it begins, when whatever was read so far is as the unit was left.
    """
    readings = worked.job.readings
    left = work(worked.job.model_copy(update={"readings": before(readings, visit)}), folder)
    verdicts = replace(left.verdicts, ledger=_still_open(left.verdicts.ledger, worked.verdicts.ledger))
    of_today = [one for one in readings.standing(Noted) if _of(one, visit)]
    live = [one for one in live_checks(readings, worked.verdicts.ledger) if _of(one, visit)]
    today = _today(worked, of_today, speed)
    found = [
        recheck(worked.job.facts, left.plan, left.job.readings, verdicts, replace(today, sensor=one))
        for one in live or (None,)
    ]
    first = min(found, key=_urgency)
    checks = [one for one in first.checks if number_of(one) != "sensor"]
    checks[2:2] = [one for each in found for one in each.checks if number_of(one) == "sensor"]
    return YearLater(
        tuple(checks), first.open_lines, first.next_step, tuple(_left(left, speed)), _damper(today, left, speed)
    )  # fmt: skip


def _still_open(left: Sequence[Line], now: Sequence[Line]) -> tuple[Line, ...]:
    """Return the changes for a test as they were left, each as it stands now: put back today is put back."""
    present = {one.id: one for one in now}
    return tuple(present.get(one.id, one) for one in left)


def _urgency(found: Recheck) -> int:
    """Order results that differ in their sensor alone: a sensor that drifted first, then one that cannot be told."""
    (sensor,) = (one for one in found.checks if number_of(one) == "sensor")
    return (Verdict.FAILS, Verdict.CANNOT_TELL, Verdict.PASSES).index(sensor.verdict)


def _today(worked: Worked, entries: Sequence[Noted], speed: str) -> ReadToday:
    """Return what was read today, sensors aside: the last of each."""
    signal, limit = signal_setting(worked, speed), limit_setting(worked)
    settings = {one.label.lower(): one.value for one in entries if isinstance(one, SettingRead)}
    typed = settings.get(signal.label.lower()) if signal else None
    mixed = [
        one for one in entries if isinstance(one, MixedAir) and one.speed == speed and not one.behind_fan
    ]
    return ReadToday(
        speed,
        mixed[-1] if mixed else None,
        None if typed is None else _signal(typed),
        settings.get(limit.label.lower()) if limit else None,
    )


def _signal(typed: str) -> Quantity:
    read: Quantity = Typed(OF_A_SIGNAL, 0.0)(typed)
    return read


def _left(left: Worked, speed: str) -> Iterator[tuple[str, Words]]:
    """Yield how each number was left, where it is known."""
    readings, settings = left.job.readings, left.job.readings.settings_left()
    signal = signal_as_left(left.plan, readings, left.plan.speed(speed))
    if signal is not None:
        yield "signal", words("left at {signal}", signal=Amount(signal, FRACTION))
    limit = limit_setting(left)
    entry = settings.get(limit.label.lower()) if limit else None
    if limit is not None and entry is not None:
        yield (
            "high-limit",
            words("left at {limit}", limit=Amount(limit.read(entry.value).value, limit.dimension)),
        )
    said = {
        f"sensor{number}": words(
            "{sensor} {bias}", sensor=Words(one.sensor), bias=Amount(one.bias, TEMPERATURE_DIFFERENCE)
        )
        for number, one in enumerate(live_checks(readings, left.verdicts.ledger))
    }
    if said:
        yield "sensor", Words("left off the probe by: " + ", ".join(f"{{{name}}}" for name in said), said)
    share = next(one for one in left.verdicts.speeds if one.name == speed)
    found = share_as_left(share)
    if found is not None:
        yield "air", words("left at {share} outdoor air", share=found)


def _damper(today: ReadToday, left: Worked, speed: str) -> str:
    """Return the signal at which the air is read: as read back today, else as it was left; empty where nobody knows."""
    if today.signal is not None:
        return today.signal.typed
    share = signal_as_left(left.plan, left.job.readings, left.plan.speed(speed))
    return "" if share is None else f"{100.0 * share:g} %"
