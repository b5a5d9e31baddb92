"""Work that is cut in slices, so that somebody can be told how far it is, or call it off."""

from __future__ import annotations

from collections.abc import Callable, Generator
from typing import TypeVar

SLICE = 40
"""Cases that are worked out in one slice."""

Part = TypeVar("Part")
HowFar = TypeVar("HowFar")
Result = TypeVar("Result")


def drained(work: Generator[object, None, Result]) -> Result:
    """Do work without a stop, and return what comes of it."""
    while True:
        try:
            next(work)
        except StopIteration as end:
            result: Result = end.value
            return result


def telling(
    work: Generator[Part, None, Result], how_far: Callable[[Part], HowFar]
) -> Generator[HowFar, None, Result]:
    """Do work slice by slice, and tell after each how far all of it is."""
    while True:
        try:
            part = next(work)
        except StopIteration as end:
            result: Result = end.value
            return result
        yield how_far(part)


def saying(work: Generator[object, None, Result], how_far: HowFar) -> Generator[HowFar, None, Result]:
    """Do work slice by slice, and say the same after each."""
    return telling(work, lambda _: how_far)
