"""Settings and behaviour as the data show them: change-over, lockout, minimum position, modes, share against signal."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable

from ventwright.quantity import FRACTION, TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.tables.fault_rule import Figures
from ventwright.verdict.trend_findings.damper import DamperSeen
from ventwright.verdict.trend_findings.day_sums import CHANGE_CLASS, OUTDOOR_CLASS, DaySums, Sums
from ventwright.verdict.trend_findings.pool import Pool
from ventwright.verdict.trend_findings.shape import MODES, KnownUnit, Observed, ShareLine, Spell
from ventwright.words import Amount

LEAST_HOURS = 1.0
"""Behind a setting that is estimated, on either side of it (our own assumption). [h]"""
CLEARED = 0.6
"""Of what was not known of the sensors' offset before the log: where more is left, the log says nothing (our own assumption). [-]"""
OVERLAP = 0.25
"""Of the hours on the scarcer side: where so many lie on the wrong side of a change-over, there is none (our own assumption). [-]"""
NEARLY = 0.25
"""Hours on the wrong side that others may have more than the best change-over (our own assumption). [h]"""
LEAST_RUN = 0.5
"""That a compressor ran in one class of temperature, to count there (our own assumption). [h]"""
SIGNAL_U = 0.01
"""Standard uncertainty of a minimum signal: the width of the classes it is counted in (our own assumption). [-]"""
SHORT = 900
"""Spells shorter than this are joined to the one before: lines of a picture, not evidence (our own assumption). [s]"""


def observed(sums: DaySums, damper: DamperSeen, figures: Figures, known: KnownUnit) -> Observed:
    """Estimate what a log shows of the settings.

    Parameters
    ----------
    sums
        The log by day.
    damper
        What the shares say of it.
    figures
        Usual accuracy of the outdoor sensor. [K]
    known
        Of the unit: its accuracy, where somebody gave it.
    """
    accuracy = known.sensor_accuracy.get("outdoor_temperature", figures.accuracy.outdoor_temperature)
    return Observed(
        change_over=_change_over(sums.change_over, accuracy),
        lockout=_lockout(sums.lockout, accuracy),
        minimum_signal=_minima(sums.minima),
        share_line=None if damper.fine is None else _line(damper.fine),
        mode_hours=tuple((MODES[code], seconds / 3600.0) for code, seconds in sums.modes.items()),
        mode_by_outdoor=tuple(
            (
                (key // len(MODES) + 0.5) * OUTDOOR_CLASS,
                MODES[key % len(MODES)],
                row[3] / 3600.0,
            )
            for key, row in sums.by_outdoor.items()
        ),
        mode_by_hour=tuple(
            (
                key // len(MODES) // 24,
                key // len(MODES) % 24,
                MODES[key % len(MODES)],
                row[3] / 3600.0,
            )
            for key, row in sums.by_hour.items()
        ),
        clearance=_offset(damper.pool),
    )


def _offset(pool: Pool | None) -> Amount | None:
    """Return by how much mixed and return sensor disagree, where outdoor air on either side of return air shows it."""
    if pool is None or pool.offset_u > CLEARED * pool.offset_u_before:
        return None
    return Amount(pool.offset, TEMPERATURE_DIFFERENCE, pool.offset_u)


def _change_over(counted: Sums, accuracy: float) -> Amount | None:
    """Return the outdoor temperature that parts cooling with the damper open from cooling with it at its minimum.

    The one with the least time on the wrong side; how far others do nearly as well goes into the uncertainty.
    """
    opened: dict[int, float] = defaultdict(float)
    shut: dict[int, float] = defaultdict(float)
    for key, row in counted.items():
        (opened if key % 2 else shut)[key // 2] += row[3] / 3600.0
    if min(sum(opened.values()), sum(shut.values())) < LEAST_HOURS:
        return None
    places = sorted({*opened, *shut})
    wrong = {
        place: sum(hours for one, hours in opened.items() if one >= place)
        + sum(hours for one, hours in shut.items() if one < place)
        for place in [*places, places[-1] + 1]
    }
    least = min(wrong.values())
    if least > OVERLAP * min(sum(opened.values()), sum(shut.values())):
        return None  # the two overlap: another temperature, or humidity, decides
    near = [place for place, hours in wrong.items() if hours <= least + NEARLY]
    middle = 0.5 * (min(near) + max(near)) * CHANGE_CLASS
    half = 0.5 * (max(near) - min(near) + 1) * CHANGE_CLASS
    return Amount(middle, TEMPERATURE, (half**2 / 3.0 + accuracy**2) ** 0.5)


def _lockout(counted: Sums, accuracy: float) -> Amount | None:
    """Return the lowest outdoor temperature at which a compressor ran for a while."""
    ran = [place for place, row in counted.items() if row[3] >= LEAST_RUN * 3600.0]
    if not ran:
        return None
    return Amount(min(ran) * CHANGE_CLASS, TEMPERATURE, (CHANGE_CLASS**2 / 12.0 + accuracy**2) ** 0.5)


def _minima(counted: Sums) -> tuple[tuple[float, Amount], ...]:
    """Return the signal at which the damper stood longest, for every speed of the fan."""
    by_speed: dict[int, dict[int, int]] = defaultdict(dict)
    for key, row in counted.items():
        by_speed[key // 1_000][key % 1_000] = row[3]
    found = []
    for speed, seconds in sorted(by_speed.items()):
        if sum(seconds.values()) >= LEAST_HOURS * 3600.0:
            signal = max(seconds, key=lambda one: (seconds[one], -one))
            found.append((speed / 10.0, Amount(signal / 100.0, FRACTION, SIGNAL_U)))
    return tuple(found)


def _line(pool: Pool) -> ShareLine | None:
    """Fit a straight line through the shares by class of signal, each with its own weight."""
    points = [(one.signal, one.share, one.u, one.hours) for one in pool.classes.values()]
    if len(points) < 2:
        return None
    weights = [1.0 / u**2 for _, _, u, _ in points]
    whole = sum(weights)
    mean = sum(w * signal for w, (signal, *_) in zip(weights, points, strict=True)) / whole
    level = sum(w * share for w, (_, share, *_) in zip(weights, points, strict=True)) / whole
    spread = sum(w * (signal - mean) ** 2 for w, (signal, *_) in zip(weights, points, strict=True))
    if spread <= 0.0:
        return None
    slope = (
        sum(w * (signal - mean) * share for w, (signal, share, *_) in zip(weights, points, strict=True))
        / spread
    )
    low, high = points[0], points[-1]
    return ShareLine(
        Amount(slope, FRACTION, spread**-0.5),
        Amount(level - slope * mean, FRACTION, (1.0 / whole + mean**2 / spread) ** 0.5),
        low[0],
        Amount(low[1], FRACTION, low[2]),
        high[0],
        Amount(high[1], FRACTION, high[2]),
        tuple(points),
    )


def spells(runs: Iterable[tuple[int, int, int]]) -> tuple[Spell, ...]:
    """Return the timeline of modes, the shortest joined to the one before."""
    found: list[Spell] = []
    for code, start, end in runs:
        mode = MODES[code]
        joins = bool(found) and found[-1].end >= start
        if joins and (found[-1].mode == mode or end - start < SHORT):
            found[-1] = Spell(found[-1].mode, found[-1].start, end)
        else:
            found.append(Spell(mode, start, end))
    return tuple(found)
