"""Logs written in every way a logger may write them are read to the values they were written from."""

from __future__ import annotations

import gzip
import random
import tracemalloc
from dataclasses import replace
from datetime import UTC, datetime
from itertools import pairwise
from pathlib import Path
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.logged import (
    FORMS,
    HEADINGS,
    POINTS,
    Row,
    Way,
    line,
    read_both_ways,
    said,
    steps,
    without_questions,
    written,
)

from ventwright.readings.trend import MISSING, Block, PointMap, Progress, UnitLog, logs, look, stream
from ventwright.readings.trend.frames import frames, log_of
from ventwright.readings.trend.quick_rows import QuickReader

START = int(datetime(2025, 1, 20, tzinfo=UTC).timestamp())


def rows_from(start: int, count: int, step: int, seed: int = 1) -> list[Row]:
    """Return made-up rows: our own invention."""
    chance = random.Random(seed)  # noqa: S311 - made-up values
    return [
        (
            start + number * step,
            round(chance.uniform(-10.0, 105.0), 2),
            round(chance.uniform(66.0, 78.0), 2),
            float(chance.choice([0, 0, 20, 35, 100])),
            chance.random() < 0.7,
        )
        for number in range(count)
    ]


def check(log: UnitLog, rows: list[Row]) -> None:
    """Compare a log with the rows it was written from."""
    times = [row[0] for row in rows]
    assert tuple(log.series) == tuple(sorted(POINTS))
    assert all(list(one.times) == times for one in log.series.values())
    assert list(log.series["outdoor_temperature"].values) == [steps(row[1]) for row in rows]
    assert list(log.series["return_temperature"].values) == [steps(row[2]) for row in rows]
    assert list(log.series["outdoor_damper_signal"].values) == [round(row[3] * 1000) for row in rows]
    assert list(log.series["supply_fan_status"].values) == [int(row[4]) for row in rows]


