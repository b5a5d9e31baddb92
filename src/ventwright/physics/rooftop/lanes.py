"""Stratified mixed air: lanes side by side, from the outdoor side of the plenum to its return side.

Unmixed, outdoor air would fill the lanes on its side one after the other, with a blurred edge; mixing takes every lane
toward the mean by one share. The mean of the lanes, which have equal airflow, is the mixed air whatever the share, and no lane lies
outside the two streams. So a probe reads too much of one stream, by an amount that changes with the damper.
"""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.physics.rooftop.limit import within
from ventwright.physics.rooftop.stream import Stream, dry_bulb_of

MOST_LANES = 50
"""More are no finer a picture of a plenum."""


@dataclass(frozen=True, slots=True)
class Stratification:
    """How far the two streams stay apart where mixed air is read."""

    lanes: int = 5
    closed: float = 0.0
    """Share of the unmixed pattern that is left with the outdoor blades closed; 0 mixes well. [-]"""
    open: float = 0.0
    """The same with them open; straight between. [-]"""

    def __post_init__(self) -> None:
        """Refuse what no plenum is."""
        within("stratification.lanes", self.lanes, 1, MOST_LANES)
        within("stratification.closed", self.closed, 0.0, 1.0)
        within("stratification.open", self.open, 0.0, 1.0)

    def left(self, outdoor_blades: float) -> float:
        """Share of the unmixed pattern that is left with the outdoor blades at an opening. [-]"""
        return self.closed + (self.open - self.closed) * outdoor_blades


@dataclass(frozen=True, slots=True)
class Lane:
    """What one probe reads."""

    outdoor_air_fraction: float
    """[-]"""
    dry_bulb: float
    """[°C]"""
    humidity_ratio: float
    """[kg/kg dry air]"""


def lane_shares(outdoor_air_fraction: float, lanes: int, left: float) -> tuple[float, ...]:
    """Share of outdoor air in each lane; their mean is that of the mixed air.

    Parameters
    ----------
    outdoor_air_fraction
        Of the mixed air. [-]
    lanes
        Of equal airflow.
    left
        Share of the unmixed pattern that is left, 0 to 1. [-]

    Returns
    -------
    tuple
        From the outdoor side to the return side. [-]

    References
    ----------
    our own assumption; that a single probe's bias depends on the damper's signal and on the difference between
    outdoor and return air: Wichman and Braun, HVAC&R Research 15(1), 2009 (abstract). The pattern itself: from memory
    of plenums, no published source.
    """
    mean = outdoor_air_fraction
    filled = [min(max(mean * lanes - lane, 0.0), 1.0) for lane in range(lanes)]
    # neighbours trade a quarter, the walls give theirs back: the edge between the streams is no knife's
    before, behind = [filled[0], *filled[:-1]], [*filled[1:], filled[-1]]
    traded = [0.25 * a + 0.5 * b + 0.25 * c for a, b, c in zip(before, filled, behind, strict=True)]
    return tuple(mean + left * (lane - mean) for lane in traded)


def mixed_lanes(
    outdoor: Stream, returned: Stream, outdoor_share: float, lanes: int, left: float
) -> tuple[Lane, ...]:
    """Mixed air lane by lane.

    Parameters
    ----------
    outdoor, returned
        The two streams that meet.
    outdoor_share
        Share of the first in the dry air of both. [-]
    lanes
        Of equal airflow.
    left
        Share of the unmixed pattern that is left. [-]

    Returns
    -------
    tuple
        Lanes from the outdoor side to the return side; their fractions count the first stream as all outdoor air.

    References
    ----------
    As ``lane_shares``, and the balances of ``stream.joined`` in each lane (ASHRAE Handbook - Fundamentals 2017).
    """
    found = []
    for share in lane_shares(outdoor_share, lanes, left):
        enthalpy = returned.enthalpy + share * (outdoor.enthalpy - returned.enthalpy)
        ratio = returned.humidity_ratio + share * (outdoor.humidity_ratio - returned.humidity_ratio)
        found.append(Lane(share, dry_bulb_of(enthalpy, ratio, outdoor.pressure), ratio))
    return tuple(found)
