"""Humidity ratio of a reading in frost and above it, against tables of saturation over supercooled water and PsychroLib.

Sources: Smithsonian Meteorological Tables, 6th edition (1951), tables 94 (over water) and 96 (over ice), from memory:
2.8627 hPa over water and 2.597 hPa over ice at -10 °C. PsychroLib 2 (ASHRAE Handbook - Fundamentals 2017, chapter 1).
"""

from __future__ import annotations

from typing import Any

import psychrolib
import pytest

from ventwright.readings import Humidity

OVER_WATER, OVER_ICE = 286.27, 259.7  # Pa, at -10 °C
MOLAR_RATIO = 0.622


def reading(**other: Any) -> Humidity:
    """A humidity reading on a cold day."""
    entry = {
        "what": "humidity", "id": "a", "at": "2026-11-25T09:00-08:00", "speed": "high", "damper_signal": "21 %",
        "outdoor_dry_bulb": "-10 °C", "outdoor_relative_humidity": "80 %",
        "return_dry_bulb": "22 °C", "return_relative_humidity": "35 %",
        "mixed_dry_bulb": "15 °C", "mixed_relative_humidity": "45 %",
    }  # fmt: skip
    return Humidity.model_validate(entry | other)


def test_in_frost_an_instrument_reads_over_water() -> None:
    """80 % at -10 °C is 80 % of the pressure over supercooled water, a tenth more than over ice.

    Tolerance 0.3 %: what the older formula behind the tables and ours differ by in supercooled water.
    """
    outdoor, _, _ = reading().humidity_ratios(101_325.0)
    vapour = 0.8 * OVER_WATER
    assert outdoor == pytest.approx(MOLAR_RATIO * vapour / (101_325.0 - vapour), rel=0.003)
    assert outdoor > 1.08 * MOLAR_RATIO * 0.8 * OVER_ICE / 101_325.0


@pytest.mark.parametrize("pressure", [101_325.0, 83_400.0], ids=["sea level", "a mile up"])
def test_above_frost_it_is_the_ratio_of_the_handbook(pressure: float) -> None:
    """Return and mixed air, at sea level and in thin air; tolerance 0.05 %, the library's rounding of 0.621945."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    _, returned, mixed = reading().humidity_ratios(pressure)
    assert returned == pytest.approx(psychrolib.GetHumRatioFromRelHum(22.0, 0.35, pressure), rel=5e-4)
    assert mixed == pytest.approx(psychrolib.GetHumRatioFromRelHum(15.0, 0.45, pressure), rel=5e-4)
