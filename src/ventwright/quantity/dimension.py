"""What a number measures: the dimensions and units in use, and how a unit is recognized as people write it."""

from __future__ import annotations

import math
import unicodedata
from dataclasses import dataclass, fields
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Callable

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
    sized: bool = False  # its first letter gives the size: mV is not MV, so that letter's case counts

    def is_called(self, given: str) -> bool:
        """Whether a bare name means this unit, whatever the case."""
        return any(
            given.lower() == known.lower() and not (self.sized and given[0] != known[0])
            for known in _bare_names(self.names)
        )


@cache
def _bare_names(names: tuple[str, ...]) -> tuple[str, ...]:
    return tuple(bare(name) for name in names)


def bare(name: str) -> str:
    """Return the name of a unit without spaces, full stops and carets, signs of one meaning made one (℉ and º F: °F)."""
    one_sign = unicodedata.normalize("NFKC", name.translate(_DEGREE_SIGNS))
    return "".join(one_sign.split()).translate(_LEFT_OUT)


_DEGREE_SIGNS = str.maketrans({"\N{MASCULINE ORDINAL INDICATOR}": "°", "\N{RING ABOVE}": "°"})
_LEFT_OUT = str.maketrans("", "", ".^")


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
    words: tuple[str, ...] = ()  # a choice between words: the value is the place in this list, from 0

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

    def unit(self, name: str) -> Unit | None:
        """Return the unit of a name, or None where this dimension has none of that name."""
        given = bare(name)
        return next((unit for unit in self.units if unit.is_called(given)), None)

    def __reduce__(self) -> tuple[Callable[..., Dimension], tuple[Any, ...]]:
        """Come out of a pickle, in another process, as the very one that went in: it is told apart by identity."""
        return _kept, tuple(getattr(self, one.name) for one in fields(self))


def _kept(*given: Any) -> Dimension:
    made = Dimension(*given)
    return next((one for one in (*DIMENSIONS, VALVE_SENSE, SIGNAL_CURRENT) if one == made), made)


def _unit(*names: str, factor: float = 1.0, offset: float = 0.0, sized: bool = False) -> Unit:
    return Unit(names, factor, offset, sized)


ABSOLUTE_ZERO = -273.15

