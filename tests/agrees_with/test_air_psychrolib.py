"""Moist air against PsychroLib 2.5 (MIT), which implements the same handbook equations with other methods.

PsychroLib bisects for the wet bulb and iterates for the dew point, each to 0.001 K. It is loaded in plain Python,
since compiling it takes longer than asking it.
"""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from benchmarks import psychrolib_modes

from ventwright.errors import Refused
from ventwright.physics import air, moist_air, wet_bulb
from ventwright.physics.saturation import saturation_pressure

STATES = 10_000
ITS_TOLERANCE = 0.001
"""K: what PsychroLib 2.5.0 sets itself for wet bulb and dew point in SI."""


@pytest.fixture(scope="module")
def psychrolib() -> Any:
    """PsychroLib in plain Python, switched to SI."""
    return psychrolib_modes.plain()


@pytest.fixture(scope="module")
def ours() -> air.AirStates:
    """States over the whole range, drawn once and for all."""
    dice = np.random.default_rng(20261125)
    return air.states(
        dice.uniform(-40.0, 60.0, STATES),
        relative_humidity=dice.uniform(0.01, 1.0, STATES),
        pressure=dice.uniform(50e3, 110e3, STATES),
    )


@pytest.fixture(scope="module")
def theirs(psychrolib: Any, ours: air.AirStates) -> Any:
    """Columns: humidity ratio, wet bulb, dew point, vapour pressure, enthalpy, volume, degree of saturation."""
    rows = zip(*(c.tolist() for c in (ours.dry_bulb, ours.relative_humidity, ours.pressure)), strict=True)
    return np.array([psychrolib.CalcPsychrometricsFromRelHum(*row) for row in rows]).T


@pytest.fixture(scope="module")
def two_films(ours: air.AirStates) -> Any:
    """Whether each state has a wet bulb under liquid water and another under ice."""
    rows = zip(*(c.tolist() for c in (ours.dry_bulb, ours.humidity_ratio, ours.pressure)), strict=True)
    return np.array([wet_bulb.has_two_films(*row) for row in rows])


@pytest.mark.parametrize(
    ("field", "column", "relative"),
    [("humidity_ratio", 0, 1e-5), ("vapour_pressure", 3, 1e-5), ("specific_volume", 5, 1e-5)],
)
def test_water_and_volume(ours: air.AirStates, theirs: Any, field: str, column: int, relative: float) -> None:
    """The same equations: 1e-5 leaves room for digits, not for another formula."""
    np.testing.assert_allclose(getattr(ours, field), theirs[column], rtol=relative)


def test_enthalpy(ours: air.AirStates, theirs: Any) -> None:
    """Within 5 J/kg, the enthalpy of 0.005 K."""
    np.testing.assert_allclose(ours.enthalpy, theirs[4], rtol=0, atol=5.0)


def test_dew_point(ours: air.AirStates, theirs: Any) -> None:
    """Within the tolerance PsychroLib stops at, twice."""
    np.testing.assert_allclose(ours.dew_point, theirs[2], rtol=0, atol=2 * ITS_TOLERANCE)


def test_density(psychrolib: Any, ours: air.AirStates) -> None:
    """Density of the moist air, not of the dry air in it."""
    rows = list(
        zip(*(c[:500].tolist() for c in (ours.dry_bulb, ours.humidity_ratio, ours.pressure)), strict=True)
    )
    theirs = [psychrolib.GetMoistAirDensity(*row) for row in rows]
    np.testing.assert_allclose(ours.density[:500], theirs, rtol=1e-5)


def test_wet_bulb_outside_the_two_film_band(ours: air.AirStates, theirs: Any, two_films: Any) -> None:
    """Within 0.01 K wherever only one film has a root, which is nearly everywhere."""
    assert two_films.mean() < 0.02
    np.testing.assert_allclose(ours.wet_bulb[~two_films], theirs[1][~two_films], rtol=0, atol=0.01)


def test_wet_bulb_solves_the_equation_finer_than_it_is_bisected(
    psychrolib: Any, ours: air.AirStates, two_films: Any
) -> None:
    """PsychroLib's water at 3e-5 K below and above our wet bulb brackets the water that the air has.

    Left out is 0.02 K around 0 °C, where PsychroLib takes ice's saturation pressure for a liquid film's.
    """
    rows = np.flatnonzero(~two_films & (np.abs(ours.wet_bulb) > 0.02) & (ours.relative_humidity < 0.999))
    assert len(rows) > 9000
    for row in rows.tolist():
        dry_bulb, found, pressure = (
            float(ours.dry_bulb[row]),
            float(ours.wet_bulb[row]),
            float(ours.pressure[row]),
        )
        below = psychrolib.GetHumRatioFromTWetBulb(dry_bulb, found - 3e-5, pressure)
        above = psychrolib.GetHumRatioFromTWetBulb(dry_bulb, found + 3e-5, pressure)
        assert below < ours.humidity_ratio[row] < above


