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
from ventwright.tables.unit_variation import unit_variation


def varied(unit: Unit, number: int) -> Unit:
    """One of the units that a unit of the facts may really be.

    Parameters
    ----------
    unit
        As the facts have it.
    number
        Which variation; 0 is the unit itself.

    Returns
    -------
    Unit
        The same number gives the same unit. [SI throughout]

    References
    ----------
    Spreads: ``tables/priors/unit_variation.toml``, with their sources.
    """
    if number == 0:
        return unit
    dice = Random(f"variation {number}")  # noqa: S311 - no secret: the same number has to give the same unit
    known = unit_variation()
    by, blades, layers = known.spread, known.blades, known.layers

    def times(spread: float) -> float:
        return exp(spread * dice.gauss(0.0, 1.0))

    link = unit.linkage
    dead, short = (min(blades.most_dead, abs(dice.gauss(0.0, blades.dead))) for _ in range(2))
    outdoor = Travel(dead, 1.0 - short, link.outdoor.first, link.outdoor.last)
    left_open = min(blades.most_left_open, abs(dice.gauss(0.0, blades.left_open)))
    returned = replace(link.returned, last=max(link.returned.last, left_open))
    layered = dice.random() < layers.chance
    lane = dice.randrange(layers.lanes) if layered else None
    left = layers.left * dice.random()
    power = unit.control_power
    # one throw after the other: another order would give other units
    return replace(
        unit,
        outdoor_damper=_leg(unit.outdoor_damper, times(by.damper_face), times(by.damper_loss), dice.expovariate(1.0 / known.leak)),
        return_damper=_leg(unit.return_damper, times(by.damper_face), times(by.damper_loss), 0.0),
        fan=replace(unit.fan, airflow=unit.fan.airflow * times(by.airflow), fan_power=unit.fan.fan_power * times(by.fan_power)),
        return_duct=unit.return_duct * times(by.return_duct),
        envelope=unit.envelope * times(by.envelope),
        cabinet_gap=unit.cabinet_gap * times(by.cabinet_gap),
        linkage=replace(link, outdoor=outdoor, returned=returned),
        stratification=Stratification(layers.lanes, left, layers.open * left) if layered else unit.stratification,
        sensors=tuple(_sensor(one, lane, dice.gauss(0.0, known.bias_u)) for one in unit.sensors),
        control_power=replace(power, full_load=power.full_load * times(by.full_load), rating=power.rating * times(by.rating)),
    )  # fmt: skip


def _leg(leg: Leg, face: float, loss: float, leak: float) -> Leg:
    """Return a damper with another face and loss, and a gap that is a leak's share of its face. [times, times, -]"""
    gap = leg.gap + leak * leg.face / sqrt(leg.blades.loss_open)
    return replace(leg, face=leg.face * face, fixed_loss=leg.fixed_loss * loss, gap=gap)


def _sensor(one: Sensor, lane: int | None, bias: float) -> Sensor:
    """Return a sensor that is off by a bias [K]; that of mixed air stands in one lane where there are layers."""
    if one.input is Place.MIXED and lane is not None:
        return replace(one, bias=one.bias + bias, lane=lane)
    return replace(one, bias=one.bias + bias)
