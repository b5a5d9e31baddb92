"""The study: sound years judged whole and month by month, and dampers that stick, judged day by day until it is found."""

from __future__ import annotations

import random
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from benchmarks.trend_study.bound import Bound, bound, share
from benchmarks.trend_study.cut import joined, part
from benchmarks.trend_study.roof import DAY, START, Roof, drawn, logged, occupied, stuck

from ventwright.readings.trend import UnitLog
from ventwright.readings.trend.frames import UnitFrame, frame_of
from ventwright.tables.fault_rule import rule_set
from ventwright.tables.weather import WeatherYear
from ventwright.verdict.trend_findings import KnownUnit, TrendFinding, UnitFindings, findings_of_frame

MONTHS = 12
DAYS_OF_A_MONTH = 30
LOOKED_AT = 3
"""Operating days of a stuck damper for which it is kept how far it shows."""
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
    bounds: tuple[Bound, ...]
    """Of the first operating days: how far the stuck damper shows at all."""


@dataclass(frozen=True, slots=True)
class StuckLog:
    """A log in which a damper sticks."""

    roof: Roof
    log: UnitLog
    at: float
    """Stroke at which it stands. [-]"""
    first: int
    """Day of the year on which the log begins."""
    before: int
    """Sound days."""
    after: int
    """Days with the stuck damper."""

    def operating(self, day: int) -> bool:
        """Whether people are in on a day of the log."""
        return any(occupied(self.roof, (self.first + day) * DAY + hour * 3600.0) for hour in range(24))

    def of_day(self, day: int) -> UnitLog:
        """Return the rows of one day of the log."""
        begin = START + (self.first + day) * DAY
        return part(self.log, begin, begin + DAY)


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


def stuck_log(
    seed: int, number: int, years: tuple[WeatherYear, ...], before: int = 14, after: int = 28
) -> StuckLog:
    """Let a damper stick on some day."""
    roof = drawn(seed, number, years)
    dice = random.Random(f"stuck {seed} {number}")
    first, at = dice.randrange(0, 364 - before - after), dice.choice((0.0, 0.25, 0.6, 1.0))
    sound = logged(roof, seed, first, before)
    faulty = logged(roof, seed, first + before, after, (stuck(at),))
    return StuckLog(roof, joined(sound, faulty), at, first, before, after)


def stuck_unit(case: StuckLog, *, job: bool = False) -> StuckUnit:
    """Judge a log in which a damper sticks as it grows, day by day, until it is found."""
    known = known_of(case.roof) if job else KnownUnit()
    begin = START + case.first * DAY
    operating = [day for day in range(case.before, case.before + case.after) if case.operating(day)]
    bounds = tuple(bound(case.roof, case.of_day(day), case.at) for day in operating)
    for days, day in enumerate(operating, 1):
        until = begin + (day + 1) * DAY
        found = [
            one
            for one in judge(part(case.log, begin, until), known).findings
            if one.last > until - DAY * (days + 2)
        ]
        named = [one.fault for one in found if one.fault in DAMPER]
        if named:
            return _unit(case, days, bounds[:days], named[0], found)
    return _unit(case, None, bounds, "", judge(case.log, known).findings)


def _unit(
    case: StuckLog, days: int | None, bounds: Sequence[Bound], fault: str, found: Iterable[TrendFinding]
) -> StuckUnit:
    wrong = tuple(one.fault for one in found if one.fault not in DAMPER | FOLLOWS_FROM_IT)
    telling = sum(one.tells for one in bounds)
    return StuckUnit(
        case.roof.name,
        case.roof.weather.name,
        case.at,
        days,
        telling,
        fault,
        wrong,
        tuple(bounds[:LOOKED_AT]),
    )


def known_of(roof: Roof) -> KnownUnit:
    """Return what a job would know of a roof: minimum position, and the shares that were read when it was left."""
    signals = (0.0, 0.2, 0.4, 0.6, 0.8, 1.0)
    return KnownUnit(
        minimum_signal={1.0: roof.settings.minimum.at_fastest, 0.6: roof.settings.minimum.at_slowest},
        as_left=tuple((signal, share(roof, signal)) for signal in signals),
    )
