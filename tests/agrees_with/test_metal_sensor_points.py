"""Nickel, and the second platinum element, against printed tables.

Sources:
- Data sheet of a nickel thin-film sensor to the former DIN 43760 (10/2015), page 4: resistance for every degree
  from -60 to 160 °C, printed to 0.1 ohm.
- Open table of building-sensor curves in a public repository (2 °F steps, printed to 0.1 ohm): columns of the
  1000 ohm nickel element and of the 1000 ohm platinum element with 0.00375; the columns are another maker's than
  the data sheets from which the coefficients are.
- Data sheet of a thin-film platinum element: accuracy against temperature, trim 0.2 %.
"""

from __future__ import annotations

import pytest

from ventwright.physics.sensor import sensor_temperature, wire_resistance
from ventwright.tables.sensor_curve import sensor_curve

DIN = {
    -50: 742.6, -40: 791.3, -20: 893.0, -10: 945.8, 0: 1000.0, 10: 1055.5, 20: 1112.4, 25: 1141.3, 30: 1170.6,
    40: 1230.1, 50: 1291.1, 60: 1353.4, 80: 1482.5, 100: 1617.8,
}  # fmt: skip
"""Nickel data sheet, °C: ohm."""

AT_70_F = {
    -20: 750.7, 0: 803.4, 20: 857.7, 32: 891.0, 40: 913.5, 50: 942.0, 55: 956.4, 60: 970.9, 70: 1000.2, 77: 1020.9,
    90: 1059.9, 100: 1090.3, 120: 1152.2, 140: 1215.8,
}  # fmt: skip
"""Open table, nickel, °F: ohm."""

ALPHA_375 = {
    -20: 889.4, 0: 932.1, 20: 974.6, 32: 1000.0, 50: 1038.0, 60: 1059.1, 77: 1094.9, 100: 1143.1, 120: 1184.8, 140: 1226.4,
}  # fmt: skip
"""Open table, platinum with 0.00375, °F: ohm."""


def celsius(fahrenheit: float) -> float:
    """Turn °F into °C."""
    return (fahrenheit - 32.0) / 1.8


@pytest.mark.parametrize(("temperature", "printed"), DIN.items())
def test_nickel_to_din_43760(temperature: float, printed: float) -> None:
    """To the last printed figure: 0.05 ohm, that is 0.01 K."""
    curve = sensor_curve("nickel-1000-din-43760").curve
    assert wire_resistance(temperature, curve) == pytest.approx(printed, abs=0.051)
    assert sensor_temperature(printed, curve) == pytest.approx(temperature, abs=0.012)


@pytest.mark.parametrize(("fahrenheit", "printed"), AT_70_F.items())
def test_nickel_with_1000_ohm_at_70_f(fahrenheit: float, printed: float) -> None:
    """Another maker's table: within 0.06 K, a tenth of the tolerance of either."""
    curve = sensor_curve("nickel-1000-at-70-f").curve
    assert sensor_temperature(printed, curve) == pytest.approx(celsius(fahrenheit), abs=0.06)


def test_din_nickel_read_on_the_curve_of_70_f() -> None:
    """By the two tables: DIN nickel has 1118.8 ohm at 70 °F (1118.1 at 21, 1123.9 at 22 °C); the other has that at 109 °F."""
    metered = 1118.1 + (celsius(70.0) - 21.0) * (1123.9 - 1118.1)
    between = 100.0 + 20.0 * (metered - AT_70_F[100]) / (
        AT_70_F[120] - AT_70_F[100]
    )  # on the printed rows, °F
    shown = sensor_temperature(metered, sensor_curve("nickel-1000-at-70-f").curve)
    assert between == pytest.approx(109.0, abs=0.5)
    assert shown == pytest.approx(celsius(between), abs=0.1)


@pytest.mark.parametrize(("fahrenheit", "printed"), ALPHA_375.items())
def test_platinum_with_0_00375(fahrenheit: float, printed: float) -> None:
    """To the last printed figure: 0.05 ohm, that is 0.013 K."""
    curve = sensor_curve("platinum-1000-alpha-0.00375").curve
    assert wire_resistance(celsius(fahrenheit), curve) == pytest.approx(printed, abs=0.051)


@pytest.mark.parametrize(("temperature", "printed"), [(-100, 0.8), (0, 0.5), (100, 0.8)])
def test_accuracy_of_platinum_with_0_00375(temperature: float, printed: float) -> None:
    """The data sheet's ± °C for the 0.2 % trim, over the range for which it is claimed here."""
    tolerance = sensor_curve("platinum-1000-alpha-0.00375").tolerance
    assert tolerance.half_width(temperature) == pytest.approx(printed, abs=1e-9)
    assert tolerance.published_at(temperature)


def test_the_two_platinum_curves_part_by_1_1_f_in_a_warm_room() -> None:
    """1094.9 ohm (open table, 77 °F) on the IEC curve, whose printed row at 25 °C is 1097.3 ohm with 3.9 ohm per degree."""
    shown = sensor_temperature(ALPHA_375[77], sensor_curve("platinum-1000-iec-60751").curve)
    assert shown == pytest.approx(25.0 - (1097.3 - 1094.9) / 3.88, abs=0.03)
