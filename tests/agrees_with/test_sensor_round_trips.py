"""Every curve against itself: there and back, one way only, and never a temperature out of a short or an open wire."""

from __future__ import annotations

import math

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from ventwright.errors import Refused
from ventwright.physics import sensor
from ventwright.physics.sensor import State, sensor_temperature, wire_resistance, without_parallel
from ventwright.plan.sensor.check import temperature_of
from ventwright.plan.sensor.substitute import substitute
from ventwright.tables.sensor_curve import SensorCurve, assumed, curves

CURVES = st.sampled_from(curves())
SHARES = st.floats(0.0, 1.0)

unhurried = settings(deadline=None)
"""A busy machine is no failure."""


def within(curve: SensorCurve, share: float) -> float:
    """Temperature at a share of a curve's range. [°C]"""
    return curve.curve.coldest + share * (curve.curve.hottest - curve.curve.coldest)


@unhurried
@given(CURVES, SHARES)
def test_there_and_back(curve: SensorCurve, share: float) -> None:
    """Bisection ends at 1e-9 K; the cubic of a thermistor leaves rounding only."""
    temperature = within(curve, share)
    again = sensor_temperature(wire_resistance(temperature, curve.curve), curve.curve)
    assert again == pytest.approx(temperature, abs=2e-6)


@unhurried
@given(CURVES, SHARES, SHARES)
def test_one_way_only(curve: SensorCurve, one: float, other: float) -> None:
    """Metals rise and thermistors fall over the whole range, gross limits included."""
    low, high = sorted((within(curve, one), within(curve, other)))
    if high - low < 1e-3:
        return
    rises = wire_resistance(high, curve.curve) > wire_resistance(low, curve.curve)
    assert rises is curve.curve.rises
    assert (sensor.slope(low, curve.curve) > 0.0) is curve.curve.rises


@unhurried
@given(st.floats(1.0, 1e7), st.floats(1.0, 1e7))
def test_a_parallel_resistor_comes_off_again(alone: float, across: float) -> None:
    """1/R = 1/a + 1/b, undone; digits go as the sensor dwarfs the resistor."""
    together = alone * across / (alone + across)
    if together >= across * (1.0 - 1e-9):
        return
    assert without_parallel(together, across) == pytest.approx(alone, rel=1e-6 * max(1.0, alone / across))


@pytest.mark.parametrize("curve", curves(), ids=lambda curve: curve.id)
def test_shorts_and_opens_lie_outside_any_air(curve: SensorCurve) -> None:
    """The limits are the curve at the coldest and hottest air, so that no weather is taken for a fault."""
    air = assumed()
    least, most = sensor.limits(curve.curve, air.coldest_air, air.hottest_air)
    for temperature in (-40.0, 0.0, 25.0, 60.0):
        ohms = wire_resistance(temperature, curve.curve)
        assert least < ohms < most
        assert sensor.state(ohms, curve.curve, air.coldest_air, air.hottest_air) is State.SENSOR
    assert sensor.state(0.0, curve.curve, air.coldest_air, air.hottest_air) is State.SHORT
    assert sensor.state(math.inf, curve.curve, air.coldest_air, air.hottest_air) is State.OPEN
    for ohms in (0.0, 0.99 * least, 1.01 * most):
        with pytest.raises(Refused):
            temperature_of(curve, ohms)


@unhurried
@given(CURVES, st.floats(-40.0, 60.0))
def test_a_substitute_reads_what_was_wanted(curve: SensorCurve, wanted: float) -> None:
    """The exact ohms read the wanted temperature; a resistor that can be bought lies within half a step of it."""
    found = substitute(curve, wanted)
    assert sensor_temperature(found.resistance, curve.curve) == pytest.approx(wanted, abs=1e-5)
    for one in found.preferred:
        step = {"E96": 0.0148, "E24": 0.075}[one.series]  # half of the widest step: 102 to 105, and 13 to 15
        assert abs(one.resistance / found.resistance - 1.0) <= step
        assert one.coldest <= one.temperature <= one.hottest


def test_a_wider_resistor_is_a_wider_band() -> None:
    """5 % of 17.4k is more degrees than 1 %; a short of doubt would hide it."""
    curve = next(curve for curve in curves() if curve.id == "thermistor-10k-type-2")
    fine, coarse = substitute(curve, 12.78).preferred
    assert (fine.series, coarse.series) == ("E96", "E24")
    assert fine.hottest - fine.coldest < coarse.hottest - coarse.coldest
