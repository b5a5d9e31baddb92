"""Relief: how return air that outdoor air replaces leaves the building through the unit."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from ventwright.physics.rooftop.limit import above_zero, within


class ReliefKind(StrEnum):
    """How the return plenum is relieved."""

    NONE = "none"
    BAROMETRIC = "barometric"
    POWERED = "powered"


@dataclass(frozen=True, slots=True)
class Relief:
    """A relief opening in the return plenum: a weighted flap, or a fan behind a flap that only lets air out."""

    kind: ReliefKind = ReliefKind.NONE
    area: float = 0.0
    """Effective area of the open flap: free area times its coefficient of discharge. [m2]"""
    opening_pressure: float = 0.0
    """Plenum pressure at which the flap leaves its seat. [Pa]"""
    open_pressure: float = 10.0
    """Plenum pressure from which it stands fully open. [Pa]"""
    airflow: float = 0.0
    """Of the relief fan. [m3/s]"""
    fan_start: float = 0.5
    """Stroke of the outdoor damper from which the relief fan runs. [-]"""
    blocked: float = 0.0
    """Share of opening or fan that is lost. [-]"""
    stuck_open: float = 0.0
    """Share of the flap that stands open whatever the pressure: air then comes in there too. [-]"""

    def __post_init__(self) -> None:
        """Refuse what no relief is."""
        within("relief.area", self.area, 0.0, unit="m2")
        within("relief.airflow", self.airflow, 0.0, unit="m3/s")
        within("relief.opening_pressure", self.opening_pressure, 0.0, unit="Pa")
        within("relief.open_pressure", self.open_pressure, self.opening_pressure + 0.1, unit="Pa")
        for name in ("fan_start", "blocked", "stuck_open"):
            within(f"relief.{name}", getattr(self, name), 0.0, 1.0)
        if self.kind is ReliefKind.BAROMETRIC:
            above_zero("relief.area", self.area, "m2")
        if self.kind is ReliefKind.POWERED:
            above_zero("relief.airflow", self.airflow, "m3/s")

    def open_area(self, return_plenum_pressure: float) -> float:
        """Effective area at a pressure of the return plenum. [m2]"""
        if self.kind is ReliefKind.NONE:
            return 0.0
        span = self.open_pressure - self.opening_pressure
        share = min(max((return_plenum_pressure - self.opening_pressure) / span, 0.0), 1.0)
        return self.area * (1.0 - self.blocked) * max(share, self.stuck_open)

    def fan_airflow(self, actuator_position: float) -> float:
        """What the relief fan moves with the damper's actuator at a stroke. [m3/s]"""
        if self.kind is not ReliefKind.POWERED or actuator_position < self.fan_start:
            return 0.0
        return self.airflow * (1.0 - self.blocked)
