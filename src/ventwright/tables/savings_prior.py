"""First assumptions of a year, the faults as they are usually met, and published yardsticks. Data, with marks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from ventwright.quantity import FRACTION, Dimension, read
from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class SavingsAssumption:
    """A value in SI, its standard uncertainty, and how it is known."""

    value: float
    uncertainty: float
    words: str
    source: str


@dataclass(frozen=True, slots=True)
class Yardstick:
    """A published range of the share of cooling electricity that free cooling saves. [-]"""

    low: float
    high: float
    source: str
    confirmed: str


@dataclass(frozen=True, slots=True)
class Guard:
    """Beyond what a saving has to be explained: a share of cooling electricity [-], and J a year for each ton."""

    share: float
    share_on_the_coast: float
    per_ton: float
    source: str


def _load(name: str) -> Mapping[str, Any]:
    return read_toml("priors", f"{name}.toml")


@cache
def assumed(name: str, dimension: Dimension | None = None, of: Dimension | None = None) -> SavingsAssumption:
    """Return what is assumed where nobody said.

    Parameters
    ----------
    name
        Of the row; a KeyError where there is none.
    dimension
        Of the value; None for a plain number.
    of
        Dimension of its ±, where another one; a ± in per cent beside it is relative.
    """
    row = _load("savings")[name]
    value = _number(row.get("value", 0.0), dimension)
    half = _number(row.get("range", 0.0), of or dimension)
    return SavingsAssumption(value, 0.5 * half, row.get("words", ""), row["source"])


def _number(given: str | float, dimension: Dimension | None) -> float:
    if isinstance(given, float | int):
        return float(given)
    return read(given, dimension or FRACTION).value


def plain(table: str, name: str) -> Any:
    """Return one entry of a table as it stands in the file: a number, a text."""
    return _load("savings")[table][name]


@cache
def quantity(table: str, name: str, dimension: Dimension) -> float:
    """Return one entry of a table in SI."""
    return read(_load("savings")[table][name], dimension).value


def source_of(table: str, name: str = "source") -> str:
    """Say how the entries of a table are known."""
    text: str = _load("savings")[table][name]
    return text


def yardstick(climate_zone: str | None) -> Yardstick:
    """Return the published range for a climate zone; the widest that is usual where the zone is not known."""
    data = _load("savings_yardsticks")
    row = next(
        (data[name] for name in ("mild_coast", "dry") if climate_zone in data[name]["zones"]), data["usual"]
    )
    return Yardstick(
        read(row["low"], FRACTION).value, read(row["high"], FRACTION).value, row["source"], row["confirmed"]
    )


def on_the_coast(climate_zone: str | None) -> bool:
    """Whether a zone is one of the mild coasts, where more is saved than anywhere else."""
    return climate_zone in _load("savings_yardsticks")["mild_coast"]["zones"]


def guard() -> Guard:
    """Return beyond what a saving has to be explained."""
    row = _load("savings_yardsticks")["guard"]
    return Guard(
        read(row["share"], FRACTION).value,
        read(row["share_on_the_coast"], FRACTION).value,
        3.6e6 * row["per_ton"],
        row["source"],
    )
