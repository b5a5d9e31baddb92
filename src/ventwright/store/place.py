"""A place in a job document: ``facts.spaces[2].use`` as steps, and a list item by the name that stays its own.

In brackets stands an item of a list. Counted from 1, as people read it, its number changes when an item above it goes;
so the stored place names it by its id, by the change that appended it, or by the number it had when the list was put.
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ventwright.errors import Refusal, Refused

ACCEPTED = "a place such as facts.unit.tag or facts.spaces[2].use"

_STEP = re.compile(r"(?:(?:^|(?<!^)\.)(?P<key>[^.\[\]]+))|\[(?P<item>[^\[\]]+)\]")


@dataclass(frozen=True, slots=True)
class Item:
    """A step to an item of a list, by one of its names."""

    name: str


Step = str | Item
Steps = tuple[Step, ...]

LEDGERS: tuple[Steps, ...] = (
    ("plan", "choices"),
    ("readings", "visits"),
    ("readings", "entries"),
    ("readings", "photos"),
    ("verdict", "deficiencies"),
    ("record", "signatures"),
)
"""Lists in which an entry is one and the same wherever it comes from: known by its id, or else by what it says."""


@lru_cache(maxsize=8192)
def steps_of(place: str) -> Steps:
    """Return the steps of a place as written; none for the whole document.

    Raises
    ------
    Refused
        What is written is no place.
    """
    steps: list[Step] = []
    end = 0
    for found in _STEP.finditer(place):
        if found.start() != end:
            break
        end = found.end()
        steps.append(Item(found["item"]) if found["item"] is not None else found["key"])
    if end != len(place) or (steps and isinstance(steps[0], Item)):
        raise Refused(Refusal("is no place in a job", ACCEPTED, given=place))
    return tuple(steps)


def written(steps: Steps) -> str:
    """Write steps as a place."""
    text = ""
    for step in steps:
        if isinstance(step, Item):
            text += f"[{step.name}]"
        else:
            text += f".{step}" if text else step
    return text


def is_key(key: str) -> bool:
    """Whether a key of a part can stand in a place."""
    return bool(key) and not set(".[]") & set(key)


def overlap(one: Steps, other: Steps) -> bool:
    """Whether one place holds the other, or they are the same."""
    shorter = min(len(one), len(other))
    return one[:shorter] == other[:shorter]


def own_name(value: Any) -> str | None:
    """Return the id by which an item of a list can be named, if it has one that no number could be taken for."""
    named = value.get("id") if isinstance(value, dict) else None
    if not isinstance(named, str) or named.isdecimal() or not 0 < len(named) <= 200 or set("[]") & set(named):
        return None
    return named
