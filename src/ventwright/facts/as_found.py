"""How the unit was met, before anything was touched: the only evidence of what the work changed."""

from __future__ import annotations

from pydantic import Field

from ventwright.entry import Day, Entry, Signal, Written


class AsFound(Entry):
    """What was seen and read on arrival."""

    on: Day | None = Field(None, description="day, such as 2026-11-25")
    by: str = ""
    damper_position: Signal | None = Field(None, description='where the damper stood, such as "20 %"')
    settings: dict[str, Written] = Field(
        default_factory=dict, description="settings as met: the kit's label and the value"
    )
    condition: tuple[str, ...] = Field((), description="what was seen: seals, filter, coil, hood, wiring")
