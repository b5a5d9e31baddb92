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

from ventwright.errors import Refusal, Refused

System = Literal["us", "si"]

# Exact by definition: NIST SP 811 (2008), appendix B: foot, pound, Btu (International Table), inch of water
# at 4 °C ("conventional", 249.0889 Pa), ton of refrigeration (12 000 Btu/h).
FOOT = 0.3048
BTU = 1055.05585262
POUND = 0.45359237
INCH_OF_WATER = 249.0889

ENTHALPY_OF_DRY_AIR_AT_0_F = -0.240 * 32 * BTU / POUND
"""J/kg on the datum 0 °C: what 0 Btu/lb means in SI. The two systems' formulas are joined at dry air of 0 °C, where
the inch-pound one gives 0.240 x 32 Btu/lb (ASHRAE Fundamentals 2017, ch. 1, eq. 30); elsewhere their rounded heat
capacities part by up to 0.02 Btu/lb."""


@dataclass(frozen=True, slots=True)
class Unit:
    """A unit as people type it: SI value = number × factor + offset."""

    names: tuple[str, ...]
    factor: float
    offset: float = 0.0


@dataclass(frozen=True, slots=True, repr=False)
class Dimension:
    """What a number measures: its SI unit, its units in use, and the values that can exist."""

    name: str
    key: str  # ending of the key in --json output: "_C", "_m3_s"; empty for plain fractions
    si: Unit  # how SI screens show it
    us: Unit
    others: tuple[Unit, ...]
    example: str
    at_least: float = -math.inf
    at_most: float = math.inf
    decimals: tuple[int, int] = (1, 1)  # on SI and on US screens
    trimmed: bool = False  # "28 %", not "28.0 %"

    def __repr__(self) -> str:
        """Return the name; a whole table of units helps no one."""
        return self.name.upper().replace(" ", "_")

    @property
    def units(self) -> tuple[Unit, ...]:
        """Every unit this dimension can be typed in."""
        return (self.si, self.us, *self.others)

    @property
    def one(self) -> str:
        """The dimension with its article: "a temperature", "an airflow"."""
        return f"an {self.name}" if self.name[0] in "aeiou" else f"a {self.name}"


def _unit(*names: str, factor: float = 1.0, offset: float = 0.0) -> Unit:
    return Unit(names, factor, offset)


ABSOLUTE_ZERO = -273.15

