"""`ventwright savings`: the demo's invented year, a published range with no weather, text, JSON, pictures, exit codes."""

from __future__ import annotations

import json
from importlib.resources import files
from pathlib import Path

import pytest

from ventwright import cli
from ventwright.cli import DONE, REFUSED

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
    """Keys that programs read, and both pictures beside it."""
    bars, hours = tmp_path / "bars.svg", tmp_path / "hours.svg"
    code = cli.main(
        ["savings", str(quick), "--draws", "4", "--json", "--picture", str(bars), "--hours", str(hours)]
    )
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
    assert bars.read_text(encoding="utf-8").startswith("<svg")
    assert hours.read_text(encoding="utf-8").startswith("<svg")


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
        (["--picture", "a.png"], "accepted:"),
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
