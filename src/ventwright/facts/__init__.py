"""What is true before a hand goes in: site, unit, spaces, kit, instruments, as found."""

from __future__ import annotations

from typing import Annotated

from pydantic import AfterValidator, Field

from ventwright.entry import Entry
from ventwright.errors import Refusal, Refused
from ventwright.facts.as_found import AsFound
from ventwright.facts.at_hand import AtHand
from ventwright.facts.harness import Harness
from ventwright.facts.instrument import Instrument
from ventwright.facts.power import Power
from ventwright.facts.running import Running
from ventwright.facts.site import Site, Weather
from ventwright.facts.space import Space, Ventilation
from ventwright.facts.unit import Unit


def _ids_once(instruments: tuple[Instrument, ...]) -> tuple[Instrument, ...]:
    ids = [instrument.id for instrument in instruments]
    if len(set(ids)) < len(ids):
        twice = next(one for one in ids if ids.count(one) > 1)
        raise Refused(Refusal("names two instruments", "an id of its own for every instrument", given=twice))
    return instruments


class Facts(Entry):
    """The first section of a job."""

    site: Site
    unit: Unit
    spaces: tuple[Space, ...] = Field((), description="the spaces the unit serves")
    ventilation: Ventilation = Ventilation()
    kit: str = Field(description="the economizer kit: its id, or a .yaml file beside the job")
    weather: Weather | None = Field(None, description="outdoor and return air expected on the day")
    instruments: Annotated[tuple[Instrument, ...], AfterValidator(_ids_once)] = ()
    as_found: AsFound | None = None
    harness: Harness | None = Field(None, description="what joins the kit to the unit, as far as it is known")
    truck: tuple[str, ...] | None = Field(
        None, description="the adapters at hand: ids, or .yaml files beside the job; left out, nobody said"
    )
    power: Power | None = Field(None, description="control power: transformers, loads, runs of wire, joins")
    at_hand: AtHand | None = Field(
        None, description="people and substitute resistors for the functional tests"
    )
    running: Running | None = Field(
        None, description="how the unit runs through the year, for what it saves; left out, a usual office"
    )


__all__ = [
    "AsFound",
    "AtHand",
    "Facts",
    "Harness",
    "Instrument",
    "Running",
    "Site",
    "Space",
    "Unit",
    "Ventilation",
    "Weather",
]
