"""Demand control: outdoor air at design and at low occupancy, the damper limits for both, and the CO2 set point.

Low occupancy is the floor's share alone: no code lets an occupied space fall below it. The set point is where carbon
dioxide settles while the design number of people gets the design outdoor air; a code's own limit goes before it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from statistics import median

from ventwright.facts import Facts
from ventwright.facts.space import Space
from ventwright.physics.carbon_dioxide import shortfall_of_low_reading, steady_rise
from ventwright.plan.basis import Basis
from ventwright.plan.outdoor_air import SpaceAir, VentilationPlan, controlled
from ventwright.plan.speeds import SpeedPlan, first_signals
from ventwright.quantity import AIRFLOW, CONCENTRATION, FRACTION, VOLTAGE
from ventwright.tables import carbon_dioxide, ventilation
from ventwright.tables import ventilation_procedure as procedure
from ventwright.tables.carbon_dioxide import SensorLimits, SetPointLimit
from ventwright.tables.kit import Kit
from ventwright.words import Amount, Words, measured, words


@dataclass(frozen=True, slots=True, kw_only=True)
class SpaceDemand:
    """One space whose outdoor air follows its people."""

    name: str
    category: str
    required: bool | None
    people: float
    design_outdoor_air: float = measured(AIRFLOW)
    low_outdoor_air: float = measured(AIRFLOW)
    may_close_when_empty: bool | None
    """The standard lets it fall to nothing while nobody is there; None where it does not say."""
    carbon_dioxide_rise: float = measured(CONCENTRATION)
    carbon_dioxide_set_point: float = measured(CONCENTRATION)
    activity: str
    generation: float = measured(AIRFLOW)
    """Carbon dioxide that one person gives off."""
    reason: Words


@dataclass(frozen=True, slots=True, kw_only=True)
class SpeedDemand:
    """One fan speed: the share of outdoor air and a first guess of the damper signal, at design and at low occupancy."""

    name: str
    supply_air: float = measured(AIRFLOW)
    design_outdoor_air_fraction: float = measured(FRACTION)
    low_outdoor_air_fraction: float = measured(FRACTION)
    design_signal: float | None
    low_signal: float | None
    low_signal_low: float | None
    low_signal_high: float | None
    low_signal_voltage: float | None = measured(VOLTAGE)


@dataclass(frozen=True, slots=True, kw_only=True)
class DemandControlPlan:
    """Set points and damper limits; ``fitted`` is None where nobody knows whether demand control is there."""

    fitted: bool | None
    design_outdoor_air: float = measured(AIRFLOW)
    low_outdoor_air: float = measured(AIRFLOW)
    outdoor_carbon_dioxide: float = measured(CONCENTRATION)
    spaces: tuple[SpaceDemand, ...]
    speeds: tuple[SpeedDemand, ...]
    sensor: SensorLimits | None
    remarks: tuple[Words, ...]
    sources: tuple[str, ...]
    doubts: tuple[str, ...]


def plan_demand_control(
    facts: Facts, basis: Basis, planned: VentilationPlan, speeds: Sequence[SpeedPlan], kit: Kit
) -> DemandControlPlan | None:
    """Plan demand control for the spaces that have it or want it; None where no space does.

    Parameters
    ----------
    planned, speeds
        Outdoor air and fan speeds of the same plan.
    """
    fitted = {"fitted": True, "not fitted": False, "unknown": None}[facts.ventilation.demand_control]
    chosen, low = controlled(planned.spaces, facts.ventilation), planned.low_occupancy
    if not chosen or low is None:
        return None
    limit = carbon_dioxide.set_point_limit(basis.energy_code) or carbon_dioxide.set_point_limit(
        planned.standard
    )
    outdoor, outdoor_source = carbon_dioxide.assumed_outdoor()
    if limit is not None:
        outdoor, outdoor_source = limit.outdoor_assumed, limit.source
    by_name = {space.name: space for space in facts.spaces}
    spaces = tuple(_space(air, by_name[air.name], planned.standard, outdoor, limit) for air in chosen)
    sensor = carbon_dioxide.sensor_limits(basis.energy_code) or carbon_dioxide.sensor_limits(planned.standard)
    sources = [carbon_dioxide.generation(air.category).source for air in chosen]
    sources += [outdoor_source, *([limit.source] if limit else []), *([sensor.source] if sensor else [])]
    return DemandControlPlan(
        fitted=fitted,
        design_outdoor_air=planned.required,
        low_outdoor_air=low,
        outdoor_carbon_dioxide=outdoor,
        spaces=spaces,
        speeds=tuple(_speed(speed, low, kit) for speed in speeds),
        sensor=sensor,
        remarks=tuple(_remarks(facts, spaces, sensor, outdoor)),
        sources=tuple(dict.fromkeys(str(source) for source in sources)),
        doubts=tuple(dict.fromkeys(f"{source}: {source.doubt}" for source in sources if source.doubt)),
    )


def _space(
    air: SpaceAir, space: Space, standard: str, outdoor: float, limit: SetPointLimit | None
) -> SpaceDemand:
    rate = ventilation.rate(standard, space.use)
    gives = carbon_dioxide.generation(air.category)
    rise = steady_rise(gives.per_person * air.people, air.breathing_zone)
    reason = words(
        f"where {round(air.people, 1):g} people at {{activity}} settle with {{air}}", activity=Words(gives.activity),
        air=Amount(air.breathing_zone, AIRFLOW),
    )  # fmt: skip
    held = rise
    if limit is not None and not 0.0 < rise <= limit.above_outdoor:
        held = limit.above_outdoor
        reason = words("{code} lets it rise {limit} above outdoors, and the design would settle {rise} above",
                       code=Words(limit.source.code), limit=Amount(held, CONCENTRATION), rise=Amount(rise, CONCENTRATION))  # fmt: skip
    return SpaceDemand(
        name=air.name,
        category=air.category,
        required=air.demand_control,
        people=air.people,
        design_outdoor_air=air.breathing_zone,
        low_outdoor_air=procedure.Space(
            0.0, air.floor_area, rate.people_rate, rate.least_area_rate
        ).area_term,
        may_close_when_empty=air.occupied_standby,
        carbon_dioxide_rise=held,
        carbon_dioxide_set_point=outdoor + held,
        activity=gives.activity,
        generation=gives.per_person,
        reason=reason,
    )


def _speed(speed: SpeedPlan, low: float, kit: Kit) -> SpeedDemand:
    share = low / speed.supply_air if speed.supply_air > 0.0 else float("inf")
    signals = first_signals(share) if share <= 1.0 else ()
    guess = median(signals) if signals else None
    in_volts = kit.damper_signal.closed.dimension == VOLTAGE
    return SpeedDemand(
        name=speed.name,
        supply_air=speed.supply_air,
        design_outdoor_air_fraction=speed.target_outdoor_air_fraction,
        low_outdoor_air_fraction=share,
        design_signal=speed.first_signal,
        low_signal=guess,
        low_signal_low=min(signals, default=None),
        low_signal_high=max(signals, default=None),
        low_signal_voltage=kit.signal_at(guess) if guess is not None and in_volts else None,
    )


def _remarks(
    facts: Facts,
    spaces: Sequence[SpaceDemand],
    sensor: SensorLimits | None,
    outdoor: float,
) -> list[Words]:
    found = [words(
        "outdoor air is taken for {outdoor}: measure it, and move the set points by what it differs",
        outdoor=Amount(outdoor, CONCENTRATION))]  # fmt: skip
    if facts.ventilation.drawn is not None:
        found.append(
            Words(
                "the design air is from the drawings, the low limit from the code's floor rates: nothing drawn says it"
            )
        )
    if facts.ventilation.system == "multiple zones":
        found.append(
            Words(
                "one unit for several zones: the damper follows the zone that needs the most, so each needs its sensor"
            )
        )
    if len(spaces) > 1 and facts.ventilation.system == "single zone":
        found.append(
            Words(
                "one damper serves several spaces: it follows the one whose carbon dioxide stands highest above its set point"
            )
        )
    if sensor is not None:
        rise = min(space.carbon_dioxide_rise for space in spaces)
        found.append(words(
            "a sensor that reads {band} low at the set point leaves out {share} of the outdoor air",
            band=Amount(sensor.band, CONCENTRATION), share=Amount(shortfall_of_low_reading(rise, sensor.band), FRACTION)))  # fmt: skip
    if any(space.carbon_dioxide_rise > HIGH_RISE for space in spaces):
        found.append(words(
            "a rise of more than {high} is more than rooms are used to: the rates leave little air a person, so hold it lower where people complain",
            high=Amount(HIGH_RISE, CONCENTRATION)))  # fmt: skip
    found.append(
        Words(
            "switch demand control off, or hold the damper, before any airflow is set or proved; switch it on again at the end (temporary change)"
        )
    )
    return found


HIGH_RISE = 1000.0
"""Rise above outdoors [ppm] from which on the set point is remarked on (common practice, no published source)."""