TEMPERATURE = Dimension(
    "temperature", "_C",
    _unit("°C", "C", "degC", "deg C", "celsius"),
    _unit("°F", "F", "degF", "deg F", "fahrenheit", factor=1 / 1.8, offset=-32 / 1.8),
    (_unit("K", "kelvin", offset=ABSOLUTE_ZERO),),
    '"72 F" or "22 °C"', at_least=ABSOLUTE_ZERO,
)  # fmt: skip
TEMPERATURE_DIFFERENCE = Dimension(
    "temperature difference", "_K",
    _unit("K", "°C", "C", "degC", "deg C", "Δ°C", "kelvin"),
    _unit("°F", "F", "degF", "deg F", "Δ°F", factor=1 / 1.8),
    (), '"2 F" or "1 K" (a difference, not a temperature)',
)  # fmt: skip
AIRFLOW = Dimension(
    "airflow", "_m3_s",
    _unit("L/s", "l/s", "lps", factor=1e-3),
    _unit("cfm", "CFM", "ft3/min", "ft³/min", factor=FOOT**3 / 60),
    (_unit("m3/s", "m³/s"), _unit("m3/h", "m³/h", factor=1 / 3600)),
    '"350 cfm" or "165 L/s"', at_least=0.0, decimals=(0, 0),
)  # fmt: skip
PRESSURE = Dimension(
    "pressure", "_Pa",
    _unit("Pa", "pascal"),
    _unit("in.w.g.", "in.w.c.", "inwg", "inwc", "in wg", "in wc", "in. w.g.", "in. w.c.", "inH2O", factor=INCH_OF_WATER),
    (_unit("kPa", factor=1e3), _unit("hPa", factor=100.0), _unit("psi", "psia", factor=POUND * 9.80665 / 0.0254**2),
     _unit("inHg", "in.Hg", factor=3386.389)),
    '"0.5 in.w.g." or "125 Pa"', decimals=(0, 2),
)  # fmt: skip
VOLTAGE = Dimension(
    "voltage", "_V", _unit("V", "volt", "volts", "VDC", "VAC"), _unit("V", "volt", "volts", "VDC", "VAC"),
    (_unit("mV", factor=1e-3),), '"2.6 V"', decimals=(2, 2),
)  # fmt: skip
CURRENT = Dimension(
    "current", "_A", _unit("A", "amp", "amps"), _unit("A", "amp", "amps"),
    (_unit("mA", factor=1e-3),), '"12 mA" or "1.7 A"', decimals=(2, 2),
)  # fmt: skip
RESISTANCE = Dimension(
    "resistance", "_ohm", _unit("ohm", "ohms", "Ω"), _unit("ohm", "ohms", "Ω"),
    (_unit("kohm", "k ohm", "kΩ", "k", factor=1e3), _unit("Mohm", "MΩ", factor=1e6)),
    '"10k ohm" or "9870 ohm"', at_least=0.0, decimals=(0, 0),
)  # fmt: skip
HEAT_RATE = Dimension(
    "heat rate", "_W",
    _unit("kW", factor=1e3), _unit("Btu/h", "Btuh", "BTU/h", "Btu/hr", factor=BTU / 3600),
    (_unit("ton", "tons", factor=12e3 * BTU / 3600), _unit("kBtu/h", "MBH", factor=1e3 * BTU / 3600), _unit("W", "watt", "watts")),
    '"10 ton", "54000 Btu/h" or "35 kW"', at_least=0.0, decimals=(1, 0),
)  # fmt: skip
APPARENT_POWER = Dimension(
    "apparent power", "_VA", _unit("VA"), _unit("VA"), (_unit("kVA", factor=1e3),), '"40 VA"', at_least=0.0, decimals=(1, 1),
    trimmed=True,
)  # fmt: skip
LENGTH = Dimension(
    "length", "_m", _unit("m", "meter", "metre", "meters", "metres"), _unit("ft", "feet", "foot", factor=FOOT),
    (_unit("in", "in.", "inch", "inches", factor=FOOT / 12), _unit("mm", factor=1e-3), _unit("cm", factor=1e-2)),
    '"5300 ft" or "1615 m"', decimals=(0, 0),
)  # fmt: skip
AREA = Dimension(
    "area", "_m2", _unit("m2", "m²", "sq m"), _unit("ft2", "ft²", "sq ft", "sqft", factor=FOOT**2),
    (), '"4800 ft2" or "446 m2"', at_least=0.0, decimals=(0, 0),
)  # fmt: skip
FRACTION = Dimension(
    "fraction", "", _unit("%", "percent", factor=1e-2), _unit("%", "percent", factor=1e-2),
    (), '"28 %"', decimals=(1, 1), trimmed=True,
)  # fmt: skip
HUMIDITY_RATIO = Dimension(
    "humidity ratio", "_kg_kg", _unit("g/kg", factor=1e-3), _unit("gr/lb", "grains/lb", factor=1 / 7000),
    (_unit("kg/kg"), _unit("lb/lb")), '"65 gr/lb", "0.0093 lb/lb" or "9.3 g/kg"', at_least=0.0, decimals=(2, 1),
)  # fmt: skip
ENTHALPY = Dimension(
    "enthalpy", "_J_kg",
    _unit("kJ/kg", factor=1e3),
    _unit("Btu/lb", "BTU/lb", factor=BTU / POUND, offset=ENTHALPY_OF_DRY_AIR_AT_0_F),
    (_unit("J/kg"),),
    '"28 Btu/lb" (from dry air at 0 °F) or "47.3 kJ/kg" (from dry air at 0 °C)',
)  # fmt: skip
SPECIFIC_VOLUME = Dimension(
    "specific volume", "_m3_kg", _unit("m3/kg", "m³/kg"), _unit("ft3/lb", "ft³/lb", factor=FOOT**3 / POUND),
    (), '"13.7 ft3/lb" or "0.855 m3/kg"', at_least=0.0, decimals=(4, 2),
)  # fmt: skip
DENSITY = Dimension(
    "density", "_kg_m3", _unit("kg/m3", "kg/m³"), _unit("lb/ft3", "lb/ft³", factor=POUND / FOOT**3),
    (), '"0.075 lb/ft3" or "1.2 kg/m3"', at_least=0.0, decimals=(3, 4),
)  # fmt: skip
CONCENTRATION = Dimension(
    "concentration", "_ppm", _unit("ppm"), _unit("ppm"), (), '"850 ppm"', at_least=0.0, decimals=(0, 0),
)  # fmt: skip
DURATION = Dimension(
    "duration", "_s", _unit("min", "minute", "minutes", factor=60.0), _unit("min", "minute", "minutes", factor=60.0),
    (_unit("s", "sec", "seconds"), _unit("h", "hr", "hours", factor=3600.0)), '"3 min" or "90 s"', at_least=0.0,
    decimals=(0, 0),
)  # fmt: skip

DIMENSIONS: tuple[Dimension, ...] = (
    TEMPERATURE, TEMPERATURE_DIFFERENCE, AIRFLOW, PRESSURE, VOLTAGE, CURRENT, RESISTANCE, HEAT_RATE, APPARENT_POWER, LENGTH, AREA,
    FRACTION, HUMIDITY_RATIO, ENTHALPY, SPECIFIC_VOLUME, DENSITY, CONCENTRATION, DURATION,
)  # fmt: skip


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


