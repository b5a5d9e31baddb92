"""A visit to the unit: who came, when, for what, in which weather."""

from __future__ import annotations

from pydantic import Field

from ventwright.entry import Entry, Moment, Temperature


class Visit(Entry):
    """One visit; readings name it."""

    id: str = Field(min_length=1, description="short name used in the readings, such as visit-1")
    started: Moment = Field(description='time of arrival, such as "2026-11-25T08:30-08:00"')
    ended: Moment | None = None
    technician: str = Field(min_length=1, description="name of whoever did the work")
    certificate: str = Field("", description="licence or certification number, where the law asks for one")
    purpose: str = ""
    sky: str = Field("", description="weather in words: clear, wind, rain")
    outdoor_air: Temperature | None = None
