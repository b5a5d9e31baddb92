"""Names in the facts that must stand in a table: all that do not are told at once, not one after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial

from ventwright.errors import Refusal, Refused
from ventwright.facts import Facts
from ventwright.plan.basis import DEFAULT_VENTILATION_STANDARD
from ventwright.tables import climate, energy_code, ventilation


def refuse_unknown(facts: Facts) -> None:
    """Look up every name that the plan will need.

    Raises
    ------
    Refused
        With every name that is in no table, in the order of the document.
    """
    found: list[Refusal] = []
    for look_up in _look_ups(facts):
        try:
            look_up()
        except Refused as refused:
            found += refused.refusals
    if found:
        raise Refused(*found)


def _look_ups(facts: Facts) -> Iterator[Callable[[], object]]:
    site, told = facts.site, facts.ventilation
    if site.climate_zone is not None:
        yield partial(climate.climate_zone, site.climate_zone, "facts.site.climate_zone")
    elif site.county is not None and site.state is not None:
        yield partial(climate.zone_of_county, site.county, site.state, "facts.site.county")
    if site.energy_code is not None:
        yield partial(energy_code.edition_named, site.energy_code, "facts.site.energy_code")
    if told.standard is not None:
        yield partial(ventilation.edition_named, told.standard, "facts.ventilation.standard")
    if told.standard is None or _is_edition(told.standard):
        for number, space in enumerate(facts.spaces, start=1):
            where = f"facts.spaces[{number}].use"
            yield partial(ventilation.rate, told.standard or DEFAULT_VENTILATION_STANDARD, space.use, where)


def _is_edition(text: str) -> bool:
    try:
        ventilation.edition_named(text)
    except Refused:
        return False
    return True
