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


@cache
def cautions() -> tuple[Caution, ...]:
    """Return all cautions in the order of the work."""
    return tuple(Caution(**row) for row in read_toml("procedures", "cautions.toml")["caution"])
