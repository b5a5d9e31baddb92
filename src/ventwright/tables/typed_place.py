"""A place typed in one field: county and state in either order, or a climate zone; and what to offer as one types."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING, Final

from ventwright.errors import Refusal, Refused
from ventwright.tables.climate import (
    CALIFORNIA_ZONES,
    COUNTY_WORDS,
    ZONES,
    climate_zone,
    place_key,
    places,
    places_named,
    state_named,
    states,
    without_kind,
)
from ventwright.tables.lookup import ambiguous, key, nearest

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

ACCEPTED: Final = "county and state, such as Cook, IL, or the climate zone, such as 5A or CA 12"

_ZONE: Final = re.compile(
    r"(climate)?\s*(zone)?\s*\d\s*[a-z]?|ca(lifornia)?\W*(climate)?\s*(zone)?\s*\d+", re.IGNORECASE
)
_COUNTRY: Final = re.compile(r"[\s,]+(u\.?s\.?a\.?|united states)\s*$", re.IGNORECASE)


def place_from(text: str, where: str = "") -> Mapping[str, str]:
    """Return the fields of a site that a typed place fills: ``county`` and ``state``, or ``climate_zone``.

    Parameters
    ----------
    text
        "Cook, IL", "Cook County, Illinois", "IL Cook"; "5A" or "CA 12". A name with its state counts as that of a
        county, also where a city elsewhere in the state has the same: the county found is to be shown.

    Raises
    ------
    Refused
        A city, a county without its state, or a name that fits two counties; the nearest are named.
    """
    if not key(text):
        raise Refused(Refusal("names no place", ACCEPTED, where))
    if _ZONE.fullmatch(text.strip()):
        return {"climate_zone": climate_zone(text, where).zone}
    found = sorted({place for name, state in _ways(text) for place in places_named(name, state)})
    if len(found) == 1:
        county, _, state = found[0].rpartition(", ")
        return {"county": county, "state": state}
    if found:
        raise ambiguous(text, found, "place", where)
    near = suggested_places(text, 3)
    hint = f" (did you mean {' or '.join(near)}?)" if near else ""
    problem = f"is no county with its state, and cities are not known here{hint}"
    raise Refused(Refusal(problem, ACCEPTED, where, text))


def suggested_places(text: str, most: int = 8) -> tuple[str, ...]:
    """Return places to offer while one types, likest first; every one of them can be typed as it stands.

    Names that begin as typed go before those with a later word that does, and these before names that are only like
    it. A state narrows them to its counties; a state alone offers them all.
    """
    if not key(text):
        return ()
    zones = [zone for zone in (*ZONES, *CALIFORNIA_ZONES) if key(zone).startswith(key(text))]
    found = [place for name, state in _ways(text) for place in _starting(name, state)] + _starting(text, None)
    alone = state_named(text)
    if alone is not None:
        found += [place for place, _ in _by_state().get(alone, ())]
    return tuple(dict.fromkeys((*zones, *(found or _alike(text, most)))))[:most]


def _ways(text: str) -> Iterator[tuple[str, str]]:
    """Part a text into a county's name and a state, which may stand first or last and be of several words."""
    plain = _COUNTRY.sub("", text.strip())
    pieces = re.sub(r"[,;/()]+", " ", plain).split()
    for cut in range(1, len(pieces)):
        first, last = " ".join(pieces[:cut]), " ".join(pieces[cut:])
        if (state := state_named(last)) is not None:
            yield first, state
        if (state := state_named(first)) is not None:
            yield last, state


@cache
def _by_state() -> Mapping[str | None, tuple[tuple[str, tuple[str, str]], ...]]:
    """Return places with what they can begin as, name and state's abbreviation or name, by state; all of them under None."""
    found: dict[str | None, list[tuple[str, tuple[str, str]]]] = {None: []}
    for place in places():
        county, _, state = place.rpartition(", ")
        name = place_key(without_kind(county))
        row = (place, (name + key(state), name + key(states()[state])))
        for part in (None, state):
            found.setdefault(part, []).append(row)
    return {state: tuple(rows) for state, rows in found.items()}


def _starting(text: str, state: str | None) -> list[str]:
    """Return places whose name begins as typed, the shortest first; then those of which a later word does."""
    wanted = place_key(_named_alone(text))
    rows = _by_state().get(state, ())
    first = sorted(
        (len(names[0]), place) for place, names in rows if any(name.startswith(wanted) for name in names)
    )
    later = [
        place
        for place, _ in rows
        if any(key(word).startswith(wanted) for word in place.partition(",")[0].split()[1:-1])
    ]
    return [*(place for _, place in first), *later]


def _alike(text: str, most: int) -> list[str]:
    """Return places that are spelled much like what was typed; without a state, of those with the same first letter."""
    ways = [(name, state) for name, state in _ways(text) if state in _by_state()]
    name, state = ways[0] if ways else (text, None)
    letter = key(text)[0]
    rows = [place for place, (own, _) in _by_state()[state] if state or own.startswith(letter)]
    return nearest(_named_alone(name), rows, most, lambda place: without_kind(place.rpartition(", ")[0]))


def _named_alone(text: str) -> str:
    """Return a county's name without the word county, where it was typed."""
    first, _, last = text.strip().rpartition(" ")
    return first if first and last.lower() in COUNTY_WORDS else text
