"""Moist air against CoolProp (MIT), ``HAPropsSI``: the real gas of ASHRAE RP-1485 instead of our ideal one.

The two differ, and by how much is the statement here. From -20 to 40 °C and 60 to 108 kPa:

* humidity ratio at one relative humidity: CoolProp's is up to 0.53 % more, the "enhancement" of water vapour by air;
* enthalpy at one humidity ratio: within 0.14 kJ/kg (one relative humidity would count the enhancement again:
  0.7 kJ/kg at 40 °C, saturated), datum dry air and liquid water at 0 °C in both;
* volume: within 0.1 % (0.14 % at -40 °C); dew point: within 0.02 K;
* wet bulb at one relative humidity: within 0.031 K, ice film and liquid film alike, outside the two-film band. In
  the band CoolProp gives the ice film where ours is the liquid one.
"""

from __future__ import annotations

from typing import Any

import numpy as np
import pytest

from ventwright.physics import air, wet_bulb

STATES = 3000


@pytest.fixture(scope="module")
def ours() -> air.AirStates:
    """States of the field: -20 to 40 °C, 1 to 100 %, 60 to 108 kPa."""
    dice = np.random.default_rng(20261125)
    return air.states(
        dice.uniform(-20.0, 40.0, STATES),
        relative_humidity=dice.uniform(0.01, 1.0, STATES),
        pressure=dice.uniform(60e3, 108e3, STATES),
    )


def real_gas(wanted: str, ours: air.AirStates, humidity: str = "R") -> Any:
    """Ask CoolProp at our dry bulbs and pressures, at our relative humidities (R) or humidity ratios (W)."""
    from CoolProp.HumidAirProp import HAPropsSI

    given = ours.relative_humidity if humidity == "R" else ours.humidity_ratio
    return HAPropsSI(wanted, "T", ours.dry_bulb + 273.15, humidity, given, "P", ours.pressure)


def test_humidity_ratio(ours: air.AirStates) -> None:
    """Within 0.6 %, and never more than the real gas carries."""
    shortfall = 1.0 - ours.humidity_ratio / real_gas("W", ours)
    assert np.all(shortfall > 0.0)
    assert shortfall.max() < 0.006


def test_enthalpy(ours: air.AirStates) -> None:
    """Within 0.3 kJ/kg at one humidity ratio: a wrong datum would show as 18 kJ/kg."""
    np.testing.assert_allclose(ours.enthalpy, real_gas("H", ours, "W"), rtol=0, atol=300.0)


def test_volume(ours: air.AirStates) -> None:
    """Within 0.1 %: real air is that much denser in the cold."""
    np.testing.assert_allclose(ours.specific_volume, real_gas("V", ours), rtol=1e-3)


def test_dew_point(ours: air.AirStates) -> None:
    """Within 0.05 K, since the enhancement nearly cancels between dry bulb and dew point."""
    np.testing.assert_allclose(ours.dew_point, real_gas("D", ours) - 273.15, rtol=0, atol=0.05)


def test_wet_bulb(ours: air.AirStates) -> None:
    """Within 0.05 K under either film, outside the two-film band."""
    rows = zip(*(c.tolist() for c in (ours.dry_bulb, ours.humidity_ratio, ours.pressure)), strict=True)
    outside = ~np.array([wet_bulb.has_two_films(*row) for row in rows])
    assert 0.97 < outside.mean() < 1.0
    assert (ours.wet_bulb[outside] < 0.0).sum() > 500
    apart = ours.wet_bulb - (real_gas("B", ours) - 273.15)
    assert np.abs(apart[outside]).max() < 0.05
