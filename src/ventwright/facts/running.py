"""How the unit runs through the year, for what it saves: open hours, the space's load, efficiencies, prices."""

from __future__ import annotations

import re
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from ventwright.entry import Entry, HeatRate, Number, Share, Temperature, Typed
from ventwright.errors import Refusal, Refused
from ventwright.quantity import FRACTION, TEMPERATURE_DIFFERENCE, Quantity

HeatYield = Annotated[Quantity, Typed((FRACTION,), 0.05, 8.0)]
"""Heat over the energy bought for it: a heat pump gives more than it takes, none more than this (our own assumption)."""

CLOSED, ALL_DAY = "closed", "all day"

_SPAN = re.compile(r"(\d{1,2})(?::00)?\s*(?:-|to)\s*(\d{1,2})(?::00)?(?:\s*h)?")


def opening(text: str) -> range:
    """Return the hours of the day, from 0 to 23, in which a unit runs: "7-19", "all day" or "closed".

    Raises
    ------
    Refused
        It is none of these, or ends before it begins.
    """
    given = text.strip().lower()
    if given in {CLOSED, ALL_DAY}:
        return range(24) if given == ALL_DAY else range(0)
    found = _SPAN.fullmatch(given)
    if found is None or not 0 <= int(found[1]) < int(found[2]) <= 24:
        accepted = 'whole hours such as "7-19", "all day" or "closed"'
        raise Refused(Refusal("is no opening time", accepted, given=text))
    return range(int(found[1]), int(found[2]))


def _readable(text: str) -> str:
    opening(text)
    return text


SensorAccuracy = Annotated[Quantity, Typed((TEMPERATURE_DIFFERENCE,), 0.0, 20.0)]

Opening = Annotated[str, AfterValidator(_readable)]


class CompressorSeen(Entry):
    """What share of an hour the compressors ran at an outdoor temperature: from a trend, to find the balance point."""

    outdoor_air: Temperature = Field(description='outdoor temperature of the hour, such as "68 F"')
    share_running: Share = Field(description='share of the hour that they ran, all stages together: "35 %"')


class Running(Entry):
    """How the unit is used, and what its energy costs. What is left out is assumed as a range, and says so."""

    weekdays: Opening = Field("7-19", description='hours in which the fan runs, Monday to Friday: "7-19"')
    saturday: Opening = Field(CLOSED, description='the same on Saturdays: "9-13", "all day" or "closed"')
    sunday: Opening = Field(CLOSED, description="the same on Sundays")
    first_day: Literal["Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday"] = Field(
        "Monday", description="weekday of the weather file's 1 January"
    )
    balance_point: Temperature | None = Field(
        None,
        description='outdoor temperature below which the space needs no cooling, such as "48 F ± 4 F"',
    )
    compressor_seen: tuple[CompressorSeen, ...] = Field(
        (),
        description="hours of a trend, from which the balance point is found where it is not given",
    )
    internal_gains: HeatRate | None = Field(
        None,
        description='what people, lights and machines give off while it is open, such as "12 kW": for the balance point where no hours tell it',
    )
    load_at_design: HeatRate | None = Field(
        None, description='sensible load of the space on the hottest day, such as "76500 Btu/h"'
    )
    sensor_accuracy: SensorAccuracy | None = Field(
        None, description='"±" of the temperature sensors that decide on free cooling, such as "1 F"'
    )
    eer: Number | None = Field(
        None,
        gt=3,
        lt=30,
        description="rated cooling over power of compressors and condenser fans, Btu/h per W, such as 11.0",
    )
    fan_power: HeatRate | None = Field(
        None, description='power of the supply fan at its fastest speed, such as "1.5 kW"'
    )
    relief_power: HeatRate | None = Field(
        None, description='power of the exhaust or relief fan, such as "0.4 kW"'
    )
    heating_efficiency: HeatYield | None = Field(
        None,
        description='heat into the air over gas or electricity bought, such as "80 %"; of a heat pump "290 %"',
    )
    currency: str = Field("$", description="sign of the currency in which the prices are", max_length=4)
    electricity_price: Number | None = Field(None, ge=0, description="price of 1 kWh of electricity")
    fuel_price: Number | None = Field(None, ge=0, description="price of 1 kWh of fuel; 1 therm is 29.3 kWh")
    electricity_emissions: Number | None = Field(
        None, ge=0, description="kg of carbon dioxide for 1 kWh of electricity"
    )
    fuel_emissions: Number | None = Field(None, ge=0, description="kg of carbon dioxide for 1 kWh of fuel")
