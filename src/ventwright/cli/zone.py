"""The climate zone of a place: computed from a year of weather by ASHRAE 169's criteria, or looked up by county.

example: ventwright zone chicago.epw --precipitation "937 mm"
         ventwright zone --county Cook --state Illinois
         ventwright zone chicago.epw --county Cook --state Illinois   (the letter from the county, where rain is unknown)
"""

from __future__ import annotations

import argparse
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.cli.arguments import add_json

if TYPE_CHECKING:
    from ventwright.quantity import System
    from ventwright.tables.climate import ClimateZone
    from ventwright.tables.climate_from_weather import ComputedZone
    from ventwright.tables.weather import WeatherYear

ADVICE = "The energy code assigns US counties their zone by its own map, and the map decides; a typical year need not agree with it."


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the place, what is known of its rain, and how to show the zone."""
    parser.add_argument(
        "weather",
        nargs="?",
        type=Path,
        metavar="WEATHERFILE",
        help="a year of hourly weather, EPW or TMY3 CSV",
    )
    parser.add_argument(
        "--precipitation",
        metavar="P",
        help='of a year, such as "510 mm", or of the twelve months: "104, 99, 77, ... 120 mm"',
    )
    parser.add_argument(
        "--edition", metavar="E", help="edition of ASHRAE 169: 169-2006, 169-2013 or 169-2020 (else 169-2013)"
    )
    parser.add_argument("--county", metavar="C", help="county, such as Cook")
    parser.add_argument("--state", metavar="S", help="its state, such as Illinois or IL")
    parser.add_argument("--units", choices=("us", "si"), default="us", help="units to show")
    add_json(parser)


def run(arguments: argparse.Namespace) -> int:
    """Show the zone; not every file tells it."""
    from ventwright.cli import CANNOT_TELL, DONE, show
    from ventwright.tables.climate_criteria import LATEST, definition_named
    from ventwright.tables.climate_from_weather import zone_of_weather
    from ventwright.tables.precipitation import typed
    from ventwright.tables.weather import read_weather

    county = _county(arguments)
    if arguments.weather is None:
        _refuse_what_needs_weather(arguments, county)
        _show_county(county, as_json=arguments.json)
        return DONE
    definition = definition_named(arguments.edition, "--edition") if arguments.edition else LATEST
    rain = typed(arguments.precipitation, "--precipitation") if arguments.precipitation else None
    weather = read_weather(arguments.weather)
    found = zone_of_weather(weather, definition, rain, county)
    if arguments.json:
        show.as_json(zone_document(weather, found))
    else:
        print_zone(weather, found, arguments.units)
    return DONE if found.climate_zone else CANNOT_TELL


def _county(arguments: argparse.Namespace) -> ClimateZone | None:
    """Look the county up, where one is given."""
    from ventwright.errors import Refusal, Refused
    from ventwright.tables.climate import zone_of_county

    if (arguments.county is None) != (arguments.state is None):
        lacking, example = ("--state", "Illinois") if arguments.state is None else ("--county", "Cook")
        raise Refused(Refusal("is missing", f"{lacking} {example}, beside the other of the two", lacking))
    return zone_of_county(arguments.county, arguments.state, "--county") if arguments.county else None


def _refuse_what_needs_weather(arguments: argparse.Namespace, county: ClimateZone | None) -> None:
    from ventwright.errors import Refusal, Refused

    for option, given in (("--precipitation", arguments.precipitation), ("--edition", arguments.edition)):
        if given is not None:
            raise Refused(Refusal("needs a weather file beside it", "WEATHERFILE", option, given))
    if county is None:
        raise Refused(Refusal("names no place", "a weather file, or --county and --state", "zone"))


def _show_county(county: ClimateZone | None, *, as_json: bool) -> None:
    from ventwright.cli import show
    from ventwright.words import plain

    if county is None:
        return
    source = county.source
    if as_json:
        doubt = {"doubt": source.doubt} if source else {}
        show.as_json({"climate_zone": county.zone, **plain(county), **doubt})
        return
    show.heading(f"Climate zone {county.zone}")
    note = f"; {source.note}" if source and source.note else ""
    show.pairs([("Place", county.place), ("From", f"{county.map_edition}{note}")])


def zone_document(weather: WeatherYear, found: ComputedZone) -> dict[str, object]:
    """Return the zone for programs: SI, units in the key names, the weather file by its header."""
    from ventwright.words import plain

    header = {
        "name": weather.name,
        "region": weather.region,
        "station": weather.station,
        "layout": weather.layout,
        "latitude": weather.latitude,
        "longitude": weather.longitude,
        "time_zone": weather.time_zone,
        "elevation_m": weather.elevation,
        "hours": len(weather.stamps),
        "hours_missing": dict(weather.missing),
    }
    document: dict[str, object] = plain(found)
    return document | {"weather": header}


def print_zone(weather: WeatherYear, found: ComputedZone, system: System) -> None:
    """Print the zone for a person."""
    from ventwright.cli import show
    from ventwright.quantity import LENGTH, TEMPERATURE
    from ventwright.words import Amount

    zone = found.climate_zone or f"not known yet: {' or '.join(found.possible)}"
    show.heading(f"Climate zone {zone} (ASHRAE {found.definition})")
    known = ", ".join(f"{count} hours without {name}" for name, count in weather.missing.items())
    hours = f"{len(weather.stamps)} hours, {weather.layout}"
    place = f"{weather.latitude:g}°, {weather.longitude:g}°, {Amount(weather.elevation, LENGTH).show(system)} high"
    show.pairs([
        ("Weather", f"{weather.name}, {weather.region}, station {weather.station}"), ("Place", f"{place}, UTC{weather.time_zone:+g}"),
        ("File", f"{hours}; {known}" if known else hours), ("Year's mean", Amount(found.annual_mean, TEMPERATURE).show(system)),
        ("Thermal zone", found.thermal_zone or "not known"), ("Letter", _letter(found, system)),
    ])  # fmt: skip
    if found.settles is not None:
        show.line(f"What would settle it: {found.settles.show(system)}.")
    for remark in found.remarks:
        show.line(f"! {remark.show(system)}")
    _degree_days(found, system)
    _tests(found, system)
    show.line()
    show.line("Criteria:")
    for line in found.doubts or found.sources:
        show.line(f"- {line}")
    show.line(ADVICE)


def _letter(found: ComputedZone, system: System) -> str:
    if found.climate_zone is None:
        return "not known"
    letter = {"A": "A, moist", "B": "B, dry", "C": "C, marine"}.get(found.moisture or "", "none")
    return f"{letter} ({found.letter_from.show(system)})"


def _degree_days(found: ComputedZone, system: System) -> None:
    from ventwright.cli import show
    from ventwright.physics.degree_days import DEGREE_DAYS
    from ventwright.quantity import TEMPERATURE
    from ventwright.words import Amount

    show.heading("Degree days")
    show.table(("from", "heating, base", "heating", "cooling, base 10 °C (50 °F)", "zone"), [
        (one.temperatures, Amount(one.heating_base, TEMPERATURE).show(system),
         Amount(one.heating_degree_days, DEGREE_DAYS).show(system),
         Amount(one.cooling_degree_days, DEGREE_DAYS).show(system), " or ".join(one.possible))
        for one in found.conventions
    ])  # fmt: skip


def _tests(found: ComputedZone, system: System) -> None:
    from ventwright.cli import show

    show.heading("Marine, dry or moist")
    answers = {True: "yes", False: "no", None: "cannot tell"}
    show.table(("test", "found", "limit", "holds"), [
        (one.name, one.found.show(system), one.limit.show(system), answers[one.holds]) for one in found.tests
    ])  # fmt: skip
