"""Pressure and density at elevation against printed tables."""

from __future__ import annotations

import math

import pytest

from ventwright.errors import Refused
from ventwright.physics import air
from ventwright.physics.moist_air import STANDARD_PRESSURE, pressure_at_elevation

FOOT = 0.3048
PSI = 6894.757


@pytest.mark.parametrize(
    ("feet", "printed"),
    [(-1000, 15.236), (0, 14.696), (1000, 14.175), (3000, 13.173), (10_000, 10.108)],
    ids=lambda value: f"table 1: {value}",
)
def test_standard_atmosphere(feet: float, printed: float) -> None:
    """ASHRAE Handbook - Fundamentals 2017, chapter 1, table 1, psia (as quoted in PsychroLib's tests): to 200 ppm.

    Equation 3 is a fit to the table, and its own author's table differs from it by that much.
    """
    assert pressure_at_elevation(feet * FOOT) == pytest.approx(printed * PSI, rel=2e-4)


@pytest.mark.parametrize(
    ("feet", "ratio", "density"),
    [(6000, 0.801, 0.0601), (7000, 0.772, None), (8000, 0.743, None)],
    ids=lambda value: f"table 6a: {value}",
)
def test_density_of_air_aloft(feet: float, ratio: float, density: float | None) -> None:
    """Design Guide for Heating, Ventilating, and Air Conditioning Systems (2000, revised 2006), table 6a: three digits."""
    pressure = pressure_at_elevation(feet * FOOT)
    assert pressure / STANDARD_PRESSURE == pytest.approx(ratio, abs=6e-4)
    if density is not None:  # lb/ft3 of dry air at 70 °F; the table starts from a rounded 0.075 at sea level
        ours = air.state((70.0 - 32.0) / 1.8, humidity_ratio=0.0, pressure=pressure).density * 0.0624280
        assert ours == pytest.approx(density, abs=1.5e-4)


@pytest.mark.parametrize(
    ("elevation", "given"),
    [(-5001.0, "-5001 m"), (11_001.0, "11001 m"), (math.nan, "nan m"), (math.inf, "inf m")],
)
def test_no_atmosphere_there(elevation: float, given: str) -> None:
    """Outside the range of the formula there is no guess."""
    with pytest.raises(Refused) as refused:
        pressure_at_elevation(elevation)
    assert str(refused.value) == (
        f'"{given}" is no elevation for which the standard atmosphere is used; accepted: -5000 to 11000 m.'
    )
