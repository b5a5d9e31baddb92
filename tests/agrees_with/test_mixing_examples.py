"""Mixed states and outdoor-air fractions against worked examples; the source stands at each."""

from __future__ import annotations

from typing import Any

import pytest
from benchmarks import psychrolib_modes

from ventwright.physics import air, mixing
from ventwright.physics.rooftop.stream import Stream, joined


def celsius(fahrenheit: float) -> float:
    """Return a temperature in °C."""
    return (fahrenheit - 32.0) / 1.8


def mix(outdoor: air.AirState, returned: air.AirState, outdoor_air_fraction: float) -> air.AirState:
    """Mix two airs by a share of dry-air mass, as the plenum of the unit in software does."""

    def flow(one: air.AirState, dry_air: float) -> Stream:
        return Stream(dry_air, one.enthalpy, one.humidity_ratio, one.dry_bulb, one.pressure)

    outdoor_stream, return_stream = (
        flow(outdoor, outdoor_air_fraction),
        flow(returned, 1.0 - outdoor_air_fraction),
    )
    return joined([outdoor_stream, return_stream], outdoor_stream).air()


def mixed_by_volume(
    outdoor: air.AirState, returned: air.AirState, volumes: tuple[float, float]
) -> air.AirState:
    """Mix two volume flows: the dry air in each decides."""
    dry_air = volumes[0] / outdoor.specific_volume, volumes[1] / returned.specific_volume
    return mix(outdoor, returned, dry_air[0] / sum(dry_air))


def test_two_streams_of_the_handbook() -> None:
    """2 m3/s at 4 °C with a wet bulb of 2 °C into 6.25 m3/s at 25 °C and 50 %, at sea level.

    The example is in ASHRAE Handbook - Fundamentals, chapter 1, adiabatic mixing (from memory: 19.5 °C, wet bulb
    14.6 °C by the chart). Worked with a real-gas table on a public page, "Example 2 - Mixing Streams": dry bulb
    19.67 °C, wet bulb 14.58 °C, 58 %, humidity ratio 0.0083, enthalpy 40.83 kJ/kg. Real gas against ideal: 0.05 K.
    """
    outdoor, returned = air.state(4.0, wet_bulb=2.0), air.state(25.0, relative_humidity=0.5)
    mixed = mixed_by_volume(outdoor, returned, (2.0, 6.25))
    assert mixed.dry_bulb == pytest.approx(19.67, abs=0.05)
    assert mixed.wet_bulb == pytest.approx(14.58, abs=0.05)
    assert mixed.relative_humidity == pytest.approx(0.58, abs=0.005)
    assert mixed.humidity_ratio == pytest.approx(0.0083, abs=0.00006)
    assert mixed.enthalpy == pytest.approx(40_830.0, abs=250.0)


def test_two_streams_of_a_textbook() -> None:
    """20 m3/min at 5 °C, 90 % into as much at 25 °C, 50 %, at 1 bar: to the digits of the answers.

    A textbook exercise, quoted with its answers on a public physics forum ("Adiabatic mixing of airstreams", 2010):
    densities 1.249 and 1.162 kg/m3, water 2.0 and 3.8 g/s, mixture 0.00736 kg/kg.
    """
    outdoor = air.state(5.0, relative_humidity=0.9, pressure=1e5)
    returned = air.state(25.0, relative_humidity=0.5, pressure=1e5)
    assert outdoor.density == pytest.approx(1.249, abs=0.001)
    assert returned.density == pytest.approx(1.162, abs=0.001)
    water = [1e3 * 20.0 / 60.0 / each.specific_volume * each.humidity_ratio for each in (outdoor, returned)]
    assert water == pytest.approx([2.0, 3.8], abs=0.05)
    assert mixed_by_volume(outdoor, returned, (20.0, 20.0)).humidity_ratio == pytest.approx(0.00736, abs=2e-5)


