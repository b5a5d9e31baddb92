"""Climate zone and elevation of a US county; a climate zone as typed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

from ventwright.errors import Refusal, Refused
from ventwright.quantity import LENGTH
from ventwright.tables.data_file import read_sheet
from ventwright.tables.lookup import ambiguous, key, unknown
from ventwright.tables.source import Source, source_of
from ventwright.words import measured

if TYPE_CHECKING:
    from collections.abc import Mapping

ZONES: Final = (
    *("0A", "0B", "1A", "1B", "2A", "2B", "3A", "3B", "3C", "4A", "4B", "4C"),
    *("5A", "5B", "5C", "6A", "6B", "7", "8"),
)
"""Climate zones of the energy codes."""

WITHOUT_LETTER: Final = ("7", "8")
"""Those that carry no moisture letter."""

CALIFORNIA_ZONES: Final = tuple(f"CA {number}" for number in range(1, 17))
"""The sixteen climate zones of California's own energy code."""

COUNTY_WORDS = ("county", "parish", "borough")


@dataclass(frozen=True, slots=True)
class ClimateZone:
    """A climate zone and where it comes from."""

    zone: str
    """As the codes write it, such as "5A" or "7"."""
    place: str
    """County and state, or nothing where it was typed."""
    map_edition: str
    source: Source | None
    """None where a person typed the zone."""


@dataclass(frozen=True, slots=True)
class CountyElevation:
    """How high the places of a county lie: half of them above ``elevation``, all between the other two."""

    place: str
    elevation: float = measured(LENGTH)
    lowest: float = measured(LENGTH)
    highest: float = measured(LENGTH)
    source: Source | None = None


@dataclass(frozen=True, slots=True)
class _County:
    name: str
    state: str
    thermal: str
    moisture: str
    elevation: float
    lowest: float
    highest: float

    @property
    def place(self) -> str:
        return f"{self.name}, {self.state}"


def climate_zone(text: str, where: str = "") -> ClimateZone:
    """Return a climate zone as a person typed it, such as "5a" or "Climate Zone 5 A", or "CA 12" for one of California's own.

    Raises
    ------
    Refused
        No such zone, or a letter on zone 7 or 8, which have none.
    """
    wanted = key(text).removeprefix("climate").removeprefix("zone").upper()
    if wanted.startswith("CA"):
        return ClimateZone(_californian(text, where), "", "typed", None)
    if wanted not in ZONES:
        if wanted[:1] in WITHOUT_LETTER and wanted[1:] in {"A", "B", "C"}:
            raise Refused(Refusal("has a letter; zones 7 and 8 have none", wanted[0], where, text))
        raise unknown(text, ZONES, "climate zone", where)
    return ClimateZone(wanted, "", "typed", None)


def is_californian(zone: str) -> bool:
    """Whether a zone is one of California's own, which other codes do not know."""
    return zone in CALIFORNIA_ZONES


def _californian(text: str, where: str) -> str:
    """Return a zone of California's code: "ca12", "CA-12", "California zone 12", "CA_03"."""
    number = (
        key(text).removeprefix("california").removeprefix("ca").removeprefix("climate").removeprefix("zone")
    )
    zone = f"CA {int(number)}" if number.isdecimal() else ""
    if zone not in CALIFORNIA_ZONES:
        raise unknown(text, CALIFORNIA_ZONES, "climate zone of California", where)
    return zone


def zone_of_county(county: str, state: str, where: str = "") -> ClimateZone:
    """Return the climate zone of a county of the 48 contiguous states.

    Parameters
    ----------
    county
        "Cook", "cook county", "Orleans Parish"; case and punctuation do not matter. A name that a county
        and an independent city share needs its second word.
    state
        "Illinois" or "IL".

    Raises
    ------
    Refused
        Unknown state or county (the nearest is named), or a name that fits two.

    Notes
    -----
    The map is the one in use before 2021; about one county in ten has moved since (from memory).
    """
    found = _county(county, state, where)
    zone = zone_name(found.thermal, found.moisture, found.name)
    source = _source("counties.csv")
    return ClimateZone(zone, found.place, source.edition, source)


