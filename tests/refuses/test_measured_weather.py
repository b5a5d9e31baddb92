"""Measured hours and mended headers: what is read, what is mended and said, what is refused in which sentence."""

from __future__ import annotations

from collections.abc import Callable
from datetime import datetime, timedelta
from pathlib import Path

import pytest

from ventwright.errors import Refused
from ventwright.physics.moist_air import elevation_at_pressure
from ventwright.tables.invented_year import invented_year
from ventwright.tables.weather import WeatherYear, weather_year
from ventwright.tables.weather_layout import DAYS

DATA = Path(__file__).parents[1] / "data" / "weather"

HEAD = ["# place: roof of an invented shop", "# elevation: 1000 ft", "# latitude: 40.0"]
COLUMNS = "time,outdoor air [°F],relative humidity [%],pressure [kPa]"


def lines(first: str = "2025-03-01 00:00", count: int = 8760) -> list[str]:
    start = datetime.fromisoformat(first)
    times = (start + timedelta(hours=number) for number in range(count))
    return [*HEAD, COLUMNS, *(f"{at:%Y-%m-%d %H:%M},{32 + at.hour},{50 + at.hour % 5},97.7" for at in times)]


def read(text: list[str]) -> WeatherYear:
    return weather_year("\n".join(text), "w")


def test_measured_hours_become_a_year_of_the_calendar() -> None:
    """A year from March to February stands from January to December; units are those of the headings."""
    year = read(lines())
    assert (year.layout, year.name) == ("measured hours", "roof of an invented shop")
    assert year.elevation == pytest.approx(304.8)
    assert year.stamps[0] == (1, 1, 1)
    assert year.stamps[-1] == (12, 31, 24)
    assert year.dry_bulb[:3] == pytest.approx((0.0, 1 / 1.8, 2 / 1.8))
    assert year.relative_humidity[1] == pytest.approx(0.51)
    assert year.pressure[0] == pytest.approx(97_700.0)
    assert year.dew_point[0] is None
    assert year.repairs == ()


def test_a_leap_year_of_measured_hours() -> None:
    assert len(read(lines("2024-01-01 00:00", 8784)).dry_bulb) == 8784


def test_a_short_gap_is_filled_and_said() -> None:
    """Two hours away: a straight line between their neighbours."""
    text = lines("2025-01-01 00:00")
    year = read([*text[:104], *text[106:]])
    assert year.repairs == ("2 hours were missing, no more than 3 in a row: a straight line stands for them",)
    assert year.dry_bulb[100:102] == pytest.approx((4 / 1.8, 5 / 1.8))


def test_a_missing_cell_is_filled_and_said() -> None:
    text = lines("2025-01-01 00:00")
    text[104] = text[104].rpartition(",")[0] + ","
    assert read(text).repairs == (
        "1 hour was missing, no more than 3 in a row: a straight line stands for them",
    )


CASES: dict[str, tuple[Callable[[], list[str]], str]] = {
    "a long gap": (
        lambda: [*lines()[:104], *lines()[110:]],
        "w: has 8754 hours, which is no whole year; accepted: 8760 hours, or 8784 with 29 February.",
    ),
    "no elevation": (
        lambda: [HEAD[0], *lines()[2:]],
        "w: does not say how high its place lies; accepted: lines such as # elevation: 60 ft and # latitude: 37.6 above its columns.",
    ),
    "no latitude": (
        lambda: [*HEAD[:2], *lines()[3:]],
        "w: does not say its latitude in degrees; accepted: lines such as # elevation: 60 ft and # latitude: 37.6 above its columns.",
    ),
    "no unit": (
        lambda: [*HEAD, COLUMNS.replace("[°F]", ""), *lines()[4:]],
        'line 4, w: "outdoor air" names no unit of a temperature; accepted: outdoor air with its unit in brackets, such as [°F].',
    ),
    "no temperature": (
        lambda: [*HEAD, "time,wind [m/s]", *lines()[4:]],
        "line 4, w: has no column of outdoor temperatures; accepted: a heading such as outdoor air [°F].",
    ),
    "half hours": (
        lambda: [*lines()[:4], "2025-03-01 00:30,32,50,97.7", *lines()[5:]],
        'line 5, w: "2025-03-01 00:30" cannot be read as the beginning of an hour; accepted: 2025-03-01 00:00, one value for each column.',
    ),
    "an hour of two years": (
        lambda: [*lines(), "2026-03-01 00:00,32,50,97.7"],
        'line 8765, w: "2026-03-01 00:00" stands twice, in this year or in another; accepted: every hour of one year once.',
    ),
    "a temperature that cannot be": (
        lambda: [line.replace(",40,", ",400,") for line in lines()],
        'w: "400" is no dry bulb that is possible (365 hours); accepted: -130 to 140 °F.',
    ),
}


@pytest.mark.parametrize("case", CASES)
def test_each_mistake_is_one_sentence(case: str) -> None:
    made, sentence = CASES[case]
    with pytest.raises(Refused) as refused:
        read(made())
    found = refused.value.refusals[0].sentence
    assert found == sentence or found.partition(", w")[2] == sentence.removeprefix("w")


def epw() -> list[str]:
    """Return a year in which every day is San Francisco's first of January."""
    kept = (DATA / "san_francisco_first_day.epw").read_text(encoding="utf-8").splitlines()
    head, day = kept[:8], [line.split(",") for line in kept[8:]]
    dates = [(month, date) for month, days in enumerate(DAYS, start=1) for date in range(1, days + 1)]
    return [*head, *(",".join([c[0], str(m), str(d), *c[3:]]) for m, d in dates for c in day)]


def test_a_header_without_periods_is_mended_and_said() -> None:
    whole = epw()
    year = read([*whole[:7], *whole[8:]])
    assert year.repairs == (
        "its DATA PERIODS line is missing: one record an hour is taken, as it holds 8760 of them",
    )
    assert year.dry_bulb == read(whole).dry_bulb


def test_periods_that_cannot_be_read_are_mended_and_said() -> None:
    whole = epw()
    whole[7] = whole[7].replace("DATA PERIODS,1,1", "DATA PERIODS,1,one")
    assert read(whole).repairs == (
        'its DATA PERIODS line says "one" records an hour: one is taken, as it holds 8760 of them',
    )


def test_an_elevation_that_is_missing_comes_from_the_pressure() -> None:
    """San Francisco's first day stands at 102.2 kPa or so: at the sea, if a high one."""
    whole = epw()
    cells = whole[0].split(",")
    whole[0] = ",".join([*cells[:9], ""])
    year = read(whole)
    assert abs(year.elevation) < 120.0
    assert year.repairs[0].startswith("its first line names no elevation: ")


def test_the_standard_atmosphere_backward() -> None:
    """ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, table 1: 1500 m, 84.556 kPa."""
    assert elevation_at_pressure(84_556.0) == pytest.approx(1500.0, abs=1.0)


def test_an_invented_year_says_so_and_is_whole() -> None:
    """The same each time, of the kind the zone has, possible in every hour."""
    humid, coast, unknown = (invented_year(zone) for zone in ("1A", "3C", None))
    assert all(one.invented for one in (humid, coast, unknown))
    assert len(coast.dry_bulb) == 8760
    assert invented_year("3C") == coast
    assert sum(humid.dry_bulb) > sum(coast.dry_bulb)
    pairs = zip(coast.dry_bulb, coast.dew_point, strict=True)
    assert all(dew is not None and dew <= dry for dry, dew in pairs)
