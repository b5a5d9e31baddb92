"""Logs with what is known to be wrong in each: measured days of air handlers, and a rooftop unit in a general simulator.

Measured days: Granderson, Lin et al., "Building fault detection data to aid diagnostic algorithm creation and performance
testing", Scientific Data 2020, doi 10.1038/s41597-020-0398-6. Simulated runs: our own, of EnergyPlus 25.2 on its public
retail-store example.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import UTC, datetime
from pathlib import Path
from typing import Any

import polars as pl

from ventwright.readings.trend import PointMap, look
from ventwright.readings.trend.frames import UnitFrame, frames

ZONE = "Etc/GMT+6"
"""Neither source names a place's clock; every log keeps one time all year."""

Columns = tuple[tuple[str, str, str | None], ...]

SIMULATED: Columns = (
    ("oa_T_C", "outdoor_temperature", "°C"),
    ("ra_T_C", "return_temperature", "°C"),
    ("ma_T_C", "mixed_temperature", "°C"),
    ("sa_T_C", "supply_temperature", "°C"),
    ("oa_w_kgkg", "outdoor_humidity_ratio", "kg/kg"),
    ("ra_w_kgkg", "return_humidity_ratio", "kg/kg"),
    ("fan_plr", "supply_fan_speed", "0-1"),
    ("clg_rtf", "cooling_signal", "0-1"),
    ("econ_on", "economizing", "on/off"),
)
"""What a logger on such a unit could hold: the share of outdoor air, which the simulator knows, is left out."""


@dataclass(frozen=True, slots=True)
class Case:
    """One log, and what is wrong in it."""

    source: str
    name: str
    frame: UnitFrame
    wrong: str
    """In the source's words; empty for a sound one."""

    @property
    def damper(self) -> bool:
        """Whether what is wrong is in the damper."""
        return "damper" in self.wrong or "stuck open" in self.wrong or "stuck minimum" in self.wrong


def measured_days(folder: Path) -> Iterator[Case]:
    """Yield every measured day as a log of its own, those that the source does not list left out."""
    with (folder / "labels.csv").open(encoding="utf-8") as file:
        labels = {(row["file"], row["date"]): row for row in csv.DictReader(file)}
    for name in sorted({file for file, _ in labels}):
        for day, frame in _days(measured(folder / name)):
            row = labels.get((name, day))
            if row is not None and row["state"] != "unlisted":
                wrong = f"{row['fault']}, {row['intensity']}" if row["state"] == "fault" else ""
                yield Case(name.removesuffix(".csv"), day, frame, wrong)


def measured(path: Path) -> UnitFrame:
    """Return the log of one measured air handler."""
    (frame,) = frames(look([path], PointMap.model_validate({"zone": ZONE})))
    return frame


def _days(frame: UnitFrame) -> Iterator[tuple[str, UnitFrame]]:
    number = (frame.frame.get_column("time") - 6 * 3600) // 86_400
    for day in number.unique().sort().to_list():
        part = frame.frame.filter(number == day)
        yield (
            datetime.fromtimestamp(day * 86_400, UTC).strftime("%Y-%m-%d"),
            UnitFrame(frame.unit, part, frame.zone, frame.counts),
        )


def simulated_runs(folder: Path) -> Iterator[Case]:
    """Yield every simulated run."""
    for path in sorted(folder.glob("*.csv.gz")):
        place, _, what = path.name.removesuffix(".csv.gz").partition("__")
        wrong = what.removeprefix("f_").replace("_", " ") if what.startswith("f_") else ""
        yield Case(f"simulated, {place[3:]}", what, simulated(path), wrong)


def simulated(path: Path) -> UnitFrame:
    """Return the log of one simulated run."""
    with_all = pl.read_csv(path, n_rows=1).columns
    named = {heading for heading, _, _ in SIMULATED}
    columns: list[dict[str, Any]] = [
        {"heading": heading, "point": point, "measured_in": unit} for heading, point, unit in SIMULATED
    ]
    columns += [{"heading": heading, "point": "not used"} for heading in with_all[1:] if heading not in named]
    said = PointMap.model_validate({"zone": ZONE, "year": 2017, "columns": columns})
    (frame,) = frames(look([path], said))
    return frame
