"""A fleet of years: ours against row-by-row Python and a plain NumPy broadcast, all three with equal results.

1000 units × 8760 h × 6 ways to run each. The plain ones are the same model written as a spreadsheet would have it (every
row and every way from the start), and as one writes arrays at first (every hour of the year, every way, no hour left out).
They do a sample of the units; their time is scaled by unit. One unit's year in plain Python, as a phone runs it, is held
against one steady state of the unit in software. Memory is that of the whole process.

Run from the repository: ``python -m benchmarks.bench_year``; the exit status is 1 where a goal is missed.
"""

from __future__ import annotations

import math
import random
import resource
import sys

import numpy as np
from benchmarks import timing

from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.steady import steady
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.physics.year.hour_arrays import Columns
from ventwright.physics.year.hours import Hours, hours_of
from ventwright.physics.year.many_years import columns_of, many_years
from ventwright.physics.year.one_hour import (
    Outdoor,
    at_one_speed,
    free_cooling_share,
    mode_of,
    on_coil,
    return_water,
)
from ventwright.physics.year.one_year import one_year
from ventwright.physics.year.way import NO_ERRORS, Switch, Way, fit
from ventwright.physics.year.year_unit import YearUnit

UNITS, HOURS = 1000, 8760
ROWS_SAMPLE, BROADCAST_SAMPLE = 1, 8
ROW_GOAL, BROADCAST_GOAL = 200.0, 5.0
MOST_MEMORY = 300.0
"""MB"""

WAYS = (
    Way(switch=None),
    Way(switch=Switch(dry_bulb_limit=18.3)),
    Way(switch=Switch(dry_bulb_limit=23.9)),
    Way(switch=Switch(return_gap=0.0)),
    Way(switch=Switch(dry_bulb_limit=23.9, enthalpy_limit=47_300.0)),
    Way(switch=Switch(dry_bulb_limit=23.9, return_enthalpy=True)),
)


def weather(seed: int) -> Hours:
    """Make up a year."""
    dice = random.Random(seed)
    dry = [
        12.0
        - 12.0 * math.cos(2 * math.pi * n / HOURS)
        - 5.0 * math.cos(2 * math.pi * n / 24)
        + dice.gauss(0, 3)
        for n in range(HOURS)
    ]
    return hours_of(dry, [one - dice.uniform(1.0, 12.0) for one in dry], [100e3] * HOURS)


def unit(seed: int) -> YearUnit:
    """Make up a unit of one fan speed."""
    dice = random.Random(seed)
    share = dice.uniform(0.1, 0.3)
    return YearUnit(
        dry_air=dice.uniform(1.0, 4.0), least_share=share, least_share_slow=share, most_share=dice.uniform(0.6, 0.9),
        load_slope=dice.uniform(600.0, 1500.0), balance_point=dice.uniform(5.0, 14.0), capacity=dice.uniform(25e3, 60e3),
        fan_power=1500.0, fan_power_slow=1500.0, stages=2, efficiency_slope=0.018, capacity_slope=0.006, cycling_loss=0.2,
        water_gain=0.0015, most_water=0.0093, pressure=100e3,
    )  # fmt: skip


def row_by_row(hours: Hours, one: YearUnit) -> list[float]:
    """Every row, every way and every column from the start, as a spreadsheet does; compressors' energy. [J]"""
    return [sum(_row(hours, one, way, number) for number in range(len(hours))) for way in WAYS]


def _row(hours: Hours, one: YearUnit, way: Way, number: int) -> float:
    outdoor = Outdoor(hours.dry_bulb[number], hours.humidity_ratio[number], hours.enthalpy[number])
    water = return_water(one, outdoor.humidity_ratio)
    returned = (one.return_air, 1006.0 * one.return_air + water * (2.501e6 + 1860.0 * one.return_air))
    seen = (outdoor.dry_bulb, outdoor.enthalpy, hours.dew_point[number])
    called = on_coil(one, outdoor, one.least_share_slow, slow=True).sensible_load > 0.0
    free = called and way.switch is not None and fit(way.switch, seen, returned, NO_ERRORS)
    economizing = free_cooling_share(one, outdoor.dry_bulb, one.least_share_slow)
    air = on_coil(one, outdoor, economizing if free else one.least_share_slow, slow=True)
    return 3600.0 * called * at_one_speed(one, mode_of(one, air), outdoor.dry_bulb, 0.0).power


