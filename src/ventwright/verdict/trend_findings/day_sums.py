"""A log brought down to whole numbers by day: what rules saw, sums for the share of outdoor air, what the unit was doing.

These few numbers are all that the weighing needs, so that it is the same whatever engine made them.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ventwright.tables.fault_rule import Rule, RuleSet
from ventwright.verdict.trend_findings.checks import CHECKS, share_parts
from ventwright.verdict.trend_findings.log_steps import kelvins, signal_steps
from ventwright.verdict.trend_findings.place_clock import DAY, weekday_of
from ventwright.verdict.trend_findings.shape import MODES, KnownUnit, RuleFlags
from ventwright.verdict.trend_findings.signal_classes import PER_DAY, SIGNAL_CLASS
from ventwright.verdict.trend_findings.signals import Column, Rows, Signals

Sums = Mapping[int, tuple[int, ...]]

OUTDOOR_CLASS = 2.0
"""Width of the classes of outdoor temperature in which modes are counted. [K]"""
CHANGE_CLASS = 0.5
"""The same for the change-over. [K]"""
REACH = 2
"""Longest windows that one row may reach back to: what a window is taken of may need one of its own."""


@dataclass(frozen=True, slots=True)
class RuleDay:
    """What one rule saw on one day."""

    rows_judged: int
    judged: int
    """[s]"""
    rows_shown: int = 0
    shown: int = 0
    """[s]"""
    first: int = 0
    last: int = 0
    """Time of the first and of the last row that shows it. [s]"""
    apart: int = 0
    """Difference of outdoor and return air, without its sign, added over the time shown. [s steps]"""


@dataclass(frozen=True, slots=True)
class RuleSeen:
    """What one rule saw."""

    missing: tuple[str, ...]
    """What it needs that is not there: then it is silent."""
    days: Mapping[int, RuleDay]


@dataclass(frozen=True, slots=True)
class DaySums:
    """A unit's log in whole numbers."""

    unit: str
    rows: int
    step: int
    """Usual time from row to row. [s]"""
    logged: int
    """[s]"""
    rules: Mapping[str, RuleSeen]
    by_signal: bool
    """Whether the shares are by a damper signal that was logged, and not by a switch that stands for one."""
    shares: Sums
    """By day, class of signal and sign: rows, first and last time, then seconds and, by seconds, x, y, xx, xy, signal."""
    modes: Mapping[int, int]
    """Seconds by number of the mode."""
    by_outdoor: Sums
    by_hour: Sums
    minima: Sums
    """Seconds by speed of the fan [10 %] and signal [1 %] where the damper is at its minimum."""
    change_over: Sums
    """Seconds of cooling by outdoor temperature and whether the damper was open for it."""
    lockout: Sums
    """Seconds with a compressor by outdoor temperature."""
    runs: tuple[tuple[int, int, int], ...]


def day_sums(rows: Rows, rules: RuleSet, known: KnownUnit) -> DaySums:
    """Run every rule over a log and add up by day.

    Parameters
    ----------
    rows
        Of one unit, from either engine.
    rules
        What they are held against; a rule whose points are missing is silent, and says which.
    known
        What a job knows of the unit.
    """
    signals = Signals(rows, rules, known)
    mode = _mode(signals)
    by_hour = rows.sums_by(~signals.never, _hour(signals) * len(MODES) + mode, [signals.ahead])
    return DaySums(
        unit=rows.unit,
        rows=len(rows),
        step=signals.step,
        logged=_seconds(by_hour),
        rules=_seen(signals, rules),
        by_signal=signals.has("outdoor_damper_signal"),
        shares=_shares(signals, rules),
        modes=_modes(by_hour),
        by_outdoor=_by_outdoor(signals, mode),
        by_hour=by_hour,
        minima=_minima(signals),
        change_over=_change_over(signals),
        lockout=_lockout(signals),
        runs=tuple(rows.runs(mode, rows.time + signals.ahead)),
    )


def rule_flags(rows: Rows, rules: RuleSet, known: KnownUnit) -> tuple[RuleFlags, ...]:
    """Count the rows on which each rule was judged and showed its fault."""
    signals = Signals(rows, rules, known)
    found = {rule.id: RuleFlags(rule.id, 0, 0, ", ".join(_missing(signals, rule))) for rule in rules.rules}
    asked = [rule for rule in rules.rules if not found[rule.id].why_silent]
    for part in rows.parts(REACH * rules.figures.windows.hour):
        of_part = Signals(part, rules, known)
        for rule in (rule for rule in asked if rule.check != "still"):
            judged, shown = CHECKS[rule.check](of_part, rule)
            before = found[rule.id]
            found[rule.id] = RuleFlags(
                rule.id, before.judged + part.count(judged), before.flagged + part.count(shown)
            )
    for rule in (rule for rule in asked if rule.check == "still"):
        days = _still_days(signals, rule).values()
        found[rule.id] = RuleFlags(
            rule.id, sum(day.rows_judged for day in days), sum(day.rows_shown for day in days)
        )
    return tuple(found[rule.id] for rule in rules.rules)


