"""Cautions, each for the stage of the work where the hand goes in."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class Caution:
    """A reminder for one stage, with its source."""

    stage: str
    text: str
    source: str
    confirmed: str
    heating: tuple[str, ...] = ()
    """Kinds of heat that it is about; empty: every unit."""


@cache
def cautions() -> tuple[Caution, ...]:
    """Return all cautions in the order of the work."""
    rows = read_toml("procedures", "cautions.toml")["caution"]
    return tuple(Caution(**{**row, "heating": tuple(row.get("heating", ()))}) for row in rows)


def cautions_for(heating: str | None) -> tuple[Caution, ...]:
    """Return the cautions of a unit by its heat; where nobody knows the heat, those of every kind."""
    return tuple(one for one in cautions() if heating is None or not one.heating or heating in one.heating)
