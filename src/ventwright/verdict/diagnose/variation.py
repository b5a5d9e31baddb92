"""Units that all fit the facts: what nobody measured of a unit, varied from one to the next.

Facts say how large a unit is, not how its blades lie. Each variation has other areas, dead bands, leaks and small biases
of its sensors; what the readings say is held against all of them.
"""

from __future__ import annotations

from dataclasses import replace
from math import exp, sqrt
from random import Random

from ventwright.physics.rooftop.air_path import Leg
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.lanes import Stratification
from ventwright.physics.rooftop.linkage import Travel
from ventwright.physics.rooftop.sensing import Place, Sensor

LANES = 5
STRATIFIED = 0.35
"""Share of the unmixed pattern that is left in one variation of two, at the most. [-]"""
SENSOR_U = 0.4
"""Standard deviation of the bias of a sound sensor: within ±2 °F nine times of ten (IECC C403.5.5 asks for it). [K]"""


def varied(unit: Unit, number: int, width: float = 1.0) -> Unit:
    """One of the units that a unit of the facts may really be.

    Parameters
    ----------
    unit
        As the facts have it.
    number
        Which variation; 0 is the unit itself.
    width
        Spread against the usual one. [-]

    Returns
    -------
    Unit
        The same number gives the same unit. [SI throughout]

    References
    ----------
    Spreads: our own assumption; dead bands and open return blades as in measured curves of two research units
    (Scientific Data 2020, doi 10.1038/s41597-020-0398-6).
    """
    if number == 0:
        return unit
    dice = Random(f"variation {number}")  # noqa: S311 - no secret: the same number has to give the same unit

    def times(spread: float) -> float:
        return exp(spread * width * dice.gauss(0.0, 1.0))

    link = unit.linkage
    dead, short = (min(0.3, abs(dice.gauss(0.0, 0.06 * width))) for _ in range(2))
    outdoor = Travel(dead, 1.0 - short, link.outdoor.first, link.outdoor.last)
    left_open = min(0.2, abs(dice.gauss(0.0, 0.04 * width)))
    returned = replace(link.returned, last=max(link.returned.last, left_open))
    layered = dice.random() < 0.5
    lane = dice.randrange(LANES) if layered else None
    left = STRATIFIED * width * dice.random()
    power = unit.control_power
    return replace(
        unit,
        outdoor_damper=_leg(unit.outdoor_damper, times(0.12), times(0.3), dice.expovariate(1.0 / (0.008 * width))),
        return_damper=_leg(unit.return_damper, times(0.12), times(0.3), 0.0),
        fan=replace(unit.fan, airflow=unit.fan.airflow * times(0.07), fan_power=unit.fan.fan_power * times(0.05)),
        return_duct=unit.return_duct * times(0.2),
        envelope=unit.envelope * times(0.4),
        cabinet_gap=unit.cabinet_gap * times(0.5),
        linkage=replace(link, outdoor=outdoor, returned=returned),
        stratification=Stratification(LANES, min(1.0, left), min(1.0, 0.7 * left)) if layered else unit.stratification,
        sensors=tuple(_sensor(one, lane, dice.gauss(0.0, SENSOR_U * width)) for one in unit.sensors),
        control_power=replace(power, full_load=power.full_load * times(0.02), rating=power.rating * times(0.1)),
    )  # fmt: skip


def _leg(leg: Leg, face: float, loss: float, leak: float) -> Leg:
    gap = leg.gap + leak * leg.face / sqrt(leg.blades.loss_open)
    return replace(leg, face=leg.face * face, fixed_loss=leg.fixed_loss * loss, gap=gap)


def _sensor(one: Sensor, lane: int | None, bias: float) -> Sensor:
    if one.input is Place.MIXED and lane is not None:
        return replace(one, bias=one.bias + bias, lane=lane)
    return replace(one, bias=one.bias + bias)
