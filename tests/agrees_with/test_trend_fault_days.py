"""Findings on logs that others measured or simulated, against what their sources say is wrong in each.

Measured air-handler days: Granderson, Lin et al., Scientific Data 2020, doi 10.1038/s41597-020-0398-6. Runs of EnergyPlus
25.2, our own, of its public retail-store example. The pieces beside the tests are of the same sets.
"""

from __future__ import annotations

import csv
from array import array
from dataclasses import replace
from datetime import UTC, datetime
from functools import cache
from itertools import groupby
from pathlib import Path

import pytest
from benchmarks.trend_findings.cases import measured
from benchmarks.trend_findings.table import RESEARCH_UNIT, Row, rows, rows_of_constant_volume
from tests.conftest import OUTSIDE_DATA

from ventwright.readings.trend import Series, UnitLog
from ventwright.tables.fault_rule import RuleSet, rule_set
from ventwright.tables.point import points
from ventwright.verdict.trend_findings import KnownUnit, findings, findings_of_frame

DATA = Path(__file__).parents[1] / "data"
LEAKING = "outdoor_air_damper_leaking"


@cache
def judged() -> tuple[Row, ...]:
    """Judge every log of the whole sets once."""
    return tuple(rows(OUTSIDE_DATA))


@pytest.mark.outside_data
def test_no_sound_log_shows_a_fault() -> None:
    """Twelve measured days and six simulated runs without a fault."""
    sound = [row for row in judged() if not row.case.wrong]
    assert len(sound) == 18
    assert [(row.case.name, row.names) for row in sound if row.names] == []


@pytest.mark.outside_data
def test_no_fault_has_a_wrong_name() -> None:
    """What is found fits what the source says, and nothing is found beside it."""
    assert [(row.case.name, row.names) for row in judged() if row.outcome == "wrong name"] == []


@pytest.mark.outside_data
def test_every_simulated_fault_is_found() -> None:
    """Stuck open, stuck at minimum and a high limit of 95 °F, in a hot and in a cold climate."""
    simulated = [row for row in judged() if row.case.wrong and "simulated" in row.case.source]
    assert [row.outcome for row in simulated] == ["found"] * 6


@pytest.mark.outside_data
def test_valves_stuck_are_found() -> None:
    """A cooling valve stuck shut and one stuck open, each on the one day there is."""
    found = {row.case.wrong: row.outcome for row in judged() if "valve stuck" in row.case.wrong}
    assert found == {"cooling valve stuck, closed": "found", "cooling valve stuck, 100% open": "found"}


@pytest.mark.outside_data
def test_a_leak_shows_against_other_days_of_the_same_log() -> None:
    """50 % of the greatest damper flow, beside sound days of the unit: beyond doubt, and on its day."""
    path = OUTSIDE_DATA / "fault_days" / "measured_constant_volume.csv"
    found = findings_of_frame(measured(path), rule_set(), KnownUnit())
    (leak,) = (one for one in found.findings if one.fault == LEAKING)
    assert datetime.fromtimestamp(leak.first - 6 * 3600, UTC).strftime("%Y-%m-%d") == "2017-03-21"
    assert {one.fault for one in found.findings} <= {LEAKING, "cooling_without_effect"}


@pytest.mark.outside_data
def test_a_leak_shows_against_what_was_left() -> None:
    """With the shares of the sound unit known, both leaks are found, each on its day alone, and no sound day shows one."""
    found = {row.case.name: row.names for row in rows_of_constant_volume(OUTSIDE_DATA)}
    assert found["2017-03-20"] == (LEAKING,)
    assert found["2017-03-21"] == (LEAKING,)
    assert found["2017-04-01"] == ()
    assert LEAKING not in found["2017-03-15"]


def quick() -> RuleSet:
    """Return the rules with windows of four minutes: a visit lasts ten."""
    rules = rule_set()
    windows = replace(rules.figures.windows, steady=240, hour=480)
    damper = replace(rules.figures.damper, least_hours=0.2, least_class_hours=0.1)
    return replace(rules, figures=replace(rules.figures, windows=windows, damper=damper))


