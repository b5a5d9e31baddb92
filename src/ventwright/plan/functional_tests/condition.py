"""What a step needs of the air, in this unit's own temperatures: whether today brings it, and between what it may be shown."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from ventwright.physics import air
from ventwright.physics.moist_air import STANDARD_PRESSURE
from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.high_limit import HighLimitControl
from ventwright.physics.rooftop.operating import operate
from ventwright.plan.software_unit import SoftwareUnit
from ventwright.quantity import TEMPERATURE
from ventwright.tables.unit_prior import accepted
from ventwright.words import Amount, Words, words

DRIEST, WETTEST = 0.05, 1.0
"""Relative humidity between which outdoor air lies (our own assumption). [-]"""

CLEAR = 1.0
"""A shown temperature has to be this far on its side of a limit (our own assumption). [K]"""

BY_ENTHALPY = {
    HighLimitControl.FIXED_ENTHALPY,
    HighLimitControl.FIXED_ENTHALPY_AND_DRY_BULB,
    HighLimitControl.DIFFERENTIAL_ENTHALPY,
    HighLimitControl.DIFFERENTIAL_ENTHALPY_AND_DRY_BULB,
}

SUITABLE, SUITABLE_WARM, UNSUITABLE = (
    "outdoor air suitable",
    "outdoor air suitable and warmer than the set point",
    "outdoor air unsuitable",
)
BELOW_LOCKOUT, MIXED_COLD, COMMANDED = (
    "outdoor air below the lockout",
    "mixed air below its limit",
    "damper commanded",
)


@dataclass(frozen=True, slots=True)
class Window:
    """Between which temperatures a sensor has to show it, and the one to aim at. [°C]"""

    low: float
    high: float
    aim: float


def limit_of(unit: SoftwareUnit) -> float | None:
    """Dry bulb above which outdoor air is unfit; None where enthalpy alone decides. [°C]"""
    limit = unit.settings.high_limit
    if limit.control is HighLimitControl.DIFFERENTIAL_DRY_BULB:
        return unit.indoor.dry_bulb - limit.return_differential
    if limit.control in {HighLimitControl.FIXED_ENTHALPY, HighLimitControl.DIFFERENTIAL_ENTHALPY}:
        return None
    return limit.high_limit


def suits(unit: SoftwareUnit, outdoor: float) -> bool | None:
    """Whether outdoor air of a temperature [°C] is fit to cool with; None where its humidity decides, or hysteresis."""
    limit, told = unit.settings.high_limit, list[bool | None]()
    dry_bulb = limit_of(unit)
    if dry_bulb is not None:
        told.append(_beside(outdoor, outdoor, dry_bulb, limit.limit_differential))
    if limit.control in BY_ENTHALPY:
        least, most = (_enthalpy(unit, outdoor, humidity) for humidity in (DRIEST, WETTEST))
        told.append(_beside(least, most, _enthalpy_limit(unit), limit.enthalpy_differential))
    if False in told:
        return False
    return None if None in told else True


def _beside(least: float, most: float, limit: float, differential: float) -> bool | None:
    """Fit, unfit or not to be told of something between two ends."""
    if least > limit:
        return False
    return True if most < limit - differential else None


def _enthalpy(unit: SoftwareUnit, dry_bulb: float, humidity: float) -> float:
    pressure = unit.weather.pressure if unit.weather else STANDARD_PRESSURE
    return air.state(dry_bulb, relative_humidity=humidity, pressure=pressure).enthalpy


def _enthalpy_limit(unit: SoftwareUnit) -> float:
    limit = unit.settings.high_limit
    if limit.control in {HighLimitControl.FIXED_ENTHALPY, HighLimitControl.FIXED_ENTHALPY_AND_DRY_BULB}:
        return limit.enthalpy_limit
    return _enthalpy(unit, unit.indoor.dry_bulb, unit.indoor.relative_humidity)


def brought_today(unit: SoftwareUnit, condition: str) -> bool | None:
    """Whether today's air brings a condition by itself; None where nobody gave it, or its humidity decides."""
    if unit.weather is None:
        return None
    outdoor = unit.weather.dry_bulb
    fit = suits(unit, outdoor)
    answers: dict[str, Callable[[], bool | None]] = {
        SUITABLE: lambda: fit,
        SUITABLE_WARM: lambda: fit if outdoor >= unit.settings.set_point else False,
        UNSUITABLE: lambda: None if fit is None else not fit,
        BELOW_LOCKOUT: lambda: unit.settings.lockout is not None and outdoor < unit.settings.lockout,
        MIXED_COLD: lambda: _mixed_is_cold(unit),
        COMMANDED: lambda: False,
    }
    return answers[condition]()


