"""The command ``zone``: from a weather file, from a county, or from both; what people read and what programs read."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any, Final

import pytest

from ventwright import cli
from ventwright.cli import CANNOT_TELL, DONE, REFUSED
from ventwright.tables.weather_layout import DAYS

DATA: Final = Path(__file__).parents[1] / "data" / "weather"
WHOLE: Final = Path(__file__).parents[3] / "shared" / "data" / "weather"


@pytest.fixture(scope="module")
def spring(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A year in which every day is San Francisco's first of January: 9 °C, with rain unknown."""
    lines = (DATA / "san_francisco_first_day.epw").read_text(encoding="utf-8").splitlines()
    head, day = lines[:8], [line.split(",") for line in lines[8:]]
    body = [
        ",".join([cells[0], str(month), str(date), *cells[3:33], "999", "99"])
        for month, days in enumerate(DAYS, start=1)
        for date in range(1, days + 1)
        for cells in day
    ]
    path = tmp_path_factory.mktemp("weather") / "spring.epw"
    path.write_text("\n".join([*head, *body]), encoding="utf-8")
    return path


def _json(capsys: pytest.CaptureFixture[str], *arguments: str, code: int = DONE) -> dict[str, Any]:
    assert cli.main(["zone", *arguments, "--json"]) == code
    document: dict[str, Any] = json.loads(capsys.readouterr().out)
    return document


def test_a_file_and_its_rain(spring: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """9.1 °C all year: 24 hours of the day give the sums; with even rain of 600 mm it is moist."""
    day = [line.split(",") for line in (DATA / "san_francisco_first_day.epw").read_text(encoding="utf-8").splitlines()[8:]]  # fmt: skip
    temperatures = [float(cells[6]) for cells in day]
    found = _json(capsys, str(spring), "--precipitation", "50,50,50,50,50,50,50,50,50,50,50,50 mm")
    assert found["cdd10_K_day"] == pytest.approx(365 / 24 * sum(max(value - 10, 0) for value in temperatures))
    assert found["hdd18_K_day"] == pytest.approx(365 / 24 * sum(max(18 - value, 0) for value in temperatures))
    assert found["climate_zone"] == "5A"
    assert (found["thermal_zone"], found["moisture"], found["definition"]) == ("5", "A", "169-2013")
    assert found["precipitation_at_most_m"] == pytest.approx(0.6)
    assert found["settles"] is None
    assert found["weather"]["elevation_m"] == 2.0
    assert found["weather"]["hours_missing"] == {"precipitation": 8760}
    assert [one["temperatures"] for one in found["conventions"]] == ["hourly", "daily means"] * 2


def test_a_file_alone_may_leave_the_letter_open(spring: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Without rain the answer is the two zones that are left, what would settle it, and exit code 3."""
    found = _json(capsys, str(spring), code=CANNOT_TELL)
    assert found["climate_zone"] is None
    assert found["possible"] == ["5A", "5B"]
    assert found["precipitation_at_most_m"] is None
    assert found["settles"].startswith("annual precipitation (or the county and its state): below ")
    assert cli.main(["zone", str(spring)]) == CANNOT_TELL
    page = capsys.readouterr().out
    assert "Climate zone not known yet: 5A or 5B (ASHRAE 169-2013)" in page
    assert "What would settle it: annual precipitation" in page


def test_the_letter_of_a_county(spring: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Where rain leaves the letter open it is the county's, and its map is named."""
    found = _json(capsys, str(spring), "--county", "Cook", "--state", "IL")
    assert found["climate_zone"] == "5A"
    assert found["letter_from"] == "the letter of Cook County, IL, 2003-2018 county map"


def test_a_county_that_says_otherwise_is_named(spring: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A zone computed is not the map's: both are said, and that the map goes before."""
    found = _json(capsys, str(spring), "--county", "Miami-Dade", "--state", "Florida")
    assert found["climate_zone"] == "5A"
    assert (
        "Miami-Dade County, FL is 1A in the 2003-2018 county map: the code's own map goes before"
        in found["remarks"]
    )


def test_an_edition_and_the_units_of_people(spring: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """The older edition has one dry limit; degree days and depths in either system."""
    given = [str(spring), "--precipitation", "600 mm", "--edition", "2006"]
    assert cli.main(["zone", *given]) == DONE
    us = capsys.readouterr().out
    assert cli.main(["zone", *given, "--units", "si"]) == DONE
    si = capsys.readouterr().out
    assert "(ASHRAE 169-2006)" in us
    assert "°F·day" in us
    assert "°F·day" not in si
    assert "K·day" in si
    assert "23.6 in" in us
    assert "600 mm" in si


def test_a_county_alone(capsys: pytest.CaptureFixture[str]) -> None:
    """No file: the map's zone, with its edition and doubt."""
    found = _json(capsys, "--county", "cook", "--state", "illinois")
    assert (found["climate_zone"], found["place"]) == ("5A", "Cook County, IL")
    assert cli.main(["zone", "--county", "Cook", "--state", "IL"]) == DONE
    page = capsys.readouterr().out
    assert "Climate zone 5A" in page
    assert "2003-2018 county map" in page


@pytest.mark.parametrize(
    ("arguments", "sentence"),
    [
        ([], "zone: names no place; accepted: a weather file, or --county and --state."),
        (
            ["--county", "Cook"],
            "--state: is missing; accepted: --state Illinois, beside the other of the two.",
        ),
        (["--state", "IL"], "--county: is missing; accepted: --county Cook, beside the other of the two."),
        (
            ["--county", "Cook", "--state", "IL", "--precipitation", "1 mm"],
            '--precipitation: "1 mm" needs a weather file beside it; accepted: WEATHERFILE.',
        ),
        (
            ["--edition", "169-2013"],
            '--edition: "169-2013" needs a weather file beside it; accepted: WEATHERFILE.',
        ),
        (
            ["nowhere.epw"],
            '"nowhere.epw" cannot be read; accepted: the path of an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F].',
        ),
        (
            ["nowhere.epw", "--edition", "169-2012"],
            (
                '--edition: "169-2012" is no edition of ASHRAE 169 with criteria here (the nearest is 169-2013); '
                "accepted: 169-2006, 169-2013, 169-2020."
            ),
        ),
        (
            ["--county", "Coook", "--state", "IL"],
            '--county: "Coook" is no county of Illinois; accepted: one of its 102 names, the nearest: Cook County.',
        ),
    ],
)
def test_what_the_command_refuses(
    arguments: list[str], sentence: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """One sentence on the error channel, nothing on the other, exit code 2."""
    assert cli.main(["zone", *arguments]) == REFUSED
    printed = capsys.readouterr()
    assert printed.out == ""
    assert printed.err == f"ventwright: {sentence}\n"


@pytest.mark.outside_data
@pytest.mark.parametrize(
    ("file", "given", "zone"),
    [
        ("USA_CA_San.Francisco.Intl.AP.724940_TMY3.epw", [], "3C"),
        ("USA_FL_Miami.Intl.AP.722020_TMY3.epw", ["--precipitation", "61.9 in"], "1A"),
        ("USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw", ["--precipitation", "36.89 in"], "5A"),
        ("VT-Burlington_International_Ap.tmy3", ["--county", "Chittenden", "--state", "VT"], "6A"),
    ],
)
def test_the_four_stations(
    file: str, given: list[str], zone: str, capsys: pytest.CaptureFixture[str]
) -> None:
    """Zones of the county map; precipitation: National Weather Service normals of 1981 to 2010."""
    assert _json(capsys, str(WHOLE / file), *given)["climate_zone"] == zone