def elevation_of_county(county: str, state: str, where: str = "") -> CountyElevation:
    """Return how high the places of a county lie, from the weather stations nearest to them.

    Parameters
    ----------
    county, state
        As for :func:`zone_of_county`.

    Raises
    ------
    Refused
        As there.

    Notes
    -----
    Held against the airports of the county, half of the counties are right within 17 m, and 19 in 20 within 172 m.
    """
    found = _county(county, state, where)
    return CountyElevation(
        found.place, found.elevation, found.lowest, found.highest, _source("county_elevations.csv")
    )


def places() -> tuple[str, ...]:
    """Return every county of the map with its state, such as "Cook County, IL"."""
    return tuple(one.place for counties in _counties().values() for one in counties)


def places_named(county: str, state: str) -> tuple[str, ...]:
    """Return every place of a state (its abbreviation) that a county's name can mean; none where the map has none."""
    return tuple(one.place for one in _named(county, _counties().get(state, ())))


def state_named(text: str) -> str | None:
    """Return the postal abbreviation of a state as people write it, or None where there is none."""
    wanted = key(text)
    return next((postal for postal, name in states().items() if wanted in {key(postal), key(name)}), None)


@cache
def states() -> Mapping[str, str]:
    """Return the states' names by their abbreviations."""
    return {row["postal"]: row["state"] for row in read_sheet("climate", "states.csv").rows}


def _county(county: str, state: str, where: str) -> _County:
    """Find one county, or refuse with the nearest."""
    postal = state_named(state)
    if postal is None:
        raise unknown(state, tuple(states().values()), "state of the US", where)
    counties = _counties().get(postal)
    if counties is None:
        problem = f"is in {states()[postal]}, which the county map leaves out"
        raise Refused(Refusal(problem, "the climate zone itself, such as 5A", where, county))
    found = _named(county, counties)
    if not found:
        county_names = [one.name for one in counties]
        raise unknown(county, county_names, f"county of {states()[postal]}", where, without_kind)
    if len(found) > 1:
        raise ambiguous(county, (one.name for one in found), f"county of {states()[postal]}", where)
    return found[0]


def zone_name(thermal: str, moisture: str, place: str) -> str:
    """Return thermal zone and moisture letter as the codes write them: no letter on 7 and 8.

    Raises
    ------
    Refused
        The map gives no zone, or no letter where one is needed.
    """
    zone = thermal if thermal in WITHOUT_LETTER else f"{thermal}{moisture}"
    if zone not in ZONES:
        raise Refused(
            Refusal(
                "has no complete climate zone in the map", "the climate zone itself, such as 5A", given=place
            )
        )
    return zone


def _named(given: str, counties: tuple[_County, ...]) -> list[_County]:
    """Find counties by full name first, then by the name without its last word.

    A county and a parish pass for each other; an independent city does not pass for a county.
    """
    exact = [one for one in counties if place_key(one.name) == place_key(given)]
    if exact:
        return exact
    first, _, last = given.strip().rpartition(" ")
    typed_kind = bool(first) and last.lower() in COUNTY_WORDS
    wanted = place_key(first if typed_kind else given)
    return [
        one
        for one in counties
        if place_key(without_kind(one.name)) == wanted
        and not (typed_kind and one.name.rpartition(" ")[2].lower() not in COUNTY_WORDS)
    ]


def without_kind(name: str) -> str:
    """Return a county's name without its last word, such as county or parish."""
    return name.rpartition(" ")[0]


def place_key(name: str) -> str:
    """Return the key of a place's name; Saint is written St. in the map."""
    words = ["st" if word.lower() == "saint" else word for word in name.split()]
    return key(" ".join(words))


@cache
def _counties() -> Mapping[str, tuple[_County, ...]]:
    """Return the counties of every state."""
    sheet = read_sheet("climate", "county_elevations.csv")
    metre = sheet.unit("elevation", LENGTH).factor
    heights = {
        row["FIPS"]: [float(row[name]) * metre for name in ("elevation", "lowest", "highest")]
        for row in sheet.rows
    }
    by_state: dict[str, list[_County]] = {}
    for row in read_sheet("climate", "counties.csv").rows:
        county = _County(row["county"], row["state"], row["zone"], row["moisture"], *heights[row["FIPS"]])
        by_state.setdefault(row["state"], []).append(county)
    return {state: tuple(counties) for state, counties in by_state.items()}


@cache
def _source(name: str) -> Source:
    """Return where a table of counties comes from."""
    return source_of({}, read_sheet("climate", name).head)
