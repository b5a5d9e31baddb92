"""One unit for several zones: the intake that ventilates the worst of them."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

from ventwright.errors import Refusal, Refused, every_refusal
from ventwright.facts.space import Space, Ventilation, Zone
from ventwright.quantity import AIRFLOW
from ventwright.tables import ventilation
from ventwright.tables import ventilation_efficiency as efficiency_of
from ventwright.tables import ventilation_procedure as procedure
from ventwright.tables.source import Source
from ventwright.words import Amount


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
    strangers = dict.fromkeys(zone.name for zone in given.zones if zone.name not in names)
    if strangers:
        known, where = ", ".join(names), "facts.ventilation.zones"
        raise Refused(*(Refusal("is the zone of no space", known, where, one) for one in strangers))
    return names


def zone_of(space: Space, given: Ventilation) -> str:
    """A single-zone system is one zone, whatever its spaces are called."""
    if given.system == "single zone":
        return given.zones[0].name if given.zones else "the zone"
    return space.zone or space.name


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
    method = given.method or ("zone table" if edition.endswith("2016") else "simplified")
    source: Source | None = None
    if method == "simplified":
        printed = ventilation.simplified_efficiency(edition)
        source = printed.source
        _refuse_starved(zones, outdoor, printed)
        efficiency = efficiency_of.efficiency_from_diversity(diversity, printed)
    else:
        without = every_refusal(partial(_primary, zone) for zone in zones)
        if without:
            raise Refused(*without)
        shares = [
            efficiency_of.zone_primary_fraction(need, _primary(zone))
            for zone, need in zip(zones, outdoor, strict=True)
        ]
        if method == "zone table":
            table = ventilation.zone_table(edition)
            source = table.source
            efficiency = efficiency_of.efficiency_from_zone_table(max(shares), table)
        else:
            average = efficiency_of.average_outdoor_air_fraction(uncorrected, _system_primary(zones, given))
            efficiency = efficiency_of.system_efficiency(
                [efficiency_of.zone_efficiency_single_supply(average, share) for share in shares]
            )
    return procedure.multiple_zone_intake(uncorrected, efficiency), efficiency, source


def _primary(zone: ServedZone) -> float:
    if zone.facts is None or zone.facts.least_primary_air is None:
        accepted = 'least_primary_air for it under facts.ventilation.zones, such as "480 cfm"'
        raise Refused(
            Refusal(
                "has no primary airflow, and this method needs one",
                accepted,
                "facts.ventilation.zones",
                zone.name,
            )
        )
    return zone.facts.least_primary_air.value


def _system_primary(zones: Sequence[ServedZone], given: Ventilation) -> float:
    return given.supply_air.value if given.supply_air else sum(_primary(zone) for zone in zones)


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
