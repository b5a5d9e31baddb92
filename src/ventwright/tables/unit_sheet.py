"""The data sheet of a rooftop unit: what its maker says once for all units of the kind."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from ventwright.entry import Count, Entry, HeatRate, ShortName, SupplyAirflow, Temperature
from ventwright.errors import Refusal, Refused
from ventwright.tables.kit import Heating


class SheetSpeed(Entry):
    """One fan speed with its design airflow."""

    name: str = Field(min_length=1, description="what the speed is called, such as high")
    supply_air: SupplyAirflow = Field(description='design supply airflow, such as "4000 cfm"')


def _names_once(speeds: tuple[SheetSpeed, ...]) -> tuple[SheetSpeed, ...]:
    names = [speed.name for speed in speeds]
    if len(set(names)) < len(names):
        twice = next(name for name in names if names.count(name) > 1)
        raise Refused(Refusal("names two fan speeds", "a name of its own for every speed", given=twice))
    return speeds


class UnitSheet(Entry):
    """A rooftop unit as its file describes it."""

    kind: Literal["unit"] = Field(description='the word "unit"')
    id: ShortName
    name: str = Field(min_length=3, description="what people call it")
    invented: bool = Field(False, description="true for an example that exists nowhere")
    cooling_capacity: HeatRate = Field(description='cooling capacity, such as "10 ton"')
    cooling_stages: Count = Field(ge=1, le=8, description="stages of mechanical cooling, such as 2")
    heating: Heating
    reversing_valve: Literal["energized in cooling", "energized in heating"] | None = Field(
        None, description="when a heat pump's reversing valve has power"
    )
    lowest_cooling_ambient: Temperature | None = Field(None, description='such as "50 F"')
    low_ambient_control: Literal["fitted", "not fitted", "unknown"] = "unknown"
    fan_speeds: Annotated[tuple[SheetSpeed, ...], AfterValidator(_names_once)] = Field(
        min_length=1, description="its fan speeds, fastest first, each with name and supply_air"
    )
    board: str | None = Field(None, description="id of its control board")
    note: str = ""