TEMPERATURE = Dimension(
    "temperature", "_C",
    _unit("°C", "C", "degC", "deg C", "degrees C", "celsius"),
    _unit("°F", "F", "degF", "deg F", "degrees F", "fahrenheit", factor=1 / 1.8, offset=-32 / 1.8),
    (_unit("K", "kelvin", offset=ABSOLUTE_ZERO),),
    '"72 F" or "22 °C"', at_least=ABSOLUTE_ZERO,
)  # fmt: skip
TEMPERATURE_DIFFERENCE = Dimension(
    "temperature difference", "_K",
    _unit("K", "°C", "C", "degC", "deg C", "degrees C", "Δ°C", "kelvin"),
    _unit("°F", "F", "degF", "deg F", "degrees F", "Δ°F", factor=1 / 1.8),
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
    _unit("in.w.g.", "in.w.c.", "inwg", "inwc", "in wg", "in wc", "in. w.g.", "in. w.c.", "inH2O", "in H2O", "in. of water", factor=INCH_OF_WATER),
    (_unit("kPa", factor=1e3), _unit("hPa", factor=100.0), _unit("psi", "psia", factor=POUND * 9.80665 / 0.0254**2),
     _unit("inHg", "in.Hg", factor=3386.389)),
    '"0.5 in.w.g." or "125 Pa"', decimals=(0, 2),
)  # fmt: skip
VOLTAGE = Dimension(
    "voltage", "_V", _unit("V", "volt", "volts", "VDC", "VAC"), _unit("V", "volt", "volts", "VDC", "VAC"),
    (_unit("mV", factor=1e-3, sized=True),), '"2.6 V"', decimals=(2, 2),
)  # fmt: skip
CURRENT = Dimension(
    "current", "_A", _unit("A", "amp", "amps"), _unit("A", "amp", "amps"),
    (_unit("mA", factor=1e-3, sized=True),), '"12 mA" or "1.7 A"', decimals=(3, 3),
)  # fmt: skip
RESISTANCE = Dimension(
    "resistance", "_ohm", _unit("ohm", "ohms", "Ω"), _unit("ohm", "ohms", "Ω"),
    (_unit("kohm", "k ohm", "kohms", "kΩ", "k", factor=1e3), _unit("Mohm", "Mohms", "MΩ", factor=1e6, sized=True)),
    '"10k ohm" or "9870 ohm"', at_least=0.0, decimals=(0, 0),
)  # fmt: skip
HEAT_RATE = Dimension(
    "heat rate", "_W",
    _unit("kW", factor=1e3), _unit("Btu/h", "Btuh", "BTU/h", "Btu/hr", factor=BTU / 3600),
    (_unit("ton", "tons", factor=12e3 * BTU / 3600), _unit("kBtu/h", "kBtuh", "MBH", factor=1e3 * BTU / 3600), _unit("W", "watt", "watts")),
    '"10 ton", "54000 Btu/h" or "35 kW"', at_least=0.0, decimals=(1, 0),
)  # fmt: skip
ENERGY = Dimension(
    "energy", "_J", _unit("kWh", factor=3.6e6), _unit("kWh", factor=3.6e6),
    (_unit("MJ", factor=1e6, sized=True), _unit("kBtu", factor=1e3 * BTU)), '"770 kWh"', decimals=(0, 0),
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
ENTHALPY_DIFFERENCE = Dimension(
    "enthalpy difference", "_J_kg", _unit("kJ/kg", factor=1e3), _unit("Btu/lb", "BTU/lb", factor=BTU / POUND), (_unit("J/kg"),),
    '"0.5 Btu/lb" or "1 kJ/kg" (a difference, not an enthalpy)',
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
    "duration", "_s", _unit("min", "mins", "minute", "minutes", factor=60.0), _unit("min", "mins", "minute", "minutes", factor=60.0),
    (_unit("s", "sec", "secs", "second", "seconds"), _unit("h", "hr", "hrs", "hour", "hours", factor=3600.0)), '"3 min" or "90 s"',
    at_least=0.0, decimals=(1, 1), trimmed=True,
)  # fmt: skip

DIFFERENCE_OF = {TEMPERATURE.name: TEMPERATURE_DIFFERENCE, ENTHALPY.name: ENTHALPY_DIFFERENCE}
"""What a "±" or a step is measured in, where the quantity's own units start from different zeros."""

VALVE_SENSE = Dimension(
    "choice", "", _unit("word"), _unit("word"), (), '"energized in cooling" or "energized in heating"',
    words=("energized in cooling", "energized in heating"),
)  # fmt: skip
"""When a heat pump's reversing valve has power: a choice between two words, not a number."""

SIGNAL_CURRENT = Dimension(
    "current", "_A", _unit("mA", factor=1e-3, sized=True), _unit("mA", factor=1e-3, sized=True),
    (_unit("A", "amp", "amps"),), '"12 mA"', at_least=0.0, decimals=(2, 2),
)  # fmt: skip
"""The current of a signal: small, and so shown in milliamperes."""

DIMENSIONS: tuple[Dimension, ...] = (
    TEMPERATURE, TEMPERATURE_DIFFERENCE, AIRFLOW, PRESSURE, VOLTAGE, CURRENT, RESISTANCE, HEAT_RATE, ENERGY, APPARENT_POWER, LENGTH, AREA,
    FRACTION, HUMIDITY_RATIO, ENTHALPY, ENTHALPY_DIFFERENCE, SPECIFIC_VOLUME, DENSITY, CONCENTRATION, DURATION,
)  # fmt: skip
