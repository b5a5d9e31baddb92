"""The rows of a piece of text: where they begin below what stands above them, and how many lines they are."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

AT_ONCE = 1 << 18
"""Bytes that are looked through at a time, so that what is noted of them stays near."""


@dataclass(frozen=True, slots=True)
class Body:
    """A piece of a file without a copy of it: the bytes, and how much of them stands above the rows."""

    data: bytes
    head: int = 0
    """Lines above the rows."""
    start: int = 0
    """Where the first row begins."""

    @property
    def lines(self) -> int:
        """How many lines the rows are."""
        signs = np.frombuffer(self.data, np.uint8)
        ends = sum(
            int(np.count_nonzero(signs[place : place + AT_ONCE] == ord("\n")))
            for place in range(self.start, len(signs), AT_ONCE)
        )
        return ends + (len(self.data) > self.start and not self.data.endswith(b"\n"))

    @property
    def first(self) -> bytes:
        """The first row."""
        end = self.data.find(b"\n", self.start)
        return self.data[self.start : None if end < 0 else end]

    def holds(self, sign: bytes) -> bool:
        """Whether a sign stands anywhere in the rows."""
        return self.data.find(sign, self.start) >= 0


def below(data: bytes, head: int) -> Body:
    """Return what stands below so many lines; nothing where there are not so many."""
    place = 0
    for _ in range(head):
        place = data.find(b"\n", place) + 1
        if not place:
            return Body(data, head, len(data))
    return Body(data, head, place)
