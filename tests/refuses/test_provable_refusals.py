"""What `ventwright provable` and a typed forecast are refused for, each in the one sentence that a person reads."""

from __future__ import annotations

from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from tests.invented import facts

from ventwright import cli
from ventwright.cli import REFUSED
from ventwright.entry import validated
from ventwright.errors import Refused
from ventwright.facts import Weather
from ventwright.physics.inference.attainable import ProbeErrors, attainable

DEMO = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"
MORNING = {"at": "2026-11-25T07:00-08:00", "outdoor_air": "36 F"}
NO_WEATHER = ("  weather:\n    outdoor_air: 58 F\n    return_air: 74 F\n", "")


def refused(forecast: Any) -> list[str]:
    """Every sentence that a forecast is refused with."""
    with pytest.raises(Refused) as caught:
        validated(Weather, {"outdoor_air": "58 F", "forecast": forecast})
    return [refusal.sentence for refusal in caught.value.refusals]


def test_a_forecast_as_it_should_be() -> None:
    """Times in order, whatever their offsets, with their temperatures."""
    later = {"at": "2026-11-25T16:00Z", "outdoor_air": "41 F"}
    weather = validated(Weather, {"outdoor_air": "58 F", "forecast": [MORNING, later]})
    assert [hour.outdoor_air.typed for hour in weather.forecast] == ["36 F", "41 F"]
    assert facts(weather={"outdoor_air": "58 F"}).weather is not None


@pytest.mark.parametrize(
    ("hour", "sentence"),
    [
        (
            {"at": "2026-11-25T07:00", "outdoor_air": "36 F"},
            'forecast[1].at: "2026-11-25T07:00" has no offset from UTC; accepted: a time with its offset from UTC, such as "2026-11-25T09:40-08:00".',
        ),
        (
            {"at": "7 am", "outdoor_air": "36 F"},
            'forecast[1].at: "7 am" is not a time with its offset; accepted: a time with its offset from UTC, such as "2026-11-25T09:40-08:00".',
        ),
        (
            MORNING | {"outdoor_air": "36"},
            'forecast[1].outdoor_air: "36" has no unit, and a temperature needs one; accepted: "72 F" or "22 °C".',
        ),
        ({"at": MORNING["at"]}, 'forecast[1].outdoor_air: is missing; accepted: "72 F" or "22 °C".'),
    ],
)  # fmt: skip
def test_an_hour_that_is_none(hour: dict[str, str], sentence: str) -> None:
    """A time needs its offset, a temperature its unit."""
    assert refused([hour]) == [sentence]


def test_a_forecast_out_of_order() -> None:
    """Told once, with the time that stands too late."""
    earlier = {"at": "2026-11-25T06:00-08:00", "outdoor_air": "35 F"}
    assert refused([MORNING, earlier]) == [
        'forecast: "2026-11-25T06:00-08:00" is no later than the time above it; accepted: every time once, in order.'
    ]
    assert len(refused([MORNING, MORNING])) == 1


@pytest.mark.parametrize(
    ("arguments", "change", "sentence"),
    [
        (["--weather", "nowhere.epw"], None, '"nowhere.epw" cannot be read; accepted: the path of an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F].'),
        (["--picture", "when.svg"], None, '--picture: "when.svg" needs a year of weather to draw; accepted: --weather FILE beside it.'),
        (["--picture", "when.png"], None, '--picture: "when.png" is no name for a drawing; accepted: a name that ends in .svg.'),
        (
            [], NO_WEATHER,
            "facts.weather: is missing; accepted: outdoor_air and return_air of today, or a year of weather with --weather FILE.",
        ),
        (
            [], ("    elevation: 60 ft\n", "    elevation: 60 ft\n    weather_file: gone.epw\n"),
            'facts.site.weather_file: "gone.epw" cannot be read; accepted: the path of an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F].',
        ),
    ],
)  # fmt: skip
def test_what_the_command_refuses(
    arguments: list[str],
    change: tuple[str, str] | None,
    sentence: str,
    tmp_path: Path,
    capsys: pytest.CaptureFixture[str],
) -> None:
    """One sentence on the error channel, nothing on the other, exit code 2."""
    path = tmp_path / "job.yaml"
    text = DEMO.read_text(encoding="utf-8")
    if change is not None:
        assert change[0] in text
    path.write_text(text.replace(*change) if change else text, encoding="utf-8")
    assert cli.main(["provable", str(path), *arguments]) == REFUSED
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err == f"ventwright: {sentence}\n"


def test_a_file_that_holds_no_weather(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A text file is told what it is not, in one sentence."""
    path = tmp_path / "notes.epw"
    path.write_text("cold in winter\n", encoding="utf-8")
    assert cli.main(["provable", str(DEMO), "--weather", str(path)]) == REFUSED
    printed = capsys.readouterr().err
    assert printed.startswith("ventwright: ")
    assert "notes.epw" in printed
    assert printed.count("accepted:") == 1


RIGHT: dict[str, Any] = {
    "outdoor_air_fraction": 0.3, "difference": 20.0, "probes": ProbeErrors(0.1), "layers": 0.0, "supply_u": 0.0,
    "tolerance": 0.1, "checked": False, "readings": 1,
}  # fmt: skip


@pytest.mark.parametrize(
    ("given", "sentence"),
    [
        ({"outdoor_air_fraction": 0.0}, '"0" is no share to be proved; accepted: more than 0 %.'),
        ({"tolerance": 0.0}, '"0" is no tolerance; accepted: more than 0 %.'),
        ({"readings": 0}, '"0" is no number of readings; accepted: 1 or more.'),
        ({"layers": -0.1}, '"-0.1" is no standard uncertainty; accepted: 0 to 1.'),
        ({"supply_u": -0.1}, '"-0.1" is no standard uncertainty; accepted: a finite number of at least 0.'),
    ],
)
def test_what_the_formula_refuses(given: dict[str, Any], sentence: str) -> None:
    """What could only be a mistake of the caller."""
    with pytest.raises(Refused) as caught:
        attainable(**(RIGHT | given))
    assert str(caught.value) == sentence


@pytest.mark.parametrize("wrong", [-0.1, float("nan"), float("inf")])
def test_probes_that_cannot_be(wrong: float) -> None:
    """An uncertainty is finite and not below nothing."""
    with pytest.raises(Refused, match="is no standard uncertainty"):
        ProbeErrors(wrong)
