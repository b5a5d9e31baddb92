"""What every entry in the list of readings carries: when, by whom, on which visit, which earlier entry it corrects."""

from __future__ import annotations

from pydantic import Field

from ventwright.entry import Entry, Moment
from ventwright.quantity import System

NAMES_INSTRUMENT = (
    "instrument",
    "outdoor_instrument",
    "return_instrument",
    "mixed_instrument",
    "thermometer",
)
"""Fields that name an instrument, in whatever kind of entry they stand."""


class Noted(Entry):
    """What every entry carries: when, by whom, on which visit, and which earlier entry it corrects."""

    id: str = Field(min_length=1, description="id of its own, made where it is written")
    at: Moment = Field(description='time with its offset from UTC, such as "2026-11-25T09:40-08:00"')
    visit: str | None = Field(None, description="id of the visit")
    by: str = ""
    conditions: str = Field("", description="what else held: sun, wind, exhaust fans, doors")
    corrects: str | None = Field(None, description="id of the earlier entry that this one replaces")
    note: str = ""

    def summary(self, system: System) -> str:
        """Say the entry in one line, in the units of one system."""
        return f"{self.subject(system)}{f' (corrects {self.corrects})' if self.corrects else ''}"

    def subject(self, system: System) -> str:
        """Say what was entered; every kind of entry has its own words."""
        raise NotImplementedError

    def instruments_used(self) -> dict[str, str]:
        """Name the instruments of the entry, by the field that names them."""
        named = {field: getattr(self, field, None) for field in NAMES_INSTRUMENT}
        return {field: name for field, name in named.items() if name is not None}

    def taken_with(self, field: str) -> tuple[str, ...]:  # noqa: ARG002 - most kinds take any
        """Name the kinds of instrument that can have taken what a field names one for; none where any may."""
        return ()
