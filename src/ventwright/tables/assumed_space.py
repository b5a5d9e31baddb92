"""The space that a unit is taken to serve where nobody said which: its use, and its area for the cooling. Data, with marks."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from ventwright.quantity import AREA, FRACTION, read
from ventwright.tables.data_file import read_toml
from ventwright.words import measured


@dataclass(frozen=True, slots=True)
class AssumedSpace:
    """A use of the ventilation standard, and the floor area that one ton of cooling serves: usual, and the ends in use.

    ``share_of_slowest`` is the most that it may ask of the supply air of the slowest fan speed.
    """

    use: str
    area_per_ton: float = measured(AREA)
    least_per_ton: float = measured(AREA)
    most_per_ton: float = measured(AREA)
    share_of_slowest: float = measured(FRACTION)


@cache
def assumed_space() -> AssumedSpace:
    """Return what is assumed where no space is given."""
    data = read_toml("priors", "assumed_space.toml")
    low, high = (read(data["area_per_ton"][end], AREA).value for end in ("from", "to"))
    share = read(data["share_of_slowest"]["most"], FRACTION).value
    return AssumedSpace(data["use"]["name"], 0.5 * (low + high), low, high, share)
