"""Units against Pint, a general-purpose library of units, and against the factors of NIST SP 811 (2008), appendix B.

Pint is told each unit in its own names; nothing of ours goes into the oracle. Where Pint or the table rounds a factor
that is exact, the tolerance says so.
"""

from __future__ import annotations

import pint
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ventwright.quantity import DIMENSIONS, ENTHALPY, FRACTION, TEMPERATURE, Dimension, read, show

FAST = settings(derandomize=True, deadline=None, max_examples=100)

UNITS: pint.UnitRegistry[float] = pint.UnitRegistry()

IN_PINT: dict[str, dict[str, str]] = {
    "temperature": {"°C": "degC", "°F": "degF", "K": "kelvin"},
    "temperature difference": {"K": "kelvin", "°F": "delta_degF"},
    "airflow": {
        "L/s": "liter / second",
        "cfm": "foot ** 3 / minute",
        "m3/s": "meter ** 3 / second",
        "m3/h": "meter ** 3 / hour",
    },
    "pressure": {
        "Pa": "pascal",
        "in.w.g.": "inch_H2O",
        "kPa": "kilopascal",
        "hPa": "hectopascal",
        "psi": "pound_force_per_square_inch",
        "inHg": "inch_Hg",
    },
    "voltage": {"V": "volt", "mV": "millivolt"},
    "current": {"A": "ampere", "mA": "milliampere"},
    "resistance": {"ohm": "ohm", "kohm": "kiloohm", "Mohm": "megaohm"},
    "heat rate": {
        "kW": "kilowatt",
        "Btu/h": "Btu_it / hour",
        "ton": "refrigeration_ton",
        "kBtu/h": "kiloBtu_it / hour",
        "W": "watt",
    },
    "energy": {"kWh": "kilowatt_hour", "MJ": "megajoule", "kBtu": "kiloBtu_it"},
    "apparent power": {"VA": "volt * ampere", "kVA": "kilovolt * ampere"},
    "length": {"m": "meter", "ft": "foot", "in": "inch", "mm": "millimeter", "cm": "centimeter"},
    "area": {"m2": "meter ** 2", "ft2": "foot ** 2"},
    "fraction": {"%": "percent"},
    "humidity ratio": {
        "g/kg": "gram / kilogram",
        "gr/lb": "grain / pound",
        "kg/kg": "kilogram / kilogram",
        "lb/lb": "pound / pound",
    },
    "enthalpy difference": {
        "kJ/kg": "kilojoule / kilogram",
        "Btu/lb": "Btu_it / pound",
        "J/kg": "joule / kilogram",
    },
    "specific volume": {"m3/kg": "meter ** 3 / kilogram", "ft3/lb": "foot ** 3 / pound"},
    "density": {"kg/m3": "kilogram / meter ** 3", "lb/ft3": "pound / foot ** 3"},
    "concentration": {"ppm": "ppm"},
    "duration": {"min": "minute", "s": "second", "h": "hour"},
}
"""Every unit by the name that our screens give it, in Pint's names. Enthalpy, whose zero is a choice, is held below."""

SI = {
    "temperature": "degC",
    "temperature difference": "kelvin",
    "airflow": "meter ** 3 / second",
    "pressure": "pascal",
    "voltage": "volt",
    "current": "ampere",
    "energy": "joule",
    "resistance": "ohm",
    "heat rate": "watt",
    "apparent power": "volt * ampere",
    "length": "meter",
    "area": "meter ** 2",
    "fraction": "dimensionless",
    "humidity ratio": "dimensionless",
    "enthalpy difference": "joule / kilogram",
    "specific volume": "meter ** 3 / kilogram",
    "density": "kilogram / meter ** 3",
    "concentration": "ppm",
    "duration": "second",
}
"""What the program holds inside, by its design: °C, K, m3/s, Pa, V, A, ohm, W, VA, m, m2, J/kg, fractions, ppm, s."""

ROUNDED = {"in.w.g.": 5e-8, "inHg": 2e-7, "ton": 2e-7}
"""Relative tolerance where a factor is rounded: SP 811 prints inches of water and of mercury with seven figures, and
Pint's ton is made of the Btu rounded to 1055.056 J."""

