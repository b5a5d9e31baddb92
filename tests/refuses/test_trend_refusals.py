"""Logs that cannot be read and questions that only a person can answer, each in one sentence."""

from __future__ import annotations

from pathlib import Path

import pytest

from ventwright.cli import main
from ventwright.errors import Refused
from ventwright.readings.trend import PointMap, logs, look, read_point_map

SAY_IN_MAP = "a point map that says it (--write-points writes one to correct, --points reads it)"
READABLE = "a text file with one reading or one moment a line, .gz of one, or Parquet"
NO_LOG = (
    "holds no log; accepted: a folder with files ending in .csv, .txt, .tsv, .log, .dat, .csv.gz, .txt.gz, .tsv.gz, .parquet, "
    ".pq, in it or in the folders in it."
)


def log_file(folder: Path, text: str, name: str = "rtu-3.csv") -> Path:
    """Write a log."""
    path = folder / name
    path.write_text(text, encoding="utf-8")
    return path


def rows(heading: str, cells: list[str], day: str = "2026-01-{:02d}") -> str:
    """Return a log of one point, a row an hour."""
    body = [
        f"{day.format(1 + number // 24)} {number % 24:02d}:00,{cell}" for number, cell in enumerate(cells)
    ]
    return "\n".join([f"Time,{heading}", *body]) + "\n"


def sentences(path: Path) -> list[str]:
    """Return the questions about a log."""
    return [one.sentence for one in look([path]).questions]


@pytest.mark.parametrize(
    ("content", "sentence"),
    [
        (b"", f"rtu-3.csv: is empty; accepted: {READABLE}."),
        (b"\0\0\0\0", f"rtu-3.csv: is empty; accepted: {READABLE}."),
        (bytes(range(1, 32)) * 40, f"rtu-3.csv: is not a text file; accepted: {READABLE}."),
        (
            b"a,b\n1,2\n3,4\n",
            (
                "rtu-3.csv: has no column of times beside a column of values; accepted: rows of a date with its time and "
                "values, parted by comma, semicolon, tab or |."
            ),
        ),
        (
            b"PAR1 and nothing else",
            "rtu-3.csv: cannot be read; accepted: a Parquet file with a column of times and columns of numbers.",
        ),
    ],
    ids=["empty", "zeros", "no text", "no time", "damaged Parquet"],
)
def test_a_file_that_is_no_log(tmp_path: Path, content: bytes, sentence: str) -> None:
    """What it is, and what would be read."""
    path = tmp_path / "rtu-3.csv"
    path.write_bytes(content)
    with pytest.raises(Refused) as refused:
        look([path])
    assert str(refused.value) == sentence


def test_a_file_that_is_not_there(tmp_path: Path) -> None:
    """Its whole name and the reason are said."""
    with pytest.raises(Refused) as refused:
        look([tmp_path / "gone.csv"])
    assert str(refused.value) == (
        f"{tmp_path / 'gone.csv'}: cannot be read (no such file or directory); accepted: the path of a log that is there "
        f"({READABLE}), or of a folder of logs."
    )


def test_a_name_that_no_file_can_have(tmp_path: Path) -> None:
    """The reason is that the name is none."""
    with pytest.raises(Refused) as refused:
        look([tmp_path / "rtu\0.csv"])
    assert f"cannot be read (no name for a file); accepted: {READABLE}." in str(refused.value)


def test_an_empty_folder(tmp_path: Path) -> None:
    """The folder is named, and the endings that are looked for are listed."""
    with pytest.raises(Refused) as refused:
        look([tmp_path])
    assert str(refused.value) == f"{tmp_path}: {NO_LOG}"


def test_a_folder_without_a_log_beside_one_with_logs(tmp_path: Path) -> None:
    """It is said of the one; the other is read."""
    (tmp_path / "empty").mkdir()
    path = log_file(tmp_path, rows("OAT °F", ["40.5"] * 48))
    understood = look([path, tmp_path / "empty"])
    assert [one.name for one in understood.files] == ["rtu-3.csv"]
    assert [one.sentence for one in understood.refused] == [f"{tmp_path / 'empty'}: {NO_LOG}"]


def test_a_folder_is_read_without_the_file_that_cannot_be(tmp_path: Path) -> None:
    """One bad file does not stop the others, and is named."""
    log_file(tmp_path, rows("OAT °F", ["40"] * 30))
    log_file(tmp_path, "nothing\nto see\n", "notes.txt")
    understood = look([tmp_path])
    assert [file.name for file in understood.files] == ["rtu-3.csv"]
    assert [one.where for one in understood.refused] == ["notes.txt"]


