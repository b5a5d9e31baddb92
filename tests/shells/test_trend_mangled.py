"""Mangled logs: none stops the program, both ways of reading agree, every line is counted, and no value is made up.

A value that is read has to be one that stands in the file at that time. `python -m tests.shells.test_trend_mangled 10000`
tries as many; the suite tries a few.
"""

from __future__ import annotations

import gzip
import random
import sys
import tempfile
from collections.abc import Callable
from pathlib import Path

import pytest
from tests.logged import FORMS, HEADINGS, Way, line, quoted, said, steps, without_questions
from tests.shells.test_trend_reading import START, rows_from

import ventwright.readings.trend.frames as by_columns
import ventwright.readings.trend.streaming as in_plain
from ventwright.errors import Refused
from ventwright.readings.trend import logs, look
from ventwright.readings.trend.frames import frames, log_of

SPOILED = (
    "",
    "No Data",
    "#VALUE!",
    "-9999",
    "nan",
    "inf",
    "1,234.5",
    " ",
    "?",
    "1e99",
    "0x10",
    "--",
    "12:30",
    "true",
)
WORDS = ("", " ", "--- end of report ---", ";;;;;;;;;;", '"', "x,y", "Total;;", "\t", "0", "2025")

Mangle = Callable[[random.Random, list[str]], None]


def a_line_again(dice: random.Random, lines: list[str]) -> None:
    """Write a line twice, the second one somewhere else."""
    lines.insert(dice.randrange(len(lines) + 1), dice.choice(lines))


def a_line_lost(dice: random.Random, lines: list[str]) -> None:
    """Leave a line out."""
    if len(lines) > 3:
        del lines[dice.randrange(len(lines))]


def a_line_cut(dice: random.Random, lines: list[str]) -> None:
    """Cut a line before its last cell ends; a number cut in its last cell looks like a whole one to anybody."""
    place = dice.randrange(len(lines))
    lines[place] = lines[place][: dice.randrange(max(1, len(lines[place]) - 12))]


def a_line_longer(dice: random.Random, lines: list[str]) -> None:
    """Add to the end of a line."""
    place = dice.randrange(len(lines))
    lines[place] += dice.choice([",1", ";1", "\t1", "|1", ',"', ";;;x"])


def a_line_of_words(dice: random.Random, lines: list[str]) -> None:
    """Put a line in that is no row."""
    lines.insert(dice.randrange(len(lines) + 1), dice.choice(WORDS))


def lines_swapped(dice: random.Random, lines: list[str]) -> None:
    """Change two lines' places."""
    one, other = dice.randrange(len(lines)), dice.randrange(len(lines))
    lines[one], lines[other] = lines[other], lines[one]


def the_end_first(dice: random.Random, lines: list[str]) -> None:
    """Turn the second half of the file round."""
    half = dice.randrange(len(lines))
    lines[half:] = lines[half:][::-1]


MANGLES: tuple[Mangle, ...] = (
    a_line_again, a_line_lost, a_line_cut, a_line_longer, a_line_of_words, lines_swapped, the_end_first,
)  # fmt: skip


def mangled(seed: int) -> tuple[bytes, Way, dict[int, set[tuple[str, int]]]]:
    """Return a mangled log, how it was written, and what stands in it at each time."""
    dice = random.Random(seed)  # noqa: S311 - a mangled file
    delimiter = dice.choice([",", ";", "\t", "|"])
    way = Way(
        form=dice.choice(sorted(FORMS)),
        zone=dice.choice(["UTC", "Etc/GMT+6"]),
        delimiter=delimiter,
        decimal="." if delimiter == "," else dice.choice([".", ","]),
        encoding=dice.choice(["utf-8", "utf-8-sig", "utf-16", "cp1252"]),
        newline=dice.choice(["\n", "\r\n", "\r"]),
        words=dice.choice([("0", "1"), ("off", "on")]),
    )
    rows = rows_from(
        START + dice.randrange(600) * 86_400, dice.randrange(20, 200), dice.choice([60, 300, 900, 3600]), seed
    )
    lines = [way.delimiter.join(("Time", *HEADINGS))]
    for row in rows:
        cells = line(row, way)
        if dice.random() < 0.03:
            kept = cells.split(way.delimiter)
            kept[-dice.randrange(1, 5)] = quoted(dice.choice(SPOILED), way)
            cells = way.delimiter.join(kept)
        lines.append(cells)
    for _ in range(dice.randrange(7)):
        dice.choice(MANGLES)(dice, lines)
    data = (way.newline.join(lines) + way.newline).encode(way.encoding)
    if dice.random() < 0.2:
        data = gzip.compress(data)
        data = data[: dice.randrange(len(data) // 2, len(data) + 1)]
    truth: dict[int, set[tuple[str, int]]] = {
        row[0]: {
            ("outdoor_temperature", steps(row[1])),
            ("return_temperature", steps(row[2])),
            ("outdoor_damper_signal", round(row[3] * 1000)),
            ("supply_fan_status", int(row[4])),
        }
        for row in rows
    }
    return data, way, truth


def try_one(seed: int, folder: Path) -> str:
    """Read one mangled log; return what came of it."""
    data, way, truth = mangled(seed)
    path = folder / "rtu-3.csv"
    path.write_bytes(data)
    try:
        understood = look([path], said(way))
    except Refused as refused:
        return (
            "refused"
            if all(one.accepted for one in refused.refusals)
            else "refused without saying what is accepted"
        )
    if any(file.layout.form.is_open for file in understood.files):
        return "asked"
    answered = without_questions(understood)
    plain = list(logs(answered))
    quick = [log_of(frame) for frame in frames(answered)]
    for one, other in zip(plain, quick, strict=True):
        assert one.counts.adds_up, seed
        assert one.series == other.series, seed
        assert one.counts == other.counts, seed
        for name, series in one.series.items():
            for time, value in zip(series.times, series.values, strict=True):
                allowed = {known for point, known in truth.get(time, set()) if point == name}
                extra = {1} if name == "supply_fan_status" else set()  # "true" is on
                assert value in allowed | extra, (seed, name, time, value)
    return "asked" if understood.questions else "read"


def test_mangled_logs_stop_nothing_and_make_nothing_up(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Sixty of them, in pieces small enough that lines are cut between them."""
    monkeypatch.setattr(in_plain, "TEXT_PIECE", 3000)
    monkeypatch.setattr(by_columns, "PIECE", 3000)
    came = [try_one(seed, tmp_path) for seed in range(60)]
    assert came.count("read") > 40
    assert set(came) <= {"read", "asked", "refused"}


def main() -> None:
    """Try as many as the command line says."""
    came: dict[str, int] = {}
    with tempfile.TemporaryDirectory() as folder:
        for seed in range(1000, 1000 + int(sys.argv[1])):
            outcome = try_one(seed, Path(folder))
            came[outcome] = came.get(outcome, 0) + 1
    sys.stdout.write(f"{came}\n")


if __name__ == "__main__":
    main()