EXACT = 1e-13
"""Relative tolerance elsewhere: a few roundings of a double."""

TRIED = [0.0, 1.0, 0.1, 37.5, 1234.5, 98765.0]

CASES = [
    pytest.param(dimension, name, id=f"{dimension.name} in {name}")
    for dimension in DIMENSIONS
    for name in IN_PINT.get(dimension.name, {})
]


def converted(number: float, dimension: Dimension, name: str) -> float:
    """Return what Pint makes of a number in a unit, in the SI unit of its dimension."""
    return float(UNITS.Quantity(number, IN_PINT[dimension.name][name]).to(SI[dimension.name]).magnitude)


def test_every_unit_is_held_against_pint() -> None:
    """No unit that can be typed is left out; of enthalpy, whose zero is a choice, the differences are held."""
    ours = {
        dimension.name: {unit.names[0] for unit in dimension.units}
        for dimension in DIMENSIONS
        if dimension is not ENTHALPY
    }
    assert ours == {name: set(units) for name, units in IN_PINT.items()}


@pytest.mark.parametrize(("dimension", "name"), CASES)
def test_a_unit_agrees(dimension: Dimension, name: str) -> None:
    """A number typed in a unit is in SI what Pint makes of it."""
    for number in TRIED:
        expected = converted(number, dimension, name)
        if dimension is TEMPERATURE and expected < -273.15:
            continue
        room = ROUNDED.get(name, EXACT)
        # a temperature is a small difference of larger numbers: 1e-12 K of absolute room
        assert read(f"{number!r} {name}", dimension).value == pytest.approx(expected, rel=room, abs=1e-12)


@FAST
@given(st.sampled_from([case.values for case in CASES]), st.floats(1e-6, 1e6))
def test_any_number_agrees(case: tuple[Dimension, str], number: float) -> None:
    """The same for any number from a millionth to a million, as Python writes it."""
    dimension, name = case
    expected = converted(number, dimension, name)
    room = ROUNDED.get(name, EXACT)
    assert read(f"{number!r}{name}", dimension).value == pytest.approx(expected, rel=room, abs=1e-10)


@FAST
@given(st.sampled_from([case.values for case in CASES]), st.floats(-1e6, -1e-6))
def test_any_negative_number_agrees_or_cannot_be(case: tuple[Dimension, str], number: float) -> None:
    """Below zero, what can exist agrees; a temperature as far as absolute zero."""
    dimension, name = case
    expected = converted(number, dimension, name)
    if expected < dimension.at_least:
        return
    room = ROUNDED.get(name, EXACT)
    assert read(f"{number!r} {name}", dimension).value == pytest.approx(expected, rel=room, abs=1e-10)


@FAST
@given(
    st.sampled_from([case.values for case in CASES if case.values[0] is not FRACTION]),
    st.floats(1.0, 1e4),
    st.floats(0.01, 100.0),
)
def test_the_band_is_a_difference(case: tuple[Dimension, str], number: float, half_width: float) -> None:
    """A "±" in the number's unit is half of it in SI, and a temperature's ± has no zero to be shifted by."""
    dimension, name = case
    quantity = read(f"{number!r} {name} ± {half_width!r} {name}", dimension)
    whole = UNITS.Quantity(half_width, "delta_degF" if name == "°F" else "kelvin").to("kelvin").magnitude
    expected = whole if dimension is TEMPERATURE else converted(half_width, dimension, name)
    assert quantity.uncertainty == pytest.approx(expected / 2, rel=ROUNDED.get(name, EXACT))


@FAST
@given(st.floats(-20.0, 100.0), st.floats(-20.0, 100.0))
def test_differences_of_enthalpy_agree(one: float, other: float) -> None:
    """Whatever the zero, two enthalpies in Btu/lb differ by what Pint makes of their difference."""
    difference = read(f"{one!r} Btu/lb", ENTHALPY).value - read(f"{other!r} Btu/lb", ENTHALPY).value
    expected = UNITS.Quantity(one - other, "Btu_it / pound").to("joule / kilogram").magnitude
    assert difference == pytest.approx(expected, abs=1e-9)  # a few roundings of 250 000 J/kg


