"""What is understood of published logs against what their source says of them.

Sources: measured air-handler days at one-minute steps in °F, Granderson, Lin et al., Scientific Data 2020, doi
10.1038/s41597-020-0398-6 (five, two and fifteen whole days; some cells hold text); runs of a general-purpose building
simulator, EnergyPlus 25.2, at 15-minute steps in SI, 14 days in each of four months, with dates that have no year.
"""

from __future__ import annotations

from dataclasses import replace
from itertools import pairwise

import pytest
from tests.conftest import OUTSIDE_DATA
from tests.logged import without_questions

from ventwright.readings.trend import NOT_USED, PointMap, Understood, UnitLog, logs, look
from ventwright.readings.trend.frames import frames, log_of

DAYS = {"measured_constant_volume": 5, "measured_variable_volume": 2, "measured_vav_1": 15}


def both_ways(understood: Understood) -> UnitLog:
    """Read a log both ways, which have to agree."""
    (plain,) = logs(understood)
    (quick,) = (log_of(frame) for frame in frames(understood))
    assert plain.series == quick.series
    assert plain.counts == quick.counts
    return plain


@pytest.mark.outside_data
@pytest.mark.parametrize(("name", "days"), DAYS.items())
def test_measured_days_are_understood_without_a_question(name: str, days: int) -> None:
    """Whole days of minutes, month first, °F told from the numbers, damper signals from 0 to 1, the fan by 0 and 1."""
    said = PointMap.model_validate({"zone": "Etc/GMT+6"})
    understood = look([OUTSIDE_DATA / "fault_days" / f"{name}.csv"], said)
    assert understood.questions == ()
    (file,) = understood.files
    measured = {column.point: column.measure.name for column in file.columns if column.measure}
    assert {
        measured[one]
        for one in ("outdoor_temperature", "return_temperature", "mixed_temperature", "supply_temperature")
    } == {"°F"}
    assert (measured["outdoor_damper_signal"], measured["supply_fan_status"], measured["occupied"]) == (
        "0-1",
        "on/off",
        "on/off",
    )
    assert [column.heading for column in file.columns if column.point == NOT_USED] == [
        "Fault Detection Ground Truth"
    ]
    log = both_ways(understood)
    assert log.counts.kept == days * 1440
    assert log.counts.dropped == {"head": 1}
    assert len(log.series["outdoor_temperature"]) == days * 1440


@pytest.mark.outside_data
def test_text_among_the_numbers_is_counted() -> None:
    """The constant-volume days hold 45 errors of a spreadsheet among the mixed-air temperatures."""
    path = OUTSIDE_DATA / "fault_days" / "measured_constant_volume.csv"
    errors = path.read_text(encoding="utf-8").count("#VALUE!")
    log = both_ways(look([path], PointMap.model_validate({"zone": "Etc/GMT+6"})))
    assert errors == 45
    assert log.counts.cells == {"AHU: Mixed Air Temperature": {"text": errors}}
    assert len(log.series["mixed_temperature"]) == 5 * 1440 - errors


@pytest.mark.outside_data
def test_a_simulated_unit_is_understood_in_si() -> None:
    """Dates have no year, 24:00 ends a day, units stand behind the names; two columns of one point are asked about."""
    path = OUTSIDE_DATA / "simulated_trends" / "5A_Chicago__ok_diff_drybulb.csv.gz"
    unsaid = look([path])
    assert any("dates without a year" in one.problem for one in unsaid.questions)
    understood = look([path], PointMap.model_validate({"zone": "Etc/GMT+6", "year": 2017}))
    asked = " ".join(one.sentence for one in understood.questions)
    assert '"oat_sensed_C" and "oa_T_C" are both taken for the outdoor-air temperature' in asked
    (file,) = understood.files
    first = {column.point: column.heading for column in reversed(file.columns)}
    once = [
        column if first[column.point] == column.heading else replace(column, point=NOT_USED)
        for column in file.columns
    ]
    log = both_ways(without_questions(replace(understood, files=(replace(file, columns=tuple(once)),))))
    assert log.counts.kept == 4 * 14 * 96
    times = log.series["outdoor_temperature"].times
    assert min(after - before for before, after in pairwise(times)) == 900
    assert first["outdoor_temperature"] == "oa_T_C"
    assert log.series["mixed_temperature"].point.kind.si == "°C"
