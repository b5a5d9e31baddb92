"""The chart of moist air of one job: its latest readings, else the air that is expected, and its high limit as planned."""

from __future__ import annotations

from ventwright.facts import Facts
from ventwright.physics.moist_air import enthalpy
from ventwright.plan import Plan
from ventwright.quantity import ENTHALPY, TEMPERATURE, System, show
from ventwright.readings import Humidity, MixedAir, Readings
from ventwright.record.air_chart import AirChart, AirPoint, FreeCooling
from ventwright.tables.kit import Term

OUTDOOR, RETURN, MIXED = "outdoor air", "return air", "mixed air"

BY_ENTHALPY, BY_RETURN = "enthalpy", "differential"
"""Words of a high-limit control: what outdoor air is compared by, and with return air rather than with a limit."""


def air_chart_of(facts: Facts, plan: Plan, readings: Readings, system: System = "us") -> AirChart:
    """Gather what the chart shows.

    Parameters
    ----------
    facts, plan, readings
        Of the job.
    system
        Units of the words about the region.
    """
    airs, when = _read(readings, plan.basis.pressure) or _expected(facts, plan)
    return AirChart(airs, _region(plan, airs, system), plan.basis.pressure, when)


def _read(readings: Readings, pressure: float) -> tuple[tuple[AirPoint, ...], str] | None:
    """The three airs of the latest reading; one with humidities goes before one of the same day without."""
    mixed, humid = readings.standing(MixedAir), readings.standing(Humidity)
    if humid and (not mixed or humid[-1].at.date() >= mixed[-1].at.date()):
        last = humid[-1]
        water = last.humidity_ratios(pressure)
        dry = (last.outdoor_dry_bulb, last.return_dry_bulb, last.mixed_dry_bulb)
        airs = tuple(
            AirPoint(name, one.value, each)
            for name, one, each in zip((OUTDOOR, RETURN, MIXED), dry, water, strict=True)
        )
        return airs, f"Read {last.at:%Y-%m-%d %H:%M}, {last.speed} speed."
    if not mixed:
        return None
    seen = mixed[-1]
    airs = (
        AirPoint(OUTDOOR, seen.outdoor_air.value),
        AirPoint(RETURN, seen.return_air.value),
        AirPoint(MIXED, seen.before_fan),
    )
    return airs, f"Read {seen.at:%Y-%m-%d %H:%M}, {seen.speed} speed."


def _expected(facts: Facts, plan: Plan) -> tuple[tuple[AirPoint, ...], str]:
    weather = facts.weather
    if weather is None:
        return (), "Nothing is read yet, and no temperature is given for today."
    airs = [AirPoint(OUTDOOR, weather.outdoor_air.value)]
    if weather.return_air is None:
        return tuple(airs), "Expected today; nothing is read yet."
    airs.append(AirPoint(RETURN, weather.return_air.value))
    first = plan.speeds[0]
    if first.target_mixed_air is not None:
        airs.append(AirPoint(f"{MIXED} wanted at {first.name} speed", first.target_mixed_air))
    return tuple(airs), "Expected today; nothing is read yet."


def _region(plan: Plan, airs: tuple[AirPoint, ...], system: System) -> FreeCooling:
    """Where the kit's control, as it is planned to be set, takes outdoor air for fit to cool with."""
    planned = {one.means: one.si for one in plan.settings}
    control, returned = plan.kit.high_limit_control, airs[1] if len(airs) > 1 else None
    words, dry_bulb, most = [], planned.get(Term.DRY_BULB_HIGH_LIMIT), None
    if control == "differential dry bulb":
        gap = planned.get(Term.RETURN_DIFFERENTIAL, 0.0)
        dry_bulb = None if returned is None else returned.dry_bulb - gap
        words.append("cooler than return air by the gap set")
    if dry_bulb is not None:
        words.append(f"no warmer than {show(dry_bulb, TEMPERATURE, system)}")
    if BY_ENTHALPY in control and BY_RETURN in control:
        words.append("no richer in heat than return air")
        if returned is not None and returned.humidity_ratio is not None:
            most = enthalpy(returned.dry_bulb, returned.humidity_ratio)
    elif BY_ENTHALPY in control:
        most = planned.get(Term.ENTHALPY_HIGH_LIMIT)
        words += [] if most is None else [f"of no more heat than {show(most, ENTHALPY, system)}"]
    compared = BY_ENTHALPY in control and BY_RETURN in control and most is None
    if compared:
        return FreeCooling(f"{', '.join(words)} (return air's humidity is not read)")
    return FreeCooling(", ".join(words) or "not known: the kit has no limit of its own", dry_bulb, most)
