"""A job's unit in software: built from its facts and settings, in a few variants that its unknown dampers allow."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from ventwright.facts import Facts
from ventwright.physics.damper import Blades
from ventwright.physics.moist_air import HEAT_CAPACITY_OF_DRY_AIR
from ventwright.physics.rooftop.air_path import leg_for
from ventwright.physics.rooftop.coil import CoolingCoil
from ventwright.physics.rooftop.control_settings import ControlSettings, FanSpeeds, ValveSense, filled
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.heat import Heater, HeaterKind, HeatPump
from ventwright.physics.rooftop.high_limit import HighLimit, HighLimitControl
from ventwright.physics.rooftop.linkage import Linkage
from ventwright.physics.rooftop.minimum_position import MinimumPosition
from ventwright.physics.rooftop.relief import Relief, ReliefKind
from ventwright.physics.rooftop.supply_fan import SupplyFan
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.plan.basis import TON, Basis
from ventwright.plan.settings import Setting, compressor_lockout
from ventwright.quantity import AIRFLOW, TEMPERATURE
from ventwright.tables import prior
from ventwright.tables.kit import Kit, Term
from ventwright.tables.unit_prior import UnitPrior, unit_prior

DENSITY = 1.2
"""Of standard air, for sizes that are guesses anyway. [kg/m3]"""

NEVER = -60.0
"""Low limit of a kit that has none: air is never so cold. [°C]"""

SMALLEST_GAP = 1e-4
"""Of a tight box (our own assumption). [m2]"""

OUTSIDE_THE_SEQUENCE = {
    Term.RELIEF_START,
    Term.CARBON_DIOXIDE_SET_POINT,
    Term.LOW_OCCUPANCY_DAMPER_SIGNAL,
}
"""Terms of which the sequence in software takes no notice while demand control is off."""


@dataclass(frozen=True, slots=True)
class SoftwareUnit:
    """The unit in a few variants of damper and leakage, with its settings and the air around it.

    ``indoor`` and the humidities are as given or usual; ``weather`` is None where nobody gave today's air.
    """

    variants: tuple[Unit, ...]
    settings: ControlSettings
    weather: Weather | None
    indoor: Indoor
    lowest_cooling: float
    """Outdoor air below which no compressor may cool, by nameplate or, unknown, on the careful side. [°C]"""


def software_unit(
    facts: Facts,
    basis: Basis,
    kit: Kit,
    planned: Sequence[Setting],
    as_left: Mapping[str, float] | None = None,
) -> SoftwareUnit:
    """Put a job's unit into software.

    Parameters
    ----------
    planned
        The kit's settings as they are to be left.
    as_left
        Settings read back, by label in small letters, in SI; they go before the planned ones.
    """
    left, given = as_left or {}, unit_prior()
    values: dict[tuple[Term, str | None], float] = {
        (one.means, one.fan): left.get(one.label.lower(), one.si) for one in planned
    }
    return SoftwareUnit(
        variants=tuple(_variants(facts, basis, values, given)),
        settings=_settings(basis, kit, values),
        weather=_weather(facts, basis, given),
        indoor=Indoor(_return_air(facts), given.indoor_humidity),
        lowest_cooling=compressor_lockout(basis).value,
    )


def _return_air(facts: Facts) -> float:
    given = facts.weather.return_air if facts.weather else None
    return prior.usual("return_air", TEMPERATURE).value if given is None else given.value


def _weather(facts: Facts, basis: Basis, given: UnitPrior) -> Weather | None:
    if facts.weather is None:
        return None
    return Weather(facts.weather.outdoor_air.value, given.outdoor_humidity, basis.pressure)


def _variants(
    facts: Facts, basis: Basis, values: Mapping[tuple[Term, str | None], float], given: UnitPrior
) -> list[Unit]:
    """A tight box with equal dampers, and a leaky one whose return damper is large and does not shut: the ends of what is met."""
    boxes = prior.damper()
    ends = (
        (boxes.blades[0], min(boxes.leaks), min(boxes.return_sizes), 0.0),
        (boxes.blades[-1], max(boxes.leaks), max(boxes.return_sizes), given.return_stays_open),
    )
    return [_unit(facts, basis, values, given, end) for end in ends]


def _unit(
    facts: Facts, basis: Basis, values: Mapping[tuple[Term, str | None], float], given: UnitPrior,
    box: tuple[Blades, float, float, float],
) -> Unit:  # fmt: skip
    blades, leak, return_size, stays_open = box
    full = basis.speeds[0].supply_air
    flow = DENSITY * full
    outdoor = leg_for(blades, flow, given.damper_pressure, given.fixed_pressure, DENSITY)
    returned = leg_for(blades, flow, given.damper_pressure / return_size**2, given.fixed_pressure, DENSITY)
    capacity = basis.cooling_capacity or full / prior.usual("air_per_ton", AIRFLOW).value * TON
    stages = basis.cooling_stages or 1
    open_area = flow / math.sqrt(2.0 * DENSITY * given.damper_pressure)
    parts: dict[str, Any] = {
        "linkage": Linkage(return_open_at_least=stays_open),
        "cabinet_gap": max(leak * open_area, SMALLEST_GAP),
        "relief": _relief(facts.unit.relief, full, values.get((Term.RELIEF_START, None)), given),
        "envelope": given.leakage * full,
        "coil": CoolingCoil(_staged(capacity, stages), flow),
        **_heat(basis, capacity, stages, given),
    }
    fan = SupplyFan(
        full,
        flow * HEAT_CAPACITY_OF_DRY_AIR * prior.fan_heat().value,
        tuple(sorted({speed.supply_air / full for speed in basis.speeds})),
    )
    duct = flow / math.sqrt(2.0 * DENSITY * given.return_duct_pressure)
    return Unit(outdoor, returned, fan, duct, **parts)


def _staged(capacity: float, stages: int) -> tuple[float, ...]:
    return tuple(capacity * (one + 1) / stages for one in range(stages))


def _relief(kind: str, full: float, start: float | None, given: UnitPrior) -> Relief:
    if kind == "none":
        return Relief()
    if kind == "powered":
        first = {} if start is None else {"fan_start": start}
        return Relief(ReliefKind.POWERED, airflow=given.relief_fan * full, **first)
    return Relief(
        ReliefKind.BAROMETRIC,
        given.relief_area * full,
        opening_pressure=given.relief_opens,
        open_pressure=given.relief_open,
    )


def _heat(basis: Basis, capacity: float, stages: int, given: UnitPrior) -> dict[str, Any]:
    if basis.heating == "heat pump":
        cools = basis.reversing_valve != "energized in heating"
        return {
            "heat_pump": HeatPump(_staged(given.heat_pump * capacity, stages), valve_powered_cools=cools),
            "heater": Heater(HeaterKind.ELECTRIC, (given.auxiliary * capacity,)),
        }
    if basis.heating in {None, "none"}:
        return {}
    kind = HeaterKind.ELECTRIC if basis.heating == "electric" else HeaterKind.GAS
    return {"heater": Heater(kind, (given.furnace * capacity,))}


def _settings(basis: Basis, kit: Kit, values: Mapping[tuple[Term, str | None], float]) -> ControlSettings:
    full = basis.speeds[0].supply_air
    slowest = min(speed.supply_air for speed in basis.speeds) / full
    stages = basis.cooling_stages or 1
    pump, heats = basis.heating == "heat pump", basis.heating not in {None, "none"}
    plain = ControlSettings(
        minimum=MinimumPosition(0.0, 0.0, 1.0, slowest),
        high_limit=HighLimit(HighLimitControl(kit.high_limit_control)),
        fan=FanSpeeds(ventilating=slowest, cooling_first=slowest),
        low_limit=NEVER,
        lockout=None,
        integrated=kit.integrated,
        compressors=stages,
        heaters=stages + 1 if pump else int(heats),
        valve=_sense(basis.reversing_valve) if pump else None,
    )
    known: dict[tuple[str, str | None], Any] = {
        (term.value, fan): value for (term, fan), value in values.items() if term not in OUTSIDE_THE_SEQUENCE
    }
    for key in [key for key in known if key[0] == Term.REVERSING_VALVE.value]:
        sense = "energized in heating" if known.pop(key) else "energized in cooling"
        if pump:
            known[key] = _sense(sense)
    return filled(plain, known)


def _sense(valve: str | None) -> ValveSense:
    return "powered in heating" if valve == "energized in heating" else "powered in cooling"
