"""A unit of the facts as it may really have been built: other areas, leaks, dead bands, layers and sensors."""

from __future__ import annotations

from dataclasses import replace
from math import exp, sqrt
from random import Random

from ventwright.physics.rooftop.air_path import Leg
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.lanes import Stratification
from ventwright.physics.rooftop.linkage import Travel
from ventwright.physics.rooftop.sensing import Place
from ventwright.tables.practice import practice_table

LANES = (3, 5, 7)


def built_otherwise(unit: Unit, dice: Random) -> Unit:
    """Return a sound unit that differs from the one of the facts as one unit differs from the next.

    Parameters
    ----------
    unit
        As the facts have it.
    dice
        That decide; the spreads stand in ``tables/priors/practice.toml``.
    """
    widths = practice_table().differs

    def times(what: str) -> float:
        return exp(widths[what] * dice.uniform(-1.0, 1.0))

    def leg(one: Leg, leak: float) -> Leg:
        return replace(
            one, face=one.face * times("face"), fixed_loss=one.fixed_loss * times("fixed_loss"),
            gap=one.gap + leak * one.face / sqrt(one.blades.loss_open),
        )  # fmt: skip

    lanes = dice.choice(LANES)
    layered = dice.random() < widths["layered"]
    left = widths["layers"] * dice.random() if layered else 0.0
    link = unit.linkage
    outdoor = Travel(
        widths["dead_band"] * dice.random(), 1.0 - widths["dead_band"] * dice.random(), link.outdoor.first, link.outdoor.last
    )  # fmt: skip
    return replace(
        unit,
        outdoor_damper=leg(unit.outdoor_damper, widths["leak"] * dice.random()),
        return_damper=leg(unit.return_damper, 0.0),
        linkage=replace(link, outdoor=outdoor),
        fan=replace(unit.fan, airflow=unit.fan.airflow * times("fan"), fan_power=unit.fan.fan_power * times("fan")),
        return_duct=unit.return_duct * times("duct"),
        envelope=unit.envelope * times("envelope"),
        cabinet_gap=unit.cabinet_gap * times("cabinet"),
        stratification=Stratification(lanes, left, 0.7 * left),
        sensors=tuple(
            replace(
                one, bias=one.bias + widths["sensor"] * dice.uniform(-1.0, 1.0),
                lane=dice.randrange(lanes) if layered and one.input is Place.MIXED else None,
            )
            for one in unit.sensors
        ),
    )  # fmt: skip
