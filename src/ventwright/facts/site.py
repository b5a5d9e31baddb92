"""Where the unit stands, and under which codes."""

from __future__ import annotations

from itertools import pairwise
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator, Field

from ventwright.entry import Count, Elevation, Entry, Moment, Temperature
from ventwright.errors import Refusal, Refused


def _zone_without_letter(typed: object) -> object:
    """Take a zone that YAML reads as a number: 7 and 8 have no letter, and nobody thinks of quotes there."""
    return str(typed) if type(typed) is int else typed


class Site(Entry):
    """The building, its place and the codes that hold there."""

    name: str = Field(description="what people call the site, such as Larkspur Row", min_length=1)
    address: str = Field("", description="how to find it, free text")
    climate_zone: Annotated[str | None, BeforeValidator(_zone_without_letter)] = Field(
        None,
        description="climate zone by hand, such as 3C, or CA 12 in California's code; else by county and state",
    )
    county: str | None = Field(None, description="county, such as Cook")
    state: str | None = Field(None, description="state, such as Illinois or IL")
    weather_file: str | None = Field(
        None, description="a year of hourly weather beside the job, EPW or TMY3 CSV: for zone and elevation"
    )
    precipitation: str = Field(
        "",
        description='of a year, such as "510 mm", or of the twelve months with commas: for a zone from weather',
    )
    elevation: Elevation | None = Field(None, description='height above sea level, such as "5300 ft"')
    energy_code: str | None = Field(
        None, description="energy code and edition, such as 90.1-2019 or IECC-2021"
    )
    storeys: Count | None = Field(
        None,
        ge=1,
        le=200,
        description="storeys of the building above ground; dampers may leak less in tall ones",
    )
    note: str = ""


class ForecastHour(Entry):
    """What a forecast says of one time."""

    at: Moment = Field(description='time with its offset, such as "2026-11-25T07:00-08:00"')
    outdoor_air: Temperature = Field(description='outdoor temperature, such as "36 F"')


def _in_order(forecast: tuple[ForecastHour, ...]) -> tuple[ForecastHour, ...]:
    for earlier, later in pairwise(forecast):
        if later.at <= earlier.at:
            raise Refused(
                Refusal(
                    "is no later than the time above it",
                    "every time once, in order",
                    given=later.at.isoformat(timespec="minutes"),
                )
            )
    return forecast


class Weather(Entry):
    """The air expected, or met, on the day: for the target temperatures of the plan."""

    outdoor_air: Temperature = Field(description='outdoor temperature, such as "58 F"')
    return_air: Temperature | None = Field(None, description='return-air temperature, such as "74 F"')
    forecast: Annotated[tuple[ForecastHour, ...], AfterValidator(_in_order)] = Field(
        (), description="outdoor temperatures by time, today's first: when to come and read"
    )
