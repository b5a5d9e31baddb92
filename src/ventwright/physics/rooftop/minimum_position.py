"""The minimum damper signal: the one that lets in the outdoor air that people need, at the speed of the fan.

It is found by measurement at two fan speeds and, where the need changes, for two needs; between them the control
draws straight lines. That the air follows a straight line too is a hope, to be checked at one speed between.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused


@dataclass(frozen=True, slots=True)
class MinimumPosition:
    """Signals that were set for two fan speeds, and for low occupancy where the need changes.

    A unit whose fan has one speed has the same two speeds and signals.
    """

    at_fastest: float
    """Signal for the design need at the fastest fan. [-]"""
    at_slowest: float
    """The same at the slowest fan. [-]"""
    fastest: float = 1.0
    """Share of full speed. [-]"""
    slowest: float = 1.0
    """Share of full speed. [-]"""
    low_at_fastest: float | None = None
    """Signal for the least need, that of low occupancy, at the fastest fan. [-]"""
    low_at_slowest: float | None = None
    """The same at the slowest fan. [-]"""
    least_need: float | None = None
    """Outdoor air of low occupancy. [m3/s]"""
    design_need: float | None = None
    """Outdoor air of full occupancy. [m3/s]"""

    def __post_init__(self) -> None:
        """Refuse what cannot be set."""
        where = "minimum position"
        mistakes = [
            Refusal("is no share of full stroke or speed", "0 to 1", f"{where}.{name}", f"{share:g}")
            for name, share in self._shares().items()
            if not 0.0 <= share <= 1.0
        ]
        if self.slowest > self.fastest:
            accepted = "a slowest speed that is not above the fastest"
            given = f"{self.slowest:g} and {self.fastest:g}"
            mistakes.append(Refusal("are the wrong way round", accepted, f"{where}.slowest", given))
        low = (self.low_at_fastest, self.low_at_slowest, self.least_need, self.design_need)
        if any(one is not None for one in low) and None in low:
            accepted = "two signals and two outdoor airflows, or none of the four"
            mistakes.append(Refusal("low occupancy is half set", accepted, where))
        elif self.least_need is not None and self.design_need is not None:
            needs = (self.least_need, self.design_need)
            if not 0.0 <= needs[0] < needs[1] < math.inf:
                given = f"{needs[0]:g} and {needs[1]:g} m3/s"
                accepted = "a least outdoor airflow below the design"
                mistakes.append(Refusal("are the wrong way round", accepted, f"{where}.least_need", given))
        if mistakes:
            raise Refused(*mistakes)

    def _shares(self) -> dict[str, float]:
        names = ("at_fastest", "at_slowest", "fastest", "slowest", "low_at_fastest", "low_at_slowest")
        given = {name: getattr(self, name) for name in names}
        return {name: share for name, share in given.items() if share is not None}


def minimum_signal(minimum: MinimumPosition, fan_speed: float, need: float | None = None) -> float:
    """Damper signal below which an occupied unit does not go.

    Straight lines in fan speed between the two speeds, one for the least need and one for the design need; between
    the two a straight line in the need. Beyond their ends the lines are level.

    Parameters
    ----------
    minimum
        The signals that were set. [-]
    fan_speed
        Share of full speed. [-]
    need
        Outdoor air needed now; None for the design need. [m3/s]

    Returns
    -------
    float
        Share of full stroke. [-]

    Raises
    ------
    Refused
        A need is given and low occupancy is not set.

    References
    ----------
    ASHRAE Guideline 36, single-zone VAV air handler, minimum outdoor air, as documented in the Modelica Buildings
    library, Controls.OBC.ASHRAE.G36.AHUs.SingleZone.VAV.Economizers.Subsequences.Limits.
    """
    design = _line(fan_speed, minimum.slowest, minimum.fastest, minimum.at_slowest, minimum.at_fastest)
    if need is None:
        return design
    low_slowest, low_fastest = minimum.low_at_slowest, minimum.low_at_fastest
    least_need, design_need = minimum.least_need, minimum.design_need
    if low_slowest is None or low_fastest is None or least_need is None or design_need is None:
        accepted = "no need, or settings for low occupancy"
        raise Refused(Refusal("cannot be followed", accepted, "outdoor air needed", f"{need:g} m3/s"))
    low = _line(fan_speed, minimum.slowest, minimum.fastest, low_slowest, low_fastest)
    return _line(need, least_need, design_need, low, design)


def _line(at: float, start: float, end: float, value_at_start: float, value_at_end: float) -> float:
    """Straight line between two points, level beyond them; at its end where the two are one."""
    if at >= end:
        return value_at_end
    if at <= start:
        return value_at_start
    return value_at_start + (value_at_end - value_at_start) * (at - start) / (end - start)
