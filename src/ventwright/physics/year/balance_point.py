"""The balance point from compressors at work: where their run time falls to nothing, and what the space alone would have."""

from __future__ import annotations

import math
from collections.abc import Sequence

from ventwright.evidence import Estimate

LEAST, MOST = 0.02, 0.98
"""Share of an hour from which and up to which a run time lies on the line: below it stands still, above it runs on."""

FEWEST = 3
"""Hours without which a line has no uncertainty."""


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
        [°C]; None where fewer than three hours lie on the line, or run time does not rise with the temperature.

    References
    ----------
    Least squares and the intercept's uncertainty: any book of statistics, as inverse prediction at 0 (from memory).
    """
    kept = [(outdoor, share) for outdoor, share in seen if LEAST <= share <= MOST]
    if len(kept) < FEWEST:
        return None
    mean_outdoor = sum(outdoor for outdoor, _ in kept) / len(kept)
    mean_share = sum(share for _, share in kept) / len(kept)
    spread = sum((outdoor - mean_outdoor) ** 2 for outdoor, _ in kept)
    if spread == 0.0:
        return None
    slope = sum((outdoor - mean_outdoor) * (share - mean_share) for outdoor, share in kept) / spread
    if slope <= 0.0:
        return None
    crossing = mean_outdoor - mean_share / slope
    left = sum((share - mean_share - slope * (outdoor - mean_outdoor)) ** 2 for outdoor, share in kept)
    scatter = math.sqrt(left / (len(kept) - 2))
    u = scatter / slope * math.sqrt(1.0 / len(kept) + (crossing - mean_outdoor) ** 2 / spread)
    return Estimate(crossing, u)


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
