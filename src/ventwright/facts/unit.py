"""The rooftop unit as it stands: capacity, stages, fan speeds, what its compressor can bear."""

from __future__ import annotations

from enum import StrEnum
from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from ventwright.entry import Count, Entry, HeatRate, Share, SupplyAirflow, Temperature
from ventwright.errors import Refusal, Refused
from ventwright.tables.kit import Heating


class SupplyBasis(StrEnum):
    """Where a supply airflow comes from."""

    DESIGN = "design value"
    FAN_TABLE = "fan table"
    BALANCING_REPORT = "balancing report"
    GUESS = "guess"


class FanSpeed(Entry):
    """One speed of the supply fan and the air it is thought to move before anybody measured."""

    name: str = Field(description="what the speed is called, such as high", min_length=1)
    supply_air: SupplyAirflow | None = Field(
        None, description='supply airflow at this speed, such as "4000 cfm"'
    )
    share_of_full: Share | None = Field(
        None, description='supply airflow as a share of the fastest speed, such as "66 %"'
    )
    basis: SupplyBasis = Field(SupplyBasis.DESIGN, description="where the number comes from")


def _names_once(speeds: tuple[FanSpeed, ...]) -> tuple[FanSpeed, ...]:
    names = [speed.name for speed in speeds]
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise Refused(Refusal("names two fan speeds", "a name of its own for every speed", given=twice))
    return speeds


class Unit(Entry):
    """The packaged unit. What is left out is taken from its data sheet, where one is named."""

    tag: str = Field(description="the unit's tag on site, such as R-2", min_length=1)
    serves: str = Field("", description="what it serves, free text")
    sheet: str | None = Field(
        None, description="data sheet of the unit: its id, or a .yaml file beside the job"
    )
    serial: str = ""
    cooling_capacity: HeatRate | None = Field(None, description='cooling capacity, such as "10 ton"')
    cooling_stages: Count | None = Field(
        None, ge=1, le=8, description="stages of mechanical cooling, such as 2"
    )
    heating: Heating | None = Field(None, description="gas, electric, heat pump, hot water or none")
    reversing_valve: Literal["energized in cooling", "energized in heating"] | None = Field(
        None, description="when a heat pump's reversing valve has power: energized in cooling or in heating"
    )
    location: Literal["outside", "inside"] = Field("outside", description="outside or inside the building")
    lowest_cooling_ambient: Temperature | None = Field(
        None,
        description='coldest outdoor air in which the nameplate allows mechanical cooling, such as "50 F"',
    )
    low_ambient_control: Literal["fitted", "not fitted", "unknown"] = Field(
        "unknown", description="low-ambient (head-pressure) control: fitted, not fitted or unknown"
    )
    relief: Literal["barometric", "powered", "none", "unknown"] = Field(
        "unknown", description="how excess air leaves the building: barometric, powered, none or unknown"
    )
    fan_speeds: Annotated[tuple[FanSpeed, ...], AfterValidator(_names_once)] = Field(
        (), description="the speeds of the supply fan, fastest first"
    )
