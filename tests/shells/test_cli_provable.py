"""`ventwright provable`: the demo job with typed air, with a year of weather; text, JSON, picture and exit codes."""

from __future__ import annotations

import csv
import json
import re
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import pytest

from ventwright import cli
from ventwright.cli import CANNOT_TELL, DONE
from ventwright.tables.weather_layout import DAYS

DEMO: Final = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"
DATA: Final = Path(__file__).parents[1] / "data" / "weather"
WHOLE: Final = Path(__file__).parents[3] / "shared" / "data" / "weather"

LOOSE = ("accuracy: ± 0.5 F, repeatability: ± 0.1 F", "accuracy: ± 1.5 F")
"""The demo's probe, and one that takes a wide difference."""


@pytest.fixture
def loose(tmp_path: Path) -> Path:
    """The demo with a probe of ± 1.5 °F."""
    path = tmp_path / "loose.yaml"
    path.write_text(DEMO.read_text(encoding="utf-8").replace(*LOOSE), encoding="utf-8")
    return path


@pytest.fixture(scope="module")
def spring(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A year in which every day is San Francisco's first of January."""
    lines = (DATA / "san_francisco_first_day.epw").read_text(encoding="utf-8").splitlines()
    head, day = lines[:8], [line.split(",") for line in lines[8:]]
    body = [
        ",".join([cells[0], str(month), str(date), *cells[3:]])
        for month, days in enumerate(DAYS, start=1)
        for date in range(1, days + 1)
        for cells in day
    ]
    path = tmp_path_factory.mktemp("weather") / "spring.epw"
    path.write_text("\n".join([*head, *body]), encoding="utf-8")
    return path


def called(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    """Exit code and everything printed by one call, on one line."""
    code = cli.main(["provable", *arguments])
    return code, " ".join(capsys.readouterr().out.split())


def document(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, dict[str, Any]]:
    """Exit code and the JSON of one call."""
    code = cli.main(["provable", *arguments, "--json"])
    return code, json.loads(capsys.readouterr().out)


def test_the_demo_today(capsys: pytest.CaptureFixture[str]) -> None:
    """16 °F apart with one good probe and a flow plate: everything can be settled, two things only by simulation."""
    code, text = called(capsys, str(DEMO))
    assert code == DONE
    assert "(invented example)" in text
    assert "Ladder tied" in text
    assert "outdoor and return air 16.0 °F apart today" in text
    assert "When to come is not known: give a forecast or a year of weather." in text
    _, found = document(capsys, str(DEMO))
    assert found["invented"] is True
    assert found["difference_today_K"] == pytest.approx(16 / 1.8)
    assert {check["can_be_settled"] for check in found["checks"]} == {"today"}
    assert [check["id"] for check in found["checks"]][:5] == [
        "outdoor_air_fraction.high", "outdoor_air.high", "outdoor_air_fraction.low", "outdoor_air.low", "sensors",
    ]  # fmt: skip
    assert found["calendar"] is None


def test_a_probe_that_does_not_do_today(loose: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Code 3, what would do in the reader's units, and what each way of reading takes."""
    code, text = called(capsys, str(loose))
    assert code == CANNOT_TELL
    assert "apart or more, and not 16.0 °F as today; or a probe of ± " in text
    assert "Ways to read the three temperatures" in text
    _, si = called(capsys, str(loose), "--units", "si")
    assert "and not 8.9 K as today" in si
    assert "°F" not in si


def test_a_year_of_weather(
    spring: Path, loose: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Every month as the one day that is repeated: an hour is in where return air less its dry bulb is enough."""
    picture = tmp_path / "when.svg"
    code, found = document(capsys, str(loose), "--weather", str(spring), "--picture", str(picture))
    assert code == CANNOT_TELL
    calendar = found["calendar"]
    day = [line.split(",") for line in (DATA / "san_francisco_first_day.epw").read_text(encoding="utf-8").splitlines()[8:]]  # fmt: skip
    returned, needed = (74.0 - 32.0) / 1.8, calendar["difference_needed_K"]
    expected = [float(returned - float(cells[6]) >= needed) for cells in day]
    assert calendar["return_air_C"] == pytest.approx(returned)
    assert all(month["hours"] == expected for month in calendar["months"])
    assert picture.read_text(encoding="utf-8").startswith("<svg ")
    code, text = called(capsys, str(loose), "--weather", str(spring), "--picture", str(picture))
    assert f"{picture} written." in text
    assert "best of these" in text
    assert "December" in text


def test_the_weather_file_of_the_job(
    spring: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """Without --weather the file that the facts name beside the job is taken."""
    (tmp_path / "here.epw").write_bytes(spring.read_bytes())
    path = tmp_path / "job.yaml"
    text = DEMO.read_text(encoding="utf-8")
    path.write_text(text.replace("    elevation: 60 ft\n", "    elevation: 60 ft\n    weather_file: here.epw\n"), encoding="utf-8")  # fmt: skip
    assert document(capsys, str(path))[1]["calendar"]["place"] == "San Francisco Intl Ap, CA, USA"


def counted(city: str, needed: float, returned: float) -> list[float]:
    """Share of each month's hours that are far enough from return air, from the hours counted beside this repository."""
    there, every = [0.0] * 12, [0.0] * 12
    with (DATA / f"{city}_hours.csv").open(encoding="utf-8") as file:
        for month, dry_bulb, hours in list(csv.reader(file))[1:]:
            every[int(month) - 1] += int(hours)
            if abs(returned - float(dry_bulb)) >= needed:
                there[int(month) - 1] += int(hours)
    return [one / whole for one, whole in zip(there, every, strict=True)]


@pytest.mark.outside_data
@pytest.mark.parametrize(
    ("file", "city"),
    [
        ("USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw", "chicago"),
        ("USA_FL_Miami.Intl.AP.722020_TMY3.epw", "miami"),
    ],
)
def test_the_months_of_two_cities(
    file: str, city: str, loose: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A wide difference is common in Chicago's winter and rare all year in Miami; shares as counted from the whole files."""
    calendar = document(capsys, str(loose), "--weather", str(WHOLE / file))[1]["calendar"]
    needed = calendar["difference_needed_K"]
    assert 20 / 1.8 < needed < 40 / 1.8  # a wide one, or the two cities would not differ
    shares = [month["all_hours"] for month in calendar["months"]]
    # counted by hours in both; a month's mean over hours of the day is the same number
    assert shares == pytest.approx(counted(city, needed, calendar["return_air_C"]), abs=1e-9)
    often = {month["name"] for month in calendar["months"] if month["working_hours"] >= 0.5}
    if city == "chicago":
        assert {"December", "January", "February"} <= often
        assert not {"June", "July", "August"} & often
    else:
        assert often == set()


def test_a_person_reads_words_and_no_ids(capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Checks and instruments are said in words, an instrument without a name by what it is; --json keeps the ids."""
    path = tmp_path / "job.yaml"
    text = re.sub(r"\b(id|instrument): probe\b", r"\1: long-probe-aaaa", DEMO.read_text(encoding="utf-8"))
    unnamed = text.replace("name: Hand-held thermistor probe, ", "")
    for written, called in ((text, "Hand-held thermistor probe"), (unnamed, "temperature probe of ± 0.5 °F")):
        path.write_text(written, encoding="utf-8")
        for command in ("provable", "plan"):
            cli.main([command, str(path)])
            shown = " ".join(capsys.readouterr().out.split())
            assert called in shown
            for id_ in (
                "long-probe-aaaa",
                "outdoor_air",
                "mixed_air_limit",
                "test.",
                "nine-way-to-loose-wires",
            ):
                assert id_ not in shown.replace("(`ventwright harness JOB`)", ""), (command, id_)
    cli.main(["provable", str(path), "--json"])
    assert "outdoor_air_fraction.high" in capsys.readouterr().out
