"""A year of weather for a demonstration: made up, the same each time, and marked so wherever it is shown."""

from __future__ import annotations

import math
import random
from functools import cache
from typing import Any

from ventwright.physics import air
from ventwright.physics.moist_air import STANDARD_PRESSURE
from ventwright.quantity import TEMPERATURE, TEMPERATURE_DIFFERENCE, read
from ventwright.tables.data_file import read_toml
from ventwright.tables.weather import WeatherYear
from ventwright.tables.weather_layout import DAYS

SEED = 19

COLDEST_DAY, WARMEST_HOUR = 20.0, 15.0
"""Of the year, of the day (our own assumption)."""

KEPT = 0.7
"""How much of a day's departure is left on the next (our own assumption). [-]"""

OTHERWISE = "mixed_humid"
"""Where the climate zone is not known."""


@cache
def invented_year(climate_zone: str | None) -> WeatherYear:
    """Make up a year of weather of the kind that a climate zone has."""
    row = _row(climate_zone)
    mean = read(row["mean"], TEMPERATURE).value
    swing, daily, spell, spread = (
        read(row[name], TEMPERATURE_DIFFERENCE).value for name in ("swing", "daily", "spell", "spread")
    )
    dice = random.Random(SEED)  # noqa: S311 - a repeatable year, no secret
    stamps, dry, dew = [], [], []
    departure = 0.0
    for number, (month, day) in enumerate(
        (month, day) for month, days in enumerate(DAYS, start=1) for day in range(1, days + 1)
    ):
        departure = KEPT * departure + math.sqrt(1.0 - KEPT**2) * dice.gauss(0.0, spell)
        season = mean - swing * math.cos(2.0 * math.pi * (number - COLDEST_DAY) / 365.0)
        depression = max(1.0, spread + dice.gauss(0.0, 0.3 * spread))
        for hour in range(24):
            swung = daily * math.cos(2.0 * math.pi * (hour + 0.5 - WARMEST_HOUR) / 24.0)
            dry_bulb = round(season + departure + swung, 1)
            stamps.append((month, day, hour + 1))
            dry.append(dry_bulb)
            dew.append(round(min(dry_bulb, season + departure - depression), 1))
    humid = [
        air.state(one, dew_point=point, pressure=STANDARD_PRESSURE).relative_humidity
        for one, point in zip(dry, dew, strict=True)
    ]
    return WeatherYear(
        name="an invented year", region=f"of the kind {climate_zone or 'nobody named'} has", station="none",
        layout="invented", latitude=40.0, longitude=0.0, time_zone=0.0, elevation=0.0,
        stamps=tuple(stamps), dry_bulb=tuple(dry), dew_point=tuple(dew), relative_humidity=tuple(humid),
        pressure=(STANDARD_PRESSURE,) * len(dry), precipitation=(None,) * len(dry), invented=True,
    )  # fmt: skip


def _row(climate_zone: str | None) -> dict[str, Any]:
    data = read_toml("priors", "invented_years.toml")
    rows = {name: row for name, row in data.items() if isinstance(row, dict)}
    found: dict[str, Any] = next(
        (row for row in rows.values() if climate_zone in row["zones"]), rows[OTHERWISE]
    )
    return found
