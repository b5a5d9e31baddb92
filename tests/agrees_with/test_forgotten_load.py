"""The load that a forgotten resistor lets in, against PsychroLib: extra outdoor air times the difference in enthalpy.

PsychroLib 2.5 (Meyer and Thevenard, Journal of Open Source Software 4(33), 2019), which follows the ASHRAE Handbook -
Fundamentals 2017, chapter 1: GetHumRatioFromRelHum, GetMoistAirEnthalpy, GetMoistAirVolume.
"""

from __future__ import annotations

import psychrolib
import pytest
from tests.controlled_rooftop import SETTINGS, UNIT

from ventwright.physics.moist_air import STANDARD_PRESSURE
from ventwright.readings import TemporaryChange
from ventwright.tables.forgetting import scenes
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find
from ventwright.verdict.forgotten import forgetting


def air(dry_bulb: float, relative_humidity: float) -> tuple[float, float]:
    """Enthalpy [J/kg] and specific volume [m3/kg] by the reference library."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    ratio = psychrolib.GetHumRatioFromRelHum(dry_bulb, relative_humidity, STANDARD_PRESSURE)
    return (
        psychrolib.GetMoistAirEnthalpy(dry_bulb, ratio),
        psychrolib.GetMoistAirVolume(dry_bulb, ratio, STANDARD_PRESSURE),
    )


def test_a_forgotten_resistor_brings_in_as_much_heat_as_its_air() -> None:
    """Hot afternoon: the mass of the extra outdoor air times the difference between outdoor and return enthalpy.

    Within 3 %: the fan moves a fixed volume, so that warmer mixed air is also a little less mass.
    """
    change = TemporaryChange.model_validate(
        {
            "what": "temporary change", "id": "c", "at": "2026-07-14T15:00-07:00", "kind": "resistor", "sensor": "outdoor air",
            "point": "outdoor sensor", "was": "sensor on", "changed_to": "13.2k resistor", "imitates": "66 F",
        }
    )  # fmt: skip
    found = forgetting(change, find("kits", "two-speed-dry-bulb", Kit, None), (UNIT,), SETTINGS)
    worst = found.costs[0]
    scene = next(one for one in scenes().scenes if one.name == worst.scene)
    indoor = scenes().indoor
    outdoor_enthalpy, outdoor_volume = air(scene.dry_bulb, scene.relative_humidity)
    return_enthalpy, _ = air(indoor.dry_bulb, indoor.relative_humidity)
    expected = worst.outdoor_air / outdoor_volume * (outdoor_enthalpy - return_enthalpy)
    assert worst.load == pytest.approx(expected, rel=0.03)