def _missing(signals: Signals, rule: Rule) -> tuple[str, ...]:
    longest = signals.figures.windows.longest_step
    often = rule.check == "still" or signals.step <= longest
    step = () if often else (f"readings every {longest // 60} minutes or more often",)
    return signals.missing(rule.needs) + step


def _seconds(sums: Sums) -> int:
    return sum(row[3] for row in sums.values())


def _seen(signals: Signals, rules: RuleSet) -> dict[str, RuleSeen]:
    """Run every rule and add up by day."""
    silent = {rule.id: _missing(signals, rule) for rule in rules.rules}
    asked = [rule for rule in rules.rules if not silent[rule.id] and rule.check != "still"]
    judged: dict[str, dict[int, tuple[int, ...]]] = {rule.id: {} for rule in asked}
    shown: dict[str, dict[int, tuple[int, ...]]] = {rule.id: {} for rule in asked}
    for part in signals.rows.parts(REACH * rules.figures.windows.hour):
        of_part = Signals(part, rules, signals.known)
        far = _far(of_part)
        for rule in asked:
            good, bad = CHECKS[rule.check](of_part, rule)
            _add(judged[rule.id], part.sums_by(good, of_part.day, [of_part.ahead]))
            _add(shown[rule.id], part.sums_by(bad, of_part.day, [of_part.ahead, far]))
    found = {rule: RuleSeen(missing, {}) for rule, missing in silent.items()}
    for rule in rules.rules:
        if rule.id in judged:
            found[rule.id] = RuleSeen((), _days(judged[rule.id], shown[rule.id]))
        elif not silent[rule.id]:
            found[rule.id] = RuleSeen((), _still_days(signals, rule))
    return found


def _add(sums: dict[int, tuple[int, ...]], more: Sums) -> None:
    """Add sums of later rows: how many, first and last time, and sums of columns."""
    for key, row in more.items():
        rows, _, last, *own = row
        if key in sums:
            before, since, _, *held = sums[key]
            added = (one + other for one, other in zip(held, own, strict=True))
            sums[key] = (before + rows, since, last, *added)
        else:
            sums[key] = row


def _days(judged: Sums, shown: Sums) -> dict[int, RuleDay]:
    """Return what one rule saw on every day from the sums of the rows judged and of those that show its fault."""
    found = {}
    for day, (rows, _, _, seconds) in judged.items():
        rows_shown, first, last, seconds_shown, apart = shown.get(day, (0, 0, 0, 0, 0))
        found[day] = RuleDay(rows, seconds, rows_shown, seconds_shown, first, last, apart)
    return found


def _far(signals: Signals) -> Column:
    """Difference of outdoor and return air by the time it stands for. [s steps]"""
    x, there = signals.apart("outdoor_temperature", "return_temperature")
    return abs(x) * signals.ahead * signals.rows.number(there)


def _still_days(signals: Signals, rule: Rule) -> dict[int, RuleDay]:
    """Compare whole days: one temperature stands still while another moves."""
    name, others = rule.needs[0], rule.needs[1].split("|")
    least, within, other = rule.at["hours"] * 3600, kelvins(rule.at["within"]), kelvins(rule.at["other"])
    own = signals.ranges(name)
    logged = signals.rows.sums_by(signals.point(name)[1], signals.day, [signals.ahead])
    moved = {
        day
        for one in others
        if signals.has(one)
        for day, (low, high) in signals.ranges(one).items()
        if high - low >= other
    }
    found = {}
    for day, (count, first, last, seconds) in logged.items():
        if seconds >= least and day in moved:
            low, high = own[day]
            still = (count, seconds, first, last) if high - low <= within else ()
            found[day] = RuleDay(count, seconds, *still)
    return found


