"""One unit for several zones: the intake that ventilates the worst of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from ventwright.errors import Refusal, Refused, refuse_every
from ventwright.facts.space import Space, Ventilation, Zone
from ventwright.quantity import AIRFLOW
from ventwright.tables import ventilation
from ventwright.tables import ventilation_efficiency as efficiency_of
from ventwright.tables import ventilation_procedure as procedure
from ventwright.tables.source import Source
from ventwright.words import Amount

ZONES = "facts.ventilation.zones"
"""Where the zones stand in the document."""


@dataclass(frozen=True, slots=True)
class ServedZone:
    """A zone with its spaces and how air reaches people in it."""

    name: str
    spaces: tuple[procedure.Space, ...]
    facts: Zone | None

    @property
    def people(self) -> float:
        """People in all its spaces."""
        return sum(space.people for space in self.spaces)


def zones_of(spaces: Sequence[Space], given: Ventilation) -> list[str]:
    """Return the zones that the spaces make, in their order.

    Raises
    ------
    Refused
        Every zone that is described and is the zone of no space.
    """
    names = list(dict.fromkeys(zone_of(space, given) for space in spaces))
    kept = {space.zone or space.name for space in spaces} if given.system == "single zone" else set()
    strangers = dict.fromkeys(
        zone.name
        for zone in given.zones
        if zone.name not in names and not (zone.name in kept and _says_only_its_airflow(zone))
    )
    if strangers:
        known = ", ".join(names)
        raise Refused(*(Refusal("is the zone of no space", known, ZONES, one) for one in strangers))
    return names


def _says_only_its_airflow(zone: Zone) -> bool:
    """Whether a zone says nothing that one zone for all would have to choose between: kept while the zones are one."""
    return zone.cooling_distribution is None and zone.heating_distribution is None


def zone_of(space: Space, given: Ventilation) -> str:
    """A single-zone system is one zone, whatever its spaces are called."""
    if given.system == "single zone":
        return given.zones[0].name if given.zones else "the zone"
    return space.zone or space.name


def method_of(given: str | None, edition: str) -> str:
    """Return how the efficiency of a system of several zones is found: as given, else as the edition has it."""
    return given or ("zone table" if edition.endswith("2016") else "simplified")


def needs_primary_air(system: str, method: str | None, edition: str) -> bool:
    """Whether every zone's least primary airflow has to be known for the outdoor air required.

    Parameters
    ----------
    system, method
        As the facts have them under ``ventilation``.
    edition
        Ventilation standard, such as "62.1-2016"; one that adds the zones' air up needs none.
    """
    adds_up = any(one.combination == "larger" for one in ventilation.rates(edition))
    return system == "multiple zones" and not adds_up and method_of(method, edition) != "simplified"


def intake_of_zones(
    zones: Sequence[ServedZone],
    outdoor: Sequence[float],
    given: Ventilation,
    edition: str,
) -> tuple[float, float, Source | None]:
    """Intake and efficiency of a recirculating system that serves several zones."""
    people = [zone.people for zone in zones]
    diversity = (
        procedure.occupant_diversity(given.people_at_once, people)
        if given.people_at_once and sum(people)
        else 1.0
    )
    uncorrected = procedure.uncorrected_intake(diversity, [space for zone in zones for space in zone.spaces])
    method = method_of(given.method, edition)
    source: Source | None = None
    if method == "simplified":
        printed = ventilation.simplified_efficiency(edition)
        source = printed.source
        _refuse_starved(zones, outdoor, printed)
        efficiency = efficiency_of.efficiency_from_diversity(diversity, printed)
    else:
        by = f"{edition} ({method})"
        refuse_every(partial(_primary, zone, by) for zone in zones)
        shares = [
            efficiency_of.zone_primary_fraction(need, _primary(zone, by))
            for zone, need in zip(zones, outdoor, strict=True)
        ]
        if method == "zone table":
            table = ventilation.zone_table(edition)
            source = table.source
            efficiency = _from_zone_table(max(shares), table, edition)
        else:
            average = efficiency_of.average_outdoor_air_fraction(
                uncorrected, _system_primary(zones, given, by)
            )
            efficiency = efficiency_of.system_efficiency(
                [efficiency_of.zone_efficiency_single_supply(average, share) for share in shares]
            )
    return procedure.multiple_zone_intake(uncorrected, efficiency), efficiency, source


def _from_zone_table(largest: float, table: ventilation.ZoneTable, edition: str) -> float:
    """Look the efficiency up; beyond the table say what a person can do about it."""
    try:
        return efficiency_of.efficiency_from_zone_table(largest, table)
    except Refused:
        problem = (
            f"is the largest share of outdoor air in a zone's primary air, beyond the table of {edition}"
        )
        accepted = f"at most {table.rows[-1][0]:.0%}, by more primary air, or method: appendix A"
        raise Refused(Refusal(problem, accepted, "facts.ventilation.method", f"{largest:.0%}")) from None


def _primary(zone: ServedZone, by: str) -> float:
    if zone.facts is None or zone.facts.least_primary_air is None:
        problem = f"has no primary airflow, and {by} needs that of every zone"
        accepted = 'the least primary airflow of that zone, such as "480 cfm"'
        raise Refused(Refusal(problem, accepted, f"{ZONES} (least_primary_air)", zone.name, missing=True))
    return zone.facts.least_primary_air.value


def _system_primary(zones: Sequence[ServedZone], given: Ventilation, by: str) -> float:
    return given.supply_air.value if given.supply_air else sum(_primary(zone, by) for zone in zones)


def _refuse_starved(
    zones: Sequence[ServedZone], outdoor: Sequence[float], printed: ventilation.SimplifiedEfficiency
) -> None:
    """The simplified efficiency holds only where every zone gets enough primary air; where it is given, it must."""
    starved = []
    for zone, need in zip(zones, outdoor, strict=True):
        least = efficiency_of.least_primary_airflow(need, printed)
        if (
            zone.facts
            and zone.facts.least_primary_air
            and zone.facts.least_primary_air.value < least * (1 - 1e-6)
        ):
            given = zone.facts.least_primary_air.typed
            accepted = f"at least {Amount(least, AIRFLOW).show('us')} ({Amount(least, AIRFLOW).show('si')}), or method: appendix A"
            problem = "is too little primary air for the simplified method"
            starved.append(Refusal(problem, accepted, f"facts.ventilation.zones ({zone.name})", given))
    if starved:
        raise Refused(*starved)
