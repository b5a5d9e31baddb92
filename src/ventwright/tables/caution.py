"""Cautions, each for the stage of the work where the hand goes in."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from tomllib import loads


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
    text = files("ventwright.tables").joinpath("procedures", "cautions.toml").read_text(encoding="utf-8")
    return tuple(Caution(**row) for row in loads(text)["caution"])
