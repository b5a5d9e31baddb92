"""Degree days and climate zones against what others published of the same stations, and every border of ASHRAE 169.

Sources:

- Statistics that the weather converter (version 7) of the open simulator EnergyPlus wrote beside the same TMY3 files:
  degree days from daily means ("wthr file"), monthly means, and the zone by ASHRAE 90.1-2004.
- ASHRAE Fundamentals 2009, climatic design conditions, as those statistics quote them: degree days of the long record,
  base 10 °C and 18.3 °C.
- Zones of the counties: IECC map of 2003 to 2018 (county table of diyepw; ZIP codes of eeweather 0.3.30 agree).
- Precipitation: National Weather Service normals: O'Hare 1981-2010 by month; Miami airport 1981-2010, 61.9 in a year;
  Burlington 1991-2020, 37.14 in from January to 26 December (daily climate report).
- Borders: ASHRAE 90.1-2007, Table B-4, and IECC-2021 as pages about them restate them; the bands of 30 and 70 % of
  ASHRAE 169-2013 are from memory.
"""

from __future__ import annotations

import csv
from collections.abc import Sequence
from pathlib import Path
from typing import Final

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ventwright.physics import climate_zone as rules
from ventwright.physics import degree_days
from ventwright.physics.climate_zone import Depth
from ventwright.tables.climate import zone_of_county
from ventwright.tables.climate_criteria import DEFINITIONS, criteria, definition_of_code
from ventwright.tables.climate_from_weather import NO_ROW, ComputedZone, zone_of_weather
from ventwright.tables.precipitation import Precipitation, of_months, of_year, typed
from ventwright.tables.weather import WeatherYear, read_weather

EXTRACT: Final = Path(__file__).parents[1] / "data" / "weather"
WHOLE: Final = Path(__file__).parents[3] / "shared" / "data" / "weather"

FILES: Final = {
    "san_francisco": "USA_CA_San.Francisco.Intl.AP.724940_TMY3.epw",
    "miami": "USA_FL_Miami.Intl.AP.722020_TMY3.epw",
    "chicago": "USA_IL_Chicago-OHare.Intl.AP.725300_TMY3.epw",
    "burlington": "VT-Burlington_International_Ap.tmy3",
}
ZONES: Final = {"san_francisco": "3C", "miami": "1A", "chicago": "5A", "burlington": "6A"}
COUNTIES: Final = {
    "san_francisco": ("San Francisco", "CA"),
    "miami": ("Miami-Dade", "FL"),
    "chicago": ("Cook", "IL"),
    "burlington": ("Chittenden", "VT"),
}
STATISTICS: Final = {
    "san_francisco": (1436, 1557),
    "miami": (5295, 67),
    "chicago": (1743, 3430),
    "burlington": (1285, 3958),
}
"""Cooling degree days above 10 °C and heating degree days below 18 °C, from daily means of the same files [K·day]."""

HANDBOOK: Final = {
    "san_francisco": (1681, 1504),
    "miami": (5447, 72),
    "chicago": (1689, 3506),
    "burlington": (1330, 4114),
}
"""The same of the long record, base 10 and 18.3 °C [K·day]."""

MONTHLY_MEANS: Final = {
    "san_francisco": (9.6, 11.3, 12.7, 13.7, 15.0, 15.3, 15.9, 16.6, 16.7, 15.1, 12.8, 10.7),
    "miami": (19.4, 20.9, 21.6, 24.1, 26.4, 27.7, 28.1, 28.0, 27.5, 26.3, 23.6, 20.3),
    "chicago": (-4.6, -2.5, 3.8, 10.0, 15.3, 21.1, 24.1, 21.8, 18.1, 11.0, 4.7, -3.7),
    "burlington": (-7.2, -5.6, -0.5, 7.8, 13.8, 19.3, 21.1, 19.8, 15.1, 8.7, 2.8, -1.5),
}
INCH: Final = 0.0254
NORMALS: Final = {
    "miami": of_year(61.9 * INCH),
    "chicago": of_months(
        [depth * INCH for depth in (1.73, 1.79, 2.50, 3.38, 3.68, 3.45, 3.70, 4.90, 3.21, 3.15, 3.15, 2.25)]
    ),
    "burlington": of_year(37.14 * INCH),
}
UNKNOWN: Final = Depth(0.0)
IN_THE_FILE: Final = {
    # months of San Francisco's file of which every hour is known, and what the others show at least [mm]
    "san_francisco": [(47, None), (0, None), (3, 3), (24, None), (22, 22), (0, 0), (0, None), (0, None), (2, 2), (14, None), (21, 21), (72, 72)],
}  # fmt: skip


