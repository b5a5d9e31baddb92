"""`ventwright savings`: the demo's invented year, a published range with no weather, text, JSON, pictures, exit codes."""

from __future__ import annotations

import html
import json
import re
from importlib.resources import files
from pathlib import Path

import pytest
from pypdf import PdfReader
from tests.conftest import OUTSIDE_DATA
from tests.measured_year import year_file

from ventwright import cli
from ventwright.cli import DONE, REFUSED, savings

DEMO = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"

SHORT = "\n  running: {weekdays: 13-15, eer: 11, electricity_price: 0.24}\n"


@pytest.fixture
def quick(tmp_path: Path) -> Path:
    """The demo, open two hours a day."""
    path = tmp_path / "quick.yaml"
    path.write_text(DEMO.read_text(encoding="utf-8").replace("\nplan:", f"{SHORT}\nplan:"), encoding="utf-8")
    return path


def test_the_air_comes_before_the_money(quick: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """And an invented year says so."""
    assert cli.main(["savings", str(quick), "--draws", "4"]) == DONE
    out = " ".join(capsys.readouterr().out.split())
    places = [
        out.index(words)
        for words in (
            "The air people breathe", "people here need 1116 cfm", "A year: an invented year", "What a fault costs in a year",
            "Which high limit", "What the range comes from", "When to come back", "For the owner",
        )
    ]  # fmt: skip
    assert places == sorted(places)
    assert "no figure holds for any place" in out
    assert "As left, money saved: $" in out
    assert "bins of 5 °F give" in out


def test_the_document(quick: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path) -> None:
    """Keys that programs read, and the three pictures beside it."""
    pictures = {option: tmp_path / f"{option}.svg" for option in ("--picture", "--hours", "--calendar")}
    drawn = [text for option, path in pictures.items() for text in (option, str(path))]
    code = cli.main(["savings", str(quick), "--draws", "4", "--json", *drawn])
    document = json.loads(capsys.readouterr().out)
    assert code == DONE
    assert document["weather"]["invented"] is True
    first = document["strategies"][0]
    assert {"name", "cooling_kWh", "saved_kWh", "low", "high", "free_cooling_h"} <= first.keys()
    assert (first["name"], first["saved_kWh"]) == ("no economizer", 0.0)
    left = document["strategies"][1]
    assert left["low"] <= left["saved_kWh"] <= left["high"]
    assert left["cooling_kWh"] < first["cooling_kWh"]
    assert document["high_limit"]["controls"]
    assert document["come_back"]["checks"]
    assert document["owner"]["money"]
    assert all(path.read_text(encoding="utf-8").startswith("<svg") for path in pictures.values())
    assert "When to read outdoor air" in pictures["--calendar"].read_text(encoding="utf-8")


def test_a_real_job_without_weather_gets_what_is_published(
    quick: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """No year is made up for a job that is no example."""
    quick.write_text(
        quick.read_text(encoding="utf-8").replace("invented: true", "invented: false", 1), encoding="utf-8"
    )
    assert cli.main(["savings", str(quick)]) == DONE
    out = " ".join(capsys.readouterr().out.split())
    assert "published, not reckoned for this unit" in out
    assert "With a year of weather (--weather FILE) this unit itself is reckoned." in out
    assert cli.main(["savings", str(quick), "--json"]) == DONE
    document = json.loads(capsys.readouterr().out)
    assert "strategies" not in document
    assert document["published"]["low"] == 0.01


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        (["--draws", "9999"], 'ventwright: --draws: "9999" is no number of draws; accepted: 2 to 5000.'),
        (["--draws", "-1"], 'ventwright: --draws: "-1" is no number of draws; accepted: 2 to 5000.'),
        (
            ["--picture", "a.png"],
            '--picture: "a.png" is no name for a drawing; accepted: a name that ends in .svg.',
        ),
        (
            ["--calendar", "a.png"],
            '--calendar: "a.png" is no name for a drawing; accepted: a name that ends in .svg.',
        ),
    ],
)
def test_refusals(
    arguments: list[str], sentence: str, quick: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert cli.main(["savings", str(quick), *arguments]) == REFUSED
    assert sentence in capsys.readouterr().err


def test_no_picture_of_what_is_only_published(
    quick: Path, capsys: pytest.CaptureFixture[str], tmp_path: Path
) -> None:
    quick.write_text(
        quick.read_text(encoding="utf-8").replace("invented: true", "invented: false", 1), encoding="utf-8"
    )
    assert cli.main(["savings", str(quick), "--picture", str(tmp_path / "a.svg")]) == REFUSED
    assert "needs a year of weather to draw; accepted: --weather FILE beside it." in capsys.readouterr().err


@pytest.mark.outside_data
def test_a_weather_file_gives_place_and_height_where_the_job_says_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """A job with neither has its climate zone from the year, and so the controls that the code allows there."""
    text = (
        DEMO.read_text(encoding="utf-8")
        .replace("    climate_zone: 3C            # mild coast\n", "")
        .replace("    elevation: 60 ft\n", "")
    )
    job = tmp_path / "job.yaml"
    job.write_text(text.replace("\nplan:", f"{SHORT}\nplan:"), encoding="utf-8")
    weather = OUTSIDE_DATA / "weather" / "USA_CA_San.Francisco.Intl.AP.724940_TMY3.epw"
    assert cli.main(["savings", str(job), "--draws", "2", "--json", "--weather", str(weather)]) == DONE
    document = json.loads(capsys.readouterr().out)
    assert document["published"]["climate_zone"] == "3C"
    assert document["high_limit"]["controls"]


def sections(folder: Path) -> str:
    """The section of a written record on what it saves, as text."""
    page = (folder / "record.html").read_text(encoding="utf-8")
    section = page[page.index(">What it saves</h2>") : page.index(">Signatures</h2>")]
    return " ".join(html.unescape(re.sub(r"<[^>]*>", " ", section)).split())


def test_the_record_says_what_is_published(quick: Path, tmp_path: Path) -> None:
    """Where the job names no year of weather, even if it is an example; the air before the money."""
    cli.main(["record", str(quick), "--out", str(tmp_path / "out")])
    said = sections(tmp_path / "out")
    assert said.index("People here need 1116 cfm") < said.index("Published, not reckoned for this unit")
    assert "no weather file was given" in said
    data = json.loads((tmp_path / "out" / "record.json").read_text(encoding="utf-8"))
    assert data["owner"]["money"].startswith("published, not reckoned for this unit")


def test_the_record_says_what_was_reckoned(
    quick: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """One range, with the picture of what each control saves, where the job names a year; the PDF carries it too."""
    monkeypatch.setattr(savings, "DRAWS", 2)
    (tmp_path / "roof.csv").write_bytes(year_file())
    text = quick.read_text(encoding="utf-8")
    quick.write_text(text.replace("  site:\n", "  site:\n    weather_file: roof.csv\n", 1), encoding="utf-8")
    cli.main(["record", str(quick), "--out", str(tmp_path / "out")])
    said = sections(tmp_path / "out")
    assert said.index("People here need 1116 cfm") < said.index("Free cooling as it is left")
    assert said.count("in a year, 9 times in 10") == 1
    assert "Saved in a year against no free cooling" in (tmp_path / "out" / "record.html").read_text(
        encoding="utf-8"
    )
    pages = " ".join(page.extract_text() for page in PdfReader(tmp_path / "out" / "record.pdf").pages)
    assert "Free cooling as it is left" in " ".join(pages.split())
