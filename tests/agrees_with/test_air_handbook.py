"""Moist air against printed numbers of ASHRAE Handbook - Fundamentals 2017, chapter 1.

Read as they are quoted in the tests of PsychroLib 2.5.0 (tests/test_psychrolib_si.py and _ip.py), a secondary source.
The handbook's tables are of the real gas, ours is ideal: that sets the tolerances of table 2.
"""

from __future__ import annotations

import pytest

from ventwright.physics import air, moist_air
from ventwright.physics.saturation import saturation_pressure
from ventwright.quantity import ENTHALPY_OF_DRY_AIR_AT_0_F

PSI = 6894.757
BTU_PER_POUND = 2326.0  # J/kg, exact
CUBIC_FOOT_PER_POUND = 0.0624280  # m3/kg


def celsius(fahrenheit: float) -> float:
    """Return a temperature in °C."""
    return (fahrenheit - 32.0) / 1.8


@pytest.mark.parametrize(
    ("temperature", "printed"),
    [(-20, 103.24), (-5, 401.74), (5, 872.6), (25, 3169.7), (50, 12351.3), (100, 101_418.0)],
    ids=lambda value: f"table 3: {value}",
)
def test_saturation_pressure_si(temperature: float, printed: float) -> None:
    """Table 3, SI: within 300 ppm, since the table is of a newer water formulation than equations 5 and 6."""
    assert saturation_pressure(temperature) == pytest.approx(printed, rel=3e-4)


@pytest.mark.parametrize(
    ("fahrenheit", "printed"),
    [(-4, 0.014974), (23, 0.058268), (41, 0.12656), (77, 0.45973), (122, 1.79140)],
    ids=lambda value: f"table 3: {value}",
)
def test_saturation_pressure_ip(fahrenheit: float, printed: float) -> None:
    """Table 3, inch-pound: within 300 ppm, as above."""
    assert saturation_pressure(celsius(fahrenheit)) == pytest.approx(printed * PSI, rel=3e-4)


@pytest.mark.parametrize(
    ("fahrenheit", "ratio", "relative"),
    [
        (-4, 0.0006373, 0.01),
        (23, 0.0024863, 0.005),
        (41, 0.005425, 0.005),
        (77, 0.020173, 0.005),
        (122, 0.086863, 0.01),
    ],
    ids=lambda value: f"table 2: {value}",
)
def test_saturated_air_holds_as_much_water(fahrenheit: float, ratio: float, relative: float) -> None:
    """Table 2: the real gas holds 0.4 to 0.6 % more, and never less."""
    ours = air.state(celsius(fahrenheit), relative_humidity=1.0).humidity_ratio
    assert ours == pytest.approx(ratio, rel=relative)
    assert ours < ratio


@pytest.mark.parametrize(
    ("dry_bulb", "heat"),
    [(5, 18_639.0), (25, 76_504.0), (50, 275_353.0)],
    ids=lambda value: f"table 2: {value}",
)
def test_enthalpy_of_saturated_air(dry_bulb: float, heat: float) -> None:
    """Table 2, SI: within 0.5 %, the enhancement again."""
    assert air.state(dry_bulb, relative_humidity=1.0).enthalpy == pytest.approx(heat, rel=0.005)


def test_dry_air_si() -> None:
    """Table 2, SI, 25 °C: enthalpy 25 148 J/kg and volume 0.8443 m3/kg, within 0.1 %."""
    dry = air.state(25.0, relative_humidity=0.0)
    assert dry.enthalpy == pytest.approx(25_148.0, rel=1e-3)
    assert dry.specific_volume == pytest.approx(0.8443, rel=1e-3)


def test_dry_air_ip_shows_the_other_datum() -> None:
    """Table 2, inch-pound, 77 °F: 18.498 Btu/lb from dry air at 0 °F, volume 13.5251 ft3/lb, within 0.1 %."""
    dry = air.state(celsius(77.0), humidity_ratio=0.0)
    assert (dry.enthalpy - ENTHALPY_OF_DRY_AIR_AT_0_F) / BTU_PER_POUND == pytest.approx(18.498, rel=1e-3)
    assert dry.specific_volume / CUBIC_FOOT_PER_POUND == pytest.approx(13.5251, rel=1e-3)


def test_example_1_si() -> None:
    """Example 1, 40 °C and 20 °C wet bulb, read off a chart: hence half of each last digit, and a little for the eye."""
    ours = air.state(40.0, wet_bulb=20.0)
    assert ours.humidity_ratio == pytest.approx(0.0065, abs=0.0002)
    assert ours.dew_point == pytest.approx(7.0, abs=0.5)
    assert ours.relative_humidity == pytest.approx(0.14, abs=0.005)
    assert ours.enthalpy == pytest.approx(56_700.0, abs=100.0)
    assert ours.specific_volume == pytest.approx(0.896, abs=0.001)


def test_example_1_ip() -> None:
    """Example 1, 100 °F and 65 °F wet bulb, read off a chart."""
    ours = air.state(celsius(100.0), wet_bulb=celsius(65.0), pressure=14.696 * PSI)
    assert ours.humidity_ratio == pytest.approx(0.00523, abs=0.0001)
    assert ours.dew_point * 1.8 + 32.0 == pytest.approx(40.0, abs=0.5)
    assert ours.relative_humidity == pytest.approx(0.13, abs=0.005)
    assert (ours.enthalpy - ENTHALPY_OF_DRY_AIR_AT_0_F) / BTU_PER_POUND == pytest.approx(29.80, abs=0.1)
    assert ours.specific_volume / CUBIC_FOOT_PER_POUND == pytest.approx(14.22, abs=0.02)


def test_air_of_86_fahrenheit_at_1000_feet() -> None:
    """Not the handbook but PsychroLib's own spreadsheet values: 86 °F, humidity ratio 0.02, 14.175 psia."""
    ours = air.state(celsius(86.0), humidity_ratio=0.02, pressure=14.175 * PSI)
    assert (ours.enthalpy - ENTHALPY_OF_DRY_AIR_AT_0_F) / BTU_PER_POUND == pytest.approx(42.6168, rel=1e-3)
    assert ours.specific_volume / CUBIC_FOOT_PER_POUND == pytest.approx(14.7206, rel=1e-4)
    assert ours.density * CUBIC_FOOT_PER_POUND == pytest.approx(0.069291, rel=1e-4)
    assert moist_air.humidity_ratio(0.45973, 14.175) == pytest.approx(0.0208473, rel=1e-5)
    wet = air.state(celsius(86.0), wet_bulb=celsius(77.0), pressure=14.175 * PSI)
    assert wet.humidity_ratio == pytest.approx(0.0187193, rel=1e-3)
