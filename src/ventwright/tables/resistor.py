"""Preferred values of resistors: what can be bought."""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from ventwright.quantity import FRACTION, read
from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class Series:
    """One series: its values from 1 up to 10, and the tolerance its resistors are sold with (half-width, a share)."""

    name: str
    tolerance: float
    decade: tuple[float, ...]

    def nearest(self, resistance: float) -> float:
        """Return the value nearest to a resistance above 0, measured as a ratio. [ohm]"""
        scale = 10.0 ** math.floor(math.log10(resistance))
        values = [value * scale for value in (*self.decade, 10.0 * self.decade[0])]
        return min(values, key=lambda value: abs(math.log(value / resistance)))


@cache
def series() -> tuple[Series, ...]:
    """Return the series, the finest first."""
    data = read_toml("resistors.toml")
    found = [
        Series(
            row["name"],
            read(row["tolerance"], FRACTION).value,
            tuple(value / row["decade"][0] for value in row["decade"]),
        )
        for row in data["series"]
    ]
    return tuple(sorted(found, key=lambda one: one.tolerance))
