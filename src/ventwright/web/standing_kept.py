"""How jobs stand, kept beside them: a list of many is shown without working each of them out again."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import asdict
from typing import Any

from ventwright.store.jobs import Listed
from ventwright.version import VERSION
from ventwright.web.desk import Desk
from ventwright.web.standing import StageStands, Standing, standing_of

AT_ONCE = 8
"""Jobs that are worked out for one list; the others are shown without their state until it is known (our own choice)."""


async def with_standing(desk: Desk, rows: Sequence[Listed]) -> list[tuple[Listed, Standing | None]]:
    """Return jobs with how they stand, None where that is not known yet."""
    found, room = list[tuple[Listed, Standing | None]](), AT_ONCE
    for row in rows:
        kept = _kept(await desk.jobs.setting(_name(row)), row)
        if kept is None and room:
            room -= 1
            opened = await desk.open(row.id)
            kept = standing_of(opened, await desk.proof(opened))
            await desk.jobs.set_setting(
                _name(row), {"of": _mark(row), "stages": [asdict(one) for one in kept.stages]}
            )
        found.append((row, kept))
    return found


def _name(row: Listed) -> str:
    return f"standing of {row.id}"


def _mark(row: Listed) -> str:
    """What the kept state is of: the changes of the job, and the program that worked it out."""
    return f"{row.revision} {VERSION}"


def _kept(value: Any, row: Listed) -> Standing | None:
    if not isinstance(value, dict) or value.get("of") != _mark(row):
        return None
    return Standing(tuple(StageStands(**one) for one in value["stages"]))
