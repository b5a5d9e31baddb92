"""What is assumed where nothing was measured: accuracy by method, stratification, damper coefficients. Data, with marks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from ventwright.evidence import Estimate
from ventwright.physics.damper import Blades
from ventwright.quantity import FRACTION, TEMPERATURE_DIFFERENCE, Dimension, read
from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class MethodAccuracy:
    """How far a way of finding an airflow can be trusted, as a share of the reading (standard uncertainty)."""

    method: str
    relative_uncertainty: float | None  # None: no measurement at all
    confirmed: str
    note: str


@dataclass(frozen=True, slots=True)
class MixedAirPrior:
    """What a mixed-air reading misses; shares are standard uncertainties."""

    single_point_of_difference: float
    traverse_of_spread: float
    stratified_above: float
    repeatability_of_accuracy: float
    changes_over_range: float


@dataclass(frozen=True, slots=True)
class DamperPrior:
    """Blades and boxes over which a first guess of a damper signal is spread."""

    blades: tuple[Blades, ...]
    leaks: tuple[float, ...]
    return_sizes: tuple[float, ...]
    reach: float


def _load(name: str) -> Mapping[str, Any]:
    return read_toml("priors", f"{name}.toml")


def _share(text: str) -> float:
    return read(text, FRACTION).value


@cache
def airflow_method(method: str) -> MethodAccuracy:
    """Return what a supply-airflow method is usually good for; raises KeyError for a method that is not in the table."""
    return _method("airflow_methods", method)


@cache
def outdoor_airflow_method(method: str) -> MethodAccuracy:
    """Return what a way of measuring outdoor airflow directly is usually good for; raises KeyError as above."""
    return _method("outdoor_airflow_methods", method)


def _method(table: str, method: str) -> MethodAccuracy:
    for row in _load(table)["method"]:
        if row["name"] == method:
            half_width = row.get("half_width")
            relative = _share(half_width) / 2 if half_width else None
            return MethodAccuracy(method, relative, row["confirmed"], row["note"])
    raise KeyError(method)


@cache
def mixed_air() -> MixedAirPrior:
    """Return what a mixed-air reading is assumed to miss."""
    data = _load("mixed_air")
    return MixedAirPrior(
        _share(data["single_point"]["of_difference"]),
        _share(data["traverse"]["of_spread"]),
        _share(data["traverse"]["stratified_above"]),
        _share(data["repeatability"]["of_accuracy"]),
        _share(data["over_range"]["of_accuracy"]),
    )


@cache
def fan_heat() -> Estimate:
    """Return by how much a supply fan usually warms the air, with its standard uncertainty. [K]"""
    usual = read(_load("mixed_air")["fan_heat"]["usual"], TEMPERATURE_DIFFERENCE)
    return Estimate(usual.value, usual.uncertainty or 0.0)


@cache
def damper() -> DamperPrior:
    """Return the boxes from which a first guess of a damper signal is made."""
    data = _load("damper_guess")
    names = ("a", "b", "low", "high", "loss_open", "loss_closed")
    blades = tuple(Blades(**{name: row[name] for name in names}) for row in data["blades"])
    boxes = data["boxes"]
    return DamperPrior(
        blades, tuple(boxes["leak"]), tuple(boxes["return_size"]), _share(data["reach"]["share"])
    )


@dataclass(frozen=True, slots=True)
class Usual:
    """A usual value, or the ends of a usual range, in SI, and how it is known."""

    value: float
    low: float
    high: float
    source: str


@cache
def usual(name: str, dimension: Dimension) -> Usual:
    """Return a usual setting or assumption; raises KeyError for a name that is not in the table.

    A range without a value of its own gives its middle.
    """
    row = _load("usual_settings")[name]
    low, high = (read(row.get(end, row.get("value")), dimension).value for end in ("from", "to"))
    given = row.get("value", row.get("otherwise"))
    value = read(given, dimension).value if given else 0.5 * (low + high)
    return Usual(value, low, high, row["source"])
