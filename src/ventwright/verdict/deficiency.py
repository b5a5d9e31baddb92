"""A deficiency: what is wrong, how serious, who must act, until when, and what the re-test showed."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from ventwright.entry import Day, Entry


class Deficiency(Entry):
    """Something that is not as it should be and was not put right on the visit."""

    id: str = Field(min_length=1, description="short name, such as d1")
    what: str = Field(min_length=3, description="what is wrong, in a sentence")
    severity: Literal["danger", "fault", "remark"] = Field(description="danger, fault or remark")
    who_acts: str = Field(min_length=2, description="who must act: owner, controls contractor, we")
    due: Day | None = Field(None, description="day by which it should be done, such as 2026-12-15")
    found_on: Day | None = None
    retest: str = Field("", description="what the test after the repair showed; empty while it is open")
    closed_on: Day | None = None
