"""Trend rules in plain Python and with Polars: the same whole numbers and the same findings, on logs of every kind.

Windows against their definition: later than the start of the window, up to and with the row, by the clock.
"""

from __future__ import annotations

import pickle
import random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.trend_logs import COOLING, START, frame, log

from ventwright.readings.trend import Series, UnitLog
from ventwright.readings.trend.shape import whole
from ventwright.tables.fault_rule import rule_set
from ventwright.tables.point import points
from ventwright.verdict.trend_findings import (
    KnownUnit,
    findings,
    findings_of_frame,
    flags,
    flags_of_frame,
    quick_rows,
)
from ventwright.verdict.trend_findings.day_sums import day_sums
from ventwright.verdict.trend_findings.plain_rows import PlainRows
from ventwright.verdict.trend_findings.quick_rows import QuickRows

RANGES = {
    "outdoor_temperature": (-5_000, 33_000),
    "return_temperature": (20_000, 25_000),
    "mixed_temperature": (5_000, 30_000),
    "supply_temperature": (5_000, 40_000),
    "outdoor_humidity_ratio": (20_000, 150_000),
    "return_humidity_ratio": (50_000, 110_000),
    "outdoor_damper_signal": (0, 100_000),
    "outdoor_damper_position": (0, 100_000),
    "supply_fan_status": (0, 1),
    "supply_fan_speed": (0, 100_000),
    "cooling_1": (0, 1),
    "cooling_2": (0, 1),
    "cooling_signal": (0, 100_000),
    "heating_1": (0, 1),
    "economizing": (0, 1),
    "occupied": (0, 1),
    "outdoor_damper_minimum": (10_000, 30_000),
}


