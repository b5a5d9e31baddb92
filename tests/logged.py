"""Logs for tests: known values of a unit, written the way a logger might write them."""

from __future__ import annotations

import gzip
import math
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path
from zoneinfo import ZoneInfo

from ventwright.readings.trend import PointMap, Understood, UnitLog, logs, look
from ventwright.readings.trend.frames import frames, log_of

FORMS = {
    "year first": "%Y-%m-%d %H:%M:%S",
    "year first with T": "%Y-%m-%dT%H:%M:%S",
    "month first": "%m/%d/%Y %H:%M",
    "month first, twelve hours": "%m/%d/%y %I:%M %p",
    "day first": "%d.%m.%Y %H:%M",
    "day first, twelve hours": "%d/%m/%Y %I:%M:%S %p",
    "name": "%d-%b-%Y %H:%M",
    "name in front": "%b %d, %Y %I:%M %p",
    "run together": "%Y%m%d%H%M%S",
}

Row = tuple[int, float, float, float, bool]
"""Seconds since 1970 UTC, outdoor and return temperature [°F], damper signal [%], whether the fan runs."""

HEADINGS = ("OA Temp (°F)", "Return Air Temp [F]", "Econ Damper Cmd (%)", "SF Status")
POINTS = ("outdoor_temperature", "return_temperature", "outdoor_damper_signal", "supply_fan_status")


@dataclass(frozen=True, slots=True)
class Way:
    """How a logger writes."""

    form: str = "year first"
    zone: str = "UTC"
    delimiter: str = ","
    decimal: str = "."
    encoding: str = "utf-8"
    newline: str = "\n"
    head: tuple[str, ...] = ()
    words: tuple[str, str] = ("0", "1")
    packed: bool = False
    ends: bool = True
    falling: bool = False

    @property
    def order(self) -> str | None:
        """What a person would say of its dates."""
        return next((order for order in ("month first", "day first") if self.form.startswith(order)), None)


def written(rows: list[Row], way: Way) -> bytes:
    """Return a log of some rows."""
    lines = [*way.head, way.delimiter.join(quoted(one, way) for one in ("Time", *HEADINGS))]
    body = [line(row, way) for row in rows]
    lines += body[::-1] if way.falling else body
    text = way.newline.join(lines) + (way.newline if way.ends else "")
    data = text.encode(way.encoding)
    return gzip.compress(data) if way.packed else data


def line(row: Row, way: Way) -> str:
    """Return one line of a log."""
    seconds, outdoor, returned, signal, runs = row
    moment = datetime.fromtimestamp(seconds, UTC).astimezone(ZoneInfo(way.zone))
    cells = [moment.strftime(FORMS[way.form])]
    cells += [f"{value:.2f}".replace(".", way.decimal) for value in (outdoor, returned, signal)]
    cells.append(way.words[runs])
    return way.delimiter.join(quoted(cell, way) for cell in cells)


def quoted(cell: str, way: Way) -> str:
    """Return a cell, in quotes where the delimiter stands in it."""
    return f'"{cell}"' if way.delimiter in cell else cell


def steps(fahrenheit: float) -> int:
    """Return a temperature in whole thousandths of a degree Celsius, by the formula and not by the program."""
    return math.floor((round(fahrenheit, 2) - 32.0) / 1.8 * 1000.0 + 0.5)


def said(way: Way) -> PointMap:
    """Return what a person would say of a log."""
    return PointMap.model_validate({"zone": way.zone, "dates": way.order})


def read_both_ways(path: Path, way: Way, points: PointMap | None = None) -> UnitLog:
    """Read a log in plain Python and by columns, which have to give the same, and return it."""
    understood = look([path], points or said(way))
    (plain,) = logs(understood)
    (quick,) = (log_of(frame) for frame in frames(understood))
    assert plain.series == quick.series
    assert plain.counts == quick.counts
    assert plain.counts.adds_up
    return plain


def without_questions(understood: Understood) -> Understood:
    """Return what was understood as if a person had agreed to all of it."""
    return replace(understood, questions=())
