"""The cooling coil: stages of capacity, a share of the air that passes it by, wet or dry by what the air carries."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.physics import moist_air, saturation
from ventwright.physics.rooftop.limit import above_zero, rising, within
from ventwright.physics.rooftop.root import root
from ventwright.physics.rooftop.stream import Stream, stream

RATED_WET_BULB = 19.4
"""Of the air that enters the coil when its capacity is rated: 67 °F, AHRI 210/240 and 340/360 (from memory). [°C]"""
RATED_OUTDOOR = 35.0
"""Of the air at the condenser then: 95 °F, the same (from memory). [°C]"""


@dataclass(frozen=True, slots=True)
class CoolingCoil:
    """A direct-expansion coil: what it takes from the air with one compressor stage, with two, and so on."""

    capacities: tuple[float, ...]
    """Total capacity with 1, 2, ... stages at the rated point. [W]"""
    rated_dry_air: float
    """Dry air through the coil at which the bypass factor holds. [kg/s]"""
    bypass_factor: float = 0.1
    """Share of the air that leaves as it came, at that flow. [-]"""
    by_wet_bulb: float = 0.0
    """Relative rise of capacity with the wet bulb of the entering air. [1/K]"""
    by_outdoor: float = 0.0
    """Relative rise with the outdoor temperature: below 0. [1/K]"""
    coldest_surface: float = -2.0
    """Below which the surface does not fall: the rest of the capacity is not there. [°C]"""

    def __post_init__(self) -> None:
        """Refuse what no coil is."""
        rising("coil.capacities", self.capacities, "W")
        above_zero("coil.rated_dry_air", self.rated_dry_air, "kg/s")
        within("coil.bypass_factor", self.bypass_factor, 0.001, 0.9)
        within("coil.by_wet_bulb", self.by_wet_bulb, 0.0, 0.1, "1/K")
        within("coil.by_outdoor", self.by_outdoor, -0.1, 0.0, "1/K")
        within("coil.coldest_surface", self.coldest_surface, -20.0, 10.0, "°C")

    def capacity(self, stages: int, entering_wet_bulb: float, outdoor: float) -> float:
        """Total capacity with a number of stages, before the coldest surface limits it. [W]"""
        if stages <= 0 or not self.capacities:
            return 0.0
        shift = self.by_wet_bulb * (entering_wet_bulb - RATED_WET_BULB) + self.by_outdoor * (
            outdoor - RATED_OUTDOOR
        )
        return self.capacities[min(stages, len(self.capacities)) - 1] * max(0.0, 1.0 + shift)


@dataclass(frozen=True, slots=True)
class Cooled:
    """What a coil makes of the air."""

    leaving: Stream
    load: float
    """Enthalpy taken from the air, that of the condensate included. [W]"""
    condensate: float
    """[kg/s]"""


def bypass_factor_at(bypass_factor: float, rated_dry_air: float, dry_air: float) -> float:
    """Share of the air that passes a coil by at another flow.

    Holds for a coil whose heat transfer does not change with the flow.

    Parameters
    ----------
    bypass_factor
        At the rated flow. [-]
    rated_dry_air
        Dry air at that flow. [kg/s]
    dry_air
        Dry air at the other flow. [kg/s]

    Returns
    -------
    float
        Bypass factor. [-]

    References
    ----------
    EnergyPlus Engineering Reference, coil model with bypass factor: BF = exp(-A0 / m) with A0 = -ln(BF) m at the
    rated flow (from memory).
    """
    return float(bypass_factor ** (rated_dry_air / dry_air))


def cool(entering: Stream, capacity: float, bypass_factor: float, coldest_surface: float) -> Cooled:
    """Cool air on a coil that a share of it passes by.

    What does not pass by leaves as saturated air at the surface's temperature, the apparatus dew point; where that
    would carry more water than the entering air the coil stays dry.

    Parameters
    ----------
    entering
        Air before the coil.
    capacity
        Enthalpy that the coil can take. [W]
    bypass_factor
        At this flow. [-]
    coldest_surface
        Below which the surface does not fall. [°C]

    Returns
    -------
    Cooled
        Leaving air, load and condensate.

    References
    ----------
    Bypass factor and apparatus dew point, as in the EnergyPlus Engineering Reference, DX cooling coils (from
    memory).
    """
    contact = entering.dry_air * (1.0 - bypass_factor)
    pressure = entering.pressure
    coldest_ratio = min(_saturated_ratio(coldest_surface, pressure), entering.humidity_ratio)
    coldest = moist_air.enthalpy(coldest_surface, coldest_ratio)
    load = min(capacity, contact * (entering.enthalpy - coldest))
    if load <= 0.0:
        return Cooled(entering, 0.0, 0.0)
    at_surface = entering.enthalpy - load / contact
    surface_ratio = _saturated_ratio(apparatus_dew_point(at_surface, pressure), pressure)
    removed = max(0.0, (1.0 - bypass_factor) * (entering.humidity_ratio - surface_ratio))
    leaving = stream(
        entering.dry_air,
        entering.enthalpy - load / entering.dry_air,
        entering.humidity_ratio - removed,
        pressure,
    )
    return Cooled(leaving, load, entering.dry_air * removed)


def apparatus_dew_point(enthalpy: float, pressure: float) -> float:
    """Temperature of saturated air of an enthalpy.

    Parameters
    ----------
    enthalpy
        Datum 0 °C. [J/kg dry air]
    pressure
        [Pa]

    Returns
    -------
    float
        Dry bulb, dew point and wet bulb of that air. [°C]

    References
    ----------
    ASHRAE Handbook - Fundamentals 2017 (SI), chapter 1, equations 5, 6, 20 and 30, solved for the temperature.
    """

    def surplus(temperature: float) -> float:
        return moist_air.enthalpy(temperature, _saturated_ratio(temperature, pressure)) - enthalpy

    # dry air of that enthalpy is warmer than saturated air of it
    high = max(enthalpy / moist_air.HEAT_CAPACITY_OF_DRY_AIR, -80.0)
    return root(surplus, -90.0, min(high, 80.0))


def _saturated_ratio(temperature: float, pressure: float) -> float:
    return moist_air.humidity_ratio(saturation.saturation_pressure(temperature), pressure)


def bypassed(entering: Stream, coil: CoolingCoil, stages: int, outdoor: float) -> Cooled:
    """Cool air with a number of compressor stages.

    Parameters
    ----------
    entering
        Air before the coil.
    coil
        The coil.
    stages
        That run.
    outdoor
        Temperature at the condenser. [°C]

    Returns
    -------
    Cooled
        The air as it came where no stage runs or no air flows.

    References
    ----------
    As ``cool``; capacity straight in both temperatures, rated at 67 °F and 95 °F (from memory).
    """
    if stages <= 0 or entering.dry_air <= 0.0 or not coil.capacities:
        return Cooled(entering, 0.0, 0.0)
    share = bypass_factor_at(coil.bypass_factor, coil.rated_dry_air, entering.dry_air)
    capacity = coil.capacity(stages, _wet_bulb(entering), outdoor)
    return cool(entering, capacity, share, coil.coldest_surface)


def _wet_bulb(entering: Stream) -> float:
    """Near enough for a capacity: the temperature of saturated air of the same enthalpy."""
    return apparatus_dew_point(entering.enthalpy, entering.pressure)