WAYS = st.builds(
    Way,
    form=st.sampled_from(sorted(FORMS)),
    zone=st.sampled_from(["UTC", "America/Chicago", "Europe/Berlin", "Australia/Lord_Howe", "Etc/GMT+6"]),
    delimiter=st.sampled_from([",", ";", "\t", "|"]),
    decimal=st.sampled_from([".", ","]),
    encoding=st.sampled_from(["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "cp1252"]),
    newline=st.sampled_from(["\n", "\r\n", "\r"]),
    head=st.sampled_from([(), ("Trend report", ""), ("Site: none", "From: 1 to 2, all", "", "")]),
    words=st.sampled_from(
        [("0", "1"), ("Off", "On"), ("FALSE", "TRUE"), ("stopped", "running"), ("0.0", "1.0"), ("0", "100")]
    ),
    packed=st.booleans(),
    ends=st.booleans(),
    falling=st.booleans(),
)


@settings(max_examples=60, deadline=None)
@given(
    way=WAYS,
    day=st.integers(0, 700),
    count=st.integers(12, 150),
    step=st.sampled_from([60, 300, 900, 3600]),
    seed=st.integers(0, 9999),
)
def test_a_log_is_read_to_what_it_was_written_from(
    tmp_path_factory: pytest.TempPathFactory, way: Way, day: int, count: int, step: int, seed: int
) -> None:
    """Whatever the form of date and number, delimiter, letters, line ends, zone, order: the values come back to the last step."""
    if way.delimiter == ",":
        way = replace(way, decimal=".")
    rows = rows_from(START + day * 86_400, count, step, seed)
    path = tmp_path_factory.mktemp("log") / "rtu-3.csv"
    path.write_bytes(written(rows, way))
    log = read_both_ways(path, way)
    assert log.unit == "RTU-3"
    assert log.counts.dropped == {"head": len(way.head) + 1}
    check(log, rows)


@pytest.mark.parametrize("falling", [False, True], ids=["oldest first", "newest first"])
@pytest.mark.parametrize(
    ("zone", "month", "day"),
    [("America/Chicago", 3, 8), ("America/Chicago", 11, 1), ("Europe/Berlin", 10, 25)],
)
def test_the_day_on_which_clocks_change(
    tmp_path: Path, zone: str, month: int, day: int, *, falling: bool
) -> None:
    """The hour that the clock shows twice is told by the order of the rows; what it skips leaves no gap in UTC."""
    start = int(datetime(2026, month, day, tzinfo=ZoneInfo(zone)).timestamp())
    rows = rows_from(start, 26 * 12, 300)
    path = tmp_path / "unit 4.csv"
    way = Way(zone=zone, form="month first", falling=falling)
    path.write_bytes(written(rows, way))
    check(read_both_ways(path, way), rows)


@pytest.mark.parametrize("blank", [None, 20, 24, 27])
def test_a_year_is_read_by_columns_over_both_changes(tmp_path: Path, blank: int | None) -> None:
    """Rows of the two days are told by the row before; where one of those has no value, in plain Python."""
    way = Way(zone="America/Chicago")
    start = int(datetime(2026, 11, 1, 4, tzinfo=UTC).timestamp())
    rows = rows_from(start, 60, 300)
    lines = written(rows, way).decode().split("\n")
    if blank is not None:
        lines[1 + blank] = lines[1 + blank].split(",")[0] + ",,,,"
        del rows[blank]
    path = tmp_path / "rtu-3.csv"
    path.write_text("\n".join(lines), encoding="utf-8")
    check(read_both_ways(path, way), rows)
    (file,) = look([path], said(way)).files
    reader = QuickReader(file)
    reader.read(path.read_bytes(), from_the_start=True)
    assert reader.quick == (blank is None)


def test_an_hour_that_the_clock_skips_is_no_hour(tmp_path: Path) -> None:
    """A log that shows one was written by another clock: the rows are left out and counted."""
    rows = rows_from(int(datetime(2026, 3, 8, 6, tzinfo=UTC).timestamp()), 48, 300)
    path = tmp_path / "unit 4.csv"
    path.write_bytes(written(rows, Way(zone="Etc/GMT+6")))
    log = read_both_ways(path, Way(zone="America/Chicago"))
    assert log.counts.dropped == {"head": 1, "skipped_by_the_clock": 12}


def test_every_row_that_is_left_out_is_counted_with_its_reason(tmp_path: Path) -> None:
    """One of each kind of spoiled row, in one file."""
    way = Way()
    rows = rows_from(START, 40, 300)
    lines = written(rows, way).decode().splitlines()
    spoiled = [
        "",
        lines[0],
        lines[5],
        lines[6].rsplit(",", 1)[0] + ",",
        lines[7][:22],
        lines[8] + ",7",
        "2025-02-30 10:00:00,60,70,0,1",
        "yesterday,60,70,0,1",
        "2025-02-01 10:00:00,,n/a,,",
        lines[9].replace(lines[9].split(",")[1], "-39.99", 1),
    ]
    path = tmp_path / "rtu-3.csv"
    path.write_text("\n".join([*lines, *spoiled]) + "\n", encoding="utf-8")
    log = read_both_ways(path, way)
    assert log.counts.dropped == {
        "head": 1,
        "empty_line": 1,
        "names_again": 1,
        "repeated": 2,
        "too_few_cells": 1,
        "too_many_cells": 1,
        "impossible_time": 1,
        "no_time": 1,
        "no_value": 1,
        "contradicts": 1,
    }
    check(log, rows)


def test_cells_without_a_value_are_counted_and_the_rest_of_the_row_stands(tmp_path: Path) -> None:
    """Text, an error code, an empty cell and a word that is neither on nor off; the unit behind a number is read."""
    way = Way()
    lines = written(rows_from(START, 40, 300), way).decode().splitlines()
    for row, (place, cell) in {
        5: (1, "No Data"),
        6: (1, "-9999"),
        7: (2, ""),
        8: (4, "fault"),
        9: (1, "21.5 °C"),
        10: (2, "1,234.5"),
    }.items():
        cells = lines[row].split(",")
        cells[place] = f'"{cell}"'
        lines[row] = ",".join(cells)
    path = tmp_path / "rtu-3.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    log = read_both_ways(path, way)
    assert log.counts.kept == 40
    assert log.counts.cells == {
        HEADINGS[0]: {"text": 1, "impossible": 1},
        HEADINGS[1]: {"blank": 1, "text": 1},
        HEADINGS[3]: {"neither_on_nor_off": 1},
    }
    assert log.counts.examples[HEADINGS[1]] == {"text": "1,234.5"}
    assert log.series["outdoor_temperature"].values[6] == 21_500


def test_one_file_a_point_makes_one_unit(tmp_path: Path) -> None:
    """Files of a folder belong to the unit of the folder; points are put side by side on common times."""
    folder = tmp_path / "Roof" / "RTU-7"
    folder.mkdir(parents=True)
    rows = rows_from(START, 30, 300)
    for place, name in enumerate(("OAT", "Return Air Temp", "Damper Command", "Supply Fan Status"), start=1):
        body = [
            f"{datetime.fromtimestamp(row[0] + place, UTC):%Y-%m-%d %H:%M:%S};{float(row[place]):.2f}"
            for row in rows
        ]
        (folder / f"{name}.csv").write_text("\n".join(body) + "\n", encoding="utf-8")
    understood = without_questions(look([tmp_path], PointMap.model_validate({"zone": "UTC"})))
    (log,) = logs(understood)
    assert log.unit == "RTU-7"
    assert {name: len(one) for name, one in log.series.items()} == dict.fromkeys(sorted(POINTS), 30)
    exact, held = log.table(), log.table(hold=60)
    assert len(exact) == len(held) == 120
    assert sum(value != MISSING for value in exact.columns["outdoor_temperature"]) == 30
    assert all(value != MISSING for value in held.columns["outdoor_temperature"])
    (quick,) = (log_of(frame) for frame in frames(understood))
    assert quick.series == log.series


def test_several_units_in_one_file_share_the_outdoor_sensor(tmp_path: Path) -> None:
    """Headings name the units; a column that names none belongs to all of them."""
    lines = ["Time,OAT °F,RTU-1 SAT °F,RTU-1 Fan Status,RTU-2 SAT °F,RTU-2 Fan Status"]
    lines += [
        f"2026-05-{day:02d} {hour:02d}:00,{50 + hour},{55 + hour / 10},1,{60 - hour / 10},0"
        for day in range(1, 4)
        for hour in range(24)
    ]
    path = tmp_path / "roof.csv"
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    understood = without_questions(look([path], PointMap.model_validate({"zone": "UTC"})))
    first, second = logs(understood)
    assert (first.unit, second.unit) == ("RTU-1", "RTU-2")
    assert first.series["outdoor_temperature"] == second.series["outdoor_temperature"]
    assert first.series["supply_temperature"] != second.series["supply_temperature"]
    assert [log_of(frame).series for frame in frames(understood)] == [first.series, second.series]


def test_packed_data_that_breaks_off_gives_what_was_there_before(tmp_path: Path) -> None:
    """The loss is said; a number that was cut in two is not taken for one."""
    rows = rows_from(START, 4000, 300)
    whole = gzip.compress(written(rows, Way()))
    path = tmp_path / "rtu-3.csv.gz"
    path.write_bytes(whole[: len(whole) * 2 // 3])
    log = read_both_ways(path, Way())
    assert log.counts.dropped["cut_off"] == 1
    kept = log.series["return_temperature"]
    assert 1000 < len(kept) < 4000
    assert list(kept.values) == [steps(row[2]) for row in rows][: len(kept)]


def test_order_of_day_and_month_comes_from_the_whole_file(tmp_path: Path) -> None:
    """No day above the twelfth, but the log goes on from day to day only one way round."""
    rows = rows_from(int(datetime(2025, 3, 2, tzinfo=UTC).timestamp()), 24 * 9, 3600)
    for form in ("month first", "day first"):
        path = tmp_path / f"rtu-{len(form)}.csv"
        way = Way(form=form)
        path.write_bytes(written(rows, way))
        understood = look([path], PointMap.model_validate({"zone": "UTC"}))
        assert understood.files[0].layout.form.order == form
        (log,) = logs(understood)
        check(log, rows)


def test_a_piece_of_a_file_is_all_that_is_held(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Blocks are of bounded size whatever the file's, and tell how far the reading is; to stop is to stop taking."""
    import ventwright.readings.trend.streaming as module

    monkeypatch.setattr(module, "TEXT_PIECE", 4096)
    rows = rows_from(START, 3000, 300)
    path = tmp_path / "rtu-3.csv"
    path.write_bytes(written(rows, Way()))
    found = list(stream(look([path], said(Way()))))
    blocks = [one for one in found if isinstance(one, Block)]
    progress = [one for one in found if isinstance(one, Progress)]
    assert max(len(one.times) for one in blocks) < 150
    assert sum(len(one.times) for one in blocks) == 3000
    assert all(before.done <= after.done for before, after in pairwise(progress))
    assert progress[-1].finished
    assert progress[-1].done == progress[-1].total == path.stat().st_size


def test_a_line_of_a_log_by_hand(tmp_path: Path) -> None:
    """50 °F are 10 °C, worked out by hand; an hour of the clock in Chicago in winter is six hours behind."""
    rows: list[Row] = [(START + 3600 * hour, 50.0, 72.5, 20.0, True) for hour in range(24)]
    assert (
        line(rows[0], Way(zone="America/Chicago", form="month first"))
        == "01/19/2025 18:00,50.00,72.50,20.00,1"
    )
    path = tmp_path / "rtu-3.csv"
    path.write_bytes(written(rows, Way(zone="America/Chicago", form="month first")))
    log = read_both_ways(path, Way(zone="America/Chicago", form="month first"))
    assert log.first == START
    assert log.series["outdoor_temperature"].si()[0] == pytest.approx(10.0)


def test_memory_does_not_grow_with_the_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A file four times as long takes no more to read through."""
    import ventwright.readings.trend.streaming as module

    monkeypatch.setattr(module, "TEXT_PIECE", 16_384)
    peaks = []
    for count in (4_000, 16_000):
        path = tmp_path / f"rtu-{count}.csv"
        path.write_bytes(written(rows_from(START, count, 300), Way()))
        understood = look([path], said(Way()))
        tracemalloc.start()
        assert sum(len(one.times) for one in stream(understood) if isinstance(one, Block)) == count
        peaks.append(tracemalloc.get_traced_memory()[1])
        tracemalloc.stop()
    assert peaks[1] < 1.2 * peaks[0]
