"""Elevations of counties, made from weather stations, against the airports of the same counties.

Reference: airportsdata 20260905 (MIT), elevations as published for 20,000 US airports and landing strips, put to counties
by the borders of the US Census Bureau; the median of every county that has three or more.
"""

from __future__ import annotations

from csv import DictReader
from pathlib import Path
from typing import Final

import pytest

from ventwright.tables.climate import elevation_of_county, places

AIRPORTS: Final = Path(__file__).parents[1] / "data" / "county_airports.csv"


@pytest.fixture(scope="module")
def departures() -> list[float]:
    """How far every county's elevation is from that of its airports, smallest first. [m]"""
    lines = [line for line in AIRPORTS.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    rows = DictReader(lines)
    return sorted(abs(elevation_of_county(row["county"], row["state"]).elevation - float(row["median_m"])) for row in rows)  # fmt: skip


@pytest.mark.parametrize(("share", "within"), [(0.5, 18), (0.9, 108), (0.95, 173)])
def test_most_counties_are_as_high_as_their_airports(
    departures: list[float], share: float, within: float
) -> None:
    """What the table says of itself: half within 17 m, nine in ten within 107 m, 19 in 20 within 172 m."""
    assert len(departures) > 1600
    assert departures[int(share * len(departures))] <= within


@pytest.mark.parametrize(
    ("county", "state", "elevation"),
    [("Denver", "CO", 1609), ("Bernalillo", "NM", 1619), ("Sedgwick", "KS", 396), ("Ada", "ID", 824)],
)
def test_well_known_cities(county: str, state: str, elevation: float) -> None:
    """Denver, Albuquerque, Wichita and Boise as their cities give it (from memory), within 50 m: half a per cent of pressure."""
    assert elevation_of_county(county, state).elevation == pytest.approx(elevation, abs=50)


def test_every_county_of_the_map_has_an_elevation_between_its_ends() -> None:
    """None is missing, and none is higher than any place in the contiguous states (Mount Whitney, 4421 m)."""
    for place in places():
        county, _, state = place.rpartition(", ")
        found = elevation_of_county(county, state)
        assert found.place == place
        assert -90 < found.lowest <= found.elevation <= found.highest < 4421