@pytest.mark.parametrize(
    ("outdoor", "returned", "fraction", "expected"),
    [
        ((95.0, {"wet_bulb": celsius(75.0)}), (75.0, 0.5), 0.20, (0.010202, 30.149, 79.03)),
        ((20.0, {"relative_humidity": 0.5}), (72.0, 0.4), 0.25, (0.005257, 19.899, 59.10)),
    ],
    ids=["hot and humid", "cold"],
)
def test_states_mixed_with_psychrolib(
    outdoor: tuple[float, dict[str, float]],
    returned: tuple[float, float],
    fraction: float,
    expected: tuple[float, float, float],
) -> None:
    """Balances worked with PsychroLib 2.5.0 in inch-pound units: lb/lb, Btu/lb from 0 °F, °F.

    Its dry air takes 0.1 % less heat than that of the SI equations: hence 0.03 Btu/lb.
    """
    mixed = mix(
        air.state(celsius(outdoor[0]), **outdoor[1]),
        air.state(celsius(returned[0]), relative_humidity=returned[1]),
        fraction,
    )
    assert mixed.humidity_ratio == pytest.approx(expected[0], abs=2e-6)
    assert (mixed.enthalpy + 1006.0 * 32.0 / 1.8) / 2326.0 == pytest.approx(expected[1], abs=0.03)
    assert mixed.dry_bulb * 1.8 + 32.0 == pytest.approx(expected[2], abs=0.01)


def test_fog_settles_where_the_balances_meet() -> None:
    """Half of each, -30 °C, 80 % and 21 °C, 50 %, make fog; its temperature by bisection with PsychroLib 2.5.0.

    Saturated air and the surplus water as ice at the same temperature carry the enthalpy of the two streams; ice at
    t has -333.6 + 2.1 t kJ/kg (ASHRAE Handbook - Fundamentals 2017, chapter 1, with equation 35: 2830 - 2501 = 329
    there, which is why the temperatures agree to 0.02 K and no better).
    """
    psychrolib: Any = psychrolib_modes.plain()
    cold, warm = air.state(-30.0, relative_humidity=0.8), air.state(21.0, relative_humidity=0.5)
    mixed = mix(cold, warm, 0.5)
    water = 0.5 * (cold.humidity_ratio + warm.humidity_ratio)
    low, high = -20.0, 10.0
    for _ in range(50):
        t = 0.5 * (low + high)
        held = psychrolib.GetSatHumRatio(t, 101_325.0)
        heat = psychrolib.GetMoistAirEnthalpy(t, held) + (water - held) * (-333.6e3 + 2.1e3 * t)
        low, high = (t, high) if heat < 0.5 * (cold.enthalpy + warm.enthalpy) else (low, t)
    assert mixed.dry_bulb == pytest.approx(t, abs=0.02)
    assert mixed.relative_humidity == 1.0
    assert mixed.humidity_ratio < water


def test_unmixed_streams_stay_as_they_are() -> None:
    """No outdoor air, nothing but outdoor air: to rounding."""
    outdoor, returned = air.state(-10.0, relative_humidity=0.7), air.state(22.0, relative_humidity=0.35)
    assert list(mix(outdoor, returned, 0.0)) == pytest.approx(list(returned), rel=1e-9)
    assert list(mix(outdoor, returned, 1.0)) == pytest.approx(list(outdoor), rel=1e-9, abs=1e-9)


@pytest.mark.parametrize(
    ("outdoor", "returned", "mixed", "fraction"),
    [
        (10.0, 24.0, 20.2, 0.271),  # °C; a stuck-damper case on a public engineering page (air side)
        (35.0, 75.0, 67.0, 0.200),  # °F; the ratio is the same in any unit
    ],
)
def test_fraction_by_temperature(outdoor: float, returned: float, mixed: float, fraction: float) -> None:
    """Formula of the ventilation worksheet in US EPA and NIOSH, Building Air Quality (1991), on two worked cases."""
    assert mixing.outdoor_air_fraction(outdoor, returned, mixed) == pytest.approx(fraction, abs=5e-4)


def test_fraction_by_every_quantity_is_the_fraction_mixed() -> None:
    """Enthalpy and humidity ratio give back what was mixed exactly, temperature as if it were 0.1 K off."""
    outdoor, returned = air.state(35.0, wet_bulb=24.0), air.state(24.0, relative_humidity=0.5)
    mixed = mix(outdoor, returned, 0.3)
    for name in ("enthalpy", "humidity_ratio"):
        values = (getattr(each, name) for each in (outdoor, returned, mixed))
        assert mixing.outdoor_air_fraction(*values) == pytest.approx(0.3, abs=1e-9)
    by_temperature = mixing.outdoor_air_fraction(outdoor.dry_bulb, returned.dry_bulb, mixed.dry_bulb)
    assert by_temperature == pytest.approx(0.3, abs=0.1 / 11.0)
