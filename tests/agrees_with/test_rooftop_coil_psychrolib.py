"""The coil with a bypass against the same balances worked with PsychroLib (MIT licence), an independent library.

Method: apparatus dew point and bypass factor (EnergyPlus Engineering Reference, from memory). The library's states, its own
enthalpies; the apparatus dew point is found by bisection on them.
"""

from __future__ import annotations

from typing import Any

import pytest
from benchmarks import psychrolib_modes

from ventwright.physics import air, moist_air
from ventwright.physics.rooftop.coil import CoolingCoil, bypass_factor_at, bypassed, cool
from ventwright.physics.rooftop.stream import Stream, joined, stream

SEA_LEVEL = 101_325.0


def entering(dry_bulb: float, humidity_ratio: float, dry_air: float = 1.2) -> Stream:
    """Return a stream before the coil."""
    return stream(dry_air, moist_air.enthalpy(dry_bulb, humidity_ratio), humidity_ratio, SEA_LEVEL)


@pytest.mark.parametrize(
    ("dry_bulb", "humidity_ratio", "load", "bypass"),
    [
        (26.7, 0.0112, 21_000.0, 0.10),
        (30.0, 0.0140, 30_000.0, 0.05),
        (24.0, 0.0105, 9_000.0, 0.25),
        (27.0, 0.0055, 15_000.0, 0.10),
        (35.0, 0.0040, 20_000.0, 0.20),
    ],
    ids=["usual", "humid", "one stage", "dry", "desert"],
)
def test_leaving_air(dry_bulb: float, humidity_ratio: float, load: float, bypass: float) -> None:
    """Temperature to 0.02 K, humidity to 2e-5: saturation pressures and heat capacities of the two agree so far."""
    psychrolib: Any = psychrolib_modes.plain()
    before = psychrolib.GetMoistAirEnthalpy(dry_bulb, humidity_ratio)
    at_surface = before - load / (1.2 * (1.0 - bypass))
    low, high = -20.0, 40.0
    for _ in range(60):
        middle = 0.5 * (low + high)
        low, high = (
            (middle, high) if psychrolib.GetSatAirEnthalpy(middle, SEA_LEVEL) < at_surface else (low, middle)
        )
    surface = psychrolib.GetSatHumRatio(low, SEA_LEVEL)
    water = humidity_ratio - max(0.0, (1.0 - bypass) * (humidity_ratio - surface))
    temperature = psychrolib.GetTDryBulbFromEnthalpyAndHumRatio(before - load / 1.2, water)

    found = cool(entering(dry_bulb, humidity_ratio), load, bypass, coldest_surface=-5.0)

    assert found.load == load
    assert found.leaving.dry_bulb == pytest.approx(temperature, abs=0.02)
    assert found.leaving.humidity_ratio == pytest.approx(water, abs=2e-5)
    assert (found.condensate == 0.0) == (water == humidity_ratio)


def test_half_the_flow_squares_the_bypass() -> None:
    """BF = exp(-A0 / m) (EnergyPlus Engineering Reference): at half the flow 0.2 becomes 0.04, at twice 0.447."""
    assert bypass_factor_at(0.2, 1.0, 0.5) == pytest.approx(0.04)
    assert bypass_factor_at(0.2, 1.0, 2.0) == pytest.approx(0.4472, abs=1e-4)


def test_the_surface_stops_the_capacity() -> None:
    """At a trickle of air the surface would have to be colder than it gets: the load is what brings the air there.

    All of 0.05 kg/s of air at 24 °C, 0.009 leaves at -2 °C saturated, as there is next to no bypass (equation 30).
    """
    coil = CoolingCoil((20_000.0,), rated_dry_air=1.2, bypass_factor=0.1)
    found = bypassed(entering(24.0, 0.009, 0.05), coil, 1, 35.0)
    assert found.leaving.dry_bulb == pytest.approx(-2.0, abs=0.01)
    assert found.load < 2_500.0


def test_capacity_follows_its_slopes() -> None:
    """Rated at 67 °F wet bulb and 95 °F outdoors; straight slopes in both (rating points: AHRI 340/360, from memory)."""
    coil = CoolingCoil((5e3, 10e3), 1.0, by_wet_bulb=0.02, by_outdoor=-0.008)
    assert coil.capacity(1, 19.4, 35.0) == pytest.approx(5e3)
    assert coil.capacity(2, 21.4, 25.0) == pytest.approx(10e3 * (1.0 + 0.04 + 0.08))
    assert coil.capacity(5, 19.4, 35.0) == pytest.approx(10e3)
    assert coil.capacity(0, 19.4, 35.0) == 0.0


def test_fog_settles_where_the_balances_meet() -> None:
    """Half of each, -30 °C, 80 % and 21 °C, 50 %, make fog; its temperature by bisection on the library's states.

    Saturated air and the surplus water as ice carry the enthalpy of both; ice at t has -333.6 + 2.1 t kJ/kg (ASHRAE Handbook -
    Fundamentals 2017, chapter 1; equation 35 has 329 there, hence 0.02 K). No water is lost: it stays in the stream.
    """
    psychrolib: Any = psychrolib_modes.plain()
    cold, warm = (
        stream(0.5, one.enthalpy, one.humidity_ratio, SEA_LEVEL)
        for one in (air.state(-30.0, relative_humidity=0.8), air.state(21.0, relative_humidity=0.5))
    )
    mixed = joined([cold, warm], warm)
    low, high = -20.0, 10.0
    for _ in range(50):
        t = 0.5 * (low + high)
        held = psychrolib.GetSatHumRatio(t, SEA_LEVEL)
        droplets = (mixed.humidity_ratio - held) * (-333.6e3 + 2.1e3 * t)
        heat = psychrolib.GetMoistAirEnthalpy(t, held) + droplets
        low, high = (t, high) if heat < mixed.enthalpy else (low, t)
    assert mixed.dry_bulb == pytest.approx(t, abs=0.02)
    assert mixed.humidity_ratio == pytest.approx(0.5 * (cold.humidity_ratio + warm.humidity_ratio))
    assert mixed.relative_humidity == 1.0
