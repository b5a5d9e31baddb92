"""What a store remembers of another that it shares with: how far they came, and what either did not take of the other."""

from __future__ import annotations

from typing import Any

from ventwright.store.heard import said
from ventwright.store.jobs import Jobs
from ventwright.version import VERSION

MOST_NOT_TAKEN = 50
"""Changes from there of which the sentence why they were not taken is kept, the latest."""

NOTHING: dict[str, Any] = {
    "store": "",
    "mark": [0, ""],
    "sent": 0,
    "last": "",
    "problem": "",
    "refused": {},
    "photos": 0,
    "declined": [],
    "files": {},
    "not_taken": {},
    "not_taken_by": "",
}
"""Of a store that nothing was shared with yet."""


async def kept_of(jobs: Jobs, peer: str) -> dict[str, Any]:
    """Return what is remembered; where another version of the app did not take something, all is asked for once more."""
    kept = NOTHING | (await jobs.setting(f"shared with {peer}") or {})
    if kept["not_taken"] and kept["not_taken_by"] != VERSION:
        kept |= {"mark": [0, ""], "not_taken": {}}
    return kept


async def keep(jobs: Jobs, peer: str, state: dict[str, Any]) -> None:
    """Remember a state."""
    await jobs.set_setting(f"shared with {peer}", state)


async def note(jobs: Jobs, peer: str, **found: Any) -> None:
    """Remember a part of a state, where it is another."""
    kept = await kept_of(jobs, peer)
    if kept | found != kept:
        await keep(jobs, peer, kept | found)


def with_not_taken(kept: dict[str, Any], not_taken: dict[str, str]) -> dict[str, Any]:
    """Return a state with more that was not taken here."""
    if not not_taken:
        return kept
    readable = {said(one): said(why) for one, why in not_taken.items()}
    latest = list((kept["not_taken"] | readable).items())[-MOST_NOT_TAKEN:]
    return kept | {"not_taken": dict(latest), "not_taken_by": VERSION}
