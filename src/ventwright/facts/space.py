"""The spaces a unit serves, and the ventilation they are promised."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import AfterValidator, Field

from ventwright.entry import Airflow, Area, Entry, Number, Share
from ventwright.errors import Refusal, Refused
from ventwright.quantity import AIRFLOW, Quantity


def _asks_for_air(airflow: Quantity) -> Quantity:
    """Refuse a drawing that asks for nothing: a slip, since nothing could then be right."""
    if airflow.value <= 0.0:
        raise Refused(
            Refusal(
                "asks for no outdoor air",
                f"the airflow drawn, such as {AIRFLOW.example}",
                given=airflow.typed,
            )
        )
    return airflow


def _reaches_the_zone(airflow: Quantity) -> Quantity:
    """Refuse a primary airflow of nothing: the share of outdoor air in it would be without end."""
    if airflow.value <= 0.0:
        accepted = f"the least primary air that reaches the zone, such as {AIRFLOW.example}"
        raise Refused(Refusal("is no primary airflow", accepted, given=airflow.typed))
    return airflow


DrawnAirflow = Annotated[Airflow, AfterValidator(_asks_for_air)]
PrimaryAirflow = Annotated[Airflow, AfterValidator(_reaches_the_zone)]


class Space(Entry):
    """One space: its use decides the rates, its area and people the airflow."""

    name: str = Field(description="what the space is called, such as Sales floor", min_length=1)
    use: str = Field(description='occupancy category of the ventilation standard, such as "Retail / Sales"')
    floor_area: Area = Field(description='net occupiable floor area, such as "4800 ft2"')
    people: Number | None = Field(
        None, ge=0, description="people at most; left out, the standard's default density is used"
    )
    people_source: str = Field("", description="where the number of people comes from")
    zone: str = Field("", description="zone the space belongs to; left out, a zone of its own name")


class Zone(Entry):
    """Air distribution of a zone: how well supply air reaches people, and the airflow it gets."""

    name: str = Field(min_length=1, description="the name that its spaces give as their zone")
    cooling_distribution: str | None = Field(None, description="air distribution in cooling, by its id")
    heating_distribution: str | None = Field(None, description="air distribution in heating, by its id")
    least_primary_air: PrimaryAirflow | None = Field(
        None, description='least primary airflow of the zone, such as "480 cfm"'
    )


class DrawnOutdoorAir(Entry):
    """Outdoor air taken from drawings or a balancing report instead of from the code sum."""

    cooling: DrawnAirflow = Field(description='outdoor airflow in cooling, such as "1116 cfm"')
    heating: DrawnAirflow | None = Field(
        None, description="outdoor airflow in heating; left out, as in cooling"
    )
    source: str = Field(min_length=3, description="where it is written: sheet, schedule, report and date")


class Ventilation(Entry):
    """How the required outdoor air is found."""

    standard: str | None = Field(None, description="ventilation standard and edition, such as 62.1-2019")
    system: Literal["single zone", "all outdoor air", "multiple zones"] = Field(
        "single zone", description="single zone, all outdoor air or multiple zones"
    )
    method: Literal["simplified", "zone table", "appendix A"] | None = Field(
        None, description="efficiency of a multiple-zone system: simplified, zone table or appendix A"
    )
    people_at_once: Number | None = Field(
        None, gt=0, description="people in all zones at the same time, at most"
    )
    supply_air: Airflow | None = Field(None, description="system primary airflow for appendix A")
    zones: tuple[Zone, ...] = Field(
        (), description="zones with an air distribution or least airflow of their own"
    )
    drawn: DrawnOutdoorAir | None = Field(None, description="outdoor air from drawings or a balancing report")
    demand_control: Literal["fitted", "not fitted", "unknown"] = Field(
        "unknown", description="demand-controlled ventilation"
    )
    tolerance: Share | None = Field(
        None, description='accepted departure from the required airflow, such as "10 %"'
    )
