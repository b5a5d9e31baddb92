"""Carbon dioxide for demand control: what codes set, what a sensor must be, how much a person gives off."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from ventwright.quantity import AIRFLOW, CONCENTRATION, LENGTH, read
from ventwright.tables.data_file import read_facts
from ventwright.tables.demand_control import FILE
from ventwright.tables.lookup import key
from ventwright.tables.source import Source, document_of, editions_of, source_for, source_of
from ventwright.words import measured


@dataclass(frozen=True, slots=True, kw_only=True)
class SetPointLimit:
    """How far above outdoors a code lets a room go, and what it lets outdoors be taken for."""

    above_outdoor: float = measured(CONCENTRATION)
    outdoor_assumed: float = measured(CONCENTRATION)
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class SensorLimits:
    """What the sensor that controls outdoor air must be, and where it hangs."""

    band: float = measured(CONCENTRATION)
    at_low: float = measured(CONCENTRATION)
    at_high: float = measured(CONCENTRATION)
    height_from: float = measured(LENGTH)
    height_to: float = measured(LENGTH)
    years_between_calibrations: int
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class Generation:
    """What one person gives off, at one activity."""

    per_person: float = measured(AIRFLOW)
    activity: str
    source: Source


def set_point_limit(edition: str) -> SetPointLimit | None:
    """Return what an edition sets, such as "Title 24-2022"; None where it sets nothing that is held here."""
    for row in read_facts(FILE)["set_point"]:
        if placed := source_for(edition, row["sources"]):
            return SetPointLimit(
                above_outdoor=_ppm(row["above_outdoor"]),
                outdoor_assumed=_ppm(row["outdoor_assumed"]),
                source=placed[0],
            )
    return None


def sensor_limits(edition: str) -> SensorLimits | None:
    """Return what an edition asks of the sensor; None where nothing of it is held here."""
    for row in read_facts(FILE)["sensor"]:
        if placed := source_for(edition, row["sources"]):
            return SensorLimits(
                band=_ppm(row["band"]),
                at_low=_ppm(row["at_low"]),
                at_high=_ppm(row["at_high"]),
                height_from=read(row["height_from"], LENGTH).value,
                height_to=read(row["height_to"], LENGTH).value,
                years_between_calibrations=row["years_between_calibrations"],
                source=placed[0],
            )
    return None


def generation(category: str) -> Generation:
    """Return what a person in a space of a category gives off: the adult at light work, or less where it is known.

    The careful side is the smaller figure: a set point made for adults leaves children short of air.
    """
    rows = read_facts(FILE)["generation"]
    fitting = [row for row in rows if key(category) in {key(name) for name in row["categories"]}]
    row = fitting[0] if fitting else next(row for row in rows if not row["categories"])
    return Generation(
        per_person=read(row["per_person"], AIRFLOW).value, activity=row["activity"], source=_latest(row)
    )


def assumed_outdoor() -> tuple[float, Source]:
    """Return what outdoor air is taken for where nobody measured it [ppm], and where that is from."""
    row = read_facts(FILE)["outdoor"][0]
    return _ppm(row["assumed"]), _latest(row)


def _latest(row: dict[str, Any]) -> Source:
    """Return the source of a row that holds whatever the edition, under its newest."""
    said = row["sources"][0]
    return source_of(said, document_of(editions_of(said)[-1]))


def _ppm(text: str) -> float:
    return read(text, CONCENTRATION).value
