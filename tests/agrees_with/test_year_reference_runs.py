"""The year against a simple published-style model, run apart from this code on the same weather, and closed forms.

Sources:

- Reference runs: our own calculation before this code was written (public TMY3; weekdays 7 to 19 h; 10 ton, 4000 cfm, return
  75 °F, mixed 55 °F, shares 20 to 85 %, EER 11, sensible only; load straight from 0 at 50 °F to 76 500 Btu/h at 95 °F),
  as its table states: kWh without and with free cooling, for San Francisco, Miami and Chicago. The other six climates of
  that table need weather that is not at hand.
- Demonstration run of the same study: San Francisco, balance point 45 °F, limit 55 °F saves nothing.
- Closed forms: one hour by hand.
"""

from __future__ import annotations

import csv
from dataclasses import replace
from pathlib import Path

import pytest

from ventwright.physics import moist_air
from ventwright.physics.year.hours import Hours, hours_of
from ventwright.physics.year.one_hour import Outdoor, at_one_speed, free_cooling_share, mode_of, on_coil
from ventwright.physics.year.one_year import one_year
from ventwright.physics.year.simple import binned, degree_hours
from ventwright.physics.year.way import Switch, Way
from ventwright.physics.year.year_unit import YearUnit
from ventwright.quantity.dimension import BTU

DATA = Path(__file__).parents[1] / "data" / "savings"

KWH = 3.6e6
BTU_H = BTU / 3600.0
DRY = -40.0
"""Dew point of air that wets no coil: the reference has sensible heat alone. [°C]"""

RUNS = {
    "san_francisco": (75.0, 2705, 910),
    "miami": (65.0, 14893, 14751),
    "chicago": (70.0, 5314, 4724),
}
"""Limit [°F], kWh without, kWh with."""


def celsius(fahrenheit: float) -> float:
    return (fahrenheit - 32.0) / 1.8


