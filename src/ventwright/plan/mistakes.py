"""Mistakes in the facts that a plan meets: every one that does not hang on another is told at once, not one after the other."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial
from pathlib import Path

from ventwright.errors import Attempt, Refused, Unread, refuse_every
from ventwright.facts import Facts
from ventwright.facts.site import Site
from ventwright.facts.space import Space, Zone
from ventwright.physics.moist_air import STANDARD_PRESSURE
from ventwright.plan.basis import (
    DEFAULT_ENERGY_CODE,
    DEFAULT_VENTILATION_STANDARD,
    Basis,
    refuse_still,
    speeds_of,
)
from ventwright.plan.outdoor_air import plan_ventilation, tolerance_of
from ventwright.plan.people import people_in
from ventwright.plan.place import place_of
from ventwright.plan.power import plan_power
from ventwright.plan.power.secondary import metered_pair, metered_voltage
from ventwright.plan.several_zones import zones_of
from ventwright.plan.wiring.from_facts import refuse_strange_parts
from ventwright.tables import climate, energy_code, ventilation
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find_at


def refuse_mistakes(facts: Facts, beside: Path | None = None) -> None:
    """Look for every mistake that the plan would stop at, each once, in the order of the stages.

    Parameters
    ----------
    facts
        The first section of a job, or as much of it as could be read; what is wrong in one part hides nothing in another.
    beside
        Folder in which equipment files of a person's own are looked for.

    Raises
    ------
    Refused
        Every mistake that hangs on no other.
    Unread
        There is none, and something hangs on a part that was refused.
    """
    refuse_every((
        lambda: refuse_every(_of_the_place(facts.site, beside)),
        lambda: refuse_still(facts.unit.fan_speeds),
        lambda: speeds_of(facts, beside),
        lambda: refuse_every(_of_the_ventilation(facts)),
        lambda: refuse_every(_of_the_power(facts)),
        lambda: find_at("kits", facts.kit, Kit, "facts.kit", beside),
        lambda: refuse_strange_parts(facts, beside),
    ))  # fmt: skip


def _of_the_place(site: Site, beside: Path | None) -> Iterator[Attempt]:
    yield lambda: _zone(site)
    yield lambda: _energy_code(site)
    yield lambda: place_of(site, _code_or_usual(site), beside)


def _zone(site: Site) -> None:
    if site.climate_zone is not None:
        climate.climate_zone(site.climate_zone, "facts.site.climate_zone")
    elif site.county is not None and site.state is not None:
        climate.zone_of_county(site.county, site.state, "facts.site.county")


def _energy_code(site: Site) -> None:
    if site.energy_code is not None:
        energy_code.edition_named(site.energy_code, "facts.site.energy_code")


def _code_or_usual(site: Site) -> str:
    """Return the code that the place is looked up with: what may be wrong with a place is the same under any."""
    try:
        _energy_code(site)
    except (Refused, Unread):
        return DEFAULT_ENERGY_CODE
    return site.energy_code or DEFAULT_ENERGY_CODE


def _of_the_ventilation(facts: Facts) -> Iterator[Attempt]:
    yield lambda: tolerance_of(facts.ventilation)
    yield lambda: _edition(facts)
    yield lambda: refuse_every(
        partial(_space, space, facts, f"facts.spaces[{number}]") for number, space in enumerate(facts.spaces, start=1)
    )  # fmt: skip
    yield lambda: refuse_every(partial(_distributions, zone, facts) for zone in facts.ventilation.zones)
    yield lambda: zones_of(facts.spaces, facts.ventilation) if facts.spaces else None
    yield lambda: _sum(facts)


def _edition(facts: Facts) -> str:
    named = facts.ventilation.standard or DEFAULT_VENTILATION_STANDARD
    return ventilation.edition_named(named, "facts.ventilation.standard")


def _space(space: Space, facts: Facts, where: str) -> None:
    people_in(space, ventilation.rate(_known_edition(facts), space.use, f"{where}.use"))


def _distributions(zone: Zone, facts: Facts) -> None:
    where = f"facts.ventilation.zones ({zone.name})"
    refuse_every(
        partial(ventilation.distribution, _known_edition(facts), named, f"{where}.{mode}_distribution")
        for mode, named in (("cooling", zone.cooling_distribution), ("heating", zone.heating_distribution))
        if named is not None
    )


def _sum(facts: Facts) -> None:
    """Sum up the air of the spaces, the tolerance set aside: it is looked at by itself."""
    if not facts.spaces:
        return
    alone = Basis(
        None, "", DEFAULT_ENERGY_CODE, _known_edition(facts), elevation=0.0, pressure=STANDARD_PRESSURE, cooling_capacity=None
    )  # fmt: skip
    plan_ventilation(facts.spaces, facts.ventilation.model_copy(update={"tolerance": None}), alone)


def _known_edition(facts: Facts) -> str:
    """Return the edition for what hangs on it; one that is refused is told by itself."""
    try:
        return _edition(facts)
    except Refused:
        raise Unread from None


def _of_the_power(facts: Facts) -> Iterator[Attempt]:
    power = facts.power
    if power is None:
        return
    yield lambda: refuse_every(
        partial(metered_pair, one, facts.instruments, f"facts.power.transformers[{number}]")
        for number, one in enumerate(power.transformers, start=1)
    )
    yield lambda: refuse_every(
        partial(metered_voltage, join.between_hots, join.instrument, facts.instruments, f"facts.power.joined[{number}]")
        for number, join in enumerate(power.joined, start=1)
        if join.between_hots is not None
    )  # fmt: skip
    yield lambda: plan_power(power, facts.instruments)