def broadcast(hours: Columns, units: list[YearUnit]) -> np.ndarray:
    """All hours of several units and all ways at once: arrays of units × ways × hours; compressors' energy. [J]"""

    def of(name: str) -> np.ndarray:
        return np.array([getattr(one, name) for one in units])[:, None, None]

    dry, water, heat = (
        column[None, None, :] for column in (hours.dry_bulb, hours.humidity_ratio, hours.enthalpy)
    )
    returned = np.minimum(water + of("water_gain"), of("most_water"))
    tr, least, most = of("return_air"), of("least_share_slow"), of("most_share")
    return_heat = 1006.0 * tr + returned * (2.501e6 + 1860.0 * tr)

    def load(share: np.ndarray) -> tuple[np.ndarray, ...]:
        mixed_water = returned + share * (water - returned)
        mixed_heat = return_heat + share * (heat - return_heat)
        capacity = 1006.0 + 1860.0 * mixed_water
        mixed = (mixed_heat - 2.501e6 * mixed_water) / capacity
        asked = of("load_slope") * (dry - of("balance_point")) + of("fan_power")
        return mixed, mixed_water, mixed_heat, capacity, asked + of("dry_air") * capacity * (mixed - tr)

    limits = np.zeros((len(units), len(WAYS), dry.shape[-1]), dtype=bool)
    for place, way in enumerate(WAYS):
        switch = way.switch
        if switch is None:
            continue
        limits[:, place, :] = True
        if switch.dry_bulb_limit is not None:
            limits[:, place, :] &= dry[0] <= switch.dry_bulb_limit
        if switch.enthalpy_limit is not None:
            limits[:, place, :] &= heat[0] <= switch.enthalpy_limit
        if switch.return_gap is not None:
            limits[:, place, :] &= (dry <= tr - switch.return_gap)[:, 0, :]
        if switch.return_enthalpy:
            limits[:, place, :] &= (heat <= return_heat)[:, 0, :]
    called = load(least)[-1] > 0.0
    set_point = of("mixed_set_point")
    warm = dry >= set_point
    wanted = np.where(warm, most, (tr - set_point) / np.where(warm, 1.0, tr - dry))
    share = np.where(limits & called, np.maximum(least, np.minimum(most, wanted)), least)
    mixed, mixed_water, mixed_heat, capacity, asked = load(share)
    surface = np.maximum(2.0, np.minimum(of("coil_surface"), mixed - 8.0))
    above = np.maximum(mixed - surface, 0.0)
    kelvin = surface + 273.15
    vapour = np.exp(
        -5.8002206e3 / kelvin + 1.3914993 - 4.8640239e-2 * kelvin + 4.1764768e-5 * kelvin**2
        - 1.4452093e-8 * kelvin**3 + 6.5459673 * np.log(kelvin)
    )  # fmt: skip
    held = 0.621945 * vapour / (of("pressure") - vapour)
    of_surface = 1006.0 * surface + held * (2.501e6 + 1860.0 * surface)
    wet = (mixed_water > held) & (above > 0.0)
    factor = np.where(wet, (mixed_heat - of_surface) / np.where(above > 0.0, capacity * above, 1.0), 1.0)
    sensible = np.minimum(np.maximum(asked, 0.0) * called, of("dry_air") * capacity * above)
    condenser = 35.0 - np.maximum(dry, 15.0)
    stage = of("capacity") * np.maximum(0.3, 1.0 + of("capacity_slope") * condenser) / of("stages")
    stages = np.minimum(sensible * factor / stage, of("stages"))
    part = stages - np.floor(stages)
    runs = np.floor(stages) + part / (1.0 - of("cycling_loss") * (1.0 - part))
    power = stage / (of("efficiency") * np.maximum(0.3, 1.0 + of("efficiency_slope") * condenser))
    energy: np.ndarray = 3600.0 * (runs * power * called).sum(axis=2)
    return energy


def ours(columns: Columns, units: list[YearUnit]) -> np.ndarray:
    """Compressors' energy of every unit and way. [J]"""
    errors = [NO_ERRORS] * len(units)
    return np.array(
        [[one.compressor_energy for one in totals] for totals in many_years(columns, units, WAYS, errors)]
    )


def main() -> int:
    """Assert equal results, then compare times and look at the memory."""
    hours, units = weather(1), [unit(seed) for seed in range(UNITS)]
    columns = columns_of(hours)
    fleet = ours(columns, units)
    np.testing.assert_allclose(
        broadcast(columns, units[:BROADCAST_SAMPLE]), fleet[:BROADCAST_SAMPLE], rtol=1e-9
    )
    np.testing.assert_allclose([row_by_row(hours, units[0])], fleet[:1], rtol=1e-9)
    plain = one_year(hours, units[0], WAYS)
    np.testing.assert_allclose([one.compressor_energy for one in plain], fleet[0], rtol=1e-9)

    def of_ours(count: int) -> object:
        return ours(columns, units[:count])

    slow = timing.times_as_long(lambda: of_ours(8), lambda: row_by_row(hours, units[0]), rounds=3) * 8
    wide = timing.times_as_long(lambda: of_ours(8), lambda: broadcast(columns, units[:8]), rounds=5)
    print(f"one unit's year in plain Python, 6 ways, over one steady state: {_phone(hours, units[0]):.0f} x")
    memory = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024.0
    print(f"most memory of the process: {memory:.0f} MB (goal {MOST_MEMORY:.0f})")
    missed = timing.report(
        f"{UNITS:,} units x {HOURS:,} h x {len(WAYS)} ways, equal results",
        [("row by row : ours", slow, ROW_GOAL), ("plain broadcast : ours", wide, BROADCAST_GOAL)],
    )
    return int(missed or memory > MOST_MEMORY)


def _phone(hours: Hours, one: YearUnit) -> float:
    """Time of one unit's year in plain Python over that of one steady state of a unit in software."""
    from tests import rooftop_units  # the unit that the tests run

    built = rooftop_units.unit()
    commands = Commands(fan_running=True, fan_speed=1.0, damper_signal=0.4)
    air = Weather(15.0, 0.6, 101_325.0), Indoor(23.0, 0.5)
    return timing.times_as_long(
        lambda: steady(built, *air, commands), lambda: one_year(hours, one, WAYS), rounds=3
    )


if __name__ == "__main__":
    sys.exit(main())
