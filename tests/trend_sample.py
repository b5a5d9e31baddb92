"""What might be found in a log of a year: our own invention, for drawings, reports and pages."""

from __future__ import annotations

import math

from ventwright.quantity import FRACTION, TEMPERATURE
from ventwright.readings.trend import Counts
from ventwright.verdict.trend_findings import (
    CannotTell,
    Consequence,
    KnownUnit,
    NextMeasurement,
    Observed,
    RuleEvidence,
    ShareLine,
    Spell,
    TrendFinding,
    UnitFindings,
)
from ventwright.verdict.trend_judged import Judged
from ventwright.words import Amount, Words

START = 1_735_711_200
"""2025-01-01 00:00 in America/Chicago."""

DAY = 86_400

KNOWN = KnownUnit(
    minimum_share={1.0: 0.2},
    minimum_signal={1.0: 0.22},
    high_limit=21.0,
    high_limit_control="fixed dry bulb",
    compressor_lockout=12.8,
    occupied_hours=tuple((day, 7 * 60, 19 * 60) for day in range(5)),
    as_left=tuple((0.05 * number, 0.04 + 0.8 * (0.05 * number) ** 0.8) for number in range(21)),
    supply_airflow=1.9,
)


def states(days: int = 365) -> tuple[Spell, ...]:
    """A unit that runs from 7 to 19 h on weekdays: heats in winter, cools in summer, with outdoor air between."""
    spells = []
    for day in range(days):
        at = START + day * DAY
        season = -math.cos(2 * math.pi * day / 365)
        inside = "heating" if season < -0.4 else "mechanical cooling" if season > 0.5 else "free cooling"
        if day % 7 in (4, 5):  # the first day was a Wednesday
            spells.append(Spell("off", at, at + DAY))
            continue
        spells += [
            Spell("off", at, at + 7 * 3600),
            Spell(inside, at + 7 * 3600, at + 15 * 3600),
            Spell("ventilating", at + 15 * 3600, at + 19 * 3600),
            Spell("off", at + 19 * 3600, at + DAY),
        ]
    return tuple(spells)


def by_outdoor() -> tuple[tuple[float, str, float], ...]:
    """Heating in the cold, outdoor air between, compressors in the warm."""
    rows = []
    for number in range(24):
        at = -11.0 + 2.0 * number
        mode = "heating" if at < 8 else "free cooling" if at < 16 else "mechanical cooling"
        rows.append((at, mode, 180.0 * math.exp(-(((at - 14.0) / 11.0) ** 2))))
        rows.append((at, "off", 200.0 * math.exp(-(((at - 11.0) / 12.0) ** 2))))
    return tuple(rows)


def by_hour() -> tuple[tuple[int, int, str, float], ...]:
    """On weekdays from 7 to 19 h, and Saturday mornings, which nobody ordered."""
    rows = []
    for day in range(7):
        for hour in range(24):
            on = (day < 5 and 7 <= hour < 19) or (day == 5 and 8 <= hour < 12)
            rows.append((day, hour, "off", 8.0 if on else 52.0))
            if on:
                rows += [(day, hour, "ventilating", 20.0), (day, hour, "free cooling", 24.0)]
    return tuple(rows)


def share_line() -> ShareLine:
    """A damper that brings the same air at every signal."""
    points = tuple(
        (0.2 + 0.1 * number, 0.19 + 0.004 * number, 0.02 + 0.002 * number, 400.0 / (1 + number))
        for number in range(9)
    )
    return ShareLine(
        slope=Amount(0.04, FRACTION, 0.03),
        intercept=Amount(0.18, FRACTION, 0.02),
        low_signal=0.22,
        low_share=Amount(0.19, FRACTION, 0.015),
        high_signal=0.97,
        high_share=Amount(0.22, FRACTION, 0.02),
        points=points,
    )


FINDING = TrendFinding(
    fault="outdoor_air_damper_stuck",
    words="the outdoor-air damper does not move",
    probability=0.97,
    first=START + 71 * DAY,
    last=START + 330 * DAY,
    hours_judged=412.0,
    hours_logged=8760.0,
    consequence=Consequence(
        Words("{share} less outdoor air than was called for", {"share": Amount(0.55, FRACTION)}),
        Amount(-0.55, FRACTION),
    ),
    next_measurement=NextMeasurement(
        "share.open", "read outdoor, return and mixed air with the damper held open", 12.0, "a damper that moves shows it", "balance"
    ),
    evidence=(
        RuleEvidence("damper_follows", Words("the share of outdoor air stays while the signal goes from 22 % to 97 %"), 412.0, 405.0, 88, "our own assumption"),
    ),
)  # fmt: skip

FOUND = UnitFindings(
    unit="RTU-3",
    findings=(FINDING,),
    cannot_tell=(
        CannotTell(
            "outdoor_sensor_wrong", "the outdoor sensor is wrong", Words("no other outdoor temperature is logged"),
            Words("a log of a second outdoor sensor"), 0.0, 8760.0,
        ),
    ),
    sound=("short_cycling",),
    observed=Observed(
        change_over=Amount(16.4, TEMPERATURE, 0.6),
        lockout=Amount(12.9, TEMPERATURE, 0.5),
        minimum_signal=((1.0, Amount(0.22, FRACTION, 0.003)),),
        share_line=share_line(),
        mode_hours=(("off", 5900.0), ("heating", 700.0), ("free cooling", 1150.0), ("mechanical cooling", 600.0), ("ventilating", 410.0)),
        mode_by_outdoor=by_outdoor(),
        mode_by_hour=by_hour(),
    ),
    states=states(),
    hours_logged=8760.0,
    rows=105_120,
    assumed=("Occupied hours are those that the log shows.",),
)  # fmt: skip

JUDGED = Judged(
    FOUND,
    START,
    START + 365 * DAY,
    "America/Chicago",
    Counts(rows=105_121, kept=105_120, dropped={"head": 1}),
)
