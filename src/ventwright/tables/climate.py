"""Climate zones: by US county, or checked as typed."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Final

from ventwright.errors import Refusal, Refused
from ventwright.tables.data_file import read_sheet
from ventwright.tables.lookup import ambiguous, key, unknown
from ventwright.tables.source import Source, source_of

if TYPE_CHECKING:
    from collections.abc import Mapping

ZONES: Final = (
    *("0A", "0B", "1A", "1B", "2A", "2B", "3A", "3B", "3C", "4A", "4B", "4C"),
    *("5A", "5B", "5C", "6A", "6B", "7", "8"),
)
"""Climate zones of the energy codes; 7 and 8 carry no letter."""

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
class _County:
    name: str
    thermal: str
    moisture: str


def climate_zone(text: str, where: str = "") -> ClimateZone:
    """Return a climate zone as a person typed it, such as "5a", or "CA 12" for one of California's own.

    Raises
    ------
    Refused
        No such zone, or a letter on zone 7 or 8, which have none.
    """
    wanted = text.strip().upper().removeprefix("ZONE").strip()
    if key(wanted).startswith("ca"):
        return ClimateZone(_californian(text, where), "", "typed", None)
    if wanted not in ZONES:
        if wanted[:1] in {"7", "8"} and wanted[1:] in {"A", "B", "C"}:
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
    postal = _postal(state, where)
    by_state, source = _counties()
    counties = by_state.get(postal)
    if counties is None:
        problem = f"is in {_states()[postal]}, which the county map leaves out"
        raise Refused(Refusal(problem, "the climate zone itself, such as 5A", where, county))
    found = _named(county, counties)
    if not found:
        county_names = [one.name for one in counties]
        raise unknown(county, county_names, f"county of {_states()[postal]}", where, _without_kind)
    if len(found) > 1:
        raise ambiguous(county, (one.name for one in found), f"county of {_states()[postal]}", where)
    zone = zone_name(found[0].thermal, found[0].moisture, found[0].name)
    return ClimateZone(zone, f"{found[0].name}, {postal}", source.edition, source)


def zone_name(thermal: str, moisture: str, place: str) -> str:
    """Return thermal zone and moisture letter as the codes write them: no letter on 7 and 8.

    Raises
    ------
    Refused
        The map gives no zone, or no letter where one is needed.
    """
    zone = thermal if thermal in {"7", "8"} else f"{thermal}{moisture}"
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
    exact = [one for one in counties if _place_key(one.name) == _place_key(given)]
    if exact:
        return exact
    first, _, last = given.strip().rpartition(" ")
    typed_kind = bool(first) and last.lower() in COUNTY_WORDS
    wanted = _place_key(first if typed_kind else given)
    return [
        one
        for one in counties
        if _place_key(_without_kind(one.name)) == wanted
        and not (typed_kind and one.name.rpartition(" ")[2].lower() not in COUNTY_WORDS)
    ]


def _without_kind(name: str) -> str:
    """Return a county's name without its last word."""
    return name.rpartition(" ")[0]


def _place_key(name: str) -> str:
    """Return the key of a place; Saint is written St. in the map."""
    words = ["st" if word.lower() == "saint" else word for word in name.split()]
    return key(" ".join(words))


def _postal(state: str, where: str) -> str:
    """Return a state's postal abbreviation."""
    for postal, name in _states().items():
        if key(state) in {key(postal), key(name)}:
            return postal
    raise unknown(state, tuple(_states().values()), "state of the US", where)


@cache
def _states() -> Mapping[str, str]:
    return {row["postal"]: row["state"] for row in read_sheet("climate", "states.csv").rows}


@cache
def _counties() -> tuple[Mapping[str, tuple[_County, ...]], Source]:
    """Return the counties of every state, and where the map comes from."""
    sheet = read_sheet("climate", "counties.csv")
    by_state: dict[str, list[_County]] = {}
    for row in sheet.rows:
        by_state.setdefault(row["state"], []).append(_County(row["county"], row["zone"], row["moisture"]))
    return {state: tuple(counties) for state, counties in by_state.items()}, source_of({}, sheet.head)
