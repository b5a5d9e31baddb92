"""A number with its unit and uncertainty: read as people write it, kept as typed, shown in either system.

Inside the program every quantity is a float in the SI unit of its dimension; this module is the edge
where "72 F" becomes 22.22 °C and back. A temperature and a temperature difference are two dimensions,
and so are the enthalpies of the two unit systems: 0 Btu/lb is dry air at 0 °F, 0 J/kg is dry air at 0 °C.

"±" after a number is read as instrument makers print it: an interval that holds the true value 95 times
in 100. Half of it is kept as the standard uncertainty (coverage factor 2, JCGM 100:2008, 6.2 and G.6.6).
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal

from ventwright.errors import Refusal, Refused, shortened
from ventwright.quantity.dimension import (
    ABSOLUTE_ZERO,
    AIRFLOW,
    APPARENT_POWER,
    AREA,
    BTU,
    CONCENTRATION,
    CURRENT,
    DENSITY,
    DIFFERENCE_OF,
    DIMENSIONS,
    DURATION,
    ENERGY,
    ENTHALPY,
    ENTHALPY_DIFFERENCE,
    ENTHALPY_OF_DRY_AIR_AT_0_F,
    FOOT,
    FRACTION,
    HEAT_RATE,
    HUMIDITY_RATIO,
    LENGTH,
    PRESSURE,
    RESISTANCE,
    SPECIFIC_VOLUME,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    VOLTAGE,
    Dimension,
    Unit,
)

System = Literal["us", "si"]


@dataclass(frozen=True, slots=True)
class Quantity:
    """A number as typed, and what it is in SI.

    ``value`` is in the SI unit of the dimension (temperatures in °C); ``uncertainty`` is the standard
    uncertainty, half of a typed "±", in the same unit (kelvins for a temperature), or None where none
    was given. ``typed`` is exactly what the person wrote.
    """

    typed: str
    dimension: Dimension
    value: float
    uncertainty: float | None = None

    def __str__(self) -> str:
        """Return what was typed."""
        return self.typed

    def show(self, system: System) -> str:
        """Return the quantity in the units of one system, as screens and paper show it."""
        return show(self.value, self.dimension, system, self.uncertainty)


# Every pattern can be matched in one way only, so that no text, however long, takes more than one look.
_PLUS_MINUS = re.compile(r"±|\+/-|\+-")
_DIGITS = re.compile(r"[-+]?[0-9.,]*(?:(?<=[0-9.])[eE][-+]?[0-9]+)?")
_NUMBER = re.compile(r"[-+]?(?:[0-9]+|[1-9][0-9]{0,2}(?:,[0-9]{3})+)?(?:\.[0-9]*)?(?:[eE][-+]?[0-9]+)?")
_MORE_NUMBER = re.compile(r"[-+/:'_]?\s*[0-9.,]")
_MINUS_SIGNS = str.maketrans("−–", "--")

_NUMBERS = 'digits with a decimal point, a comma only between thousands, such as "1.5" or "12,000"'
_AS_TYPED = 5e-7
"""Relative room at a bound, since bounds are told with seven figures: what a refusal accepts is accepted."""


def read(
    text: str, dimension: Dimension, *, at_least: float | None = None, at_most: float | None = None
) -> Quantity:
    """Read a quantity of a known dimension as a person wrote it.

    ``at_least`` and ``at_most`` narrow what is possible, in SI units (a relative humidity lies between
    0 and 1). "± 2 %" after anything but a fraction means two per cent of the value.

    Raises
    ------
    Refused
        No number, no unit, a unit of another dimension, or a value that cannot exist.
    """
    typed = text.strip()
    if not typed:
        raise Refused(Refusal("nothing was given", dimension.example))
    if dimension.words:
        return _choice(typed, dimension)
    main, *band = _PLUS_MINUS.split(typed, maxsplit=1)
    number, name = _number_and_name(main, typed)
    if number is None:
        raise Refused(Refusal(f"is not {dimension.one}", dimension.example, given=typed))
    if not name:
        raise Refused(Refusal(f"has no unit, and {dimension.one} needs one", dimension.example, given=typed))
    unit = _unit_named(name, dimension, typed)
    value = _possible(number * unit.factor + unit.offset, dimension, typed, at_least, at_most)
    return Quantity(typed, dimension, value, _band(band[0], dimension, unit, value, typed) if band else None)


def _choice(typed: str, dimension: Dimension) -> Quantity:
    """Read one of the words of a choice, whatever the case."""
    known = [word.lower() for word in dimension.words]
    if typed.lower() not in known:
        raise Refused(Refusal("is not one of the words for this", dimension.example, given=typed))
    return Quantity(typed, dimension, float(known.index(typed.lower())))


def has_unit_of(text: str, dimension: Dimension) -> bool:
    """Whether the unit in a typed quantity is one of this dimension's."""
    _, name = _parts(_PLUS_MINUS.split(text, maxsplit=1)[0])
    return dimension.unit(name) is not None


def _parts(text: str) -> tuple[str, str]:
    """Part a text into what may be a number and what follows it."""
    plain = text.strip().translate(_MINUS_SIGNS)
    found = _DIGITS.match(plain)
    digits = found[0] if found else ""
    return digits, plain[len(digits) :].strip()