def test_dates_that_may_be_either(tmp_path: Path) -> None:
    """One day, both figures at most 12: the person is asked, and an answer settles it."""
    path = log_file(tmp_path, rows("OAT °F", ["40"] * 24, day="03/04/2026"))
    assert sentences(path) == [
        '"rtu-3.csv" has dates of which either figure may be the month; accepted: --dates "month first" or --dates "day first".'
    ]
    with pytest.raises(Refused, match="either figure may be the month"):
        next(logs(look([path])))
    assert look([path], PointMap(dates="day first")).questions == ()


def test_dates_without_a_year(tmp_path: Path) -> None:
    """The year of the first row is asked for."""
    path = log_file(tmp_path, rows("OAT °F", ["40"] * 24, day="03/04"))
    assert sentences(path) == [
        '"rtu-3.csv" has dates without a year; accepted: --year with the year of its first row.'
    ]


def test_a_temperature_that_may_be_either(tmp_path: Path) -> None:
    """A steady 38 outdoors is a mild winter day or a hot summer one."""
    path = log_file(tmp_path, rows("Outdoor Air Temperature", [str(30 + number % 8) for number in range(24)]))
    (sentence,) = sentences(path)
    assert sentence == (
        '"Outdoor Air Temperature" does not tell its unit (numbers from 30 to 37); accepted: '
        f"°F, °C, in {SAY_IN_MAP}."
    )


def test_a_signal_that_may_be_volts_or_per_cent(tmp_path: Path) -> None:
    """Up to 9.5 it may be volts, or a damper that never opened."""
    path = log_file(tmp_path, rows("OA Damper Command", [str(number % 10) for number in range(24)]))
    assert sentences(path) == [
        (
            '"OA Damper Command" does not tell its unit (numbers up to 9); accepted: '
            f"0-10 V, %, 2-10 V, in {SAY_IN_MAP}."
        )
    ]


def test_a_unit_that_cannot_be(tmp_path: Path) -> None:
    """The file says °C, and the return air would be as hot as an oven."""
    path = log_file(tmp_path, rows("Return Air Temp (°C)", ["72.5"] * 24))
    assert sentences(path) == [
        (
            '"Return Air Temp (°C)" does not tell its unit (the file says °C, and the numbers run from 72.5 to 72.5); accepted: '
            f"°C, °F, in {SAY_IN_MAP}."
        )
    ]


def test_a_name_that_may_be_several_things(tmp_path: Path) -> None:
    """A fan without another word."""
    path = log_file(tmp_path, rows("Fan", ["0", "1"] * 12))
    assert sentences(path) == [f'"Fan" may be the supply fan proven, or none; accepted: {SAY_IN_MAP}.']


def test_two_columns_of_one_point(tmp_path: Path) -> None:
    """Neither is chosen over the other in silence."""
    path = log_file(tmp_path, rows("OAT °F,Outside Air Temp °F", ["40,41"] * 24))
    assert sentences(path) == [
        (
            '"Outside Air Temp °F" and "OAT °F" are both taken for the outdoor-air temperature of RTU-3; accepted: '
            f'{SAY_IN_MAP}, with "not used" for one.'
        )
    ]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        (
            "kind: point map\ncolumns:\n  - heading: OAT\n    point: outdoor_temprature\n",
            "(did you mean outdoor_temperature?)",
        ),
        (
            "kind: point map\ncolumns:\n  - heading: OAT\n    point: outdoor_temperature\n    measured_in: furlongs\n",
            '"furlongs" is no unit of temperature; accepted: °C, °F, K.',
        ),
        ("kind: point map\nzone: Mars/North\n", '"Mars/North" is no time zone'),
        ("kind: point map\ndates: year last\n", "accepted: month first, day first."),
        ("kind: point map\npoint: OAT\n", "is not known here"),
    ],
    ids=["point", "unit", "zone", "dates", "key"],
)
def test_a_point_map_with_a_mistake(
    tmp_path: Path, text: str, sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """The line is named, and what would be accepted; the command that looks files over says the same."""
    path = tmp_path / "points.yaml"
    path.write_text(text, encoding="utf-8")
    with pytest.raises(Refused) as refused:
        read_point_map(path)
    assert sentence in str(refused.value)
    assert "line " in str(refused.value)
    assert main(["check", str(path)]) == 2
    assert sentence in capsys.readouterr().err