_NUMBER = r"[-+−]?(?:\d{1,3}(?:,\d{3})+|\d+)?(?:\.\d+)?(?:[eE][-+]?\d+)?"
_TYPED = re.compile(
    rf"^\s*(?P<number>{_NUMBER})\s*(?P<unit>[^±\d+\s][^±]*?)?\s*(?:(?:±|\+/-|\+-)\s*(?P<band>{_NUMBER})\s*(?P<band_unit>[^±\d\s]*.*?))?\s*$"
)
_BAND_OF = {TEMPERATURE.name: TEMPERATURE_DIFFERENCE}


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
    found = _TYPED.match(text)
    number = _number(found["number"]) if found else None
    if found is None or number is None:
        raise Refused(
            Refusal(
                f"is not {dimension.one}" if text.strip() else "nothing was given",
                dimension.example,
                given=text.strip(),
            )
        )
    if not found["unit"]:
        raise Refused(Refusal(f"has no unit, and {dimension.one} needs one", dimension.example, given=text))
    unit = _unit_named(found["unit"], dimension, text)
    value = number * unit.factor + unit.offset
    _refuse_impossible(value, dimension, text, at_least, at_most)
    return Quantity(text.strip(), dimension, value, _band(found, dimension, unit, value, text))


def has_unit_of(text: str, dimension: Dimension) -> bool:
    """Whether the unit in a typed quantity is one of this dimension's."""
    found = _TYPED.match(text)
    name = (found["unit"] or "").strip().lower() if found else ""
    return any(name == known.lower() for unit in dimension.units for known in unit.names)


def _number(text: str | None) -> float | None:
    """Return the number in a piece of text, or None when there is no digit in it."""
    if not text or not any(character.isdigit() for character in text):
        return None
    value = float(text.replace(",", "").replace("−", "-"))
    return value if math.isfinite(value) else None


def _unit_named(name: str, dimension: Dimension, text: str) -> Unit:
    """Find a unit by name: exactly as written first, then whatever the case."""
    for fold in (str, str.lower):
        for unit in dimension.units:
            if fold(name.strip()) in {fold(known) for known in unit.names}:
                return unit
    for other in DIMENSIONS:
        if any(name.strip().lower() == known.lower() for unit in other.units for known in unit.names):
            raise Refused(
                Refusal(f"is {other.one}, and {dimension.one} is wanted", dimension.example, given=text)
            )
    raise Refused(
        Refusal(f'has a unit that is not known for {dimension.one}: "{name}"', dimension.example, given=text)
    )


def _refuse_impossible(
    value: float, dimension: Dimension, text: str, at_least: float | None, at_most: float | None
) -> None:
    """Refuse a value that cannot exist, or that this entry cannot take, in the unit it was typed in."""
    low = dimension.at_least if at_least is None else max(at_least, dimension.at_least)
    high = dimension.at_most if at_most is None else min(at_most, dimension.at_most)
    if low <= value <= high:
        return
    wanted = [
        f"{word} {_both(bound, dimension)}"
        for word, bound in (("at least", low), ("at most", high))
        if math.isfinite(bound)
    ]
    raise Refused(Refusal(f"is not possible for {dimension.one} here", " and ".join(wanted), given=text))


def _both(value: float, dimension: Dimension) -> str:
    """Show a bound in both systems, once where they agree."""
    us, si = (f"{unit_value(value, unit):.7g} {unit.names[0]}" for unit in (dimension.us, dimension.si))
    return us if us == si else f"{us} ({si})"


def _band(found: re.Match[str], dimension: Dimension, unit: Unit, value: float, text: str) -> float | None:
    """Turn a typed "±" into a standard uncertainty in SI, or None where none was typed."""
    if found["band"] is None:
        return None
    half_width = _number(found["band"])
    if half_width is None or half_width < 0:
        raise Refused(
            Refusal(
                "has a ± without a number",
                f'{dimension.example} followed by "± 2 %" or by a number with a unit',
                given=text,
            )
        )
    name = (found["band_unit"] or "").strip()
    if name in {"%", "percent"} and dimension is not FRACTION:
        return abs(value) * half_width / 100 / 2
    band_dimension = _BAND_OF.get(dimension.name, dimension)
    factor = unit.factor if not name else _unit_named(name, band_dimension, text).factor
    return half_width * factor / 2


def show(value: float, dimension: Dimension, system: System, uncertainty: float | None = None) -> str:
    """Show a SI value in the units of one system, "±" being 95 % coverage (k = 2).

    Parameters
    ----------
    value
        In the SI unit of the dimension.
    uncertainty
        Standard uncertainty in the same unit, or None.
    """
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
