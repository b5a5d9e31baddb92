"""One thing that a code asks of a unit, and how it stands before anything was measured."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from ventwright.words import Words


class Compliance(StrEnum):
    """How a requirement stands before anything was measured."""

    MET = "met"
    NOT_MET = "not met"
    TO_BE_SHOWN = "to be shown"
    NOT_KNOWN = "not known"
    NOT_REQUIRED = "not required"


@dataclass(frozen=True, slots=True)
class Requirement:
    """One thing a code asks, in our words, with its place and how that was confirmed."""

    id: str
    title: str
    asks: Words
    standing: Compliance
    because: Words
    source: str
    confirmed: str
    doubt: str

    @property
    def standing_on(self) -> str:
        """The source, and how it was confirmed or what is doubtful about it."""
        return "; ".join(part for part in (self.source, self.doubt or self.confirmed) if part)
