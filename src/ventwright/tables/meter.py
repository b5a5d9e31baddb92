"""What a meter shows on control wiring, and what is made of a reading. Data, with marks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from ventwright.quantity import RESISTANCE, VOLTAGE, Dimension, read
from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class Thresholds:
    """Where a reading begins to count as power or none, as joined or apart. [V, ohm]"""

    live: float
    dead: float
    closed: float
    open: float
    coil: tuple[float, float]


@dataclass(frozen=True, slots=True)
class CircuitReadings:
    """What to expect at one kind of circuit, power off and power on; None where there is no number. [ohm, V]"""

    kind: str
    off: str
    on: str
    ohms: tuple[float, float] | None
    volts: tuple[float, float] | None
    confirmed: str


def _load() -> Mapping[str, Any]:
    return read_toml("priors", "meter_readings.toml")


@cache
def thresholds() -> Thresholds:
    """Return where a reading begins to mean something."""
    data = _load()
    return Thresholds(
        live=read(data["live"]["at_least"], VOLTAGE).value,
        dead=read(data["dead"]["at_most"], VOLTAGE).value,
        closed=read(data["closed"]["at_most"], RESISTANCE).value,
        open=read(data["open"]["at_least"], RESISTANCE).value,
        coil=(read(data["coil"]["from"], RESISTANCE).value, read(data["coil"]["to"], RESISTANCE).value),
    )


@cache
def expected(kind: str) -> CircuitReadings:
    """Return what to expect at one kind of circuit; raises StopIteration for a kind that is not in the table."""
    row = next(row for row in _load()["expected"] if row["kind"] == kind)
    return CircuitReadings(
        kind,
        row["off"],
        row["on"],
        _range(row, "off", RESISTANCE),
        _range(row, "on", VOLTAGE),
        row["confirmed"],
    )


def _range(row: dict[str, str], power: str, dimension: Dimension) -> tuple[float, float] | None:
    if f"{power}_from" not in row:
        return None
    return read(row[f"{power}_from"], dimension).value, read(row[f"{power}_to"], dimension).value
