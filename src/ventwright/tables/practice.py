"""The practice roof as data: difficulties, weathers, units, how far the hidden unit differs, minutes of an entry."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache

from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class Difficulty:
    """How many faults are hidden, and how."""

    id: str
    words: str
    lead: str
    faults: tuple[int, ...]
    """Numbers of faults that are drawn from."""
    among: tuple[str, ...]
    """Ids that they are taken from; empty for all."""
    behind: bool
    """Whether the last one is hidden behind the first."""


@dataclass(frozen=True, slots=True)
class PracticeWeather:
    """A kind of day."""

    id: str
    words: str
    outdoor: tuple[int, ...]
    """Temperatures that are drawn from. [°F]"""
    humidity: float
    """[-]"""


@dataclass(frozen=True, slots=True)
class PracticeUnit:
    """A unit of the shelf, with its kit: all invented."""

    sheet: str
    kit: str
    relief: str
    floor_area: str


@dataclass(frozen=True, slots=True)
class PracticeTable:
    """Everything that the practice roof is drawn from."""

    difficulties: tuple[Difficulty, ...]
    weathers: tuple[PracticeWeather, ...]
    units: tuple[PracticeUnit, ...]
    return_air: str
    indoor_humidity: float
    differs: Mapping[str, float]
    """Half-widths by what differs: of a logarithm, or as they stand. [-, K]"""
    least_share: float
    """Of what a fault alone would change, that another one has to keep from showing. [-]"""
    tries: int
    minutes: Mapping[str, float]
    """By kind of entry. [min]"""
    looks: Mapping[str, tuple[str, ...]]
    """What is looked at, by step of the functional tests."""


@cache
def practice_table() -> PracticeTable:
    """Return what the practice roof is drawn from."""
    data = read_toml("priors", "practice.toml")
    return PracticeTable(
        tuple(
            Difficulty(**row | {"faults": tuple(row["faults"]), "among": tuple(row["among"])})
            for row in data["difficulty"]
        ),
        tuple(PracticeWeather(**row | {"outdoor": tuple(row["outdoor"])}) for row in data["weather"]),
        tuple(PracticeUnit(**row) for row in data["unit"]),
        data["air"]["return_air"],
        data["air"]["indoor_humidity"],
        data["differs"],
        data["hidden"]["least_share"],
        data["hidden"]["tries"],
        data["minutes"],
        {step: tuple(reads) for step, reads in data["looks"].items()},
    )
