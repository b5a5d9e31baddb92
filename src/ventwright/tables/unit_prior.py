"""What is assumed of a unit that is put into software, and what is accepted of its functional tests. Data, with marks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from ventwright.quantity import DURATION, FRACTION, PRESSURE, TEMPERATURE_DIFFERENCE, Dimension, read
from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class UnitPrior:
    """Pressures [Pa], shares of supply airflow or capacity [-], humidity [-] of a unit nobody measured."""

    damper_pressure: float
    fixed_pressure: float
    return_duct_pressure: float
    return_stays_open: float
    leakage: float
    relief_area: float
    relief_fan: float
    relief_opens: float
    relief_open: float
    furnace: float
    heat_pump: float
    auxiliary: float
    outdoor_humidity: float
    indoor_humidity: float


@dataclass(frozen=True, slots=True)
class StepTolerances:
    """Half-widths and ends accepted of a functional test [-, K], and what a reading is good for [-, s, Pa]."""

    signal: float
    open: float
    shut: float
    relief_start: float
    temperature: float
    warmer: float
    beyond_limit: float
    display_u: float
    watch_u: float
    pressure_u: float


def _data() -> Mapping[str, Any]:
    return read_toml("priors", "software_unit.toml")


def _value(part: str, name: str, dimension: Dimension = FRACTION) -> float:
    return read(_data()[part][name], dimension).value


@cache
def unit_prior() -> UnitPrior:
    """Return what is assumed of a unit."""
    return UnitPrior(
        damper_pressure=_value("pressures", "damper", PRESSURE),
        fixed_pressure=_value("pressures", "fixed", PRESSURE),
        return_duct_pressure=_value("pressures", "return_duct", PRESSURE),
        return_stays_open=_value("linkage", "return_stays_open"),
        leakage=_value("building", "leakage"),
        relief_area=_data()["building"]["relief_area"],
        relief_fan=_value("building", "relief_fan"),
        relief_opens=_value("relief_flap", "opens", PRESSURE),
        relief_open=_value("relief_flap", "open", PRESSURE),
        furnace=_value("heat", "furnace"),
        heat_pump=_value("heat", "heat_pump"),
        auxiliary=_value("heat", "auxiliary"),
        outdoor_humidity=_value("humidity", "outdoor"),
        indoor_humidity=_value("humidity", "indoor"),
    )


@cache
def accepted() -> StepTolerances:
    """Return what is accepted of a functional test."""
    return StepTolerances(
        signal=_value("tolerances", "signal"),
        open=_value("tolerances", "open"),
        shut=_value("tolerances", "shut"),
        relief_start=_value("tolerances", "relief_start"),
        temperature=_value("tolerances", "temperature", TEMPERATURE_DIFFERENCE),
        warmer=_value("tolerances", "warmer", TEMPERATURE_DIFFERENCE),
        beyond_limit=_value("margins", "limit", TEMPERATURE_DIFFERENCE),
        display_u=_value("display", "signal"),
        watch_u=_value("display", "watch", DURATION),
        pressure_u=_value("display", "pressure", PRESSURE),
    )
