"""What a fault does to a year: another damper, another limit, or a sensor that shows something else."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

from ventwright.physics.moist_air import HEAT_CAPACITY_OF_DRY_AIR
from ventwright.physics.year.way import SensorErrors, Switch, Way
from ventwright.physics.year.year_unit import YearUnit
from ventwright.quantity import FRACTION, TEMPERATURE, TEMPERATURE_DIFFERENCE, Dimension
from ventwright.tables import savings_prior
from ventwright.tables.fault_prior import fault_prior

Of = Callable[[YearUnit], YearUnit]
OfWay = Callable[[Way], Way]
OfErrors = Callable[[SensorErrors], SensorErrors]


@dataclass(frozen=True, slots=True)
class YearFault:
    """A fault of the list as a year sees it. What it leaves alone is None."""

    id: str
    words: str
    unit: Of | None = None
    way: OfWay | None = None
    errors: OfErrors | None = None
    air_first: bool = False
    """It starves people of outdoor air: its repair may raise the bill, and is due all the same."""


def _usual(name: str, dimension: Dimension = FRACTION) -> float:
    return savings_prior.quantity("usual_faults", name, dimension)


def _no_free_cooling(way: Way) -> Way:
    return replace(way, switch=None)


def _stuck(share: float) -> Of:
    return lambda unit: replace(unit, least_share=share, least_share_slow=share, most_share=share)


def _stuck_open(unit: YearUnit) -> YearUnit:
    return replace(unit, least_share=unit.most_share, least_share_slow=unit.most_share)


def _leaks(unit: YearUnit) -> YearUnit:
    leak = _usual("leaks")
    return replace(
        unit,
        least_share=max(unit.least_share, leak),
        least_share_slow=max(unit.least_share_slow, leak),
        most_share=max(unit.most_share, leak),
    )


def _return_stays_open(unit: YearUnit) -> YearUnit:
    return _opens_to(unit, _usual("return_stays_open"))


def _opens_to(unit: YearUnit, most: float) -> YearUnit:
    most = min(unit.most_share, most)
    return replace(
        unit,
        most_share=most,
        least_share=min(unit.least_share, most),
        least_share_slow=min(unit.least_share_slow, most),
    )


def _hood_blocked(unit: YearUnit) -> YearUnit:
    """Less outdoor air at every position, in the same proportion."""
    most = min(unit.most_share, _usual("hood_blocked"))
    part = most / unit.most_share if unit.most_share > 0.0 else 0.0
    return replace(
        unit,
        most_share=most,
        least_share=unit.least_share * part,
        least_share_slow=unit.least_share_slow * part,
    )


def _minimum_times(factor: float) -> Of:
    return lambda unit: replace(
        unit,
        least_share=min(1.0, factor * unit.least_share),
        least_share_slow=min(1.0, factor * unit.least_share_slow),
    )


def _one_minimum(unit: YearUnit) -> YearUnit:
    """The same blades at the slow speed let in the same share, of less air."""
    return replace(unit, least_share_slow=unit.least_share)


def _warm_set_point(unit: YearUnit) -> YearUnit:
    wanted = _usual("set_point_too_high", TEMPERATURE)
    return replace(unit, mixed_set_point=min(wanted, unit.return_air - 1.0))


def _shows(difference: float) -> OfErrors:
    """The outdoor sensor shows so much more; the heat in the air with it."""
    return lambda errors: replace(
        errors,
        outdoor_error=errors.outdoor_error + difference,
        outdoor_enthalpy_error=errors.outdoor_enthalpy_error + difference * HEAT_CAPACITY_OF_DRY_AIR,
    )


def _limit(dry_bulb: float) -> OfWay:
    return lambda way: replace(way, switch=Switch(dry_bulb_limit=dry_bulb))


def _resistor(way: Way) -> Way:
    """A resistor shows the same outdoor air all year: free cooling is always allowed, or never."""
    shows, switch = _usual("resistor_shows", TEMPERATURE), way.switch
    if switch is None:
        return way
    limit = switch.dry_bulb_limit
    return replace(way, switch=None if limit is not None and shows > limit else Switch())


@cache
def year_faults() -> tuple[YearFault, ...]:
    """Faults of the list that a year of hours can tell, each in the size in which it is usually met."""
    stuck = fault_prior().fault("outdoor_air_damper_stuck").words
    high = _usual("sensor_reads_high", TEMPERATURE_DIFFERENCE)
    low = _usual("sensor_reads_low", TEMPERATURE_DIFFERENCE)
    lockout = _usual("lockout_too_high", TEMPERATURE)
    biased = fault_prior().fault("outdoor_air_temperature_sensor_biased").words
    return (
        YearFault(
            "outdoor_air_damper_stuck",
            f"{stuck} shut",
            _stuck(_usual("stuck_at")),
            _no_free_cooling,
            air_first=True,
        ),
        YearFault("outdoor_air_damper_stuck", f"{stuck} open", _stuck_open, _no_free_cooling),
        _named(
            "outdoor_air_damper_coupling_slipped",
            _stuck(_usual("stuck_at")),
            _no_free_cooling,
            air_first=True,
        ),
        _named("outdoor_air_damper_leaking", _leaks),
        _named("return_air_damper_not_closing", _return_stays_open),
        _named("outdoor_air_hood_blocked", _hood_blocked, air_first=True),
        YearFault("outdoor_air_temperature_sensor_biased", f"{biased}: too warm", errors=_shows(high)),
        YearFault("outdoor_air_temperature_sensor_biased", f"{biased}: too cold", errors=_shows(-low)),
        _named("outdoor_air_temperature_sensor_open_circuit", None, _no_free_cooling),
        _named("outdoor_air_temperature_sensor_short_circuit", None, _no_free_cooling),
        _named("outdoor_air_temperature_sensor_misplaced", None, None, _shows(high)),
        _named("substitute_resistor_left_on_outdoor_sensor", None, _resistor),
        _named("first_cooling_call_past_the_economizer", None, _no_free_cooling),
        _named("occupied_signal_missing", _occupied_missing, air_first=True),
        _named("high_limit_set_too_low", None, _limit(_usual("limit_too_low", TEMPERATURE))),
        _named("high_limit_set_too_high", None, _limit(_usual("limit_too_high", TEMPERATURE))),
        _named("minimum_position_too_low", _minimum_times(1.0 / _over()), air_first=True),
        _named("minimum_position_too_high", _minimum_times(_over())),
        _named("one_minimum_position_for_both_speeds", _one_minimum, air_first=True),
        _named("mixed_air_set_point_too_high", _warm_set_point),
        _named("compressor_lockout_too_high", None, lambda way: replace(way, lockout=lockout)),
        _named(
            "compressor_and_free_cooling_exclude_each_other", None, lambda way: replace(way, integrated=False)
        ),
    )


def _over() -> float:
    number: float = savings_prior.plain("usual_faults", "minimum_over")
    return number


def _occupied_missing(unit: YearUnit) -> YearUnit:
    """Nobody tells the damper to hold its minimum: it is shut until free cooling opens it."""
    shut = _usual("stuck_at")
    return replace(unit, least_share=shut, least_share_slow=shut)


def _named(
    fault: str, unit: Of | None = None, way: OfWay | None = None, errors: OfErrors | None = None, *, air_first: bool = False
) -> YearFault:  # fmt: skip
    return YearFault(fault, fault_prior().fault(fault).words, unit, way, errors, air_first)


def not_reckoned() -> tuple[str, ...]:
    """Faults of the list that a year of hours cannot tell, in words."""
    told = {one.id for one in year_faults()}
    return tuple(row.words for row in fault_prior().faults if row.id not in told)
