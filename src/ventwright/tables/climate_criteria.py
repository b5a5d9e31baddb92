"""ASHRAE 169: the limits that make a climate zone, by edition, each group with its source."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any, Final

from ventwright.physics.climate_zone import DryBand, MarineLimits, ThermalRow
from ventwright.physics.degree_days import DEGREE_DAYS, PRECIPITATION
from ventwright.quantity import FRACTION, TEMPERATURE, TEMPERATURE_DIFFERENCE, read
from ventwright.tables.data_file import read_facts
from ventwright.tables.lookup import key, unknown_edition
from ventwright.tables.source import Source, source_for

if TYPE_CHECKING:
    from collections.abc import Mapping

FILE: Final = ("climate", "criteria.toml")

DEFINITIONS: Final = ("169-2006", "169-2013", "169-2020")
"""Editions of ASHRAE 169 whose criteria are held here."""

LATEST: Final = "169-2013"
"""Taken where nobody says which: its zones are those of the energy codes from 90.1-2016 and IECC-2021 on."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Criteria:
    """Everything one edition goes by, temperatures in °C, degree days in K·day, depths in m."""

    definition: str
    cooling_base: float
    heating_base: float
    heating_base_inch_pound: float
    thermal: tuple[ThermalRow, ...]
    thermal_source: Source
    marine: MarineLimits
    marine_zones: tuple[str, ...]
    marine_source: Source
    dry: tuple[DryBand, ...]
    dry_source: Source

    @property
    def sources(self) -> tuple[Source, ...]:
        """The source of every group of limits."""
        return (self.thermal_source, self.marine_source, self.dry_source)


def definition_named(text: str, where: str = "") -> str:
    """Return an edition by its name: "169-2013", "ASHRAE 169 2013" or "2013".

    Raises
    ------
    Refused
        No such edition; the ones there are stand in the sentence.
    """
    wanted = key(text).removeprefix("ansi").removeprefix("ashrae")
    for definition in DEFINITIONS:
        if wanted in {key(definition), definition.rpartition("-")[2]}:
            return definition
    raise unknown_edition(text, DEFINITIONS, "edition of ASHRAE 169 with criteria here", where)


def definition_of_code(code_edition: str) -> str:
    """Return the edition of ASHRAE 169 that the climate zones of an energy code go by, as far as it is known."""
    for row in read_facts(*FILE)["used_by"]:
        if source_for(code_edition, row["sources"]) is not None:
            return str(row["definition"])
    return LATEST


def criteria(definition: str) -> Criteria:
    """Return the limits of an edition.

    Raises
    ------
    Refused
        No such edition.
    """
    return _criteria(definition_named(definition))


@cache
def _criteria(definition: str) -> Criteria:
    bases, _ = _part("bases", definition)
    thermal, thermal_source = _part("thermal", definition)
    marine, marine_source = _part("marine", definition)
    dry, dry_source = _part("dry", definition)
    return Criteria(
        definition=definition,
        cooling_base=read(bases["cooling"], TEMPERATURE).value,
        heating_base=read(bases["heating"], TEMPERATURE).value,
        heating_base_inch_pound=read(bases["heating_inch_pound"], TEMPERATURE).value,
        thermal=tuple(_row(row) for row in thermal["rows"]),
        thermal_source=thermal_source,
        marine=MarineLimits(
            coldest_at_least=read(marine["coldest_at_least"], TEMPERATURE).value,
            coldest_at_most=read(marine["coldest_at_most"], TEMPERATURE).value,
            warmest_below=read(marine["warmest_below"], TEMPERATURE).value,
            warm_months=marine["warm_months"],
            warm_month_above=read(marine["warm_month_above"], TEMPERATURE).value,
            wet_to_dry=float(marine["wet_to_dry"]),
        ),
        marine_zones=tuple(marine["zones"].split()),
        marine_source=marine_source,
        dry=tuple(
            DryBand(
                read(band["share_from"], FRACTION).value,
                band["included"],
                read(band["slope"], PRECIPITATION).value,
                read(band["offset"], TEMPERATURE_DIFFERENCE).value,
            )
            for band in dry["bands"]
        ),
        dry_source=dry_source,
    )


def _part(name: str, definition: str) -> tuple[Mapping[str, Any], Source]:
    """Return the group of limits that holds in an edition; one that is missing is a mistake in the file."""
    for part in read_facts(*FILE)[name]:
        if placed := source_for(definition, part["sources"]):
            return part, placed[0]
    message = f"no {name} criteria for {definition}"
    raise ValueError(message)


def _row(row: Mapping[str, str]) -> ThermalRow:
    limits = {
        name: read(row[name], DEGREE_DAYS).value
        for name in ("cooling_above", "cooling_at_most", "heating_above", "heating_at_most")
        if name in row
    }
    return ThermalRow(row["zone"], row.get("letters", ""), **limits)
