"""Where the plan takes climate zone and height from: by hand, by county, from a weather file beside the job."""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

import pytest
from tests.invented import facts

from ventwright.errors import Refused
from ventwright.plan import Plan, make_plan
from ventwright.tables.weather_layout import DAYS

DATA: Final = Path(__file__).parents[1] / "data" / "weather"


@pytest.fixture(scope="module")
def beside(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with spring.epw, in which every day is San Francisco's first of January, and a damaged file."""
    lines = (DATA / "san_francisco_first_day.epw").read_text(encoding="utf-8").splitlines()
    head, day = lines[:8], [line.split(",") for line in lines[8:]]
    head[0] = head[0].replace(",2.0", ",1600.0")
    body = [
        ",".join([cells[0], str(month), str(date), *cells[3:33], "999", "99"])
        for month, days in enumerate(DAYS, start=1)
        for date in range(1, days + 1)
        for cells in day
    ]
    folder = tmp_path_factory.mktemp("job")
    (folder / "spring.epw").write_text("\n".join([*head, *body]), encoding="utf-8")
    (folder / "short.epw").write_text("\n".join([*head, *body[:-1]]), encoding="utf-8")
    return folder


def planned(beside: Path, **site: Any) -> Plan:
    """Plan an invented job at a place."""
    nowhere = {"climate_zone": None, "elevation": None}
    return make_plan(facts(site=nowhere | site), beside=beside)


def said(plan: Plan, what: str) -> list[str]:
    """Return what the plan says of one thing."""
    return [guess.sentence.show("si") for guess in plan.guesses if guess.what == what]


def test_zone_and_height_from_the_weather(beside: Path) -> None:
    """9 °C all year are 5, moist with 600 mm; both are said to be computed, and the plan reckons with the station's height."""
    plan = planned(beside, weather_file="spring.epw", precipitation="600 mm")
    assert plan.basis.climate_zone == "5A"
    assert plan.basis.climate_source == "computed from spring.epw by the criteria of ASHRAE 169-2013"
    assert plan.basis.elevation == 1600.0
    assert plan.basis.pressure < 84e3
    assert plan.high_limit.dry_bulb == pytest.approx((70 - 32) / 1.8)  # 90.1-2019, zone 5A
    assert said(plan, "site.climate_zone") == [
        "climate zone 5A is computed from spring.epw by the criteria of ASHRAE 169-2013; the code's own map, by county, goes before"
    ]
    assert said(plan, "site.elevation") == [
        "no elevation is given: that of the weather station, 1600 m, is taken"
    ]


def test_the_definition_is_that_of_the_code(beside: Path) -> None:
    """IECC-2018 goes by the map of the older definition."""
    plan = planned(beside, weather_file="spring.epw", precipitation="600 mm", energy_code="IECC-2018")
    assert plan.basis.climate_source.endswith("ASHRAE 169-2006")


def test_a_letter_that_is_open_is_said(beside: Path) -> None:
    """Without rain the zone stays unknown, and what would settle it stands with the guesses."""
    plan = planned(beside, weather_file="spring.epw")
    assert plan.basis.climate_zone is None
    (sentence,) = said(plan, "site.climate_zone")
    assert sentence.startswith("the climate zone is 5A or 5B from spring.epw")
    assert "to tell them apart: annual precipitation" in sentence


def test_a_zone_by_hand_goes_before_and_the_difference_is_said(beside: Path) -> None:
    """3B by hand against 5A or 5B computed; 5A by hand agrees."""
    other = planned(beside, weather_file="spring.epw", climate_zone="3B", elevation="1600 m")
    assert other.basis.climate_zone == "3B"
    assert said(other, "site.climate_zone") == [
        "3B (given by hand) is not what the weather says, 5A or 5B from spring.epw by the criteria of ASHRAE 169-2013: find out which holds"
    ]
    same = planned(beside, weather_file="spring.epw", climate_zone="5A", elevation="1590 m")
    assert said(same, "site.climate_zone") == []
    assert said(same, "site.elevation") == []


def test_a_county_goes_before_and_the_difference_is_said(beside: Path) -> None:
    """Miami-Dade is 1A, whatever the file says; its name stands in the sentence."""
    plan = planned(beside, weather_file="spring.epw", county="Miami-Dade", state="FL")
    assert plan.basis.climate_zone == "1A"
    (sentence,) = said(plan, "site.climate_zone")
    assert sentence.startswith(
        "1A (Miami-Dade County, FL, 2003-2018 county map) is not what the weather says, 5A or 5B"
    )


def test_a_station_on_a_mountain_is_said(beside: Path) -> None:
    """A hundred metres and more between site and station are named; less is not."""
    plan = planned(beside, weather_file="spring.epw", climate_zone="5A", elevation="1000 m")
    assert plan.basis.elevation == 1000.0
    assert said(plan, "site.elevation") == [
        "the site is given as 1000 m high, and the weather station as 1600 m: its air is not that of the site"
    ]


def test_a_file_that_is_needed_must_be_right(beside: Path) -> None:
    """Missing or damaged it is refused, with its place in the job or its own line."""
    with pytest.raises(Refused) as refused:
        planned(beside, weather_file="none.epw")
    assert str(refused.value) == (
        'facts.site.weather_file: "none.epw" cannot be read; accepted: the path of an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F].'
    )
    with pytest.raises(Refused, match=r"^short\.epw: has 8759 hours"):
        planned(beside, weather_file="short.epw")
    with pytest.raises(Refused, match=r'^facts\.site\.precipitation: "wet" is not a precipitation'):
        planned(beside, weather_file="spring.epw", precipitation="wet")


def test_a_file_that_is_not_needed_may_be_missing(beside: Path) -> None:
    """With zone and height by hand the job can be read without it; that nothing was checked is said."""
    plan = planned(beside, weather_file="none.epw", climate_zone="5A", elevation="0 ft")
    (sentence,) = said(plan, "site.weather_file")
    assert sentence.startswith(
        "climate zone and elevation were not checked against the weather: facts.site.weather_file:"
    )


@pytest.mark.parametrize(
    ("zone", "code", "wanted"),
    [
        ("3C", "Title 24-2022", "CA 3 (CA 1 to CA 16)"),
        ("CA 3", "90.1-2019", "3C"),
        ("ca 16", "IECC-2021", "3C"),
    ],
)
def test_a_zone_of_another_code_says_nothing(beside: Path, zone: str, code: str, wanted: str) -> None:
    """California's zones and the others' are two things: the plan stands, and says what it cannot say."""
    plan = planned(beside, climate_zone=zone, energy_code=code)
    assert plan.basis.climate_zone is None
    assert plan.high_limit.allowed is None
    (sentence,) = said(plan, "site.climate_zone")
    assert sentence.endswith(
        f"is no climate zone of {code}: what it asks cannot be said; give one such as {wanted}"
    )
