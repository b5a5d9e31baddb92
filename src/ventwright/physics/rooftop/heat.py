"""Heat: gas or electric stages, and the heat pump, whose coil heats or cools as its reversing valve stands."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from ventwright.physics import moist_air
from ventwright.physics.rooftop.limit import rising, within
from ventwright.physics.rooftop.stream import Stream

RATED_IN_HEATING = 8.3
"""Outdoor temperature at which a heat pump's heating is rated: 47 °F, AHRI 210/240 and 340/360 (from memory). [°C]"""


class HeaterKind(StrEnum):
    """What makes the heat; both give it to the air without water."""

    GAS = "gas"
    ELECTRIC = "electric"


@dataclass(frozen=True, slots=True)
class Heater:
    """Stages of gas or electric heat; a heat pump's auxiliary heat too."""

    kind: HeaterKind
    capacities: tuple[float, ...]
    """Heat to the air with 1, 2, ... stages: of a gas heater its output, not its input. [W]"""
    hottest_air: float = 90.0
    """At which a limit switch turns the heat off and on again, so that no more is given (from memory). [°C]"""

    def __post_init__(self) -> None:
        """Refuse what no heater is."""
        rising("heater.capacities", self.capacities, "W")
        within("heater.hottest_air", self.hottest_air, 30.0, 100.0, "°C")

    def heat(self, stages: int) -> float:
        """Heat to the air with a number of stages. [W]"""
        return self.capacities[min(stages, len(self.capacities)) - 1] if stages > 0 else 0.0


@dataclass(frozen=True, slots=True)
class HeatPump:
    """What makes a cooling unit a heat pump: its coil gives off heat while the reversing valve stands for heating."""

    capacities: tuple[float, ...]
    """Heat to the air with 1, 2, ... compressor stages at the rated outdoor temperature. [W]"""
    by_outdoor: float = 0.02
    """Relative rise of it with the outdoor temperature (from memory: about 2 % a kelvin). [1/K]"""
    valve_powered_cools: bool = True
    """The valve's coil has power while the unit cools; else while it heats."""
    hottest_air: float = 55.0
    """At which a high-pressure switch stops the compressor, so that no more is given (from memory). [°C]"""

    def __post_init__(self) -> None:
        """Refuse what no heat pump is."""
        rising("heat_pump.capacities", self.capacities, "W")
        within("heat_pump.by_outdoor", self.by_outdoor, 0.0, 0.1, "1/K")
        within("heat_pump.hottest_air", self.hottest_air, 30.0, 100.0, "°C")

    def heats(self, *, reversing_valve_powered: bool) -> bool:
        """Whether the indoor coil heats while a compressor runs."""
        return reversing_valve_powered is not self.valve_powered_cools

    def heat(self, stages: int, outdoor: float) -> float:
        """Heat to the air with a number of compressor stages. [W]"""
        if stages <= 0:
            return 0.0
        share = max(0.0, 1.0 + self.by_outdoor * (outdoor - RATED_IN_HEATING))
        return self.capacities[min(stages, len(self.capacities)) - 1] * share


def heat_taken(entering: Stream, heat: float, hottest_air: float) -> float:
    """Heat that air takes up before a limit of its temperature stops the heater.

    Parameters
    ----------
    entering
        Air before the heater.
    heat
        That the heater could give. [W]
    hottest_air
        Limit of the leaving air. [°C]

    Returns
    -------
    float
        On average, where a limit switch turns the heater off and on. [W]

    References
    ----------
    Balance of enthalpy: ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equation 30.
    """
    most = moist_air.enthalpy(hottest_air, entering.humidity_ratio) - entering.enthalpy
    return max(0.0, min(heat, entering.dry_air * most))
