"""Climate zones of counties against another table: IECC zones by ZIP code of the open library eeweather 0.3.30.

Apache-2.0, ``zcta_metadata``, map of 2003-2018; each ZIP code was put to the county of its city by hand.
"""

from __future__ import annotations

from typing import Final

import pytest

from ventwright.tables.climate import climate_zone, zone_name, zone_of_county

BY_ZIP: Final = [
    ("33130", "Miami-Dade", "Florida", "1A"),
    ("78701", "Travis", "TX", "2A"),
    ("85004", "Maricopa", "Arizona", "2B"),
    ("30303", "Fulton", "GA", "3A"),
    ("90012", "Los Angeles", "California", "3B"),
    ("92101", "San Diego", "CA", "3B"),
    ("93721", "Fresno", "CA", "3B"),
    ("94105", "San Francisco", "CA", "3C"),
    ("95814", "Sacramento", "CA", "3B"),
    ("98101", "King", "Washington", "4C"),
    ("60601", "Cook", "Illinois", "5A"),
    ("02108", "Suffolk", "Massachusetts", "5A"),
    ("80202", "Denver", "CO", "5B"),
    ("55401", "Hennepin", "MN", "6A"),
]


@pytest.mark.parametrize(
    ("zip_code", "county", "state", "zone"), BY_ZIP, ids=[f"{row[0]} {row[1]}" for row in BY_ZIP]
)
def test_county_has_the_zone_of_its_zip_code(zip_code: str, county: str, state: str, zone: str) -> None:
    """County, by state's name or abbreviation, and ZIP code agree."""
    assert len(zip_code) == 5
    found = zone_of_county(county, state)
    assert found.zone == zone
    assert found.map_edition == "2003-2018 county map"


@pytest.mark.parametrize(
    ("county", "state", "place"),
    [
        ("cook county", "il", "Cook County, IL"),
        ("Orleans", "Louisiana", "Orleans Parish, LA"),
        ("Orleans County", "LA", "Orleans Parish, LA"),
        ("saint clair", "AL", "St. Clair County, AL"),
        ("De Kalb", "Georgia", "DeKalb County, GA"),
        ("prince georges", "md", "Prince George's County, MD"),
        ("St. Louis City", "MO", "St. Louis City, MO"),
        ("Fairfax County", "VA", "Fairfax County, VA"),
        ("Carson City", "NV", "Carson City, NV"),
    ],
)
def test_a_county_is_found_as_people_write_it(county: str, state: str, place: str) -> None:
    """Case, punctuation, Saint or St., county or parish: the place found is named (names: US Census Bureau)."""
    assert zone_of_county(county, state).place == place


def test_zones_seven_and_eight_have_no_letter() -> None:
    """St. Louis County, Minnesota (Duluth) is zone 7, which the map gives a moisture regime all the same.

    Source: IECC 2003-2018 county map: zone 7 in northern Minnesota.
    """
    assert zone_of_county("St. Louis", "MN").zone == "7"


def test_the_source_tells_that_counties_have_moved() -> None:
    """Whoever reads the zone also reads that the map is the older one."""
    source = zone_of_county("Cook", "IL").source
    assert source is not None
    assert "2021 map" in source.note


@pytest.mark.parametrize(
    ("typed", "zone"), [("5a", "5A"), (" 3C ", "3C"), ("zone 7", "7"), ("0B", "0B"), ("8", "8")]
)
def test_a_zone_typed_by_hand(typed: str, zone: str) -> None:
    """Zones of the codes (ASHRAE 169-2013: 0 to 8, A, B, C), in any case."""
    assert climate_zone(typed).zone == zone


def test_zone_name_leaves_the_letter_off_where_there_is_none() -> None:
    """Thermal zone and moisture regime as the codes write them (ASHRAE 169-2013)."""
    assert zone_name("5", "A", "somewhere") == "5A"
    assert zone_name("7", "B", "somewhere") == "7"
    assert zone_name("8", "", "somewhere") == "8"
