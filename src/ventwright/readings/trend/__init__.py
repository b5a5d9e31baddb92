"""Logged points: files as they come, read into whole numbers in SI, with every row that is left out counted.

In steps, each of which may be used alone:

1. ``look(paths, said)`` looks at a sample of every file and returns an ``Understood``: the form of each file, the point,
   unit and rooftop unit of each column with how sure each is, and the questions that only a person can answer. What the
   person says stands in a ``PointMap``.
2. ``stream(understood)`` yields ``Progress`` and ``Block``s of bounded size, whatever the size of the files. To stop, stop
   taking.
3. ``logs(understood)`` yields one ``UnitLog`` after another: sorted, no time twice, every value a whole multiple of the
   point's step. This is what a rule is handed. ``UnitLog.table(hold=...)`` puts points side by side.

With Polars installed (the extra ``trends``) the same is quicker, to the last bit the same, and imported only when asked for:

- ``ventwright.readings.trend.frames.frames(understood)`` yields one ``UnitFrame`` after another: a frame with ``time`` and a
  column of whole steps for every point, nothing where there is no value. ``log_of`` and ``frame_of`` go between the two.
- ``ventwright.readings.trend.keep.keep(understood, folder)`` writes that to Parquet, goes on where it was stopped and reads
  of a log that has grown only what is new; ``kept_frames(folder)`` yields it again.

The points are those of ``ventwright.tables.point.points()``: ``outdoor_temperature``, ``return_temperature``,
``mixed_temperature``, ``supply_temperature``, ``outdoor_damper_signal``, ``outdoor_damper_position``,
``supply_fan_status``, ``supply_fan_speed``, ``cooling_1``, ``cooling_signal``, ``heating_1``, ``occupied``,
``economizing`` and so on. A value is ``column[row] * point.step`` in SI (°C, Pa, m3/s; signals and shares as fractions;
switches 0 and 1), and ``MISSING`` stands where there is none.
"""

from __future__ import annotations

from ventwright.readings.trend.counts import CELL_REASONS, REASONS, Counts
from ventwright.readings.trend.gather import logs
from ventwright.readings.trend.looking import look
from ventwright.readings.trend.naming import NOT_USED, Guess, guess
from ventwright.readings.trend.point_map import (
    MappedColumn,
    PointMap,
    point_map_of,
    read_point_map,
    written_map,
)
from ventwright.readings.trend.shape import MISSING, Block, Series, Table, UnitLog
from ventwright.readings.trend.streaming import Progress, stream
from ventwright.readings.trend.understood import Column, LogFile, Understood

__all__ = [
    "CELL_REASONS", "MISSING", "NOT_USED", "REASONS", "Block", "Column", "Counts", "Guess", "LogFile", "MappedColumn", "PointMap", "Progress",
    "Series", "Table", "Understood", "UnitLog", "guess", "logs", "look", "point_map_of", "read_point_map",
    "stream", "written_map",
]  # fmt: skip