def _mixed_is_cold(unit: SoftwareUnit) -> bool:
    """Whether even the minimum makes the mixed air colder than its limit, whatever the damper."""
    if unit.weather is None:
        return False
    calls = Calls(fan=True)
    states = [operate(one, unit.settings, unit.weather, unit.indoor, calls).state for one in unit.variants]
    return all(one.mixed.dry_bulb < unit.settings.low_limit - CLEAR for one in states)


def window_of(unit: SoftwareUnit, condition: str) -> Window | None:
    """Temperatures that a sensor may be made to show for a condition; None where no temperature alone makes it so."""
    settings, beyond = unit.settings, accepted().beyond_limit
    limit = limit_of(unit)
    if condition in {SUITABLE, SUITABLE_WARM}:
        if limit is None or settings.high_limit.control in BY_ENTHALPY:
            return None
        low = -math.inf if settings.lockout is None else settings.lockout + settings.lockout_differential
        high = limit - settings.high_limit.limit_differential - CLEAR
        low = max(low + CLEAR, high - 4.0 * beyond)
        return Window(low, high, 0.5 * (low + high)) if low <= high else None
    if condition == UNSUITABLE:
        return None if limit is None else Window(limit + CLEAR, limit + 4.0 * beyond, limit + beyond)
    if condition == BELOW_LOCKOUT and settings.lockout is not None:
        return Window(settings.lockout - 4.0 * beyond, settings.lockout - CLEAR, settings.lockout - beyond)
    if condition == MIXED_COLD:
        # not so cold that freeze protection answers instead of the limit, where there is room between the two
        high = settings.low_limit - CLEAR
        low = settings.freeze.first_below + CLEAR
        low = low if low < high else high - beyond
        return Window(low, high, 0.5 * (low + high))
    return None


def needs_in_numbers(unit: SoftwareUnit, condition: str, needs: str) -> Words:
    """Say what a condition needs, with this unit's own limit behind it."""
    limit, settings = limit_of(unit), unit.settings
    numbers: dict[str, tuple[str, float | None]] = {
        SUITABLE: ("below", None if limit is None else limit - settings.high_limit.limit_differential),
        UNSUITABLE: ("above", limit),
        BELOW_LOCKOUT: ("below", settings.lockout),
        MIXED_COLD: ("below", settings.low_limit),
    }
    if condition == SUITABLE_WARM and limit is not None:
        return words(
            "{needs}: {low} to {high}{humid}", needs=Words(needs), low=Amount(settings.set_point, TEMPERATURE),
            high=Amount(limit - settings.high_limit.limit_differential, TEMPERATURE), humid=_humid(unit),
        )  # fmt: skip
    side, at = numbers.get(condition, ("", None))
    if at is None:
        return Words(needs)
    outdoor = condition in {SUITABLE, UNSUITABLE}
    return words(
        "{needs}: {side} {at}{humid}", needs=Words(needs), side=Words(side), at=Amount(at, TEMPERATURE),
        humid=_humid(unit) if outdoor else Words(""),
    )  # fmt: skip


def _humid(unit: SoftwareUnit) -> Words:
    by_heat = unit.settings.high_limit.control in BY_ENTHALPY
    return Words(", by its heat content as well" if by_heat else "")
