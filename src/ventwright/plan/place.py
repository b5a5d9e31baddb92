"""Where the unit stands: climate zone and height, given by hand, by county, or from a year of weather beside the job.

A zone that is given goes before one that is computed; where the two part, that is said, never settled silently.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from ventwright.errors import Refused
from ventwright.facts.site import Site
from ventwright.physics.moist_air import pressure_at_elevation
from ventwright.quantity import FRACTION, LENGTH, read
from ventwright.tables import climate, energy_code
from ventwright.tables.climate import CountyElevation
from ventwright.tables.climate_criteria import definition_of_code
from ventwright.tables.climate_from_weather import ComputedZone, zone_of_weather
from ventwright.tables.precipitation import typed
from ventwright.tables.weather import WeatherYear, read_weather
from ventwright.words import Amount, Words, words

FAR_ABOVE = 100.0
"""Metres between site and weather station from which on they are said to differ: about one per cent of the air's
pressure (common practice, no published source)."""

STEP = read("1000 ft", LENGTH).value
"""Of height, for which it is said how much it matters. [m]"""

CALIFORNIAN = "Title 24"


@dataclass(frozen=True, slots=True)
class Place:
    """Climate zone (None where not known), where it is from, height, and what has to be said about them."""

    climate_zone: str | None
    zone_source: str
    elevation: float
    notes: tuple[tuple[str, Words], ...]
    """What is meant, and the sentence."""


def place_of(site: Site, code: str, beside: Path | None) -> Place:
    """Put together what is known of the place.

    Parameters
    ----------
    code
        The energy code: California's has climate zones of its own.
    beside
        Folder in which the weather file is looked for.

    Raises
    ------
    Refused
        An unknown zone, county or energy code, or a weather file that is needed and is not right.
    """
    edition = energy_code.edition_named(code, "facts.site.energy_code")
    notes: list[tuple[str, Words]] = []
    zone, source = _given_zone(site)
    weather = _weather(site, beside, notes, needed=zone is None or site.elevation is None)
    if weather is not None:
        zone, source = _with_weather(site, weather, zone, source, edition, notes)
    elif zone is None:
        notes.append((
            "site.climate_zone", Words("no climate zone or county is given: what the code asks cannot be said")
        ))  # fmt: skip
    zone, source = _of_this_code(zone, source, edition, notes)
    return Place(zone, source, _elevation(site, weather, notes), tuple(notes))


def _given_zone(site: Site) -> tuple[str | None, str]:
    """Climate zone by hand or by county; None where neither is given."""
    if site.climate_zone is not None:
        return climate.climate_zone(site.climate_zone, "facts.site.climate_zone").zone, "given by hand"
    if site.county is not None and site.state is not None:
        found = climate.zone_of_county(site.county, site.state, "facts.site.county")
        return found.zone, f"{found.place}, {found.map_edition}"
    return None, "not given"


def _weather(
    site: Site, beside: Path | None, notes: list[tuple[str, Words]], *, needed: bool
) -> WeatherYear | None:
    """Read the weather file; one that is not needed may be missing, and then nothing is checked against it."""
    if site.weather_file is None:
        return None
    try:
        return read_weather((beside or Path()) / site.weather_file, "facts.site.weather_file")
    except Refused as refused:
        if needed:
            raise
        sentence = refused.refusals[0].sentence
        notes.append((
            "site.weather_file", Words(f"climate zone and elevation were not checked against the weather: {sentence}")
        ))  # fmt: skip
        return None


def _with_weather(
    site: Site,
    weather: WeatherYear,
    zone: str | None,
    source: str,
    edition: str,
    notes: list[tuple[str, Words]],
) -> tuple[str | None, str]:
    """Hold the zone against the weather, or take it from there."""
    rain = typed(site.precipitation, "facts.site.precipitation") if site.precipitation else None
    computed = zone_of_weather(weather, definition_of_code(edition), rain)
    by = f"{site.weather_file} by the criteria of ASHRAE {computed.definition}"
    if zone is not None:
        if not climate.is_californian(zone) and zone not in computed.possible:
            notes.append((
                "site.climate_zone",
                Words(f"{zone} ({source}) is not what the weather says, {_spelled(computed)} from {by}: find out which holds"),
            ))  # fmt: skip
        return zone, source
    if computed.climate_zone is None:
        notes.append(("site.climate_zone", words(
            "the climate zone is {zones} from {by}; to tell them apart: {settles}", zones=Words(_spelled(computed)), by=Words(by),
            settles=computed.settles or Words(""))))  # fmt: skip
        return None, "not known from the weather file alone"
    notes.append((
        "site.climate_zone", Words(f"climate zone {computed.climate_zone} is computed from {by}; the code's own map, by county, goes before")
    ))  # fmt: skip
    notes.extend(("site.climate_zone", remark) for remark in computed.remarks)
    return computed.climate_zone, f"computed from {by}"


def _spelled(computed: ComputedZone) -> str:
    return " or ".join(computed.possible)


def _of_this_code(
    zone: str | None, source: str, edition: str, notes: list[tuple[str, Words]]
) -> tuple[str | None, str]:
    """Keep a zone from tables that do not know it: California's sixteen and the others' are not the same."""
    californian = edition.startswith(CALIFORNIAN)
    if zone is None or climate.is_californian(zone) == californian:
        return zone, source
    wanted = "CA 3 (CA 1 to CA 16)" if californian else "3C"
    notes.append((
        "site.climate_zone", Words(f"{zone} ({source}) is no climate zone of {edition}: what it asks cannot be said; give one such as {wanted}")
    ))  # fmt: skip
    return None, f"{zone} ({source}) is no zone of {edition}"


def _elevation(site: Site, weather: WeatherYear | None, notes: list[tuple[str, Words]]) -> float:
    """Height of the site, of the weather station, of the county, or of the sea."""
    if site.elevation is None:
        height, sentence = _assumed_elevation(site, weather)
        notes.append(("site.elevation", sentence))
        return height
    if weather is not None and abs(site.elevation.value - weather.elevation) > FAR_ABOVE:
        notes.append(("site.elevation", words(
            "the site is given as {given} high, and the weather station as {height}: its air is not that of the site",
            given=Amount(site.elevation.value, LENGTH), height=Amount(weather.elevation, LENGTH))))  # fmt: skip
    return site.elevation.value


def _assumed_elevation(site: Site, weather: WeatherYear | None) -> tuple[float, Words]:
    """Height where nobody gave one, and what is said of it."""
    if weather is not None:
        station = Amount(weather.elevation, LENGTH)
        text = "no elevation is given: that of the weather station, {height}, is taken"
        return weather.elevation, words(text, height=station)
    county = _height_of_county(site)
    if county is not None:
        return county.elevation, words(
            "no elevation is given: {height} is taken, the middle of {place} by the weather stations nearest to its places, "
            "which lie from {lowest} to {highest}; give the site's own where it differs: {matters}",
            height=Amount(county.elevation, LENGTH), place=Words(county.place), lowest=Amount(county.lowest, LENGTH),
            highest=Amount(county.highest, LENGTH), matters=_how_much_it_matters(county.elevation),
        )  # fmt: skip
    return 0.0, words(
        "no elevation is given: sea level is assumed; give county and state, or the elevation: {matters}",
        matters=_how_much_it_matters(0.0),
    )


def _height_of_county(site: Site) -> CountyElevation | None:
    """Height of the county; None where none is given, or it is in no table (a zone given by hand does not need it)."""
    if site.county is None or site.state is None:
        return None
    try:
        return climate.elevation_of_county(site.county, site.state)
    except Refused:
        return None


def _how_much_it_matters(height: float) -> Words:
    """Say how much thinner the air is a step higher up; at one temperature it is as its pressure."""
    thinner = 1.0 - pressure_at_elevation(height + STEP) / pressure_at_elevation(height)
    return words(
        "{step} more makes the air {thinner} thinner",
        step=Amount(STEP, LENGTH),
        thinner=Amount(thinner, FRACTION),
    )
