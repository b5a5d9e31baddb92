"""The days on which it is reckoned what a forgotten change costs, as data."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import Any

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.surroundings import Indoor
from ventwright.quantity import FRACTION, HEAT_RATE, TEMPERATURE, TEMPERATURE_DIFFERENCE, read
from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class Scene:
    """One day: its outdoor air and what the thermostat asks for."""

    name: str
    dry_bulb: float
    """[°C]"""
    relative_humidity: float
    """[-]"""
    calls: Calls


@dataclass(frozen=True, slots=True)
class Scenes:
    """Every day that is looked at, the air indoors, and from where on something is worth a word."""

    scenes: tuple[Scene, ...]
    indoor: Indoor
    least_outdoor_air: float
    """Change of the outdoor airflow, as a share of the supply. [-]"""
    least_load: float
    """[W]"""
    least_mixed_air: float
    """[K]"""


@cache
def scenes() -> Scenes:
    """Return the days, from the file of priors."""
    data = read_toml("priors", "forgetting.toml")
    indoor, least = data["indoor"], data["least"]
    return Scenes(
        tuple(_scene(row) for row in data["scene"]),
        Indoor(
            read(indoor["dry_bulb"], TEMPERATURE).value, read(indoor["relative_humidity"], FRACTION).value
        ),
        read(least["outdoor_air"], FRACTION).value,
        read(least["load"], HEAT_RATE).value,
        read(least["mixed_air"], TEMPERATURE_DIFFERENCE).value,
    )


def _scene(row: dict[str, Any]) -> Scene:
    occupied = row.get("occupied", True)
    calls = Calls(row.get("cooling_stages", 0), row.get("heating_stages", 0), fan=occupied, occupied=occupied)
    return Scene(
        row["name"],
        read(row["outdoor_air"], TEMPERATURE).value,
        read(row["relative_humidity"], FRACTION).value,
        calls,
    )