def test_wet_bulb_inside_the_two_film_band(ours: air.AirStates, theirs: Any, two_films: Any) -> None:
    """Ours is the liquid root; PsychroLib's is one of the two, as its brackets happen to close."""
    inside = np.flatnonzero(two_films)
    assert len(inside) > 20
    found = []
    for row in inside.tolist():
        heat, ratio, pressure = (
            float(ours.enthalpy[row]),
            float(ours.humidity_ratio[row]),
            float(ours.pressure[row]),
        )
        liquid = wet_bulb.over_liquid(heat, ratio, pressure, math.log, math.exp)
        ice = wet_bulb.over_ice(heat, ratio, pressure, math.log, math.exp)
        assert ice < 0.0 <= liquid
        assert ours.wet_bulb[row] == pytest.approx(liquid, abs=1e-9)
        found.append("liquid" if abs(theirs[1][row] - liquid) < abs(theirs[1][row] - ice) else "ice")
        assert min(abs(theirs[1][row] - liquid), abs(theirs[1][row] - ice)) < 0.01
    assert set(found) == {"liquid", "ice"}


@pytest.mark.parametrize("dry_bulb", [-20.0, -0.5, 0.5, 10.0, 35.0, 55.0])
@pytest.mark.parametrize("below", [0.0, 0.3, 2.0])
@pytest.mark.parametrize("pressure", [60e3, 101_325.0])
def test_state_from_a_wet_bulb(psychrolib: Any, dry_bulb: float, below: float, pressure: float) -> None:
    """A wet bulb is turned into water as PsychroLib does, under liquid water and under ice; 1e-9 kg/kg is rounding."""
    given = dry_bulb - below
    theirs = psychrolib.GetHumRatioFromTWetBulb(dry_bulb, given, pressure)
    if theirs <= 1e-7:  # its floor: no air shows so low a wet bulb, which PsychroLib does not say
        with pytest.raises(Refused, match="even dry air"):
            air.state(dry_bulb, wet_bulb=given, pressure=pressure)
        return
    ours = air.state(dry_bulb, wet_bulb=given, pressure=pressure)
    assert ours.humidity_ratio == pytest.approx(theirs, rel=1e-5, abs=1e-9)


@pytest.mark.parametrize("dry_bulb", [-30.0, -1.0, 1.0, 24.0, 50.0])
def test_state_from_a_dew_point_and_from_an_enthalpy(psychrolib: Any, dry_bulb: float) -> None:
    """The other two ways in: the dew point 4 K down, and the enthalpy of the air found so."""
    ours = air.state(dry_bulb, dew_point=dry_bulb - 4.0, pressure=90e3)
    theirs = psychrolib.GetHumRatioFromTDewPoint(dry_bulb - 4.0, 90e3)
    assert ours.humidity_ratio == pytest.approx(theirs, rel=1e-5)
    heat = psychrolib.GetMoistAirEnthalpy(dry_bulb, theirs)
    assert air.state(dry_bulb, enthalpy=heat, pressure=90e3).humidity_ratio == pytest.approx(theirs, rel=1e-5)


@pytest.mark.parametrize("temperature", [-99.0, -40.0, -0.001, 0.0, 0.009, 0.011, 20.0, 99.0])
def test_saturation_pressure(psychrolib: Any, temperature: float) -> None:
    """Over ice and over water, on both sides of 0 °C and of the triple point."""
    assert saturation_pressure(temperature) == pytest.approx(psychrolib.GetSatVapPres(temperature), rel=1e-9)


@pytest.mark.parametrize("elevation", [-1000.0, 0.0, 1609.344, 3000.0, 5500.0])
def test_pressure_of_the_standard_atmosphere(psychrolib: Any, elevation: float) -> None:
    """The handbook's equation 3, one power of one bracket."""
    theirs = psychrolib.GetStandardAtmPressure(elevation)
    assert moist_air.pressure_at_elevation(elevation) == pytest.approx(theirs, rel=1e-9)
