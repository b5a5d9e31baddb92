"""Who stands for the record."""

from __future__ import annotations

from pydantic import Field

from ventwright.entry import Day, Entry


class Signature(Entry):
    """A person who signs, in what role, and for what."""

    name: str = Field(min_length=2, description="name of the person")
    role: str = Field(min_length=2, description="technician, reviewer, owner")
    on: Day = Field(description="day, such as 2026-11-25")
    certificate: str = Field("", description="licence or certification number, where the law asks for one")
    statement: str = Field("", description="what the signature stands for")
