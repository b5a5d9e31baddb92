"""The command that shows what logs hold: in words, for programs, with a point map, and to Parquet."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from tests.house_rules.test_docs_run import in_code
from tests.logged import Way, written
from tests.shells.test_trend_reading import START, rows_from

from ventwright.cli import main
from ventwright.readings.trend import CELL_REASONS, REASONS
from ventwright.tables.point import points

ROOT = Path(__file__).parents[2]


@pytest.fixture
def log(tmp_path: Path) -> Path:
    """Write a log with a spoiled row and a spoiled cell; the values are our own invention."""
    lines = written(rows_from(START, 50, 300), Way()).decode().splitlines()
    lines[7] = lines[7].replace(lines[7].split(",")[2], "No Data")
    path = tmp_path / "rtu-3.csv"
    path.write_text("\n".join([*lines, "2025-01"]) + "\n", encoding="utf-8")
    return path


def ran(arguments: list[str], capsys: pytest.CaptureFixture[str]) -> tuple[int, str]:
    """Run the command; return its code and what it printed."""
    code = main(["trends", *arguments])
    out = capsys.readouterr().out
    return code, out


def test_what_a_log_holds_is_shown(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each column with what it is taken for and how sure that is; what was left out, and why."""
    code, out = ran([str(log), "--look", "--zone", "UTC"], capsys)
    assert code == 0
    assert re.search(r"OA Temp \(°F\) +outdoor-air temperature +°F +RTU-3 +9 in 10", out)
    assert "RTU-3: 2025-01-20T00:00:00Z to 2025-01-20T04:05:00Z" in out
    assert "52 lines read, 50 kept." in out
    assert f"1 left out: {REASONS['too_few_cells']}" in out
    assert f'Return Air Temp [F]: 1 without a value: {CELL_REASONS["text"]}, such as "No Data"' in out
    assert "what each column is taken for is a guess" in " ".join(out.split())


def test_a_question_is_asked_before_anything_is_read(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The code says that something cannot be told; the answer on the command line settles it."""
    path = tmp_path / "rtu-3.csv"
    path.write_text(
        "Time,OAT °F\n" + "".join(f"03/04/2026 {hour:02d}:00,40.5\n" for hour in range(24)), encoding="utf-8"
    )
    code, out = ran([str(path)], capsys)
    assert code == 3
    assert 'accepted: --dates "month first" or --dates "day first".' in " ".join(out.split())
    code, out = ran([str(path), "--look", "--dates", "day first", "--json"], capsys)
    assert code == 0
    assert json.loads(out)["units"][0]["first"] == "2026-04-03T00:00:00Z"


def test_a_point_map_is_written_once_and_read_again(
    log: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """What a person corrects in it stands above every guess."""
    kept = tmp_path / "points.yaml"
    assert ran([str(log), "--zone", "America/Chicago", "--write-points", str(kept)], capsys)[0] == 0
    text = kept.read_text(encoding="utf-8")
    assert "zone: America/Chicago" in text
    assert main(["check", str(kept)]) == 0
    assert "a point map in order: 4 columns" in capsys.readouterr().out
    kept.write_text(text.replace("point: return_temperature", "point: mixed_temperature"), encoding="utf-8")
    code, out = ran([str(log), "--points", str(kept), "--look", "--json"], capsys)
    document = json.loads(out)
    assert code == 0
    assert document["zone"] == "America/Chicago"
    assert all(column["confirmed"] for column in document["files"][0]["columns"])
    assert "mixed_temperature" in {one["point"] for one in document["units"][0]["points"]}
    assert main(["trends", str(log), "--write-points", str(kept)]) == 2
    assert "is there already; accepted: a new name, or that file with --points." in capsys.readouterr().err


def test_a_point_map_outlives_its_headings(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Whatever signs stand in a heading, the map that is written says what was read."""
    heading = "RTU-3: OAT °F # 1 \\ {x}"
    path = tmp_path / "log.csv"
    path.write_text(
        f"Time;{heading}\n" + "".join(f"2026-05-{day:02d} 10:00;60,5\n" for day in range(1, 28)),
        encoding="utf-8",
    )
    kept = tmp_path / "points.yaml"
    main(["trends", str(path), "--write-points", str(kept), "--json"])
    before = json.loads(capsys.readouterr().out)["files"][0]["columns"]
    main(["trends", str(path), "--look", "--points", str(kept), "--json"])
    after = json.loads(capsys.readouterr().out)["files"][0]["columns"]
    assert [(one["heading"], one["point"]) for one in before] == [
        (one["heading"], one["point"]) for one in after
    ]
    assert after[0]["confirmed"]


def test_values_are_kept_and_only_what_is_new_is_read(
    log: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The second time gives the same."""
    folder = tmp_path / "kept"
    _, first = ran([str(log), "--zone", "UTC", "--keep", str(folder), "--look", "--json"], capsys)
    _, second = ran([str(log), "--zone", "UTC", "--keep", str(folder), "--look", "--json"], capsys)
    assert json.loads(first)["units"] == json.loads(second)["units"]
    assert len(list(folder.rglob("*.parquet"))) == 1


def test_the_points_are_listed(capsys: pytest.CaptureFixture[str]) -> None:
    """With their names, SI units and classes."""
    _, out = ran(["--list-points", "--json"], capsys)
    assert [one["point"] for one in json.loads(out)] == list(points())
    code, out = ran(["--list-points"], capsys)
    assert code == 0
    assert "outdoor-air temperature" in out


def test_without_a_file_there_is_nothing_to_show(capsys: pytest.CaptureFixture[str]) -> None:
    """One sentence says so."""
    assert main(["trends"]) == 2
    assert (
        capsys.readouterr().err
        == "ventwright: FILES: are missing; accepted: one log or more, or a folder of them.\n"
    )


def keys(part: Any) -> Iterator[str]:
    """Yield the keys of a document that are the program's own, not a heading or a reason."""
    if isinstance(part, dict):
        for key, value in part.items():
            yield key
            if key not in {"cells_without_value", "first_text_that_is_no_number", "dropped"}:
                yield from keys(value)
    elif isinstance(part, list):
        for one in part:
            yield from keys(one)


def test_every_key_and_every_reason_is_documented(log: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """docs/json.md has the keys; docs/trend.md the reasons and every point."""
    _, out = ran([str(log), "--look", "--json"], capsys)
    _, listed = ran(["--list-points", "--json"], capsys)
    assert {*keys(json.loads(out)), *keys(json.loads(listed))} - in_code("json.md") == set()
    assert {*REASONS, *CELL_REASONS} - in_code("trend.md") == set()
