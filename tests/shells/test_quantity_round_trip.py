"""A quantity is read as people write it, kept as typed, and what a screen shows can be typed in again."""

from __future__ import annotations

import pickle
import re

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from ventwright.quantity import (
    AIRFLOW,
    AREA,
    CONCENTRATION,
    CURRENT,
    DIMENSIONS,
    DURATION,
    ENTHALPY,
    FRACTION,
    HEAT_RATE,
    LENGTH,
    PRESSURE,
    RESISTANCE,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    VOLTAGE,
    Dimension,
    Quantity,
    System,
    has_unit_of,
    read,
    show,
    unit_value,
)

FAST = settings(derandomize=True, deadline=None, max_examples=100)

UNITS = [(dimension, unit) for dimension in DIMENSIONS for unit in dimension.units]
NAMES = [(dimension, unit, name) for dimension, unit in UNITS for name in unit.names]

SAME = 1e-12
"""Relative room for a few roundings of a double."""


@pytest.mark.parametrize("dimension", DIMENSIONS, ids=lambda dimension: dimension.name)
def test_every_example_can_be_read(dimension: Dimension) -> None:
    """What refusals and help tell people to write is taken as they tell it."""
    examples = re.findall(r'"([^"]+)"', dimension.example)
    assert examples
    for text in examples:
        assert read(text, dimension).typed == text


def test_every_name_of_a_unit_is_read() -> None:
    """Each name means its own unit and no other of its dimension, in small letters and capitals too."""
    for dimension, unit, name in NAMES:
        for typed in (name, name.upper(), name.lower()):
            found = dimension.unit(typed)
            if unit.sized and typed[0] != name[0]:
                assert found is None or found.factor == unit.factor, f"{typed} for {name}"
            else:
                assert found is not None, f"{typed} for {name}"
                assert (found.factor, found.offset) == (unit.factor, unit.offset), f"{typed} for {name}"


