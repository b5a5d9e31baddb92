"""Mistakes in the facts that a plan meets: every one that does not hang on another is told at once, not one after the other."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from functools import partial
from pathlib import Path

from ventwright.errors import Refusal, Refused, every_refusal
from ventwright.facts import Facts
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

Attempt = Callable[[], object]


def mistakes_in(facts: Facts, beside: Path | None = None) -> tuple[Refusal, ...]:
    """Return every mistake that the plan would stop at, each once, in the order of the stages.

    Parameters
    ----------
    facts
        The first section of a job; a kit that is not there hides nothing that is found here.
    beside
        Folder in which equipment files of a person's own are looked for.
    """
    return every_refusal((
        *_of_the_place(facts, beside),
        partial(refuse_still, facts.unit.fan_speeds),
        partial(speeds_of, facts, beside),
        *_of_the_ventilation(facts),
        *_of_the_power(facts),
        partial(find_at, "kits", facts.kit, Kit, "facts.kit", beside),
        partial(refuse_strange_parts, facts, beside),
    ))  # fmt: skip


def _of_the_place(facts: Facts, beside: Path | None) -> Iterator[Attempt]:
    site = facts.site
    if site.climate_zone is not None:
        yield partial(climate.climate_zone, site.climate_zone, "facts.site.climate_zone")
    elif site.county is not None and site.state is not None:
        yield partial(climate.zone_of_county, site.county, site.state, "facts.site.county")
    if site.energy_code is not None:
        yield partial(energy_code.edition_named, site.energy_code, "facts.site.energy_code")
    known = site.energy_code is None or not every_refusal(
        [partial(energy_code.edition_named, site.energy_code)]
    )
    code = site.energy_code if site.energy_code is not None and known else DEFAULT_ENERGY_CODE
    yield partial(place_of, site, code, beside)


def _of_the_ventilation(facts: Facts) -> Iterator[Attempt]:
    given = facts.ventilation
    yield partial(tolerance_of, given)
    if given.standard is not None:
        yield partial(ventilation.edition_named, given.standard, "facts.ventilation.standard")
    try:
        edition = ventilation.edition_named(given.standard or DEFAULT_VENTILATION_STANDARD)
    except Refused:
        return
    for number, space in enumerate(facts.spaces, start=1):
        rate = partial(ventilation.rate, edition, space.use, f"facts.spaces[{number}].use")
        yield rate
        if not every_refusal([rate]):
            yield partial(people_in, space, rate())
    for zone in given.zones:
        where = f"facts.ventilation.zones ({zone.name})"
        for mode, named in (("cooling", zone.cooling_distribution), ("heating", zone.heating_distribution)):
            if named is not None:
                yield partial(ventilation.distribution, edition, named, f"{where}.{mode}_distribution")
    if facts.spaces:
        yield partial(zones_of, facts.spaces, given)
        alone = Basis(
            None, "", DEFAULT_ENERGY_CODE, edition, elevation=0.0, pressure=STANDARD_PRESSURE, cooling_capacity=None
        )  # fmt: skip
        yield partial(plan_ventilation, facts.spaces, given.model_copy(update={"tolerance": None}), alone)


def _of_the_power(facts: Facts) -> Iterator[Attempt]:
    power, instruments = facts.power, facts.instruments
    if power is None:
        return
    for number, one in enumerate(power.transformers, start=1):
        yield partial(metered_pair, one, instruments, f"facts.power.transformers[{number}]")
    for number, join in enumerate(power.joined, start=1):
        if join.between_hots is not None:
            where = f"facts.power.joined[{number}]"
            yield partial(metered_voltage, join.between_hots, join.instrument, instruments, where)
    yield partial(plan_power, power, instruments)
