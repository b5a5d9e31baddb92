"""The calls of a thermostat or a building's controls, as they arrive at the controller of a rooftop unit."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused


@dataclass(frozen=True, slots=True)
class Calls:
    """What is asked of the unit at one moment."""

    cooling_stages: int = 0
    """Stages of cooling called for."""
    heating_stages: int = 0
    """Stages of heating called for."""
    fan: bool = False
    """The fan is called for by itself; every stage calls for it too."""
    occupied: bool = True
    need: float | None = None
    """Outdoor air needed now, where something counts people; None for the design need. [m3/s]"""

    def __post_init__(self) -> None:
        """Refuse what no thermostat can call for."""
        mistakes = [
            Refusal("is no number of stages", "a whole number from 0", f"calls.{name}", f"{stages}")
            for name, stages in (
                ("cooling_stages", self.cooling_stages),
                ("heating_stages", self.heating_stages),
            )
            if stages < 0
        ]
        if self.need is not None and not 0.0 <= self.need < math.inf:
            mistakes.append(
                Refusal("is no airflow", "a finite number of at least 0", "calls.need", f"{self.need:g} m3/s")
            )
        if mistakes:
            raise Refused(*mistakes)
