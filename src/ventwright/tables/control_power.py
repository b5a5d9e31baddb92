"""What is assumed of control power where nobody measured, and what is accepted of it. Data, with marks."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from ventwright.quantity import APPARENT_POWER, CURRENT, FRACTION, TEMPERATURE, VOLTAGE, Dimension, read
from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class Assumed:
    """A value nobody gave: the middle of what is usual, its standard uncertainty, and how it is known."""

    value: float
    uncertainty: float
    source: str

    @property
    def ends(self) -> tuple[float, float]:
        """The ends of what is usual, both the value itself where it is no range: a rectangle's half is its root of three."""
        half = math.sqrt(3.0) * self.uncertainty
        return self.value - half, self.value + half


@dataclass(frozen=True, slots=True)
class Accepted:
    """The ends of what is accepted; an end that is None is open."""

    least: float | None
    most: float | None
    source: str


def _table() -> Mapping[str, Any]:
    return read_toml("priors", "control_power.toml")


_DIMENSIONS: dict[str, Dimension] = {
    "rating": APPARENT_POWER,
    "secondary": VOLTAGE,
    "wire_temperature": TEMPERATURE,
}
"""Of the rows that are no shares."""


def assumed(name: str) -> Assumed:
    """Return an assumption by its name; raises KeyError for one that the table does not have.

    A range is taken as rectangular: any value in it as likely as any other (JCGM 100:2008, 4.3.7).
    """
    row = _table()[name]
    if "value" in row:
        return Assumed(read(row["value"], _DIMENSIONS[name]).value, 0.0, row["source"])
    low, high = (_number(row[end]) for end in ("from", "to"))
    return Assumed(0.5 * (low + high), (high - low) / math.sqrt(12.0), row["source"])


@cache
def mildest_wire() -> float:
    """Return the least that a wire on a unit reaches at its hottest [°C]."""
    return read(_table()["wire_temperature"]["mild"], TEMPERATURE).value


def relative_uncertainty(name: str) -> float:
    """Return the standard uncertainty, as a share of the value, that goes with a ± of the table (95 times in 100)."""
    return 0.5 * _number(_table()[name]["band"])


@cache
def shown_u() -> float:
    """Return the standard uncertainty [V] that the last figure of a meter's display leaves (JCGM 100:2008, 4.3.7)."""
    return read(_table()["meter"]["shows"], VOLTAGE).value / math.sqrt(12.0)


def accepted(name: str) -> Accepted:
    """Return what is accepted, as shares; raises KeyError for a name that the table does not have."""
    row = _table()[name]
    least, most = (_number(row[end]) if end in row else None for end in ("least", "most"))
    return Accepted(least, most, row["source"])


@cache
def usual_taps() -> tuple[float, ...]:
    """Return the voltages that primary taps are usually made for [V]."""
    return tuple(read(text, VOLTAGE).value for text in _table()["taps"]["values"])


@cache
def usual_fuses() -> tuple[float, ...]:
    """Return the usual fuse ratings [A], smallest first."""
    return tuple(read(text, CURRENT).value for text in _table()["fuse"]["ratings"])


def _number(given: float | str) -> float:
    return read(given, FRACTION).value if isinstance(given, str) else given
