"""Invented logs of rooftop units for the benchmark: a year of 15 points, regular or with gaps and jitter, some at fault."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import polars as pl

Numbers = np.ndarray[Any, Any]

YEAR = 31_536_000
"""[s]"""

START = 1_735_689_600
"""2025-01-01 00:00 UTC."""

STEP = 300
"""[s]"""

HEADINGS = {
    "outdoor_temperature": "OA Temp °F",
    "return_temperature": "Return Air Temp °F",
    "mixed_temperature": "Mixed Air Temp °F",
    "supply_temperature": "Supply Air Temp °F",
    "room_temperature": "Room Temp °F",
    "outdoor_humidity": "Outdoor RH %",
    "return_humidity": "Return RH %",
    "outdoor_damper_signal": "OA Damper Cmd %",
    "outdoor_damper_position": "OA Damper Position Feedback %",
    "supply_fan_status": "Supply Fan Status",
    "supply_fan_speed": "Supply Fan Speed %",
    "cooling_1": "Cooling Stage 1",
    "cooling_2": "Cooling Stage 2",
    "heating_1": "Heating Stage 1",
    "occupied": "Occupied",
}
"""By the point that each is."""

TEMPERATURES = tuple(name for name in HEADINGS if name.endswith("temperature"))
SWITCHES = ("supply_fan_status", "cooling_1", "cooling_2", "heating_1", "occupied")


def invented(seed: int, *, years: float = 1.0, irregular: bool = False) -> pl.DataFrame:
    """Return a unit's log in the units in which it is written; every third unit has a damper that stands still.

    Parameters
    ----------
    seed
        Of the unit.
    years
        How long.
    irregular
        Whether readings come with jitter, and gaps of hours now and then.
    """
    dice = np.random.default_rng(seed)
    time = np.arange(START, START + int(years * YEAR), STEP)
    if irregular:
        time = time + dice.integers(-60, 61, len(time))
        time = time[dice.random(len(time)) > 0.02]
        for start in dice.integers(0, len(time), 40):
            time = np.delete(time, slice(start, start + dice.integers(5, 100)))
    hour, day = time % 86_400 / 3600.0, time / 86_400.0
    outdoor = 12.0 - 14.0 * np.cos(2 * np.pi * (day - 20) / 365) + 6.0 * np.sin(2 * np.pi * (hour - 15) / 24)
    outdoor += 3.0 * np.sin(day / 2.7 + seed)
    week = (day // 7).astype(int) % 15  # each week another fault, so that every rule has something to show
    outdoor = np.where(week == 7, 10.0, outdoor)
    occupied = (hour >= 7) & (hour < 19) & ((day.astype(int) + 3) % 7 < 5)
    fan = (occupied & (week != 12)) | (dice.random(len(time)) < 0.002)
    returned = 23.0 + 0.5 * np.sin(day * 9)
    cools = fan & (outdoor > 14.0) & (np.sin(time / 1500.0) > -0.4)
    both = fan & (outdoor > 22.0)
    heats = fan & ((outdoor < 4.0) | ((week == 1) & cools))
    signal = _signal(time, week, fan, outdoor)
    share = np.where(seed % 3 == 0, 0.12, 0.88 * signal)
    mixed = np.where(week == 6, returned + 8.0, returned + share * (outdoor - returned))
    mixed = np.where(week == 8, 15.0, mixed)
    supply = (
        mixed
        + 0.8 * fan
        - 8.0 * (cools & (week != 4))
        - 4.0 * (both & (week != 4))
        + 15.0 * (heats & (week != 5))
    )
    supply += 10.0 * (fan & (week == 2)) - 10.0 * (fan & (week == 3))
    noise = {name: dice.normal(0.0, 0.15, len(time)) for name in TEMPERATURES}
    noise["outdoor_temperature"][week == 7] = noise["mixed_temperature"][week == 8] = 0.0
    celsius = dict(zip(TEMPERATURES, (outdoor, returned, mixed, supply, returned), strict=True))
    columns = {name: np.round((celsius[name] + noise[name]) * 1.8 + 32.0, 2) for name in TEMPERATURES}
    columns["outdoor_humidity"] = np.round(dice.uniform(20, 95, len(time)), 1)
    columns["return_humidity"] = np.round(dice.uniform(30, 60, len(time)), 1)
    columns["outdoor_damper_signal"] = np.round(100.0 * signal, 1)
    columns["outdoor_damper_position"] = np.round(100.0 * np.where(seed % 3 == 0, 0.2, signal), 1)
    columns["supply_fan_speed"] = np.where(fan, 100.0, 0.0)
    states = {
        "supply_fan_status": fan,
        "cooling_1": cools,
        "cooling_2": both,
        "heating_1": heats,
        "occupied": occupied,
    }
    columns |= {name: one.astype(np.int64) for name, one in states.items()}
    stamps = pl.Series("Time", time).cast(pl.Int64)
    return pl.DataFrame(
        {"Time": pl.from_epoch(stamps), **{HEADINGS[name]: columns[name] for name in HEADINGS}}
    )


def _signal(time: Numbers, week: Numbers, fan: Numbers, outdoor: Numbers) -> Numbers:
    """Return the damper signal as a share, with the faults of some weeks."""
    open_for_cooling = (outdoor > 9.0) & (outdoor < 18.0) & (week != 13)
    signal = np.where(open_for_cooling | (week == 9) | (week == 10), 0.95, 0.22)
    signal = np.where(week == 14, (np.sin(time / 200.0) + 1.0) / 2.0, signal)
    return np.where(fan & (week != 11), signal, 0.0)


def write_csv(path: Path, log: pl.DataFrame) -> Path:
    """Write a log as a logger would."""
    log.write_csv(path, datetime_format="%Y-%m-%d %H:%M:%S")
    return path
