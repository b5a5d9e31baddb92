"""The way of the air: hood, outdoor damper and gaps, return duct and damper, relief, and the building around them.

Every opening is an effective area: ``m = A sqrt(2 rho dp)``, turbulent, either way. Three pressures above outdoors
balance the flows: in the mixing plenum, in the return plenum and in the space. Wind and stack are left out.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ventwright.physics.air import AirState
from ventwright.physics.damper import Blades, loss_coefficient
from ventwright.physics.rooftop.limit import above_zero, within
from ventwright.physics.rooftop.relief import Relief
from ventwright.physics.rooftop.root import root

ENVELOPE_EXPONENT = 0.65
"""Of a building's leakage: ASHRAE Handbook - Fundamentals, chapter on infiltration (from memory). [-]"""
ENVELOPE_PRESSURE = 4.0
"""At which the leakage of a building is given. [Pa]"""


@dataclass(frozen=True, slots=True)
class Leg:
    """One damper with what stands in line with it: hood or filters before the outdoor one, ducts at the other."""

    blades: Blades
    face: float
    """Of the damper. [m2]"""
    fixed_loss: float = 0.0
    """Of what stands in line, in velocity heads of the face. [-]"""
    gap: float = 0.0
    """Effective area beside or behind the blades that never shuts, in line with the fixed loss. [m2]"""

    def __post_init__(self) -> None:
        """Refuse what no damper is."""
        above_zero("damper.face", self.face, "m2")
        within("damper.fixed_loss", self.fixed_loss, 0.0)
        within("damper.gap", self.gap, 0.0, unit="m2")

    def effective_area(self, position: float) -> float:
        """Area A in m = A sqrt(2 rho dp) with the blades at a position. [m2]"""
        damper = self.face / math.sqrt(loss_coefficient(position, self.blades)) + self.gap
        return 1.0 / math.sqrt(1.0 / damper**2 + self.fixed_loss / self.face**2)


def leg_for(
    blades: Blades, mass_flow: float, damper_pressure: float, fixed_pressure: float, density: float
) -> Leg:
    """Leg that passes a flow at given pressure drops with its damper open.

    Parameters
    ----------
    blades
        Of the damper.
    mass_flow
        Of the moist air. [kg/s]
    damper_pressure
        Across the open damper. [Pa]
    fixed_pressure
        Across what stands in line. [Pa]
    density
        Of the moist air. [kg/m3]

    Returns
    -------
    Leg
        Face and fixed loss.

    References
    ----------
    dp = k rho v^2 / 2, solved for the face; ASHRAE research project 825-RP as in ``physics.damper``.
    """
    above_zero("damper.pressure", damper_pressure, "Pa")
    face = mass_flow * math.sqrt(blades.loss_open / (2.0 * density * damper_pressure))
    return Leg(blades, face, blades.loss_open * fixed_pressure / damper_pressure)


def mass_flow(area: float, pressure_difference: float, density: float) -> float:
    """Mass flow through an opening, with the sign of the pressure difference.

    Parameters
    ----------
    area
        Effective area. [m2]
    pressure_difference
        Before minus behind. [Pa]
    density
        Of the air that flows. [kg/m3]

    Returns
    -------
    float
        Of the moist air. [kg/s]

    References
    ----------
    Turbulent flow, dp = rho v^2 / 2: ASHRAE Handbook - Fundamentals, duct design (from memory).
    """
    return math.copysign(area * math.sqrt(2.0 * density * abs(pressure_difference)), pressure_difference)


@dataclass(frozen=True, slots=True)
class Openings:
    """What the air finds at one position of the dampers."""

    outdoor: float
    """Hood and outdoor damper. [m2]"""
    cabinet_gap: float
    """Gaps of the mixing box to outdoors, past hood and damper. [m2]"""
    returned: float
    """Return damper. [m2]"""
    return_duct: float
    """From the space to the return plenum. [m2]"""
    relief: Relief
    relief_fan: float
    """Airflow that the relief fan takes from the return plenum. [m3/s]"""
    envelope: float
    """Leakage of the building at 4 Pa. [m3/s]"""


