"""The balance point from compressors at work, or from what people and things give off in the space."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence

from ventwright.evidence import Estimate

LEAST, MOST = 0.05, 0.8
"""Mean share of the hours from which and up to which a run time lies on the line. Below it some of them stand still and
above it some run on, which bends the line (our own choice, from simulated hours)."""

BIN = 1.0
"""Width of the bins of outdoor temperature in which hours are gathered first: still hours and full ones count with the
others of their temperature, or the line would lie too flat. [K]"""

WARMER = 2.0
"""By how much the hottest day has to be warmer than the room for a line to be told by it (our own choice). [K]"""

FEWEST = 3
"""Bins without which a line has no uncertainty."""


def stops_at(seen: Sequence[tuple[float, float]]) -> Estimate | None:
    """Outdoor temperature at which compressors stop, from how long they ran at others.

    Holds for hours with the damper at its minimum: free cooling lets them stop earlier.

    Parameters
    ----------
    seen
        Pairs of outdoor temperature [°C] and share of the hour that they ran, all stages together [-].

    Returns
    -------
    Estimate or None
        [°C]; None where fewer than three bins lie on the line, or run time does not rise with the temperature.

    References
    ----------
    Least squares and the intercept's uncertainty: any book of statistics, as inverse prediction at 0 (from memory).
    """
    rows = [(outdoor, share, count) for outdoor, share, count in _bins(seen) if LEAST <= share <= MOST]
    if len(rows) < FEWEST:
        return None
    whole = sum(count for _, _, count in rows)
    mean_outdoor = sum(outdoor * count for outdoor, _, count in rows) / whole
    mean_share = sum(share * count for _, share, count in rows) / whole
    spread = sum(count * (outdoor - mean_outdoor) ** 2 for outdoor, _, count in rows) / whole
    if spread == 0.0:
        return None
    slope = (
        sum(count * (outdoor - mean_outdoor) * (share - mean_share) for outdoor, share, count in rows)
        / whole
        / spread
    )
    if slope <= 0.0:
        return None
    crossing = mean_outdoor - mean_share / slope
    left = sum(
        count * (share - mean_share - slope * (outdoor - mean_outdoor)) ** 2 for outdoor, share, count in rows
    )
    scatter = math.sqrt(left / whole * len(rows) / (len(rows) - 2))
    u = scatter / slope * math.sqrt((1.0 + (crossing - mean_outdoor) ** 2 / spread) / len(rows))
    return Estimate(crossing, u)


def _bins(seen: Sequence[tuple[float, float]]) -> list[tuple[float, float, int]]:
    """Mean outdoor temperature, mean share and number of the hours of every bin."""
    bins: dict[int, list[tuple[float, float]]] = defaultdict(list)
    for outdoor, share in seen:
        bins[math.floor(outdoor / BIN)].append((outdoor, share))
    return [
        (sum(outdoor for outdoor, _ in row) / len(row), sum(share for _, share in row) / len(row), len(row))
        for _, row in sorted(bins.items())
    ]


def of_the_space(
    crossing: float, design_load: float, design_dry_bulb: float, fan_power: float, ventilation: float
) -> float:
    """Balance point of the space alone, from the temperature at which compressors stop.

    At that temperature the space, the fan and the ventilation together ask for nothing.

    Parameters
    ----------
    crossing
        Outdoor temperature at which they stop. [°C]
    design_load
        Sensible load of the space on the hottest day. [W]
    design_dry_bulb
        Outdoor air of that day. [°C]
    fan_power
        Heat of the fan. [W]
    ventilation
        Heat that outdoor air at the minimum brings at the crossing, below 0 where it cools. [W]

    Returns
    -------
    float
        [°C]

    References
    ----------
    Balance of heat at that temperature, the load of the space straight between balance point and hottest day.
    """
    rest = fan_power + ventilation
    return (crossing * design_load + rest * design_dry_bulb) / (design_load + rest)


def from_gains(gains: float, design_load: float, design_dry_bulb: float, room: float) -> float | None:
    """Balance point of the space from what is given off inside it.

    On the hottest day the load is what comes through walls, roof and windows, and the gains; at the balance point what
    goes out through them is just the gains.

    Parameters
    ----------
    gains
        Of people, lights and machines. [W]
    design_load
        Sensible load of the space on the hottest day. [W]
    design_dry_bulb
        Outdoor air of that day. [°C]
    room
        Air in the space. [°C]

    Returns
    -------
    float or None
        [°C]; None where the gains are all of the load, or that day is hardly warmer than the room: then no line is told.

    References
    ----------
    Balance-point temperature: ASHRAE Handbook - Fundamentals, chapter 19 (from memory).
    """
    through_walls = design_load - gains
    if through_walls <= 0.0 or design_dry_bulb - room < WARMER:
        return None
    return room - gains * (design_dry_bulb - room) / through_walls
