"""Hours in which compressors ran, out of a log: which count, what is refused, and the balance point on the command line."""

from __future__ import annotations

import json
from array import array
from datetime import UTC, datetime
from importlib.resources import files
from pathlib import Path

import pytest

from ventwright import cli
from ventwright.cli import DONE, REFUSED
from ventwright.errors import Refused
from ventwright.physics.year.balance_point import stops_at
from ventwright.readings.trend import Series, UnitLog
from ventwright.readings.trend.compressor_hours import compressor_hours
from ventwright.tables.point import points

START = 1_780_272_000
"""A full hour. [s since 1970]"""

DEMO = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"

HOURS = 10

Minutes = dict[str, list[float]]


def outdoor_of(hour: int) -> float:
    return 12.0 + 2.0 * hour


def running_of(hour: int) -> float:
    """Share of the hour that the stage runs: from 16 °C on, 5 % more for each kelvin."""
    return max(0.0, 0.05 * (outdoor_of(hour) - 16.0))


def day() -> Minutes:
    """A day by minutes: the fan on, the damper at its minimum, the stage on for its share of each hour."""
    minutes = range(60 * HOURS)
    return {
        "outdoor_temperature": [outdoor_of(one // 60) for one in minutes],
        "outdoor_damper_signal": [0.2 for _ in minutes],
        "supply_fan_status": [1.0 for _ in minutes],
        "cooling_1": [float(one % 60 < round(60 * running_of(one // 60))) for one in minutes],
    }


def log_of(minutes: Minutes) -> UnitLog:
    def series(name: str, values: list[float]) -> Series:
        point = points()[name]
        times = array("q", [START + 60 * number for number in range(len(values))])
        return Series(point, times, array("q", [round(value / point.step) for value in values]))

    return UnitLog("RTU-1", {name: series(name, values) for name, values in minutes.items()})


def outdoors(log: UnitLog) -> list[float]:
    return [round(one.outdoor, 6) for one in compressor_hours(log)]


def test_every_hour_at_the_minimum_counts() -> None:
    """And tells where the compressor stops: at 16 °C."""
    found = compressor_hours(log_of(day()))
    assert [one.running for one in found] == pytest.approx(
        [running_of(hour) for hour in range(HOURS)], abs=0.02
    )
    stop = stops_at([(one.outdoor, one.running) for one in found])
    assert stop is not None
    assert stop.value == pytest.approx(16.0, abs=0.1)


@pytest.mark.parametrize(
    ("name", "value"),
    [("outdoor_damper_signal", 0.6), ("supply_fan_status", 0.0), ("economizing", 1.0), ("occupied", 0.0)],
)
def test_an_hour_with_more_air_or_without_a_fan_does_not_count(name: str, value: float) -> None:
    """One minute of it is enough."""
    minutes = day()
    usual = {"economizing": 0.0, "occupied": 1.0}
    minutes.setdefault(name, [usual.get(name, 0.0) for _ in range(60 * HOURS)])[4 * 60 + 30] = value
    assert outdoors(log_of(minutes)) == [outdoor_of(hour) for hour in range(HOURS) if hour != 4]


def test_a_damper_that_opened_for_hours_leaves_those_at_the_minimum() -> None:
    minutes = day()
    minutes["outdoor_damper_signal"] = [0.2 if one >= 3 * 60 else 0.9 for one in range(60 * HOURS)]
    assert outdoors(log_of(minutes)) == [outdoor_of(hour) for hour in range(3, HOURS)]


def test_half_an_hour_is_no_hour() -> None:
    minutes = {name: values[: 60 * 5 + 30] for name, values in day().items()}
    assert outdoors(log_of(minutes)) == [outdoor_of(hour) for hour in range(5)]


@pytest.mark.parametrize(
    ("lost", "sentence"),
    [
        ("cooling_1", "holds not a stage of cooling;"),
        ("outdoor_temperature", "holds not an outdoor temperature;"),
        ("outdoor_damper_signal", "holds not a damper signal, or whether the economizer is on;"),
    ],
)
def test_a_log_that_cannot_tell_is_refused(lost: str, sentence: str) -> None:
    minutes = {name: values for name, values in day().items() if name != lost}
    with pytest.raises(Refused) as refused:
        compressor_hours(log_of(minutes))
    assert sentence in refused.value.refusals[0].sentence


def written(folder: Path, minutes: Minutes) -> Path:
    """Write a log as a logger might."""
    lines = ["Time,OA Temp (°F),Econ Damper Cmd (%),SF Status,Compressor 1 Status"]
    columns = ("outdoor_temperature", "outdoor_damper_signal", "supply_fan_status", "cooling_1")
    for number, (outdoor, damper, fan, stage) in enumerate(
        zip(*(minutes[one] for one in columns), strict=True)
    ):
        at = datetime.fromtimestamp(START + 60 * number, UTC)
        on = {0.0: "Off", 1.0: "On"}
        lines.append(
            f"{at:%Y-%m-%d %H:%M:%S},{1.8 * outdoor + 32.0:.2f},{100 * damper:.0f},{on[fan]},{on[stage]}"
        )
    path = folder / "rtu.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    return path


def job_of_three_hours(folder: Path) -> Path:
    path = folder / "quick.yaml"
    text = DEMO.read_text(encoding="utf-8").replace("\nplan:", "\n  running: {weekdays: 13-15}\n\nplan:")
    path.write_text(text, encoding="utf-8")
    return path


def test_logs_on_the_command_line_give_the_balance_point(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """For this one reckoning: the job stays as it is."""
    job, log = job_of_three_hours(tmp_path), written(tmp_path, day())
    before = job.read_text(encoding="utf-8")
    assert cli.main(["savings", str(job), "--draws", "2", "--json", "--logs", str(log)]) == DONE
    inputs = {one["name"]: one for one in json.loads(capsys.readouterr().out)["inputs"]}
    assert inputs["balance_point"]["source"] == "from the hours that compressors were seen to run"
    assert job.read_text(encoding="utf-8") == before


def test_logs_that_tell_no_balance_point_are_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    minutes = day() | {"cooling_1": [0.0] * (60 * HOURS)}
    log = written(tmp_path, minutes)
    assert cli.main(["savings", str(job_of_three_hours(tmp_path)), "--logs", str(log)]) == REFUSED
    assert capsys.readouterr().err == (
        "ventwright: --logs: tells no balance point in 10 hours at the minimum damper position; accepted: hours of "
        "different outdoor temperatures in which compressors run more the warmer it is.\n"
    )