@dataclass(frozen=True, slots=True)
class Flows:
    """Flows of dry air through the unit, above 0 in the direction that is meant. [kg/s]; pressures above outdoors. [Pa]"""

    outdoor: float
    """Into the mixing plenum through hood and damper. [kg/s]"""
    gaps: float
    """Into it through the gaps of the cabinet. [kg/s]"""
    returned: float
    """Into it through the return damper. [kg/s]"""
    relief: float
    """From the return plenum outdoors. [kg/s]"""
    return_duct: float
    """From the space into the return plenum. [kg/s]"""
    mixing_plenum_pressure: float
    return_plenum_pressure: float
    space_pressure: float

    @property
    def supply(self) -> float:
        """What the fan takes from the mixing plenum. [kg/s]"""
        return self.outdoor + self.gaps + self.returned


STILL = Flows(0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0, 0.0)
"""With the fan off."""


class AirPath:
    """Openings between outdoor and indoor air of known densities: pressures and flows for a supply flow."""

    __slots__ = ("_duct", "_envelope", "_gaps", "_indoor", "_openings", "_out", "_relief_fan", "_returned")

    def __init__(self, openings: Openings, outdoor: AirState, indoor: AirState) -> None:
        out, back = _per_area(outdoor), _per_area(indoor)
        self._openings, self._indoor = openings, back
        self._out, self._gaps = openings.outdoor * out, openings.cabinet_gap * out
        self._returned, self._duct = openings.returned * back, openings.return_duct * back
        self._relief_fan = openings.relief_fan / indoor.specific_volume
        self._envelope = openings.envelope / indoor.specific_volume

    def flows(self, supply: float) -> Flows:
        """Balance of all flows when the fan takes a flow of dry air. [kg/s]"""
        if supply <= 0.0:
            return STILL
        # Given the pressure of the mixing plenum every other flow follows, one after the other, and what the space then
        # gets minus what it loses falls with that pressure: one root, between certain ends.
        low = -((supply / (self._out + self._gaps)) ** 2)
        while self._surplus(low, supply) < 0.0:
            low *= 4.0
        return Flows(*self._at(root(lambda pressure: self._surplus(pressure, supply), low, 0.0), supply))

    def _at(
        self, mixing: float, supply: float
    ) -> tuple[float, float, float, float, float, float, float, float]:
        """What ``Flows`` holds, when the mixing plenum stands at a pressure. [kg/s, Pa]"""
        suction = _rooted(-mixing)
        outdoor, gaps = self._out * suction, self._gaps * suction
        returned = supply - outdoor - gaps
        back = returned / self._returned
        plenum = mixing + back * abs(back)
        flap = self._openings.relief.open_area(plenum)
        # a shut flap, the usual thing, needs no root
        relief = flap * self._indoor * _rooted(plenum) + self._relief_fan if flap else self._relief_fan
        duct = returned + relief
        through = duct / self._duct
        return outdoor, gaps, returned, relief, duct, mixing, plenum, plenum + through * abs(through)

    def _surplus(self, mixing: float, supply: float) -> float:
        """Supply minus return minus what leaks from the building. [kg/s]"""
        found = self._at(mixing, supply)
        return supply - found[4] - self.envelope_flow(found[7])

    def envelope_flow(self, space_pressure: float) -> float:
        """What leaks from the building at a pressure of the space. [kg/s]"""
        share = (abs(space_pressure) / ENVELOPE_PRESSURE) ** ENVELOPE_EXPONENT
        return math.copysign(self._envelope * share, space_pressure)


def _per_area(state: AirState) -> float:
    """Dry air through each m2 of effective area at 1 Pa. [kg/(s m2 Pa^0.5)]"""
    return math.sqrt(2.0 * state.density) / (1.0 + state.humidity_ratio)


def _rooted(value: float) -> float:
    return math.copysign(math.sqrt(abs(value)), value)