def test_enthalpies_of_the_two_systems_meet() -> None:
    """28 Btu/lb above dry air at 0 °F is 47.3 ± 0.1 kJ/kg above dry air at 0 °C.

    The fixed enthalpy limit of ASHRAE 90.1 is 28 Btu/lb in one system of units and 47 kJ/kg in the other (from
    memory); the next decimal by hand, with dry air of 1.006 kJ/(kg K) between the two zeros (ASHRAE Fundamentals
    2017, ch. 1, eq. 30): 28 x 2.326 - 17.78 x 1.006 = 47.24. The room of 0.1 is what the two systems' rounded heat
    capacities leave open.
    """
    assert read("28 Btu/lb", ENTHALPY).value == pytest.approx(47.3e3, abs=0.1e3)
    assert read("47.3 kJ/kg", ENTHALPY).value == 47.3e3
    assert show(47.3e3, ENTHALPY, "us") == "28.0 Btu/lb"
    assert read("28 Btu/lb", ENTHALPY).show("si") == "47.3 kJ/kg"


def test_zero_enthalpy_is_dry_air_at_zero() -> None:
    """0 Btu/lb is 32 °F of dry air below 0 kJ/kg: 32 x 0.240 x 2.326 kJ/kg, the heat capacity from the same equation."""
    assert read("0 Btu/lb", ENTHALPY).value == pytest.approx(-17.86e3, abs=10.0)  # four figures of 17.864
    assert read("7.68 Btu/lb", ENTHALPY).value == pytest.approx(0.0, abs=1.0)


NIST: dict[str, tuple[str, str, float, float]] = {
    # Factors of NIST SP 811 (2008), appendix B.8, with the relative room of their last printed figure; 0 marks bold
    # figures, which are exact. Read in copies of the table, those of psi, cubic feet per minute, Btu per hour and
    # pound per cubic foot from memory.
    "foot": ("1 ft", "length", 3.048e-1, 0.0),
    "inch": ("1 in", "length", 2.54e-2, 1e-15),
    "square foot": ("1 ft2", "area", 9.290304e-2, 0.0),
    "cubic foot per minute": ("1 cfm", "airflow", 4.719474e-4, 1.1e-7),
    "inch of water, conventional": ("1 in.w.g.", "pressure", 2.490889e2, 2e-7),
    "inch of mercury, conventional": ("1 inHg", "pressure", 3.386389e3, 1.5e-7),
    "pound-force per square inch": ("1 psi", "pressure", 6.894757e3, 0.8e-7),
    "Btu (IT), footnote 9, in an hour": ("3600 Btu/h", "heat rate", 1.05505585262e3, 1e-15),
    "Btu (IT) per hour": ("1 Btu/h", "heat rate", 2.930711e-1, 1.7e-7),
    "Btu (IT) per pound": ("1 Btu/lb", "enthalpy difference", 2.326e3, 1e-12),
    "ton of refrigeration": ("1 ton", "heat rate", 3.516853e3, 1.5e-7),
    "grain per pound": ("1 gr/lb", "humidity ratio", 6.479891e-5 / 4.5359237e-1, 1e-15),
    "pound per cubic foot": ("1 lb/ft3", "density", 1.601846e1, 3.2e-7),
    "degree Fahrenheit, interval": ("1.8 F", "temperature difference", 1.0, 1e-15),
    "degree Fahrenheit": ("-459.67 F", "temperature", -273.15, 0.0),
}


@pytest.mark.parametrize(("typed", "dimension", "factor", "room"), NIST.values(), ids=NIST.keys())
def test_factors_of_the_nist_guide(typed: str, dimension: str, factor: float, room: float) -> None:
    """One of each unit is in SI what NIST SP 811, appendix B.8, prints."""
    of_name = {known.name: known for known in DIMENSIONS}
    assert read(typed, of_name[dimension]).value == pytest.approx(factor, rel=room, abs=0.0)
