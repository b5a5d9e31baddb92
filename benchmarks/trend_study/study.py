"""The study: sound years judged whole and month by month, and dampers that stick, judged day by day until it is found."""

from __future__ import annotations

import random
from dataclasses import dataclass
from functools import cache
from math import hypot

from benchmarks.trend_study.roof import DAY, START, Roof, drawn, joined, logged, occupied, part, stuck

from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.steady import steady
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.readings.trend import UnitLog
from ventwright.readings.trend.frames import UnitFrame, frame_of
from ventwright.tables.fault_rule import rule_set
from ventwright.tables.weather import WeatherYear
from ventwright.verdict.trend_findings import KnownUnit, UnitFindings, findings_of_frame

MONTHS = 12
LEAST_DIFFERENCE = 2.8
"""Between outdoor and return air, as the rules have it. [K]"""
DAYS_OF_A_MONTH = 30
DAMPER = frozenset(
    {
        "outdoor_air_damper_stuck",
        "outdoor_air_short_when_open",
        "excess_outdoor_air",
        "outdoor_air_share_changed",
    }
)
"""What a stuck damper may rightly be called: stuck; or, where only one of its ends was seen, too little or too much."""
FOLLOWS_FROM_IT = frozenset({"not_economizing_when_it_should"})


@dataclass(frozen=True, slots=True)
class SoundYear:
    """What was found on a sound unit's year."""

    name: str
    place: str
    whole: tuple[str, ...]
    """Faults found in the whole year."""
    monthly: tuple[str, ...]
    """Faults found in its months, each judged by itself."""
    ruled_out: int
    """Faults of all that the whole year rules out."""


@dataclass(frozen=True, slots=True)
class StuckUnit:
    """How long a stuck damper stayed unnamed."""

    name: str
    place: str
    at: float
    """Stroke at which it stands. [-]"""
    days: int | None
    """Operating days until it was found; None where it was not."""
    telling_days: int
    """Days until then, or in all, with an effect beyond twice its expanded uncertainty for an hour or more."""
    fault: str
    """As it was named first."""
    wrong: tuple[str, ...]
    """Other names that were given."""


def judge(log: UnitLog, known: KnownUnit | None = None) -> UnitFindings:
    """Judge a log by the rules that come with the package."""
    frame = UnitFrame(log.unit, frame_of(log), log.zone, log.counts)
    return findings_of_frame(frame, rule_set(), known or KnownUnit())


def sound_year(seed: int, number: int, years: tuple[WeatherYear, ...], months: int = MONTHS) -> SoundYear:
    """Judge one sound unit's year, whole and month by month."""
    roof = drawn(seed, number, years)
    log = logged(roof, seed, 0, months * DAYS_OF_A_MONTH)
    whole = judge(log)
    monthly = []
    for month in range(months):
        start = START + month * DAYS_OF_A_MONTH * DAY
        found = judge(part(log, start, start + DAYS_OF_A_MONTH * DAY))
        monthly += [one.fault for one in found.findings]
    return SoundYear(
        roof.name,
        roof.weather.name,
        tuple(one.fault for one in whole.findings),
        tuple(monthly),
        len(whole.sound),
    )


def stuck_unit(
    seed: int,
    number: int,
    years: tuple[WeatherYear, ...],
    before: int = 14,
    after: int = 28,
    *,
    job: bool = False,
) -> StuckUnit:
    """Let a damper stick on some day and judge the log as it grows, day by day."""
    roof = drawn(seed, number, years)
    dice = random.Random(f"stuck {seed} {number}")
    first, at = dice.randrange(0, 364 - before - after), dice.choice((0.0, 0.25, 0.6, 1.0))
    sound = logged(roof, seed, first, before)
    faulty = logged(roof, seed, first + before, after, (stuck(at),))
    log = joined(sound, faulty)
    known = known_of(roof) if job else KnownUnit()
    begin = START + first * DAY
    days = telling = 0
    for day in range(before, before + after):
        until = begin + (day + 1) * DAY
        operating = any(occupied(roof, (first + day) * DAY + hour * 3600.0) for hour in range(24))
        if not operating:
            continue
        days += 1
        telling += _tells(roof, part(log, until - DAY, until), at)
        found = [
            one
            for one in judge(part(log, begin, until), known).findings
            if one.last > until - DAY * (days + 2)
        ]
        named = [one.fault for one in found if one.fault in DAMPER]
        if named:
            wrong = tuple(one.fault for one in found if one.fault not in DAMPER | FOLLOWS_FROM_IT)
            return StuckUnit(roof.name, roof.weather.name, at, days, telling, named[0], wrong)
    found = list(judge(log, known).findings)
    wrong = tuple(one.fault for one in found if one.fault not in DAMPER | FOLLOWS_FROM_IT)
    return StuckUnit(roof.name, roof.weather.name, at, None, telling, "", wrong)


def known_of(roof: Roof) -> KnownUnit:
    """Return what a job would know of a roof: minimum position, and the shares that were read when it was left."""
    signals = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)
    return KnownUnit(
        minimum_signal={1.0: roof.settings.minimum.at_fastest, 0.6: roof.settings.minimum.at_slowest},
        as_left=tuple((signal, share(roof, signal)) for signal in signals),
    )


@cache
def share(roof: Roof, signal: float, at: float | None = None) -> float:
    """Share of outdoor air at a signal; of a damper that is stuck at a stroke where one is given. [-]"""
    commands = Commands(fan_running=True, fan_speed=1.0, damper_signal=signal)
    faults = () if at is None else (stuck(at),)
    return steady(roof.unit, Weather(8.0, 0.5), Indoor(22.0, 0.4), commands, faults).outdoor_air_fraction


def _tells(roof: Roof, log: UnitLog, at: float) -> bool:
    """Whether a day has an hour in which the share departs from the sound one by twice its expanded uncertainty."""
    accuracy = rule_set().figures.accuracy
    own = share(roof, 0.0, at)
    error = hypot(
        accuracy.mixed_temperature,
        (1.0 - own) * accuracy.return_temperature,
        own * accuracy.outdoor_temperature,
    )
    values = {name: one.si() for name, one in log.series.items()}
    quarters = 0
    for row in range(2, len(values["outdoor_damper_signal"])):
        signal = values["outdoor_damper_signal"][row]
        stands = abs(signal - values["outdoor_damper_signal"][row - 2]) < 0.1
        runs = all(values["supply_fan_status"][row - back] > 0.5 for back in range(3))
        apart = abs(values["outdoor_temperature"][row] - values["return_temperature"][row])
        if stands and runs and apart >= LEAST_DIFFERENCE:
            effect = abs(share(roof, round(signal, 2)) - own)
            quarters += effect > 2.0 * 2.0 * error / apart
    return quarters >= 4