def walked(dice: random.Random, name: str, count: int) -> list[int]:
    """Return values that mostly stay, sometimes drift and sometimes jump."""
    low, high = RANGES[name]
    value, found = dice.randint(low, high), []
    for _ in range(count):
        if dice.random() < 0.03:
            value = dice.randint(low, high)
        elif dice.random() < 0.4 and high > 1:
            value = min(high, max(low, value + dice.randint(-high // 100, high // 100)))
        found.append(value)
    return found


@st.composite
def irregular(draw: st.DrawFn) -> UnitLog:
    """Draw a log with jitter, gaps and points that are logged now and then, over a change of the clock or not."""
    dice = random.Random(draw(st.integers(0, 2**32)))  # noqa: S311 - a repeatable log, no secret
    step = draw(st.sampled_from([60, 300, 300, 900, 2700]))
    jitter = draw(st.sampled_from([0, 0, 7, step // 3]))
    start = draw(
        st.sampled_from([START, 1_710_050_000])
    )  # or the day in March 2024 on which US clocks go forward
    time, times = start, []
    for _ in range(draw(st.integers(0, 400))):
        times.append(time)
        time += max(1, step + (dice.randint(-jitter, jitter) if jitter else 0))
        if dice.random() < 0.01:
            time += dice.randint(1, 6) * 3_600
    names = draw(st.sets(st.sampled_from(sorted(RANGES))))
    shown = draw(st.sampled_from([1.0, 1.0, 0.9, 0.2]))
    series = {}
    for name in sorted(names):
        values = walked(dice, name, len(times))
        kept = [row for row in range(len(times)) if dice.random() < shown]
        if kept:
            series[name] = Series(
                points()[name], whole([times[row] for row in kept]), whole([values[row] for row in kept])
            )
    return UnitLog("drawn", series, draw(st.sampled_from([None, "UTC", "America/Chicago"])))


MISSED = {
    "cooling_1": 1.0,
    "outdoor_damper_signal": 0.1,
    "mixed_temperature": 22.0,
    "supply_temperature": 13.0,
}
"""A compressor at work at minimum position, though it is cool outside."""

KNOWN = KnownUnit(
    minimum_signal={1.0: 0.2, 0.6: 0.3},
    minimum_share={1.0: 0.2},
    high_limit=21.0,
    high_limit_control="fixed dry bulb",
    occupied_hours=((0, 420, 1080), (2, 400, 1200)),
    as_left=((0.0, 0.03), (0.5, 0.4), (1.0, 0.8)),
    supply_airflow=1.2,
)


@given(irregular(), st.sampled_from([KnownUnit(), KNOWN]))
@settings(max_examples=60, deadline=None)
def test_both_engines_give_the_same(one: UnitLog, known: KnownUnit) -> None:
    """Sums by day, flags and findings are the same to the last bit, whatever was logged when."""
    rules = rule_set()
    assert day_sums(PlainRows(one), rules, known) == day_sums(QuickRows(frame(one)), rules, known)
    assert flags(one, rules, known) == flags_of_frame(frame(one), rules, known)
    assert findings(one, rules, known) == findings_of_frame(frame(one), rules, known)


@given(irregular(), st.integers(1, 7_200))
@settings(max_examples=40, deadline=None)
def test_windows_are_those_of_the_clock(one: UnitLog, window: int) -> None:
    """Sums and counts against adding up every row that lies in the window, for both engines."""
    both: tuple[Any, ...] = (PlainRows(one), QuickRows(frame(one)))
    for rows in both:
        if not len(rows):
            continue
        times = list(one.table().times)
        expected = [sum(other for other in times if time - window < other <= time) for time in times]
        counted = [sum(time - window < other <= time for other in times) for time in times]
        even = [all(other % 2 == 0 for other in times if time - window < other <= time) for time in times]
        total, count = rows.total(rows.time, window), rows.readings(window)
        stood = rows.all_in(rows.time - rows.time // 2 * 2 <= 0, window)
        assert list(total) == expected
        assert list(count) == counted
        assert list(stood) == even


@given(irregular(), st.sampled_from([KnownUnit(), KNOWN]), st.sampled_from([7, 40, 100]))
@settings(max_examples=12, deadline=None)
def test_a_long_log_gone_through_in_parts_gives_the_same(one: UnitLog, known: KnownUnit, rows: int) -> None:
    """Wherever a part begins: windows reach back into the part before, and no row counts twice."""
    rules = rule_set()
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(quick_rows, "PART", rows)
        assert day_sums(QuickRows(frame(one)), rules, known) == day_sums(PlainRows(one), rules, known)
        assert flags_of_frame(frame(one), rules, known) == flags(one, rules, known)


def test_a_windowful_never_reaches_over_a_gap() -> None:
    """After hours without a reading nothing counts as steady until half an hour has been read again."""
    gap = {
        name: lambda time: None if 3_600 <= time < 4 * 3_600 else 1.0 for name in ("cooling_1", "occupied")
    }
    one = log({**gap, "outdoor_temperature": 10.0, "outdoor_damper_signal": 0.1}, hours=6)
    cut = UnitLog(
        one.unit,
        {
            name: Series(
                series.point,
                whole([time for time in series.times if not 3_600 <= time - START < 4 * 3_600]),
                whole(
                    [
                        value
                        for time, value in zip(series.times, series.values, strict=True)
                        if not 3_600 <= time - START < 4 * 3_600
                    ]
                ),
            )
            for name, series in one.series.items()
        },
        one.zone,
    )
    sums = day_sums(PlainRows(cut), rule_set(), KnownUnit())
    (day,) = sums.rules["cooling_with_outdoor_air_to_spare"].days.values()
    # 72 readings less 36 in the gap; at either beginning three quarters of a half hour have to be covered first
    assert day.rows_judged == 36 - 4 - 3
    assert sums.logged == 36 * 300 + 2 * 75  # a row stands for one and a half steps at the most


def test_findings_travel_to_another_process() -> None:
    """Rules, what is known and what is found are plain data."""
    one = log(MISSED, hours=10)
    found = findings(one, rule_set(), KnownUnit())
    assert [one.fault for one in found.findings] == ["not_economizing_when_it_should"]
    for thing in (found, rule_set(), KnownUnit()):
        assert pickle.loads(pickle.dumps(thing)) == thing  # noqa: S301 - our own, from a line before


def test_units_stay_apart() -> None:
    """What a unit is judged by is its own log: the same for one unit alone and after another."""
    sound, faulty = log(COOLING), log(MISSED)
    rules = rule_set()
    alone = findings(sound, rules, KnownUnit())
    findings(faulty, rules, KnownUnit())
    assert findings(sound, rules, KnownUnit()) == alone


@pytest.mark.parametrize("count", [0, 1, 2])
def test_hardly_anything_logged_is_no_trouble(count: int) -> None:
    """A log of no, one or two rows: nothing is found, everything cannot be told."""
    one = log(COOLING, hours=count * 300 / 3_600)
    found = findings(one, rule_set(), KnownUnit())
    assert found == findings_of_frame(frame(one), rule_set(), KnownUnit())
    assert found.findings == ()
    assert found.sound == ()
    assert found.rows == count
    assert len(found.cannot_tell) == len(rule_set().faults)
