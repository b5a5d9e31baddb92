"""Thermistor curves against printed tables that are not where the coefficients come from.

Sources:
- Instruction manual of a data logger's 10k temperature probe, Appendix C, Table C-1: actual temperature against
  resistance, every degree, printed to 0.1 ohm (the coefficients stand elsewhere in it; the table is the thermistor's own).
- Output tables of a maker of building-automation sensors (rev. 10/2012): 1.8K, 2.2K, 10K-2, 10K-3, 20K, 50K, 100K,
  every 2 °F from -39 to 187 °F, printed to 1 ohm. Rows from which coefficients were fitted are not used.
- Service manual of a water chiller, table of its 5k thermistor, every degree, printed to 1 ohm.
- Field testing sheet of a refrigerated cabinet, table of its 10k thermistor, every 2 °C, printed to 100 ohm.
- Open table of building-sensor curves in a public repository: 3K, 1.8K and 10K-3(11K), printed to 1 ohm.
"""

from __future__ import annotations

import math

import pytest

from ventwright.physics.sensor import sensor_temperature
from ventwright.tables.sensor_curve import sensor_curve

TYPE_2 = {
    -40: 336103.2, -35: 242430.2, -30: 176804.8, -25: 130307.6, -20: 97006.9, -15: 72911.1, -10: 55303.9, -5: 42316.7,
    -1: 34366.6, 0: 32650.9, 1: 31030.8,
}  # fmt: skip
"""Table C-1, °C: ohm."""

OUTPUT = {
    "thermistor-10k-type-2": {
        -39: 323839, -19: 159488, 1: 82670, 25: 39921, 37: 28365, 55: 17437, 69: 12182, 77: 10000, 99: 5960, 125: 3380, 149: 2082,
    },
    "thermistor-10k-type-3": {
        -39: 232032, -19: 123317, 1: 68348, 31: 30267, 33: 28735, 55: 16648, 69: 11987, 77: 10000, 99: 6208, 125: 3671, 149: 2339,
        185: 1255,
    },
    "thermistor-100k": {-39: 3916295, -19: 1865595, 1: 935383, 33: 340581, 55: 180588, 77: 100000, 99: 57594, 125: 31399, 149: 18670, 185: 9121},
    "thermistor-2252": {-39: 72730, -19: 35869, 1: 18607, 31: 7566, 55: 3927, 77: 2252, 99: 1342, 125: 761, 149: 469, 185: 241},
    "thermistor-1800-ice-4940": {-39: 34389, 1: 10868, 33: 4822, 37: 4383, 77: 1800, 99: 1155, 149: 468, 159: 396, 185: 264},
    "thermistor-20k": {-39: 776470, 1: 186518, 33: 68057, 69: 24674, 77: 20001, 99: 11519, 149: 3732, 185: 1822},
    "thermistor-50k": {-39: 1956240, 1: 467604, 33: 170291, 69: 61685, 77: 50000, 99: 28796, 149: 9335, 185: 4561},
}  # fmt: skip
"""Output tables, °F: ohm."""

WITHIN = {
    "thermistor-10k-type-2": 0.01, "thermistor-10k-type-3": 0.04, "thermistor-100k": 0.01, "thermistor-2252": 0.12,
    "thermistor-1800-ice-4940": 0.08, "thermistor-20k": 0.02, "thermistor-50k": 0.02,
}  # fmt: skip
"""Kelvins: all of them well inside the 0.2 K that good sensors of one curve differ by."""

CHILLER_5K = {
    -40: 168230,
    -30: 88480,
    -20: 48536,
    -5: 21163,
    10: 9949,
    20: 6246,
    25: 5000,
    30: 4028,
    40: 2663,
}
"""Service manual, °C: ohm."""

CABINET_10K = {-20: 67.8e3, -10: 42.5e3, 0: 27.3e3, 10: 18.0e3, 20: 12.1e3, 30: 8.3e3, 40: 5.8e3}
"""Field testing sheet, °C: ohm."""

POINTS = [(name, f, ohms) for name, rows in OUTPUT.items() for f, ohms in rows.items()]


def celsius(fahrenheit: float) -> float:
    """Turn °F into °C."""
    return (fahrenheit - 32.0) / 1.8


def shown(name: str, ohms: float) -> float:
    """Temperature of ohms on a curve. [°C]"""
    return sensor_temperature(ohms, sensor_curve(name).curve)