SAID: dict[str, tuple[str, Dimension, float, float | None]] = {
    # typed text, dimension, number in SI, standard uncertainty in SI: sums by hand, half a "±" being the uncertainty
    "plain": ("72 F", TEMPERATURE, 22.2222222222, None),
    "without a space": ("72F", TEMPERATURE, 22.2222222222, None),
    "small letter": ("72 f", TEMPERATURE, 22.2222222222, None),
    "degree sign": ("72 °F", TEMPERATURE, 22.2222222222, None),
    "degree sign apart": ("72 ° F", TEMPERATURE, 22.2222222222, None),
    "one sign for both": ("72 ℉", TEMPERATURE, 22.2222222222, None),
    "one sign for Celsius": ("22 ℃", TEMPERATURE, 22.0, None),
    "ordinal for a degree": ("72 ºF", TEMPERATURE, 22.2222222222, None),
    "ring for a degree": ("72 ˚F", TEMPERATURE, 22.2222222222, None),
    "in words": ("72 deg. F", TEMPERATURE, 22.2222222222, None),
    "in more words": ("72 degrees F", TEMPERATURE, 22.2222222222, None),
    "spaces around": ("  72 F\n", TEMPERATURE, 22.2222222222, None),
    "a hard space": ("72\N{NO-BREAK SPACE}F", TEMPERATURE, 22.2222222222, None),
    "plus": ("+72 F", TEMPERATURE, 22.2222222222, None),
    "hyphen for minus": ("-4 F", TEMPERATURE, -20.0, None),
    "true minus": ("−4 F", TEMPERATURE, -20.0, None),
    "dash for minus": ("–4 F", TEMPERATURE, -20.0, None),
    "no zero before the point": (".5 F", TEMPERATURE_DIFFERENCE, 0.2777777778, None),
    "nothing after the point": ("18. F", TEMPERATURE_DIFFERENCE, 10.0, None),
    "power of ten": ("1e3 cfm", AIRFLOW, 0.4719474432, None),
    "kelvins": ("295.15 K", TEMPERATURE, 22.0, None),
    "absolute zero": ("-459.67 F", TEMPERATURE, -273.15, None),
    "band with unit": ("72 F ± 0.5 F", TEMPERATURE, 22.2222222222, 0.1388888889),
    "band without unit": ("72 F ±0.5", TEMPERATURE, 22.2222222222, 0.1388888889),
    "band in letters": ("72 F +/- 0.5 F", TEMPERATURE, 22.2222222222, 0.1388888889),
    "band in two signs": ("72 F +-0.5 F", TEMPERATURE, 22.2222222222, 0.1388888889),
    "band in the other unit": ("72 F ± 0.5 K", TEMPERATURE, 22.2222222222, 0.25),
    "band in per cent": ("4000 cfm ± 2 %", AIRFLOW, 1.8877897728, 0.018877897728),
    "band in per cent of a negative value": ("-50 Pa ± 10 %", PRESSURE, -50.0, 2.5),
    "band of a share is in points": ("40 % ± 2 %", FRACTION, 0.40, 0.01),
    "band of enthalpy is a difference": ("28 Btu/lb ± 1 Btu/lb", ENTHALPY, 47264.32, 1163.0),
    "no band at all": ("40 % ± 0 %", FRACTION, 0.40, 0.0),
    "capitals": ("4000 CFM", AIRFLOW, 1.8877897728, None),
    "thousands": ("4,000 cfm", AIRFLOW, 1.8877897728, None),
    "thousands and a point": ("1,234.5 ft2", AREA, 114.68880288, None),
    "millions": ("1,234,567 ohm", RESISTANCE, 1234567.0, None),
    "raised figure": ("4800 ft²", AREA, 445.934592, None),
    "caret": ("446 m^2", AREA, 446.0, None),
    "full stops": ("4800 sq. ft.", AREA, 445.934592, None),
    "a unit parted": ("165 L / s", AIRFLOW, 0.165, None),
    "inches of water, by initials": ("0.5 in. w.g.", PRESSURE, 124.54445, None),
    "inches of water, by formula": ("0.5 in H2O", PRESSURE, 124.54445, None),
    "inches of water, in words": ("0.5 in. of water", PRESSURE, 124.54445, None),
    "thousands of Btu": ("120 MBH", HEAT_RATE, 35168.5284207, None),
    "thousands of Btu, small": ("120 mbh", HEAT_RATE, 35168.5284207, None),
    "kilo on the number": ("10k ohm", RESISTANCE, 10_000.0, None),
    "kilo as a capital": ("10 K ohm", RESISTANCE, 10_000.0, None),
    "kilo alone": ("10k", RESISTANCE, 10_000.0, None),
    "ohm sign": ("10 k\N{OHM SIGN}", RESISTANCE, 10_000.0, None),
    "omega": ("10 kΩ", RESISTANCE, 10_000.0, None),
    "mega": ("2 M ohm", RESISTANCE, 2e6, None),
    "milli": ("2600 mV", VOLTAGE, 2.6, None),
    "alternating": ("24 V AC", VOLTAGE, 24.0, None),
    "milliamperes": ("12 mA", CURRENT, 0.012, None),
    "a length in capitals": ("1 M", LENGTH, 1.0, None),
    "one hour": ("1 hour", DURATION, 3600.0, None),
    "two hours": ("2 hrs", DURATION, 7200.0, None),
    "wide per cent sign": ("28 ％", FRACTION, 0.28, None),  # noqa: RUF001 - what some keyboards give
    "parts per million": ("850 PPM ± 50", CONCENTRATION, 850.0, 25.0),
}


@pytest.mark.parametrize(("typed", "dimension", "value", "uncertainty"), SAID.values(), ids=SAID.keys())
def test_what_people_write_is_read(
    typed: str, dimension: Dimension, value: float, uncertainty: float | None
) -> None:
    """Number, unit and "±" in the ways in which they are written."""
    near = 1e-9  # the figures above have ten
    quantity = read(typed, dimension)
    assert quantity.value == pytest.approx(value, rel=near, abs=near)
    if uncertainty is None:
        assert quantity.uncertainty is None
    else:
        assert quantity.uncertainty == pytest.approx(uncertainty, rel=near)


@pytest.mark.parametrize(("typed", "dimension"), [case[:2] for case in SAID.values()], ids=SAID.keys())
def test_what_was_typed_is_kept(typed: str, dimension: Dimension) -> None:
    """The text stays as it was, but for blanks around it; the job document holds it and not our number."""
    quantity = read(typed, dimension)
    assert quantity.typed == typed.strip()
    assert str(quantity) == typed.strip()
    assert read(quantity.typed, dimension) == quantity


def test_the_unit_is_recognized_by_its_dimension() -> None:
    """A text tells of which dimensions its unit is, whatever stands before and after the unit."""
    assert has_unit_of("72 F ± 2 %", TEMPERATURE)
    assert has_unit_of("72 F ± 2 %", TEMPERATURE_DIFFERENCE)
    assert not has_unit_of("72 F ± 2 %", FRACTION)
    assert has_unit_of(" 2 %", FRACTION)
    assert not has_unit_of("72", TEMPERATURE)
    assert not has_unit_of("", TEMPERATURE)
    assert not has_unit_of("2600 MV", VOLTAGE)


