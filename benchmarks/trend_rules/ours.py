"""Our own way from a log to the flags of its rules: one function a unit, as a fleet hands it to its engines."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import polars as pl
from benchmarks.trend_rules.invented_logs import HEADINGS, SWITCHES, TEMPERATURES

from ventwright.readings.trend import Counts, MappedColumn, PointMap, look
from ventwright.readings.trend.frames import UnitFrame, frames
from ventwright.store.fleet import run
from ventwright.verdict.trend_findings import KnownUnit, flags_of_frame, rule_set


def _measure(name: str) -> str:
    """Return the unit in which a point is written."""
    return "°F" if name in TEMPERATURES else "on/off" if name in SWITCHES else "%"


KNOWN = KnownUnit(minimum_signal={1.0: 0.2}, high_limit=21.0, high_limit_control="fixed dry bulb")
"""What the rules of the benchmark know of a unit; enough for every rule to speak."""

SAID = PointMap(
    zone="UTC",
    columns=tuple(
        MappedColumn(heading=heading, point=name, measured_in=_measure(name))
        for name, heading in HEADINGS.items()
    ),
)
"""The point map, as a person confirms it once for a fleet."""

Flags = dict[str, tuple[int, int]]


def from_csv(path: Path) -> UnitFrame:
    """Read a log as it was written."""
    (frame,) = frames(look([path], SAID))
    return frame


def from_parquet(path: Path) -> UnitFrame:
    """Read a log that is kept in whole steps."""
    return UnitFrame(path.stem, pl.read_parquet(path), None, Counts())


def judged(path: Path) -> Flags:
    """Read a log and count the flags of every rule: a pure function of one unit, which pickles."""
    frame = from_csv(path) if path.suffix == ".csv" else from_parquet(path)
    return {one.rule: (one.judged, one.flagged) for one in flags_of_frame(frame, rule_set(), KNOWN)}


def judged_all(paths: Sequence[Path], engine: str = "here", scheduler: str = "") -> list[Flags]:
    """Do so for many units, with as many at a time as there are processors."""
    return list(run(judged, paths, engine, scheduler=scheduler))


def one_by_one(paths: Sequence[Path]) -> list[Flags]:
    """Do so in a loop."""
    return [judged(path) for path in paths]
