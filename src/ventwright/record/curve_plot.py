"""A plot within a drawing: from shares and signals to places on the sheet, lines cut at its edge, a band hatched."""

from __future__ import annotations

import math
from bisect import bisect_right
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from itertools import pairwise

HATCH = 7.0
"""Between two lines of the hatching, along the axis. [px]"""

Line = list[tuple[float, float]]


@dataclass(frozen=True, slots=True)
class Spot:
    """A place on the sheet, and whether it is where it belongs or was moved to the edge of the plot. [px]"""

    x: float
    y: float
    inside: bool = True


@dataclass(frozen=True, slots=True)
class Plot:
    """The frame, its edges on the sheet [px], and the shares at its lower and upper edge [-]; signals run from 0 to 1."""

    left: float
    right: float
    top: float
    bottom: float
    least: float
    most: float
    step: float

    def x(self, signal: float) -> float:
        """Place of a signal along the sheet, one beyond the ends of the range at that end. [px]"""
        return self.left + min(max(signal, 0.0), 1.0) * (self.right - self.left)

    def height_of(self, share: float) -> float:
        """Height of a share on the sheet, wherever that is. [px]"""
        return self.bottom - (share - self.least) / (self.most - self.least) * (self.bottom - self.top)

    def y(self, share: float) -> float:
        """Height of a share, one beyond the plot at its edge. [px]"""
        return min(max(self.height_of(share), self.top), self.bottom)

    def spot(self, signal: float, share: float) -> Spot:
        """Place of a reading."""
        return Spot(self.x(signal), self.y(share), self.least <= share <= self.most)

    def clipped(self, spots: Sequence[Spot]) -> Iterator[Line]:
        """Yield the parts of a line that lie within the plot."""
        piece: Line = []
        for first, second in pairwise(spots):
            cut = self._cut(first, second)
            if cut is None or (piece and piece[-1] != cut[0]):
                if len(piece) > 1:
                    yield piece
                piece = []
            if cut is not None:
                piece = [*(piece or cut[:1]), cut[1]]
        if len(piece) > 1:
            yield piece

    def _cut(self, first: Spot, second: Spot) -> Line | None:
        """Return the part of a straight line between the upper and the lower edge; None where there is none."""
        rise = second.y - first.y
        ends = sorted((edge - first.y) / rise for edge in (self.top, self.bottom)) if rise else [0.0, 1.0]
        start, end = max(0.0, ends[0]), min(1.0, ends[1])
        if start > end or (not rise and not self.top <= first.y <= self.bottom):
            return None
        return [(first.x + part * (second.x - first.x), first.y + part * rise) for part in (start, end)]

    def hatched(
        self, upper: Callable[[float], float | None], lower: Callable[[float], float | None]
    ) -> Iterator[Line]:
        """Yield slanting lines between two edges, as far as they lie within the plot.

        Parameters
        ----------
        upper, lower
            Height of an edge at a place along the sheet, None where it has none. [px]
        """
        places = [self.left + step for step in range(math.floor(self.right - self.left) + 1)]
        edges = [(upper(x), lower(x)) for x in places]
        total = self.left + self.top
        while total < self.right + self.bottom:
            piece: Line = []
            for x, (high, low) in zip(places, edges, strict=True):
                y = total - x
                if high is not None and low is not None and max(high, self.top) <= y <= min(low, self.bottom):
                    piece.append((x, y))
                elif piece:
                    yield from _whole(piece)
                    piece = []
            yield from _whole(piece)
            total += HATCH


def _whole(piece: Line) -> Iterator[Line]:
    """Yield a line by its two ends, where it has two."""
    if len(piece) > 1:
        yield [piece[0], piece[-1]]


def line_at(spots: Sequence[Spot]) -> Callable[[float], float | None]:
    """Return the height of a line through spots, in the order of their places; None beyond its ends."""
    places = [spot.x for spot in spots]

    def height(x: float) -> float | None:
        if not spots or not places[0] <= x <= places[-1]:
            return None
        after = min(bisect_right(places, x), len(places) - 1)
        first, second = spots[max(after - 1, 0)], spots[after]
        part = (x - first.x) / (second.x - first.x) if second.x > first.x else 0.0
        return first.y + part * (second.y - first.y)

    return height


def ticks(least: float, most: float, step: float) -> list[float]:
    """Multiples of a step from one value to another."""
    first, last = math.ceil(least / step - 1e-9), math.floor(most / step + 1e-9)
    return [number * step for number in range(first, last + 1)]
