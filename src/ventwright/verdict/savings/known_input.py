"""One input of a year: its middle, how far it may lie from it, and whether somebody gave it."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Input:
    """One input: its middle and standard uncertainty in SI, and whether somebody gave it."""

    name: str
    words: str
    middle: float
    uncertainty: float
    given: bool
    source: str
