"""From the damper signal to the blades: actuator, coupling and linkage, each with what can be wrong with it."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.physics.rooftop.limit import above_zero, within


@dataclass(frozen=True, slots=True)
class Travel:
    """How far one set of blades opens over the stroke of the shaft: straight from ``start`` to ``end``."""

    start: float = 0.0
    """Stroke at which the blades leave their first position. [-]"""
    end: float = 1.0
    """Stroke at which they reach their last. [-]"""
    first: float = 0.0
    """Opening of the blades up to ``start``. [-]"""
    last: float = 1.0
    """Opening of the blades from ``end`` on. [-]"""

    def __post_init__(self) -> None:
        """Refuse what no linkage does."""
        for name in ("start", "end", "first", "last"):
            within(f"travel.{name}", getattr(self, name), 0.0, 1.0)
        if not self.start < self.end:
            given = f"{self.start:g} to {self.end:g}"
            raise Refused(Refusal("is no travel", "a start below the end", "travel", given))

    def opening(self, stroke: float) -> float:
        """Opening of the blades at a stroke of the shaft. [-]"""
        share = min(max((stroke - self.start) / (self.end - self.start), 0.0), 1.0)
        return self.first + (self.last - self.first) * share


CLOSING = Travel(first=1.0, last=0.0)
"""Blades that close while the others open, over the whole stroke."""


@dataclass(frozen=True, slots=True)
class Linkage:
    """An actuator, its coupling to the shaft, and the two sets of blades on that shaft."""

    outdoor: Travel = Travel()
    returned: Travel = CLOSING
    signal_start: float = 0.0
    """Signal up to which the actuator stays closed; 0.2 where 2 to 10 V are driven from 0 to 10 V. [-]"""
    signal_end: float = 1.0
    """Signal from which it stands open. [-]"""
    travel_time: float = 90.0
    """For the whole stroke, driven. [s]"""
    spring_return: bool = True
    """Closes without power; else it stays where it stands."""
    reversed_actuator: bool = False
    slip: float = 0.0
    """Stroke by which the shaft stays behind the actuator. [-]"""
    stuck_at: float = 0.0
    """Stroke toward which the shaft is held. [-]"""
    stuck_share: float = 0.0
    """How much of the motion is lost: 1 stands still. [-]"""
    return_open_at_least: float = 0.0
    """Opening below which the return blades do not close. [-]"""

    def __post_init__(self) -> None:
        """Refuse what no linkage does."""
        for name in (
            "signal_start",
            "signal_end",
            "slip",
            "stuck_at",
            "stuck_share",
            "return_open_at_least",
        ):
            within(f"linkage.{name}", getattr(self, name), 0.0, 1.0)
        above_zero("linkage.travel_time", self.travel_time, "s")
        if not self.signal_start < self.signal_end:
            given = f"{self.signal_start:g} to {self.signal_end:g}"
            raise Refused(Refusal("is no range of a signal", "a start below the end", "linkage", given))

    def target(self, damper_signal: float) -> float:
        """Stroke to which the actuator drives at a signal. [-]"""
        span = self.signal_end - self.signal_start
        share = min(max((damper_signal - self.signal_start) / span, 0.0), 1.0)
        return 1.0 - share if self.reversed_actuator else share

    def blades(self, actuator_position: float) -> tuple[float, float]:
        """Openings of outdoor and return blades with the actuator at a stroke. [-]"""
        shaft = max(0.0, actuator_position - self.slip)
        shaft = shaft + self.stuck_share * (self.stuck_at - shaft)
        closing = self.returned.opening(shaft)
        return self.outdoor.opening(shaft), max(closing, self.return_open_at_least)