def weekday_hours(place: str) -> Hours:
    """Return the counted hours of one place, dry."""
    with (DATA / "weekday_hours.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.DictReader(file) if row["place"] == place]
    dry_bulb = [float(row["dry bulb °C"]) for row in rows]
    return hours_of(
        dry_bulb, [DRY] * len(rows), [101_325.0] * len(rows), [float(row["hours"]) for row in rows]
    )


def reference_unit(balance: float = 50.0, design: float = 95.0) -> YearUnit:
    """Return the unit of the reference runs: 1.08 Btu/h for each cfm and °F, without fan, water and cycling."""
    return YearUnit(
        dry_air=1.08 * 4000.0 * BTU_H * 1.8 / moist_air.HEAT_CAPACITY_OF_DRY_AIR,
        least_share=0.2, least_share_slow=0.2, most_share=0.85, return_air=celsius(75.0), mixed_set_point=celsius(55.0),
        balance_point=celsius(balance), load_slope=76_500.0 * BTU_H / ((design - balance) / 1.8), capacity=1e9,
        efficiency=11.0 * BTU_H, coil_surface=2.0,
    )  # fmt: skip


@pytest.mark.parametrize("place", RUNS)
def test_the_reference_runs(place: str) -> None:
    """Energy without and with free cooling, to 2 % and the saving to 2 % of it or 3 kWh."""
    limit, without, with_free = RUNS[place]
    ways = [Way(switch=None), Way(switch=Switch(dry_bulb_limit=celsius(limit)))]
    none, free = one_year(weekday_hours(place), reference_unit(), ways)
    assert none.compressor_energy / KWH == pytest.approx(without, rel=0.02)
    assert free.compressor_energy / KWH == pytest.approx(with_free, rel=0.02)
    saved = (none.compressor_energy - free.compressor_energy) / KWH
    assert saved == pytest.approx(without - with_free, rel=0.02, abs=3.0)


def test_a_limit_as_commonly_found_saves_nothing() -> None:
    """Below 55 °F the minimum alone carries the load: a limit there is no free cooling at all, and 75 °F is."""
    limits = (55.0, 75.0)
    ways = [Way(switch=None), *(Way(switch=Switch(dry_bulb_limit=celsius(one))) for one in limits)]
    none, low, right = one_year(weekday_hours("san_francisco"), reference_unit(45.0, 85.0), ways)
    assert none.compressor_energy - low.compressor_energy < 0.01 * none.compressor_energy
    assert none.compressor_energy - right.compressor_energy > 0.4 * none.compressor_energy


def test_altitude_takes_from_the_saving() -> None:
    """Thinner air carries less: at 0.89 of the density, 11 % less free cooling for the hours that are not capped."""
    unit, hours = reference_unit(), hours_of([21.0], [DRY], [101_325.0])
    ways = [Way(switch=None), Way(switch=Switch())]
    saved = []
    for density in (1.0, 0.89):
        none, free = one_year(hours, replace(unit, dry_air=density * unit.dry_air), ways)
        saved.append(none.compressor_energy - free.compressor_energy)
    assert saved[1] / saved[0] == pytest.approx(0.89, rel=1e-9)


def test_one_hour_by_hand() -> None:
    """60 °F outdoors: load 17 000 Btu/h of the space, 20 % of outdoor air takes 12 960, 85 % all of it."""
    unit = reference_unit()
    outdoor = Outdoor(celsius(60.0), 0.0, moist_air.enthalpy(celsius(60.0), 0.0))
    least = on_coil(unit, outdoor, 0.2, slow=False)
    assert least.sensible_load / BTU_H == pytest.approx(76_500 * 10 / 45 - 1.08 * 4000 * 0.2 * 15, rel=1e-9)
    drawn = at_one_speed(unit, mode_of(unit, least), outdoor.dry_bulb, 0.0)
    assert drawn.power == pytest.approx(least.sensible_load / (11.0 * BTU_H), rel=1e-9)
    assert on_coil(unit, outdoor, 0.85, slow=False).sensible_load < 0.0


def test_the_share_that_holds_the_set_point() -> None:
    """Return 75 °F, mixed 55 °F: at 35 °F outdoors half of each."""
    assert free_cooling_share(reference_unit(), celsius(35.0), 0.2) == pytest.approx(0.5, rel=1e-12)
    assert free_cooling_share(reference_unit(), celsius(60.0), 0.2) == 0.85
    assert free_cooling_share(reference_unit(), celsius(-40.0), 0.2) == 0.2


def test_cycling_and_stages_by_hand() -> None:
    """Half a stage with C = 0.2 runs 0.5 / (1 - 0.1); one and a half stages of two draw one whole and that."""
    unit = replace(reference_unit(), capacity=20e3, stages=2, efficiency=4.0, cycling_loss=0.2, dry_air=5.0)
    outdoor = Outdoor(35.0, 0.0, moist_air.enthalpy(35.0, 0.0))
    air = on_coil(unit, outdoor, 0.0, slow=False)
    half = mode_of(unit, air._replace(sensible_load=5e3))
    more = mode_of(unit, air._replace(sensible_load=15e3))
    assert at_one_speed(unit, half, 35.0, 0.0).power == pytest.approx(2500.0 * 0.5 / 0.9)
    assert at_one_speed(unit, more, 35.0, 0.0).power == pytest.approx(2500.0 * (1.0 + 0.5 / 0.9))


def test_degree_hours_on_the_lid_of_a_box() -> None:
    """An hour at 60 °F: 1.08 cfm (0.85 - 0.20) 15 °F over the efficiency; capped, the load that is there."""
    unit, hours = reference_unit(), hours_of([celsius(60.0)], [DRY], [101_325.0])
    free = 1.08 * 4000 * 0.65 * 15 * BTU_H
    load = (76_500 * 10 / 45 - 1.08 * 4000 * 0.2 * 15) * BTU_H
    for capped, heat in ((False, free), (True, min(free, load))):
        found = degree_hours(hours, unit, celsius(75.0), capped=capped)
        assert found == pytest.approx(3600.0 * heat / (11.0 * BTU_H), rel=1e-3)


@pytest.mark.parametrize("place", RUNS)
def test_three_ways_of_reckoning_stand_in_order(place: str) -> None:
    """Bins are near the hours; degree-hours that no load caps are too high, and capped ones meet this simple year."""
    hours, unit = weekday_hours(place), reference_unit()
    limit = celsius(RUNS[place][0])
    ways = [Way(switch=None), Way(switch=Switch(dry_bulb_limit=limit))]
    saved = []
    for one in (hours, binned(hours)):
        none, free = one_year(one, unit, ways)
        saved.append(none.compressor_energy - free.compressor_energy)
    assert saved[1] == pytest.approx(saved[0], rel=0.05)
    capped, uncapped = (degree_hours(hours, unit, limit, capped=each) for each in (True, False))
    assert capped == pytest.approx(saved[0], rel=1e-6)
    assert uncapped > 1.1 * capped


def test_bins_keep_every_hour() -> None:
    hours = weekday_hours("chicago")
    assert sum(binned(hours).lasts) == pytest.approx(sum(hours.lasts))
    assert len(binned(hours)) < 30
