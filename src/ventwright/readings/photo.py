"""A photo as the job speaks of it: what it shows, where in the work it was taken, when and by whom."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Literal

from pydantic import Field

from ventwright.entry import Entry, Moment

Shows = Literal[
    "nameplate", "outdoor damper", "return damper", "seals", "linkage", "terminals", "plug", "sensor",
    "controller", "filter", "hood", "coil", "whole unit", "something else",
]  # fmt: skip


OTHER = "something else"


class Photo(Entry):
    """One photo. The picture itself is kept beside the job, never in it; its hash says which one it is."""

    id: str = Field(
        pattern=r"^[0-9a-f]{64}$", description="SHA-256 of the picture, which is kept beside the job"
    )
    at: Moment = Field(description='time with its offset from UTC, such as "2026-11-25T09:40-08:00"')
    visit: str | None = Field(None, description="id of the visit")
    by: str = ""
    stage: str = Field("", max_length=40, description="stage of the work at which it was taken, such as wire")
    step: str = Field("", max_length=200, description="step within that stage, as its page is called")
    shows: Shows = Field("something else", description="what it shows, such as nameplate, seals or terminals")
    state: Literal["as found", "as left", ""] = Field(
        "", description="as found or as left, where it is one of the two"
    )
    caption: str = Field("", max_length=300, description="what is to be seen, in a few words")

    @property
    def words(self) -> str:
        """The photo in one line: what it shows, in which state, and its caption."""
        return photo_words({"shows": self.shows, "state": self.state, "caption": self.caption})


def photo_words(said: Mapping[str, Any]) -> str:
    """Say in one line what is said of a photo, whole or not."""
    shows = said.get("shows") or OTHER
    shown = ", ".join(part for part in ("" if shows == OTHER else shows, said.get("state")) if part)
    return ": ".join(part for part in (shown, said.get("caption")) if part) or "photo"