def visits(*days: str) -> UnitLog:
    """Return some of the ten-minute visits kept beside the tests, as a log."""
    names = {
        "outdoor_F": "outdoor_temperature",
        "return_F": "return_temperature",
        "mixed_F": "mixed_temperature",
        "fan": "supply_fan_status",
        "outdoor_damper": "outdoor_damper_signal",
    }
    columns: dict[str, tuple[array[int], array[int]]] = {one: (array("q"), array("q")) for one in names}
    with (DATA / "fault_days" / "visits.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            if row["time"].partition(" ")[0] in days:
                moment = datetime.strptime(row["time"], "%m/%d/%Y %H:%M").replace(tzinfo=UTC)
                for column, (times, values) in columns.items():
                    value = float(row[column])
                    si = (value - 32.0) / 1.8 if column.endswith("_F") else value
                    times.append(round(moment.timestamp()))
                    values.append(round(si / points()[names[column]].step))
    return UnitLog(
        "visits",
        {names[one]: Series(points()[names[one]], times, values) for one, (times, values) in columns.items()},
        "UTC",
    )


def test_ten_minutes_at_a_time_are_too_short() -> None:
    """Nothing stands steady for half an hour: nothing is found, and nothing is ruled out."""
    found = findings(visits("3/15/2017", "3/21/2017", "4/1/2017"), rule_set(), KnownUnit())
    assert found.findings == ()
    assert found.sound == ()


@pytest.mark.parametrize(
    ("day", "least", "most"), [("3/21/2017", 0.17, 0.23), ("3/15/2017", 0.0, 0.03), ("4/1/2017", 0.0, 0.03)]
)
def test_shares_with_the_damper_shut(day: str, least: float, most: float) -> None:
    """50 % of the greatest damper flow: 0.17 to 0.23; a sound damper: 0.01 to 0.03, as the source's minutes give them.

    Rules that ask for a few steady minutes read the visits; so short a time names no fault, and none on a sound day.
    """
    found = findings(visits(day), quick(), RESEARCH_UNIT)
    assert found.findings == ()
    line = found.observed.share_line
    assert line is not None
    assert line.low_signal == 0.0
    assert line.low_share.uncertainty is not None
    assert least - 2.0 * line.low_share.uncertainty < line.low_share.value < most + line.low_share.uncertainty


def sound_runs() -> list[UnitLog]:
    """Return the sound days of the simulated unit kept beside the tests, one log for each place and control."""
    path = DATA / "simulated_trends" / "free_cooling_days.csv"
    with path.open(encoding="utf-8") as file:
        table = list(csv.DictReader(file))
    found = []
    for name, group in groupby(table, key=lambda row: f"{row['place']}, {row['control']}"):
        rows_here = list(group)
        times = array("q", sorted({stamp(row["time"]) for row in rows_here}))
        by_time = {stamp(row["time"]): row for row in rows_here}
        values = {
            "outdoor_temperature": [float(by_time[time]["outdoor_C"]) for time in times],
            "return_temperature": [float(by_time[time]["return_C"]) for time in times],
            "supply_fan_status": [1.0 for _ in times],
            "cooling_signal": [float(float(by_time[time]["cooling_W"]) > 0.0) for time in times],
            "heating_signal": [float(float(by_time[time]["heating_W"]) > 0.0) for time in times],
            "economizing": [float(by_time[time]["free_cooling"]) for time in times],
        }
        series = {
            one: Series(
                points()[one], times, array("q", [round(value / points()[one].step) for value in column])
            )
            for one, column in values.items()
        }
        found.append(UnitLog(name, series, "UTC"))
    return found


def stamp(text: str) -> int:
    """Return the end of a step: dates have no year, and 24:00 ends a day."""
    day, clock = text.split()
    month, number = map(int, day.split("/"))
    hour, minute, second = map(int, clock.split(":"))
    return round(datetime(2017, month, number, tzinfo=UTC).timestamp()) + hour * 3600 + minute * 60 + second


def test_sound_days_of_three_high_limits_show_no_fault() -> None:
    """Fixed and differential dry bulb, fixed enthalpy: the changing over of a sound unit is no fault of any kind."""
    logs = sound_runs()
    assert len(logs) > 2
    for one in logs:
        assert findings(one, rule_set(), KnownUnit()).findings == ()
