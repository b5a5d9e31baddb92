"""The data sheet of a rooftop unit: what its maker says once for all units of the kind."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from ventwright.entry import Airflow, Entry, HeatRate, Temperature


class SheetSpeed(Entry):
    """One fan speed with its design airflow."""

    name: str = Field(min_length=1, description="what the speed is called, such as high")
    supply_air: Airflow = Field(description='design supply airflow, such as "4000 cfm"')


class UnitSheet(Entry):
    """A rooftop unit as its file describes it."""

    kind: Literal["unit"] = Field(description='the word "unit"')
    id: str = Field(
        pattern=r"^[a-z0-9][a-z0-9-]*$", description="short name in small letters, digits and hyphens"
    )
    name: str = Field(min_length=3, description="what people call it")
    invented: bool = Field(False, description="true for an example that exists nowhere")
    cooling_capacity: HeatRate = Field(description='cooling capacity, such as "10 ton"')
    cooling_stages: int = Field(ge=1, le=8)
    heating: Literal["gas", "electric", "heat pump", "hot water", "none"]
    lowest_cooling_ambient: Temperature | None = Field(None, description='such as "50 F"')
    low_ambient_control: Literal["fitted", "not fitted", "unknown"] = "unknown"
    fan_speeds: tuple[SheetSpeed, ...] = Field(min_length=1, description="fastest first")
    board: str | None = Field(None, description="id of its control board")
    note: str = ""