def _number_and_name(text: str, typed: str) -> tuple[float | None, str]:
    """Return the number a text begins with, None where it has no digit, and the name of the unit after it."""
    digits, name = _parts(text)
    if not any(character in "0123456789" for character in digits):
        return None, name
    if not _NUMBER.fullmatch(digits) or _MORE_NUMBER.match(name):
        raise Refused(Refusal("holds a number that is not written as it is read here", _NUMBERS, given=typed))
    return float(digits.replace(",", "")), name


def _unit_named(name: str, dimension: Dimension, typed: str) -> Unit:
    """Find a unit by name, or say whose unit it is instead."""
    unit = dimension.unit(name)
    if unit is not None:
        return unit
    for other in DIMENSIONS:
        if other.unit(name) is not None:
            raise Refused(
                Refusal(f"is {other.one}, and {dimension.one} is wanted", dimension.example, given=typed)
            )
    problem = f'has a unit that is not known for {dimension.one}: "{shortened(name)}"'
    raise Refused(Refusal(problem, dimension.example, given=typed))


def _possible(
    value: float, dimension: Dimension, typed: str, at_least: float | None, at_most: float | None
) -> float:
    """Return a value that can exist and that this entry can take; refuse any other."""
    if not math.isfinite(value):
        raise Refused(Refusal(f"is beyond every {dimension.name}", dimension.example, given=typed))
    low = dimension.at_least if at_least is None else max(at_least, dimension.at_least)
    high = dimension.at_most if at_most is None else min(at_most, dimension.at_most)
    if low - _AS_TYPED * abs(low) <= value <= high + _AS_TYPED * abs(high):
        return min(max(value, low), high)
    wanted = [
        f"{word} {_both(bound, dimension)}"
        for word, bound in (("at least", low), ("at most", high))
        if math.isfinite(bound)
    ]
    raise Refused(Refusal(f"is not possible for {dimension.one} here", " and ".join(wanted), given=typed))


def _both(value: float, dimension: Dimension) -> str:
    """Show a bound in both systems, once where they agree."""
    us, si = (f"{unit_value(value, unit):.7g} {unit.names[0]}" for unit in (dimension.us, dimension.si))
    return us if us == si else f"{us} ({si})"


def _band(text: str, dimension: Dimension, unit: Unit, value: float, typed: str) -> float:
    """Turn what was typed after "±" into a standard uncertainty in SI."""
    half_width, name = _number_and_name(text, typed)
    band_dimension = DIFFERENCE_OF.get(dimension.name, dimension)
    if half_width is None:
        accepted = f'{dimension.example} followed by "±", a number and its unit'
        raise Refused(Refusal("has a ± without a number", accepted, given=typed))
    if half_width < 0:
        raise Refused(Refusal("has a ± below zero", 'a "±" of zero or more', given=typed))
    if FRACTION.unit(name) is not None and dimension is not FRACTION:
        if any(known.offset for known in dimension.units):
            problem = f"has a ± in per cent, and {dimension.one} has no zero to take a share from"
            raise Refused(Refusal(problem, f"a ± with a unit of {band_dimension.one}", given=typed))
        standard = abs(value) * half_width / 100 / 2
    else:
        standard = half_width * (_unit_named(name, band_dimension, typed) if name else unit).factor / 2
    if not math.isfinite(standard):
        raise Refused(
            Refusal(f"has a ± beyond every {band_dimension.name}", band_dimension.example, given=typed)
        )
    return standard


def show(value: float, dimension: Dimension, system: System, uncertainty: float | None = None) -> str:
    """Show a SI value in the units of one system, "±" being 95 % coverage (k = 2).

    Parameters
    ----------
    value
        In the SI unit of the dimension.
    uncertainty
        Standard uncertainty in the same unit, or None.
    """
    if dimension.words:
        return dimension.words[round(value)]
    unit = dimension.us if system == "us" else dimension.si
    decimals = dimension.decimals[0 if system == "si" else 1]
    number = _round(unit_value(value, unit), decimals, trimmed=dimension.trimmed)
    shown = f"{number} {unit.names[0]}"
    if uncertainty is None:
        return shown
    band = _round(2 * uncertainty / unit.factor, decimals, trimmed=dimension.trimmed)
    return f"{shown} ± {band} {unit.names[0]}"


def unit_value(value: float, unit: Unit) -> float:
    """Return a SI value as the number that stands before a unit."""
    return (value - unit.offset) / unit.factor


def _round(number: float, decimals: int, *, trimmed: bool) -> str:
    rounded = round(number, decimals) + 0.0  # adding zero turns -0.0 into 0.0
    if trimmed and rounded.is_integer():
        decimals = 0
    return f"{rounded:,.{decimals}f}" if abs(rounded) >= 10_000 else f"{rounded:.{decimals}f}"


__all__ = [
    "ABSOLUTE_ZERO", "AIRFLOW", "APPARENT_POWER", "AREA", "BTU", "CONCENTRATION", "CURRENT", "DENSITY", "DIFFERENCE_OF", "DIMENSIONS",
    "DURATION", "ENERGY", "ENTHALPY", "ENTHALPY_DIFFERENCE", "ENTHALPY_OF_DRY_AIR_AT_0_F", "FOOT", "FRACTION", "HEAT_RATE", "HUMIDITY_RATIO",
    "LENGTH", "PRESSURE", "RESISTANCE", "SPECIFIC_VOLUME", "TEMPERATURE",
    "TEMPERATURE_DIFFERENCE", "VOLTAGE", "Dimension", "Quantity", "System", "Unit", "has_unit_of", "read", "show",
    "unit_value",
]  # fmt: skip