@pytest.mark.parametrize(("temperature", "printed"), TYPE_2.items())
def test_type_2_against_its_own_table(temperature: float, printed: float) -> None:
    """The manual states a fit error of 0.02 K at -40 °C; it prints the calculated temperature to 0.01 °C, and they agree."""
    assert shown("thermistor-10k-type-2", printed) == pytest.approx(temperature, abs=0.01)


@pytest.mark.parametrize(("name", "fahrenheit", "printed"), POINTS)
def test_output_tables(name: str, fahrenheit: float, printed: float) -> None:
    """Another maker's table of the same trade name, over the whole range of the curve."""
    half_a_figure = 0.5 / abs(printed) * 25.0  # half of the last printed ohm, about 4 % per kelvin
    assert shown(name, printed) == pytest.approx(celsius(fahrenheit), abs=WITHIN[name] + half_a_figure)


@pytest.mark.parametrize(("temperature", "printed"), CHILLER_5K.items())
def test_5k(temperature: float, printed: float) -> None:
    """A chiller's table of the same element: within 0.05 K."""
    assert shown("thermistor-5k", printed) == pytest.approx(temperature, abs=0.05)


@pytest.mark.parametrize(("temperature", "printed"), CABINET_10K.items())
def test_the_third_10k_curve(temperature: float, printed: float) -> None:
    """Three printed figures and another maker, whose curve need not be quite this one: within 0.4 K."""
    assert shown("thermistor-10k-type-4", printed) == pytest.approx(temperature, abs=0.4)


@pytest.mark.parametrize(
    ("name", "fahrenheit", "printed"),
    [
        ("thermistor-3000", 32, 9795), ("thermistor-3000", 77, 3000), ("thermistor-3000", 100, 1748),
        ("thermistor-1800-ice-5083", 32, 5083), ("thermistor-1800-ice-5083", 77, 1799), ("thermistor-1800-ice-5083", 100, 1119),
        ("thermistor-10k-type-3-with-11k", 0, 9512), ("thermistor-10k-type-3-with-11k", 32, 8011),
        ("thermistor-10k-type-3-with-11k", 77, 5238), ("thermistor-10k-type-3-with-11k", 100, 3915),
    ],
)  # fmt: skip
def test_open_table(name: str, fahrenheit: float, printed: float) -> None:
    """3k from rounded constants within 0.08 K; the others within 0.05 K; the 11k resistor is taken off first."""
    assert shown(name, printed) == pytest.approx(celsius(fahrenheit), abs=0.08)


def test_12_kohm_is_two_temperatures() -> None:
    """Between the printed rows at 69 and 71 °F (10K-2: 12182, 11590) and 67 and 69 °F (10K-3: 12556, 11987), in log R."""
    assert shown("thermistor-10k-type-2", 12000.0) == pytest.approx(20.89, abs=0.01)
    assert shown("thermistor-10k-type-3", 12000.0) == pytest.approx(20.54, abs=0.01)


MIX_UP = {
    1.0: (82670, (-7, 86160), (-5, 81276)),
    33.8: (31030.8, (29, 31878), (31, 30267)),
    55.0: (17437, (53, 17467), (55, 16648)),
    77.0: (10000, (75, 10459), (77, 10000)),
    99.0: (5960, (99, 6208), (101, 5954)),
}
"""°F at which Type II has the first ohms (10K-2; 33.8 °F from Table C-1), and the rows of 10K-3 on either side."""


@pytest.mark.parametrize("fahrenheit", MIX_UP)
def test_a_mix_up_shows_in_the_cold(fahrenheit: float) -> None:
    """Type II read as Type III, from the printed rows in log R: 6.6 °F off at 1 °F, 3.8 at the ice point, none at 77 °F."""
    ohms, (above, more), (below, less) = MIX_UP[fahrenheit]
    printed = above + (below - above) * math.log(more / ohms) / math.log(more / less)
    assert shown("thermistor-10k-type-3", ohms) == pytest.approx(celsius(printed), abs=0.02)
    assert abs(fahrenheit - printed) == pytest.approx(
        {1.0: 6.6, 33.8: 3.8, 55.0: 1.9, 77.0: 0.0, 99.0: 1.9}[fahrenheit], abs=0.1
    )
