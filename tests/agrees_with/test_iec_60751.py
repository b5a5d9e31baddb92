"""Platinum against IEC 60751, as printed tables and pages about the standard give it.

Sources:
- "Reference table for Pt RTD elements", 100 ohm, every 10 °C, in accordance with IEC 751 amendment 2 (1995-07) and
  DIN EN 60751 (1996-07); resistances printed to 0.01 ohm.
- "PT1000 RTD table, resistance chart and class A/B tolerance" (IEC 60751 curve, printed to 0.1 ohm, 0.01 °C, 0.01 ohm).
- "Tolerances for Pt100 detectors according to IEC 60751 (1995)", one page: classes A and B, -200 to 850 °C.
- "Pt100 details" of a calibration laboratory's service manual, classes of IEC 60751:2008: AA, A, B, C.
"""

from __future__ import annotations

import pytest

from ventwright.physics import sensor
from ventwright.physics.sensor import sensor_temperature, wire_resistance
from ventwright.physics.sensor_element import callendar_van_dusen
from ventwright.tables.sensor_curve import SensorCurve, sensor_curve, tolerance_class

PT100 = {
    -200: 18.52, -100: 60.26, -50: 80.31, -40: 84.27, -20: 92.16, -10: 96.09, 0: 100.00, 10: 103.90, 20: 107.79,
    30: 111.67, 50: 119.40, 100: 138.51, 150: 157.33, 200: 175.86, 300: 212.05, 400: 247.09, 500: 280.98, 600: 313.71,
}  # fmt: skip
"""Reference table for Pt RTD elements, °C: ohm."""

PT1000 = {
    -50: 803.1,
    -40: 842.7,
    -20: 921.6,
    0: 1000.0,
    20: 1077.9,
    25: 1097.3,
    50: 1194.0,
    100: 1385.1,
    600: 3137.1,
}
"""PT1000 RTD table, °C: ohm."""

CLASS_A = {-200: 0.55, -100: 0.35, 0: 0.15, 100: 0.35, 200: 0.55, 300: 0.75, 400: 0.95, 600: 1.35}
CLASS_B = {-200: 1.3, -100: 0.8, 0: 0.3, 100: 0.8, 200: 1.3, 300: 1.8, 400: 2.3, 600: 3.3, 850: 4.55}
"""Tolerances for Pt100 detectors, °C: ± °C; at 850 the page prints 4.6 rounded up from its own formula's 4.55."""


@pytest.fixture(scope="module")
def pt100() -> SensorCurve:
    """The 100 ohm element."""
    return sensor_curve("platinum-100-iec-60751")


@pytest.fixture(scope="module")
def pt1000() -> SensorCurve:
    """The 1000 ohm element."""
    return sensor_curve("platinum-1000-iec-60751")


@pytest.mark.parametrize(("temperature", "printed"), PT100.items())
def test_resistance_of_the_100_ohm_element(temperature: float, printed: float, pt100: SensorCurve) -> None:
    """To the last printed figure, on both sides of 0 °C."""
    assert wire_resistance(temperature, pt100.curve) == pytest.approx(printed, abs=0.0051)


@pytest.mark.parametrize(("temperature", "printed"), PT100.items())
def test_temperature_of_the_100_ohm_element(temperature: float, printed: float, pt100: SensorCurve) -> None:
    """Half of the last printed figure is 0.005 ohm, that is 0.02 K at most."""
    assert sensor_temperature(printed, pt100.curve) == pytest.approx(temperature, abs=0.02)


@pytest.mark.parametrize(("temperature", "printed"), PT1000.items())
def test_the_1000_ohm_element(temperature: float, printed: float, pt1000: SensorCurve) -> None:
    """To the last printed figure (the table drops figures rather than rounding them), 0.1 ohm or 0.03 K."""
    assert wire_resistance(temperature, pt1000.curve) == pytest.approx(printed, abs=0.1)
    assert sensor_temperature(printed, pt1000.curve) == pytest.approx(temperature, abs=0.03)


def test_below_freezing_the_third_coefficient_counts(pt100: SensorCurve) -> None:
    """At -200 °C two coefficients alone miss the printed 18.52 ohm by 1.0 ohm, which is 2.3 K."""
    a, b, _ = pt100.curve.coefficients
    assert callendar_van_dusen(-200.0, 100.0, (a, b, 0.0)) == pytest.approx(19.52, abs=0.03)
    assert callendar_van_dusen(-200.0, 100.0, pt100.curve.coefficients) == pytest.approx(18.52, abs=0.0051)


@pytest.mark.parametrize(("temperature", "printed"), CLASS_A.items())
def test_class_a(temperature: float, printed: float) -> None:
    """Half-width in °C, exactly as printed."""
    assert tolerance_class("A").half_width(temperature) == pytest.approx(printed, abs=1e-9)


@pytest.mark.parametrize(("temperature", "printed"), CLASS_B.items())
def test_class_b(temperature: float, printed: float) -> None:
    """Half-width in °C, exactly as the page's formula gives it."""
    assert tolerance_class("class B").half_width(temperature) == pytest.approx(printed, abs=1e-9)


@pytest.mark.parametrize(
    ("named", "at_zero", "per_degree"),
    [("AA", 0.1, 0.0017), ("A", 0.15, 0.002), ("B", 0.3, 0.005), ("C", 0.6, 0.01)],
)
def test_the_four_classes_of_2008(named: str, at_zero: float, per_degree: float) -> None:
    """The laboratory's page: limit deviation at 0 °C and for each degree of |t|, the same on both sides."""
    known = tolerance_class(named)
    assert known.half_width(0.0) == at_zero
    for temperature in (-40.0, 100.0):
        assert known.half_width(temperature) == pytest.approx(at_zero + per_degree * abs(temperature))


def test_class_b_at_100_degrees_in_ohms(pt100: SensorCurve) -> None:
    """The 1995 page prints ±0.8 °C and ±0.30 ohm for class B at 100 °C: half-width times slope."""
    ohms = tolerance_class("B").half_width(100.0) * sensor.slope(100.0, pt100.curve)
    assert ohms == pytest.approx(0.30, abs=0.005)


def test_two_wires_of_1_28_ohm(pt100: SensorCurve, pt1000: SensorCurve) -> None:
    """From the printed rows at 10, 20 and 30 °C: 0.388 ohm per degree, so 1.28 ohm is 0.33 K on 1000 and 3.3 K on 100 ohm."""
    per_degree = (PT100[30] - PT100[10]) / 20.0
    for curve, scale, places in ((pt1000, 10.0, 0.002), (pt100, 1.0, 0.02)):
        expected = 1.28 / (scale * per_degree)
        shown = sensor_temperature(wire_resistance(20.0, curve.curve) + 1.28, curve.curve) - 20.0
        assert sensor.lead_error(20.0, 1.28, curve.curve) == pytest.approx(expected, abs=places)
        assert shown == pytest.approx(expected, abs=places)
