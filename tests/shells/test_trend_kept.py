"""Logs kept as Parquet: taken up where the reading stopped, added to when a log has grown, and the same values again."""

from __future__ import annotations

import json
import pickle
from collections.abc import Callable
from datetime import UTC, datetime, timedelta
from pathlib import Path

import polars as pl
import pytest
from tests.logged import Way, line, said, written
from tests.shells.test_trend_reading import START, check, rows_from

import ventwright.readings.trend.frames as frames_module
from ventwright.errors import Refused
from ventwright.readings.trend import PointMap, Progress, logs, look
from ventwright.readings.trend.frames import frame_of, frames, log_of
from ventwright.readings.trend.keep import keep, kept_frames

WAY = Way(zone="America/Chicago", form="month first, twelve hours")


class Stopped(Exception):
    """Raised by a test in the place of a person who stops the reading."""


def stop_after(pieces: int) -> Callable[[Progress], None]:
    """Return a watcher that stops the reading after some pieces."""
    seen: list[Progress] = []

    def watch(step: Progress) -> None:
        seen.append(step)
        if len(seen) == pieces:
            raise Stopped

    return watch


def test_a_reading_that_was_stopped_goes_on(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped after every third piece, it reads no row twice and leaves none out."""
    monkeypatch.setattr(frames_module, "PIECE", 8192)
    rows = rows_from(START, 2500, 300)
    path = tmp_path / "rtu-3.csv"
    path.write_bytes(written(rows, WAY))
    understood = look([path], said(WAY))
    turns = 0
    while True:
        try:
            keep(understood, tmp_path / "kept", stop_after(3))
        except Stopped:
            turns += 1
        else:
            break
    assert turns >= 4
    (again,) = kept_frames(tmp_path / "kept", "America/Chicago")
    (plain,) = logs(understood)
    assert log_of(again).series == plain.series
    assert again.counts == plain.counts
    check(log_of(again), rows)


def test_of_a_log_that_has_grown_only_what_is_new_is_read(tmp_path: Path) -> None:
    """A line that is not yet ended waits for its end; of packed logs too only the rest is read."""
    rows = rows_from(START, 300, 300)
    path = tmp_path / "rtu-3.csv"
    whole = written(rows, WAY)
    half = whole.index(b"\n", len(whole) // 2) + 20
    path.write_bytes(whole[:half])
    first = keep(look([path], said(WAY)), tmp_path / "kept")
    path.write_bytes(whole)
    second = keep(look([path], said(WAY)), tmp_path / "kept")
    third = keep(look([path], said(WAY)), tmp_path / "kept")
    assert first.dropped == {"head": 1, "waits": 1}
    assert first.kept + second.kept == 300
    assert (second.dropped, third.rows) == ({}, 0)
    (again,) = kept_frames(tmp_path / "kept")
    check(log_of(again), rows)


def test_another_log_of_the_same_name_is_not_mixed_in(tmp_path: Path) -> None:
    """The beginning of the file is remembered."""
    path = tmp_path / "rtu-3.csv"
    path.write_bytes(written(rows_from(START, 30, 300), WAY))
    keep(look([path], said(WAY)), tmp_path / "kept")
    path.write_bytes(written(rows_from(START, 30, 300, seed=2), WAY))
    with pytest.raises(Refused, match="does not begin as it did when it was read before"):
        keep(look([path], said(WAY)), tmp_path / "kept")


def test_a_part_that_was_written_and_not_noted_is_not_read(tmp_path: Path) -> None:
    """The power may fail between the two: the part is then written over."""
    path = tmp_path / "rtu-3.csv"
    path.write_bytes(written(rows_from(START, 30, 300), WAY))
    keep(look([path], said(WAY)), tmp_path / "kept")
    (part,) = (tmp_path / "kept").rglob("*.parquet")
    part.with_name("00000-000001.parquet").write_bytes(part.read_bytes())
    (again,) = kept_frames(tmp_path / "kept")
    assert again.frame.height == 30


def test_a_damaged_state_is_refused(tmp_path: Path) -> None:
    """It is not taken for an empty one, or everything would be read a second time."""
    path = tmp_path / "rtu-3.csv"
    path.write_bytes(written(rows_from(START, 30, 300), WAY))
    keep(look([path], said(WAY)), tmp_path / "kept")
    state = tmp_path / "kept" / "read.json"
    assert json.loads(state.read_text(encoding="utf-8"))["files"]
    state.write_text("{", encoding="utf-8")
    with pytest.raises(Refused, match="is damaged; accepted: a folder that only this command writes to"):
        keep(look([path], said(WAY)), tmp_path / "kept")


@pytest.mark.parametrize("kind", ["naive", "zoned", "text", "seconds"])
def test_parquet_gives_what_text_gives(tmp_path: Path, kind: str) -> None:
    """Moments with and without a zone, as text and as seconds; missing values and a day on which clocks change."""
    start = int(datetime(2026, 10, 31, 5, tzinfo=UTC).timestamp())
    rows = rows_from(start, 700, 300)
    moments = pl.from_epoch(pl.Series("Time", [row[0] for row in rows]), "s")
    local = moments.dt.replace_time_zone("UTC").dt.convert_time_zone("America/Chicago")
    times = {
        "naive": local.dt.replace_time_zone(None),
        "zoned": local,
        "text": local.dt.strftime("%m/%d/%Y %H:%M"),
        "seconds": moments.dt.epoch("s"),
    }[kind]
    names = ("OA Temp (°F)", "Return Air Temp [F]", "Econ Damper Cmd (%)", "SF Status")
    frame = pl.DataFrame(
        [
            times.alias("Time"),
            *(pl.Series(name, [row[place] for row in rows]) for place, name in enumerate(names, start=1)),
        ]
    )
    path = tmp_path / "rtu-3.parquet"
    frame.write_parquet(path)
    answer = PointMap.model_validate({"zone": "America/Chicago", "dates": "month first"})
    understood = look([path], answer)
    assert understood.questions == ()
    (log,) = logs(understood)
    assert log.counts.kept == 700
    check(log, rows)
    with_gaps = frame.with_columns(
        pl.when(pl.int_range(pl.len()) % 7 == 0).then(None).otherwise(pl.col(names[0])).alias(names[0])
    )
    with_gaps.write_parquet(path)
    (gappy,) = logs(look([path], answer))
    assert gappy.counts.cells == {names[0]: {"blank": 100}}


@pytest.mark.parametrize("kind", [pl.Decimal(10, 1), pl.Float16, pl.Float32, pl.Int8, pl.UInt64, pl.Int128])
def test_parquet_takes_every_kind_of_number(tmp_path: Path, kind: pl.DataType) -> None:
    """Databases write decimals, and others numbers of two bytes: steps are made of each as of any number."""
    times = pl.from_epoch(pl.Series("Time", range(START, START + 300 * 60, 60)), "s")
    read = pl.Series("OA Temp (°F)", [40.0 + number % 40 for number in range(300)]).cast(kind)
    path = tmp_path / "rtu-3.parquet"
    pl.DataFrame([times, read]).write_parquet(path)
    (log,) = logs(look([path], PointMap(zone="UTC")))
    assert log.counts.kept == 300
    plain = pl.DataFrame([times, read.cast(pl.Float64)])
    plain.write_parquet(path)
    (same,) = logs(look([path], PointMap(zone="UTC")))
    assert log.series == same.series


@pytest.mark.parametrize("cell", [[1.0], {"a": 1}, b"\xff", timedelta(seconds=1), None])
@pytest.mark.parametrize("name", ["remarks", "Return Air Temp [F]"])
def test_parquet_with_a_column_that_no_text_log_has(tmp_path: Path, cell: object, name: str) -> None:
    """Lists, bytes and durations are no readings: they count as blank, and the other columns are read."""
    times = pl.from_epoch(pl.Series("Time", range(START, START + 300 * 60, 60)), "s")
    read = pl.Series("OA Temp (°F)", [40.0 + number % 40 for number in range(300)])
    path = tmp_path / "rtu-3.parquet"
    pl.DataFrame([times, read, pl.Series(name, [cell] * 300)]).write_parquet(path)
    (log,) = logs(look([path], PointMap(zone="UTC")))
    assert log.counts.kept == 300
    assert "outdoor_temperature" in log.series


@pytest.mark.parametrize("ending", ["csv", "parquet"])
@pytest.mark.parametrize(("year", "kept"), [("0001", 299), ("1899", 299), ("1990", 300), ("2200", 299), ("9999", 299)])  # fmt: skip
def test_a_date_that_stands_for_none_is_no_time(tmp_path: Path, ending: str, year: str, kept: int) -> None:
    """Databases write the first or the last day there is for none: it is not read as 2001, and no year is gone through for it."""
    rows = [f"2026-05-{1 + number // 24:02d} {number % 24:02d}:00:00" for number in range(300)]
    rows[150] = f"{year}-12-31 23:00:00"
    path = tmp_path / f"rtu-3.{ending}"
    table = pl.DataFrame({"Time": rows, "OA Temp (°F)": [40.0 + number % 40 for number in range(300)]})
    if ending == "csv":
        table.write_csv(path)
    else:
        table.with_columns(pl.col("Time").str.to_datetime()).write_parquet(path)
    (log,) = logs(look([path], PointMap(zone="America/New_York")))
    assert log.counts.kept == kept
    assert log.counts.dropped.get("impossible_time", 0) == 300 - kept


def test_a_log_travels_between_processes_and_forms(tmp_path: Path) -> None:
    """A unit's log is pickled whole, and goes to a frame and back."""
    path = tmp_path / "rtu-3.csv"
    path.write_bytes(written(rows_from(START, 60, 300), WAY))
    (log,) = logs(look([path], said(WAY)))
    assert pickle.loads(pickle.dumps(log)) == log  # noqa: S301 - our own
    (frame,) = frames(look([path], said(WAY)))
    assert frame_of(log).equals(frame.frame)
    assert line(rows_from(START, 1, 300)[0], WAY).startswith("01/19/25 06:00 PM")
