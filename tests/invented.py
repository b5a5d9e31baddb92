"""Invented facts for tests: a unit and a site that exist nowhere, with whatever a test wants otherwise."""

from __future__ import annotations

from typing import Any

from ventwright.facts import Facts
from ventwright.readings import Readings

UNIT: dict[str, Any] = {
    "tag": "T-1",
    "cooling_capacity": "10 ton",
    "cooling_stages": 2,
    "heating": "gas",
    "relief": "barometric",
    "fan_speeds": [
        {"name": "high", "supply_air": "4000 cfm"},
        {"name": "low", "supply_air": "2640 cfm"},
    ],
}
SITE: dict[str, Any] = {
    "name": "Nowhere",
    "climate_zone": "3C",
    "elevation": "0 ft",
    "energy_code": "90.1-2019",
}
PROBE: dict[str, Any] = {
    "id": "probe",
    "kind": "temperature",
    "accuracy": "± 0.5 F",
    "repeatability": "± 0.1 F",
    "calibrated": "2026-03-01",
}
VENTILATION: dict[str, Any] = {
    "standard": "62.1-2019",
    "drawn": {"cooling": "1116 cfm", "source": "invented sheet M-2"},
}
SHOP: dict[str, Any] = {"name": "Shop", "use": "Retail / Sales", "floor_area": "4800 ft2", "people": 72}


def facts(**other: Any) -> Facts:
    """Facts of an invented job; ``unit``, ``site`` and ``ventilation`` are merged, the rest is replaced."""
    given: dict[str, Any] = {
        "site": SITE | other.pop("site", {}),
        "unit": UNIT | other.pop("unit", {}),
        "ventilation": VENTILATION | other.pop("ventilation", {}),
        "spaces": [SHOP],
        "kit": "two-speed-dry-bulb",
        "instruments": [PROBE],
    }
    return Facts.model_validate(given | other)


def readings(*entries: dict[str, Any]) -> Readings:
    """Readings of an invented job, a minute apart, ids made."""
    made = [
        {"id": f"e{number}", "at": f"2026-11-25T09:{number:02d}-08:00"} | entry
        for number, entry in enumerate(entries)
    ]
    return Readings.model_validate({"entries": made})


def mixed(**other: Any) -> dict[str, Any]:
    """A mixed-air reading at high speed that shows 28 % outdoor air over a wide difference."""
    entry = {
        "what": "mixed air",
        "speed": "high",
        "damper_signal": "21 %",
        "outdoor_air": "34.0 F",
        "return_air": "74.0 F",
        "mixed_air": ["62.8 F"] * 8,
        "instrument": "probe",
    }
    return {key: value for key, value in (entry | other).items() if value is not None}


def supply(airflow: str = "4000 cfm ± 4 %", **other: Any) -> dict[str, Any]:
    """A supply-air reading at high speed."""
    return {"what": "supply air", "speed": "high", "airflow": airflow, "method": "traverse"} | other


def left(label: str = "Fresh-air opening, fan fast", value: str = "21 %", **other: Any) -> dict[str, Any]:
    """A setting read back."""
    return {"what": "setting", "label": label, "value": value} | other
