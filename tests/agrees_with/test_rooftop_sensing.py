"""What a controller makes of its sensors, against published thermistor equations and the laws of circuits.

Coefficients: 10 kohm thermistors of two laws (J. S. Steinhart and S. R. Hart, Deep-Sea Research 15, 1968; coefficients as
published for the parts). The table of mix-ups was worked from them outside this project, to a tenth of a degree Fahrenheit.
"""

from __future__ import annotations

import math

import pytest
from tests.rooftop_units import TYPE_II, TYPE_III

from ventwright.physics import moist_air, saturation, sensor
from ventwright.physics.rooftop.sensing import (
    Felt,
    Place,
    Sensor,
    SensorReading,
    circuit_resistance,
    lagged,
    reading,
)

MIXED_UP = [
    # °F: true, II read as III, III read as II
    (0, -6.7, 6.1),
    (20, 15.0, 24.6),
    (32, 28.1, 35.6),
    (40, 36.8, 43.0),
    (55, 53.1, 56.8),
    (60, 58.5, 61.4),
    (70, 69.4, 70.6),
    (80, 80.3, 79.7),
    (95, 96.6, 93.5),
    (110, 112.9, 107.3),
]


def shown(one: Sensor, dry_bulb: float, humidity_ratio: float = 0.006) -> SensorReading:
    """Return what a sensor shows in air of one temperature everywhere."""
    felt = Felt(dry_bulb, humidity_ratio)
    return reading(one, dict.fromkeys(Place, felt), (felt,), 101_325.0)


def celsius(fahrenheit: float) -> float:
    """Return a temperature in °C."""
    return (fahrenheit - 32.0) / 1.8


@pytest.mark.parametrize(("true", "second_as_third", "third_as_second"), MIXED_UP)
def test_curves_mixed_up(true: float, second_as_third: float, third_as_second: float) -> None:
    """Element of one curve on an input for the other: to the tenth printed, and rounding before it."""
    for curve, read_as, expected in (
        (TYPE_II, TYPE_III, second_as_third),
        (TYPE_III, TYPE_II, third_as_second),
    ):
        one = Sensor(Place.MIXED, Place.MIXED, curve=curve, read_as=read_as)
        found = shown(one, celsius(true)).dry_bulb
        assert found is not None
        assert found * 1.8 + 32.0 == pytest.approx(expected, abs=0.1)


def test_a_sound_element_is_read_as_it_is() -> None:
    """Curve there and back: the thermistor's equation is solved both ways (Steinhart and Hart)."""
    for true in (-25.0, 0.0, 22.0, 55.0):
        one = Sensor(Place.SUPPLY, Place.SUPPLY, curve=TYPE_II)
        assert shown(one, true).dry_bulb == pytest.approx(true, abs=1e-6)


def test_open_and_short() -> None:
    """Infinite and no resistance at severity 1, flagged as such; half a fault already shifts a thermistor (Ohm's law).

    At 25 °C both severities of 0.5 put one more element's resistance in line or across: 20 and 5 kohm.
    """
    opened = Sensor(Place.MIXED, Place.MIXED, curve=TYPE_II, open_share=1.0)
    shorted = Sensor(Place.MIXED, Place.MIXED, curve=TYPE_II, short_share=1.0)
    assert shown(opened, 20.0) == SensorReading(None, None, None, math.inf, sensor.State.OPEN)
    assert shown(shorted, 20.0) == SensorReading(None, None, None, 0.0, sensor.State.SHORT)
    half_open = Sensor(Place.MIXED, Place.MIXED, curve=TYPE_II, open_share=0.5)
    half_short = Sensor(Place.MIXED, Place.MIXED, curve=TYPE_II, short_share=0.5)
    assert circuit_resistance(25.0, half_open) == pytest.approx(20e3, rel=1e-3)
    assert circuit_resistance(25.0, half_short) == pytest.approx(5e3, rel=1e-3)
    cold, warm = shown(half_open, 25.0).dry_bulb, shown(half_short, 25.0).dry_bulb
    assert cold is not None
    assert warm is not None
    assert cold < 15.0
    assert warm > 35.0


def test_a_sensor_that_sends_its_temperature_fails_from_half_on() -> None:
    """Without a curve there is no in-between (definition)."""
    for share, state in ((0.4, sensor.State.SENSOR), (0.5, sensor.State.OPEN)):
        found = shown(Sensor(Place.MIXED, Place.MIXED, open_share=share), 20.0)
        assert found.circuit is state
        assert (found.dry_bulb is None) == (state is sensor.State.OPEN)


def test_humidity_and_enthalpy_as_shown() -> None:
    """Relative humidity of the air, enthalpy of what is shown: equations 20 and 30 of the ASHRAE Handbook (2017)."""
    true = moist_air.vapour_pressure(0.006, 101_325.0) / saturation.saturation_pressure(22.0)
    one = Sensor(Place.RETURN, Place.RETURN, humidity=True, humidity_bias=0.05, bias=1.0)
    found = shown(one, 22.0)
    assert found.dry_bulb == pytest.approx(23.0)
    assert found.relative_humidity == pytest.approx(true + 0.05)
    vapour = (true + 0.05) * saturation.saturation_pressure(23.0)
    expected = moist_air.enthalpy(23.0, moist_air.humidity_ratio(vapour, 101_325.0))
    assert found.enthalpy == pytest.approx(expected)


@pytest.mark.parametrize(("seconds", "left"), [(0.0, 1.0), (60.0, 0.36788), (180.0, 0.04979)])
def test_lag(seconds: float, left: float) -> None:
    """A step of first order has exp(-1) left after one time constant, exp(-3) after three."""
    assert lagged(10.0, 30.0, seconds, 60.0) == pytest.approx(30.0 - 20.0 * left, abs=1e-3)
    assert lagged(10.0, 30.0, seconds, 0.0) == 30.0
