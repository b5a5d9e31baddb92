"""The invented job of a practice roof: site, unit, kit and instruments as whoever is sent there is told them."""

from __future__ import annotations

from random import Random
from typing import Any

from ventwright.entry import validated
from ventwright.facts import Facts
from ventwright.readings.practice.code import PracticeCode
from ventwright.tables.practice import PracticeUnit, practice_table

INSTRUMENTS = (
    {"id": "probe", "kind": "temperature", "name": "Hand-held probe (practice)", "accuracy": "± 0.5 F", "repeatability": "± 0.1 F"},
    {"id": "meter", "kind": "electrical", "name": "Clamp meter (practice)", "accuracy": "± 1 %"},
    {"id": "gauge", "kind": "pressure", "name": "Pressure gauge (practice)", "accuracy": "± 1 Pa"},
    {"id": "plate", "kind": "airflow", "name": "Flow plate (practice)", "accuracy": "± 5 %"},
    {"id": "hygrometer", "kind": "humidity", "name": "Humidity probe (practice)", "accuracy": "± 2 %"},
    {"id": "analyser", "kind": "carbon dioxide", "name": "Carbon dioxide meter (practice)", "accuracy": "± 30 ppm"},
)  # fmt: skip
"""What is in the bag: invented, each with an error of its own that the code decides."""


def dice_of(code: PracticeCode, what: str) -> Random:
    """Return dice that fall alike for the same code and the same use."""
    return Random(f"practice {code} {what}")  # noqa: S311 - no secret: the same code has to give the same roof


def unit_of(code: PracticeCode) -> PracticeUnit:
    """Return the unit of the shelf that a code stands for."""
    return dice_of(code, "unit").choice(practice_table().units)


def outdoor_of(code: PracticeCode) -> int:
    """Return the outdoor temperature of the day. [°F]"""
    return dice_of(code, "day").choice(practice_table().weathers[code.weather].outdoor)


def practice_facts(code: PracticeCode) -> dict[str, Any]:
    """Return the first section of the job, as it is written in a document."""
    unit, table = unit_of(code), practice_table()
    return {
        "site": {
            "name": "Practice roof, no real unit",
            "climate_zone": "4A",
            "elevation": "300 ft",
            "energy_code": "90.1-2019",
            "note": "Invented for practice: site, unit, kit and instruments exist nowhere.",
        },
        "unit": {"tag": f"Practice {code}", "serves": "an invented shop", "sheet": unit.sheet, "relief": unit.relief},
        "spaces": [{"name": "Invented shop", "use": "Retail / Sales", "floor_area": unit.floor_area}],
        "ventilation": {"standard": "62.1-2019", "demand_control": "not fitted"},
        "kit": unit.kit,
        "weather": {"outdoor_air": f"{outdoor_of(code)} F", "return_air": table.return_air},
        "instruments": [dict(one) for one in INSTRUMENTS],
    }  # fmt: skip


def read_facts(code: PracticeCode) -> Facts:
    """Return the same as the engine takes it."""
    return validated(Facts, practice_facts(code))