def _shares(signals: Signals, rules: RuleSet) -> Sums:
    """Add up by day, class of signal and sign what the least squares of ``pool`` need. [steps]"""
    rule = next(one for one in rules.rules if one.check == "share")
    if _missing(signals, rule) or not len(signals.rows):
        return {}
    judged, x, y = share_parts(signals)
    rows, classes = signals.rows, signals.figures.classes
    value = signals.signal[0]
    open_at_all = rows.number(value > signal_steps(classes.shut))
    number = rows.smaller((value - 1) // SIGNAL_CLASS + 1, PER_DAY // 2 - 1) * open_at_all
    key = signals.day * PER_DAY + number * 2 + rows.number(x > 0)
    weight = signals.ahead
    of_x = x * weight
    return rows.sums_by(judged, key, [weight, of_x, y * weight, x * of_x, y * of_x, value * weight])  # type: ignore[no-any-return]


def _mode(signals: Signals) -> Column:
    """Number of the mode in ``MODES``, row by row."""
    rows, number = signals.rows, signals.rows.number
    if signals.fan is None:
        return rows.constant(MODES.index("unknown"))
    runs, known = signals.fan
    heats, cools = number(signals.is_on(signals.heating)), number(signals.is_on(signals.cooling))
    free = number(signals.signal[1] & ~signals.at_minimum) * (heats * -1 + 1)
    # heating 1, free cooling 2, both 3, mechanical 4, ventilating 5
    idle = (heats * -1 + 1) * (cools * -1 + 1) * (free * -1 + 1)
    running = heats * 1 + (heats * -1 + 1) * (
        free * (cools * -1 + 1) * 2 + free * cools * 3 + (free * -1 + 1) * cools * 4
    )
    running = running + idle * MODES.index("ventilating")
    return number(runs) * running + number(~known) * MODES.index("unknown")


def _modes(by_hour: Sums) -> dict[int, int]:
    found: dict[int, int] = {}
    for key, row in by_hour.items():
        found[key % len(MODES)] = found.get(key % len(MODES), 0) + row[3]
    return dict(sorted(found.items()))


def _by_outdoor(signals: Signals, mode: Column) -> Sums:
    if not signals.has("outdoor_temperature"):
        return {}
    outdoor, there = signals.point("outdoor_temperature")
    key = (outdoor // kelvins(OUTDOOR_CLASS)) * len(MODES) + mode
    return signals.rows.sums_by(there, key, [signals.ahead])  # type: ignore[no-any-return]


def _hour(signals: Signals) -> Column:
    """Hour of the week of the place, 0 on Monday from midnight."""
    return weekday_of(signals.day) * 24 + (signals.local - signals.day * DAY) // 3600


def _minima(signals: Signals) -> Sums:
    """Count signals at which the damper stood while nothing asked for outdoor air to cool."""
    if not signals.has("outdoor_damper_signal") or not signals.has("outdoor_temperature"):
        return {}
    rows, figures = signals.rows, signals.figures
    value, there = signals.signal
    outdoor, known = signals.point("outdoor_temperature")
    warm = known & (outdoor >= kelvins(figures.on.no_free_cooling))
    heating = signals.is_on(signals.heating)
    judged = signals.fan_runs & signals.signal_steady & there & (warm | heating)
    judged = judged & (value > signal_steps(figures.classes.shut))
    if signals.occupied is not None:
        judged = judged & signals.occupied[0]
    speed = (
        signals.point("supply_fan_speed")[0] if signals.has("supply_fan_speed") else rows.constant(100_000)
    )
    key = ((speed + 5_000) // 10_000) * 1_000 + (value + 500) // 1_000
    return rows.sums_by(judged, key, [signals.ahead])  # type: ignore[no-any-return]


def _change_over(signals: Signals) -> Sums:
    """Count cooling by outdoor temperature, with the damper open for it or at its minimum."""
    if not signals.has("outdoor_temperature") or signals.cooling is None:
        return {}
    rows = signals.rows
    outdoor, there = signals.point("outdoor_temperature")
    window = signals.figures.windows.steady
    opened = signals.stood(~signals.at_minimum & signals.signal[1], window)
    cooled = signals.stood(signals.at_minimum & signals.is_on(signals.cooling), window)
    judged = signals.fan_runs & there & (opened | cooled) & signals.not_seen_on(signals.heating)
    key = (outdoor // kelvins(CHANGE_CLASS)) * 2 + rows.number(opened)
    return rows.sums_by(judged, key, [signals.ahead])  # type: ignore[no-any-return]


def _lockout(signals: Signals) -> Sums:
    """Count cooling by outdoor temperature, whatever the damper does."""
    if not signals.has("outdoor_temperature") or signals.cooling is None:
        return {}
    outdoor, there = signals.point("outdoor_temperature")
    judged = there & signals.fan_runs & signals.is_on(signals.cooling)
    return signals.rows.sums_by(judged, outdoor // kelvins(CHANGE_CLASS), [signals.ahead])  # type: ignore[no-any-return]
