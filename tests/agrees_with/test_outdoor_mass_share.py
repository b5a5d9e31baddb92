"""The share of mass of an outdoor airflow against PsychroLib's densities.

PsychroLib follows ASHRAE Handbook - Fundamentals 2017, chapter 1; its densities hold the pressure, which cancels, and the
moisture, which the reckoning leaves out.
"""

from __future__ import annotations

import psychrolib
import pytest

from ventwright.readings.streams import VolumeShown
from ventwright.tables.balance_prior import balance_prior
from ventwright.tables.climate import CALIFORNIA_ZONES, ZONES
from ventwright.tables.sensor_curve import assumed
from ventwright.verdict.balance.direct import UnknownWarmth, Warmth, mass_share

FLOWS = VolumeShown.AS_IT_FLOWS


@pytest.mark.parametrize("pressure", [101325.0, 83400.0])
@pytest.mark.parametrize("outdoor", [-25.0, -8.0, 10.0, 38.0])
@pytest.mark.parametrize("volume_share", [0.0, 0.1, 0.3, 0.7, 1.0])
def test_share_of_mass_by_the_densities_of_moist_air(
    volume_share: float, outdoor: float, pressure: float
) -> None:
    """Volumes that add up to the supply air, weighed with the densities of dry air in air of 60 and 40 % humidity."""
    psychrolib.SetUnitSystem(psychrolib.SI)
    weights = []
    for share, dry_bulb, humidity in (
        (volume_share, outdoor, 0.6),
        (1.0 - volume_share, 22.0, 0.4),
    ):
        ratio = psychrolib.GetHumRatioFromRelHum(dry_bulb, humidity, pressure)
        weights.append(share / psychrolib.GetMoistAirVolume(dry_bulb, ratio, pressure))
    found = mass_share(volume_share, Warmth(outdoor, 22.0, 0.0), FLOWS)

    # vapour takes 1.0 to 1.3 % of the pressure indoors, next to none in frost, and 4 to 5 % at 38 °C and 60 %
    assert found.share == pytest.approx(weights[0] / sum(weights), rel=0.04 if outdoor > 30.0 else 0.013)


@pytest.mark.parametrize("returned_u", [0.0, 2.5])
@pytest.mark.parametrize("volume_share", [0.05, 0.3, 0.9])
def test_slope_and_uncertainty_are_those_of_a_small_change(volume_share: float, returned_u: float) -> None:
    """What moves the share, moved by hand."""
    here = mass_share(volume_share, Warmth(-10.0, 22.0, returned_u), FLOWS)
    more = mass_share(volume_share + 1e-6, Warmth(-10.0, 22.0, 0.0), FLOWS)
    warmer = mass_share(volume_share, Warmth(-10.0, 22.0 + 1e-4, 0.0), FLOWS)

    assert here.slope == pytest.approx((more.share - here.share) / 1e-6, rel=1e-4)
    assert here.density_u == pytest.approx(abs(warmer.share - here.share) / 1e-4 * returned_u, rel=1e-3)


@pytest.mark.parametrize("outdoor", [-25.0, 66.0])
def test_more_outdoor_air_than_supply_air_stays_more(outdoor: float) -> None:
    """A slip of the unit: the share is neither below nothing nor turned about by the mixing of what can not be."""
    found = mass_share(17.0, Warmth(outdoor, 22.0, 0.0), FLOWS)

    assert found.share == pytest.approx(17.0)
    assert found.slope > 0.0


COLD = {
    "1A": -3.0,
    "3C": -10.0,
    "4C": -22.0,
    "5A": -34.0,
    "7": -46.0,
    "8": -50.0,
    "CA 12": -10.0,
    "CA 16": -40.0,
    None: -50.0,
}
"""Outdoor air that each climate may bring: what airports of the zone have shown (from memory). [°C]"""


@pytest.mark.parametrize("returned", [19.0, 22.0, 26.0])
@pytest.mark.parametrize("volume_share", [0.02, 0.3, 0.7, 0.98])
@pytest.mark.parametrize("zone", COLD, ids=str)
def test_without_the_temperature_the_band_reaches_to_it(
    zone: str | None, volume_share: float, returned: float
) -> None:
    """Whatever the climate brings, the share that the temperature would give lies within two standard uncertainties."""
    untold = mass_share(volume_share, UnknownWarmth(balance_prior().density.unknown_u(zone)), FLOWS)

    for outdoor in (COLD[zone], 10.0, 48.0):
        told = mass_share(volume_share, Warmth(outdoor, returned, 0.0), FLOWS)
        assert abs(told.share - untold.share) <= 2.0 * untold.density_u


def test_a_mild_climate_leaves_less_open_than_a_cold_one() -> None:
    """Each zone has its own end, the coldest is that below which no air at a unit lies, and a zone that nobody knows counts as that."""
    density = balance_prior().density
    bands = [density.unknown_u(zone) for zone in ("1A", "3C", "3A", "4A", "5B", "6A", "7", "8")]

    assert bands == sorted(bands)
    assert len(set(bands)) == len(bands)
    assert density.unknown_u(None) == density.unknown_u("8")
    assert min(density.coldest.values()) == pytest.approx(assumed().coldest_air)
    assert {density.unknown_u(zone) for zone in (*ZONES, *CALIFORNIA_ZONES)} >= set(bands)