@FAST
@given(
    st.sampled_from(DIMENSIONS), st.sampled_from(["us", "si"]), st.floats(-270.0, 2e6), st.floats(0.0, 500.0)
)
@example(TEMPERATURE, "us", -0.04, 0.04)  # no minus before a zero
@example(AIRFLOW, "us", 9999.96, 0.5)  # a comma comes with the rounding
def test_what_is_shown_can_be_typed_in_again(
    dimension: Dimension, system: System, number: float, half_width: float
) -> None:
    """A shown text reads as the value and its uncertainty, to the decimals that are shown, in both systems."""
    number = abs(number) if dimension.at_least == 0.0 else number
    unit = dimension.us if system == "us" else dimension.si
    value, uncertainty = number * unit.factor + unit.offset, half_width * unit.factor / 2
    shown = show(value, dimension, system, uncertainty)
    again = read(shown, dimension)
    room = 0.5 * 10.0 ** -dimension.decimals[0 if system == "si" else 1] * (1 + 1e-9)
    assert unit_value(again.value, unit) == pytest.approx(number, abs=room, rel=SAME)
    assert again.uncertainty is not None
    assert 2 * again.uncertainty / unit.factor == pytest.approx(half_width, abs=room, rel=SAME)
    assert "-0 " not in f"{shown} "
    assert show(again.value, dimension, system, again.uncertainty) == shown


@FAST
@given(st.sampled_from(NAMES), st.floats(0.0, 1e9), st.integers(0, 3))
def test_separators_change_nothing(
    named: tuple[Dimension, object, str], number: float, decimals: int
) -> None:
    """With commas between the thousands, a plus, or spaces before the unit the number is the same."""
    dimension, _, name = named
    plain = read(f"{number:.{decimals}f} {name}", dimension).value
    assert read(f"{number:,.{decimals}f} {name}", dimension).value == plain
    assert read(f"+{number:,.{decimals}f}   {name} ", dimension).value == plain
    assert read(f"{number:.{decimals}f}{name}", dimension).value == plain


SHOWN: dict[str, tuple[float, Dimension, str, str]] = {
    "temperature": (22.2222, TEMPERATURE, "72.0 °F", "22.2 °C"),
    "below zero": (-20.0, TEMPERATURE, "-4.0 °F", "-20.0 °C"),
    "difference": (1.1111, TEMPERATURE_DIFFERENCE, "2.0 °F", "1.1 K"),
    "airflow": (1.8877897728, AIRFLOW, "4000 cfm", "1888 L/s"),
    "large airflow": (18.877897728, AIRFLOW, "40,000 cfm", "18,878 L/s"),
    "share": (0.28, FRACTION, "28 %", "28 %"),
    "share with a decimal": (0.285, FRACTION, "28.5 %", "28.5 %"),
    "capacity": (35168.5284, HEAT_RATE, "120,000 Btu/h", "35.2 kW"),
    "pressure": (124.54445, PRESSURE, "0.50 in.w.g.", "125 Pa"),
    "length": (1615.44, LENGTH, "5300 ft", "1615 m"),
    "minutes": (180.0, DURATION, "3 min", "3 min"),
    "half a minute": (90.0, DURATION, "1.5 min", "1.5 min"),
}


@pytest.mark.parametrize(("value", "dimension", "us", "si"), SHOWN.values(), ids=SHOWN.keys())
def test_both_systems_are_shown(value: float, dimension: Dimension, us: str, si: str) -> None:
    """The units and decimals of either system, on screens and paper."""
    assert show(value, dimension, "us") == us
    assert show(value, dimension, "si") == si


def test_the_band_is_shown_with_its_coverage() -> None:
    """What people see is the half width at 95 %: twice the standard uncertainty, in the same unit."""
    quantity = read("72 F ± 0.5 F", TEMPERATURE)
    assert quantity.show("us") == "72.0 °F ± 0.5 °F"
    assert quantity.show("si") == "22.2 °C ± 0.3 °C"
    assert Quantity("", AIRFLOW, 1.8877897728, 0.0471947443).show("us") == "4000 cfm ± 200 cfm"


@pytest.mark.parametrize("dimension", DIMENSIONS, ids=repr)
def test_what_comes_back_from_another_process_is_of_the_same_dimension(dimension: Dimension) -> None:
    """Dimensions are told apart by identity, and the server works a job out in other processes."""
    sent = Quantity("1", dimension, 1.0)
    assert pickle.loads(pickle.dumps(sent)).dimension is dimension  # noqa: S301 (pickled on the line itself)