def _rows(name: str) -> list[list[float]]:
    with (EXTRACT / name).open(encoding="utf-8") as file:
        return [[float(cell) for cell in row] for row in list(csv.reader(file))[1:]]


def _extract(station: str) -> WeatherYear:
    """A year made of the counted hours: their order within a month is not that of the file."""
    hours = [
        (int(month), value)
        for month, value, count in _rows(f"{station}_hours.csv")
        for _ in range(int(count))
    ]
    days = {month: sum(one == month for one, _ in hours) // 24 for month in range(1, 13)}
    stamps = [
        (month, day + 1, hour)
        for month, count in days.items()
        for day in range(count)
        for hour in range(1, 25)
    ]
    nothing = (None,) * len(hours)
    return WeatherYear(
        name=station, region="", station="", layout="extract", latitude=40.0, longitude=-100.0, time_zone=-6.0,
        elevation=0.0, stamps=tuple(stamps), dry_bulb=tuple(value for _, value in hours), dew_point=nothing,
        relative_humidity=nothing, pressure=nothing, precipitation=nothing,
    )  # fmt: skip


def _rain(station: str) -> Precipitation:
    if station in NORMALS:
        return NORMALS[station]
    months = tuple(
        Depth(low / 1e3) if high is None else Depth(low / 1e3, high / 1e3)
        for low, high in IN_THE_FILE[station]
    )
    return Precipitation(rules.annual(months), months, "the file")


@pytest.mark.parametrize("definition", DEFINITIONS)
@pytest.mark.parametrize("station", ZONES)
def test_four_stations_from_the_extract(station: str, definition: str) -> None:
    """San Francisco 3C, Miami 1A, Chicago 5A, Burlington 6A, as the county map has them, in every edition."""
    found = zone_of_weather(_extract(station), definition, _rain(station))
    assert found.climate_zone == ZONES[station] == zone_of_county(*COUNTIES[station]).zone
    assert found.settles is None


@pytest.mark.outside_data
@pytest.mark.parametrize("definition", DEFINITIONS)
@pytest.mark.parametrize("station", ZONES)
def test_four_stations_from_the_whole_file(station: str, definition: str) -> None:
    """The same from the files, with published precipitation, or with the letter of the county."""
    weather = read_weather(WHOLE / FILES[station])
    county = zone_of_county(*COUNTIES[station])
    assert zone_of_weather(weather, definition, NORMALS.get(station)).climate_zone == ZONES[station]
    assert zone_of_weather(weather, definition, county=county).climate_zone == ZONES[station]


@pytest.mark.outside_data
def test_what_a_file_shows_of_rain_can_be_enough() -> None:
    """San Francisco's file knows its driest month and its wettest whole; Miami's holds more than the dry limit of 2006."""
    san_francisco, miami = (read_weather(WHOLE / FILES[name]) for name in ("san_francisco", "miami"))
    assert zone_of_weather(san_francisco).climate_zone == "3C"
    assert zone_of_weather(miami, "169-2006").climate_zone == "1A"
    newer = zone_of_weather(miami, "169-2013")
    assert newer.climate_zone is None
    assert newer.possible == ("1A", "1B")
    assert newer.settles is not None
    assert "from 770 mm on moist (A)" in newer.settles.show("si")


@pytest.mark.outside_data
@pytest.mark.parametrize("station", ZONES)
def test_the_extract_is_that_of_the_file(station: str) -> None:
    """Counted hours and daily means give the file's own sums: the same degree days, one by one."""
    weather, extract = read_weather(WHOLE / FILES[station]), _extract(station)
    for sum_up, base in ((degree_days.cooling_degree_days, 10.0), (degree_days.heating_degree_days, 18.0)):
        assert sum_up(extract.dry_bulb, base) == pytest.approx(sum_up(weather.dry_bulb, base))
        days = [mean for _, mean in _rows(f"{station}_days.csv")]
        # means are written to a thousandth: 365 of them cannot move the sum by more than a fifth of a degree day
        assert sum_up(days, base, 1) == pytest.approx(
            sum_up(degree_days.daily_means(weather.dry_bulb), base, 1), abs=0.2
        )


@pytest.mark.parametrize("station", STATISTICS)
def test_degree_days_from_daily_means(station: str) -> None:
    """Rounded to whole degree days they are those of the statistics beside the file."""
    days = [mean for _, mean in _rows(f"{station}_days.csv")]
    cooling, heating = STATISTICS[station]
    assert degree_days.cooling_degree_days(days, 10.0, 1) == pytest.approx(cooling, abs=0.6)  # printed whole
    assert degree_days.heating_degree_days(days, 18.0, 1) == pytest.approx(heating, abs=0.6)


@pytest.mark.parametrize("station", MONTHLY_MEANS)
def test_monthly_means(station: str) -> None:
    """To the tenth that the statistics print."""
    weather = _extract(station)
    means = degree_days.monthly_means(weather.dry_bulb, weather.months)
    assert means == pytest.approx(MONTHLY_MEANS[station], abs=0.051)


@pytest.mark.parametrize("station", HANDBOOK)
def test_a_typical_year_is_near_the_long_record(station: str) -> None:
    """The year's sums lie within 20 % or 150 K·day of the handbook's, of thirty years, daily means and base 18.3 °C."""
    found = zone_of_weather(_extract(station), "169-2013", _rain(station))
    at_65_f = next(
        one for one in found.conventions if one.temperatures == "hourly" and one.heating_base > 18.1
    )
    cooling, heating = HANDBOOK[station]
    assert found.cdd10 == pytest.approx(cooling, rel=0.20, abs=150)
    assert at_65_f.heating_degree_days == pytest.approx(heating, rel=0.20, abs=150)


@pytest.mark.parametrize("station", HANDBOOK)
def test_the_long_record_has_the_published_thermal_zone(station: str) -> None:
    """The handbook's degree days put every station where the county map has it."""
    cooling, heating = HANDBOOK[station]
    zone = ZONES[station]
    rows = criteria("169-2013").thermal
    assert rules.thermal_zone(rows, zone[1], float(cooling), float(heating)) == zone[0]


@pytest.mark.outside_data
def test_burlington_stands_at_a_border() -> None:
    """The way that leads to another zone than the published one is named.

    The statistics beside the file call it 5A, by daily means below 18 °C; every other way of summing says 6, and so
    does the county map.
    """
    found = zone_of_weather(read_weather(WHOLE / FILES["burlington"]), "169-2013", NORMALS["burlington"])
    zones = {(one.temperatures, round(one.heating_base, 1)): one.possible for one in found.conventions}
    assert zones == {
        ("hourly", 18.0): ("6A",),
        ("daily means", 18.0): ("5A",),
        ("hourly", 18.3): ("6A",),
        ("daily means", 18.3): ("6A",),
    }
    (remark,) = found.remarks
    assert remark.show("si").startswith(
        "near a border: with daily means and heating degree days below 18.0 °C it would be 5A"
    )


LIMITS_2013: Final = [
    # degree days that are swept, the others, the limit, zone at and below it, zone above it
    ("cooling", 0.0, 6000, "1", "0"), ("cooling", 0.0, 5000, "2", "1"), ("cooling", 0.0, 3500, "3", "2"),
    ("heating", 1000.0, 2000, "3", "4"), ("heating", 1000.0, 3000, "4", "5"), ("heating", 1000.0, 4000, "5", "6"),
    ("heating", 1000.0, 5000, "6", "7"), ("heating", 1000.0, 7000, "7", "8"),
]  # fmt: skip
LIMITS_2006: Final = [
    ("A", "cooling", 0.0, 5000, "2", "1"), ("A", "cooling", 0.0, 3500, "3", "2"), ("A", "cooling", 0.0, 2500, "4", "3"),
    ("B", "heating", 1000.0, 3000, "4", "5"), ("C", "heating", 1000.0, 2000, "3", "4"), ("C", "heating", 1000.0, 3000, "4", "5"),
    ("A", "heating", 1000.0, 4000, "5", "6"), ("A", "heating", 1000.0, 5000, "6", "7"), ("A", "heating", 1000.0, 7000, "7", "8"),
]  # fmt: skip


def _swept(definition: str, letter: str, what: str, other: float, value: float) -> str | None:
    cooling, heating = (value, other) if what == "cooling" else (other, value)
    return rules.thermal_zone(criteria(definition).thermal, letter, cooling, heating)


@pytest.mark.parametrize(("what", "other", "limit", "below", "above"), LIMITS_2013)
@pytest.mark.parametrize("letter", ["A", "B", "C"])
def test_thermal_borders_since_2013(
    letter: str, what: str, other: float, limit: float, below: str, above: str
) -> None:
    """Just below and at a limit the warmer side of heating and the cooler side of cooling; just above it the other."""
    found = [_swept("169-2013", letter, what, other, limit + step) for step in (-0.1, 0.0, 0.1)]
    assert found == [below, below, above]


@pytest.mark.parametrize(("letter", "what", "other", "limit", "below", "above"), LIMITS_2006)
def test_thermal_borders_of_2006(
    letter: str, what: str, other: float, limit: float, below: str, above: str
) -> None:
    """The older limits, which tell marine places from the others between zones 3 and 4."""
    found = [_swept("169-2006", letter, what, other, limit + step) for step in (-0.1, 0.0, 0.1)]
    assert found == [below, below, above]


@given(st.floats(0, 12_000), st.floats(0, 15_000), st.sampled_from("ABC"))
def test_every_place_stands_in_one_row_since_2013(cooling: float, heating: float, letter: str) -> None:
    """No gap: the newer table has a row for every place, and cooling goes before heating."""
    rows = criteria("169-2013").thermal
    zone = rules.thermal_zone(rows, letter, cooling, heating)
    assert zone is not None
    assert (zone in {"0", "1", "2"}) == (cooling > 3500 * (1 + rules.ROUNDING))


MILD: Final = (8.0, 9.0, 11.0, 13.0, 15.0, 17.0, 18.0, 18.0, 17.0, 14.0, 11.0, 9.0)
WET_WINTER: Final = of_months([0.09, 0.08, 0.06, 0.04, 0.02, 0.01, 0.03, 0.03, 0.03, 0.05, 0.07, 0.08])


def _marine(
    temperatures: Sequence[float], rain: Precipitation = WET_WINTER, *, southern: bool = False
) -> rules.Marine:
    return rules.marine(temperatures, rain.months, criteria("169-2013").marine, southern=southern)


@pytest.mark.parametrize(
    ("coldest", "holds"),
    [(-3.1, False), (-3.0, True), (-2.9, True), (17.9, True), (18.0, True), (18.1, False)],
)
def test_marine_coldest_month(coldest: float, holds: bool) -> None:
    """From -3 to 18 °C, the ends counted in."""
    temperatures = [max(value, coldest) for value in MILD[1:]]
    assert _marine((coldest, *temperatures)).coldest is holds


@pytest.mark.parametrize(("warmest", "holds"), [(21.9, True), (22.0, False), (22.1, False)])
def test_marine_warmest_month(warmest: float, holds: bool) -> None:
    """Below 22 °C."""
    assert _marine((*MILD[:6], warmest, *MILD[7:])).warmest is holds


@pytest.mark.parametrize(
    ("fourth", "third", "holds"), [(10.1, 10.1, True), (10.0, 10.1, False), (10.1, 10.0, False)]
)
def test_marine_warm_months(fourth: float, third: float, holds: bool) -> None:
    """At least four months above 10 °C; one of 10.0 °C is not above it."""
    assert _marine((5.0,) * 4 + (12.0, 13.0, third, fourth) + (5.0,) * 4).warm_months is holds


@pytest.mark.parametrize(("wettest", "holds"), [(0.0299, False), (0.03, True), (0.0301, True)])
def test_marine_dry_summer(wettest: float, holds: bool) -> None:
    """The wettest month of October to March has three times the driest month of the rest, which is 10 mm."""
    rain = of_months([0.02] * 5 + [0.01] + [0.02] * 5 + [wettest])
    assert _marine(MILD, rain).dry_summer is holds


def test_marine_takes_all_four() -> None:
    """One test that fails is enough, and what precipitation leaves open stays open."""
    assert _marine(MILD).answer is True
    assert _marine((*MILD[:6], 23.0, *MILD[7:])).answer is False
    assert _marine(MILD, of_year(0.6)).answer is None
    assert _marine((*MILD[:6], 23.0, *MILD[7:]), of_year(0.6)).answer is False


def test_the_southern_summer_is_in_january() -> None:
    """Six months shifted, a place south of the equator has the same letter; by the northern calendar it has not."""
    half_a_year_on = WET_WINTER.months[6:] + WET_WINTER.months[:6]
    shifted = Precipitation(WET_WINTER.annual, half_a_year_on, "")
    temperatures = (*MILD[6:], *MILD[:6])
    assert _marine(temperatures, shifted, southern=True) == _marine(MILD)
    assert _marine(temperatures, shifted, southern=False).dry_summer is False


def _dry(annual_mean: float, rain: Precipitation, definition: str, *, southern: bool = False) -> bool | None:
    limits = rules.dry_limits(
        annual_mean, rain.annual, rain.months, criteria(definition).dry, southern=southern
    )
    return rules.dry(rain.annual, limits)


@pytest.mark.parametrize(("depth", "dry"), [(0.400, True), (0.4399, True), (0.440, False), (0.450, False)])
@pytest.mark.parametrize("definition", DEFINITIONS)
def test_dry_at_15_degrees(depth: float, dry: bool, definition: str) -> None:
    """20 mm times (15 + 7) is 440 mm, at which a place with even rain is moist."""
    assert _dry(15.0, of_months([depth / 12] * 12), definition) is dry


def test_the_two_unit_systems_print_one_limit() -> None:
    """0.44 in times (59 °F - 19.5) is 17.4 in, that is 441 mm: within 1 % of the 440 mm of the SI column."""
    (limit,) = rules.dry_limits(15.0, Depth(0.4, 0.4), (Depth(0.4 / 12, 0.4 / 12),) * 12, criteria("169-2006").dry, southern=False)  # fmt: skip
    assert limit == pytest.approx(0.44 * (59 - 19.5) * INCH, rel=0.01)


@pytest.mark.parametrize(
    ("summer", "limit"), [(0.29, 300), (0.30, 300), (0.31, 440), (0.69, 440), (0.70, 580), (0.71, 580)]
)
def test_bands_of_the_summer_share(summer: float, limit: float) -> None:
    """Up to 30 % in April to September 20 T, from 70 % on 20 (T + 14), between them 20 (T + 7): at 15 °C in mm."""
    winter = 1.0 - summer
    months = [(summer if 4 <= month <= 9 else winter) / 6 for month in range(1, 13)]
    rain = of_months(months)
    (found,) = rules.dry_limits(15.0, rain.annual, rain.months, criteria("169-2013").dry, southern=False)
    assert found == pytest.approx(limit / 1e3)
    other = of_months([*months[6:], *months[:6]])
    (mirrored,) = rules.dry_limits(15.0, other.annual, other.months, criteria("169-2013").dry, southern=True)
    assert mirrored == pytest.approx(limit / 1e3)


def test_a_year_without_months_is_held_against_every_band() -> None:
    """500 mm at 15 °C may be dry or not, by its summer share; 590 mm is moist and 290 mm dry whatever the share."""
    assert _dry(15.0, of_year(0.5), "169-2013") is None
    assert _dry(15.0, of_year(0.59), "169-2013") is False
    assert _dry(15.0, of_year(0.29), "169-2013") is True
    assert _dry(15.0, of_year(0.5), "169-2006") is False


@pytest.mark.parametrize(
    ("marine", "dry", "letters"),
    [
        (True, True, ("C",)), (True, None, ("C",)), (False, True, ("B",)), (False, False, ("A",)),
        (False, None, ("B", "A")), (None, True, ("C", "B")), (None, False, ("C", "A")), (None, None, ("C", "B", "A")),
    ],
)  # fmt: skip
def test_marine_goes_before_dry(marine: bool | None, dry: bool | None, letters: tuple[str, ...]) -> None:
    """Dry is "not marine and", moist "neither": what is open stays open."""
    assert rules.possible_letters(marine, dry) == letters


def _constant(
    temperature: float, rain: Precipitation | None = None, definition: str = "169-2013"
) -> ComputedZone:
    """A place where every hour is alike."""
    weather = _extract("chicago")
    even = WeatherYear(**{name: getattr(weather, name) for name in WeatherYear.__slots__} | {"dry_bulb": (temperature,) * 8760})  # fmt: skip
    return zone_of_weather(even, definition, rain)


@pytest.mark.parametrize(("temperature", "zone"), [(3.5, "7"), (-2.0, "8")])
def test_zones_7_and_8_have_no_letter(temperature: float, zone: str) -> None:
    """14.5 K for 365 days are 5292 K·day, 20 K are 7300: no rain needs to be known."""
    found = _constant(temperature)
    assert found.climate_zone == zone
    assert found.moisture is None
    assert found.settles is None
    assert found.letter_from.show("si") == "zones 7 and 8 have no letter"


def test_a_marine_place_outside_zones_3_to_5_is_dry_or_moist() -> None:
    """The tables list no 6C: the dry test decides there (only 3C, 4C and 5C are zones of the codes)."""
    mild_and_cold = _extract("burlington")
    temperatures = tuple(
        {1: -2.9, 2: -2.0, 3: 0.0, 4: 2.0, 5: 8.0, 6: 12.0, 7: 13.0, 8: 13.0, 9: 11.0, 10: 5.0, 11: 0.0, 12: -2.0}[month]
        for month in mild_and_cold.months
    )  # fmt: skip
    weather = WeatherYear(**{name: getattr(mild_and_cold, name) for name in WeatherYear.__slots__} | {"dry_bulb": temperatures})  # fmt: skip
    found = zone_of_weather(weather, "169-2013", of_months([0.09] * 3 + [0.02] * 6 + [0.09] * 3))
    assert all(test.holds for test in found.tests[:4])
    assert found.climate_zone == "6A"


def test_between_the_rows_of_2006() -> None:
    """A marine place with more than 2500 K·day of cooling has no row there: 17 °C all year, and the newer edition's 3C."""
    older, newer = (_constant(17.0, WET_WINTER, definition) for definition in ("169-2006", "169-2013"))
    assert older.possible == (NO_ROW,)
    assert older.climate_zone is None
    assert older.settles is not None
    assert "take the zone of the county" in older.settles.show("si")
    assert newer.climate_zone == "3C"


@pytest.mark.parametrize(
    ("code", "definition"),
    [("90.1-2007", "169-2006"), ("IECC-2018", "169-2006"), ("90.1-2019", "169-2013"), ("IECC-2021", "169-2013"), ("90.1-2022", "169-2020")],
)  # fmt: skip
def test_which_definition_a_code_goes_by(code: str, definition: str) -> None:
    """Codes up to 2015 and IECC-2018 by the older definition, later ones by the newer (from memory)."""
    assert definition_of_code(code) == definition


def test_everything_computed_names_its_doubts() -> None:
    """Limits read on pages about the standard say so, and those from memory too."""
    found = _constant(12.0, of_year(0.6))
    assert any("from memory" in doubt for doubt in found.doubts)
    assert all(doubt.startswith("ASHRAE 169-2013, annex A") for doubt in found.doubts)


def test_more_rain_in_the_file_than_given_is_said() -> None:
    """A depth by hand below what the file itself shows is one of two mistakes."""
    weather = _extract("chicago")
    rainy = WeatherYear(**{name: getattr(weather, name) for name in WeatherYear.__slots__} | {"precipitation": (1e-4,) * 8760})  # fmt: skip
    found = zone_of_weather(rainy, "169-2013", typed("500 mm"))
    assert any(
        "the file itself shows at least 876 mm, more than the 500 mm given" in remark.show("si")
        for remark in found.remarks
    )
