"""A year of hourly weather from a file: EPW, TMY3 CSV or measured hours, told apart by what stands in it, and checked.

Hour 1 is the hour from midnight to one o'clock, local standard time. A dry bulb that is missing in any hour is
refused; of the other columns an hour that is missing is None, and how many there are is said.
"""

from __future__ import annotations

import csv
import io
from collections import Counter
from dataclasses import dataclass
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from ventwright.errors import Refusal, Refused
from ventwright.physics.climate_zone import UNKNOWN, Depth
from ventwright.physics.degree_days import PRECIPITATION
from ventwright.quantity import FRACTION, LENGTH, PRESSURE, TEMPERATURE
from ventwright.tables import weather_layout, weather_measured, weather_repair
from ventwright.words import measured

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from ventwright.tables.weather_layout import Column, Layout, Record, Stamp

LARGEST: Final = 20_000_000
"""Bytes; a year of hours is a tenth of it."""

HOURS: Final = 8760


@dataclass(frozen=True, slots=True, kw_only=True)
class WeatherYear:
    """One year, hour by hour. Latitude and longitude in degrees, north and east positive; time zone in hours."""

    name: str
    region: str
    station: str
    layout: str
    """EPW, TMY3, measured hours or invented."""
    latitude: float
    longitude: float
    time_zone: float
    elevation: float = measured(LENGTH)
    stamps: tuple[Stamp, ...]
    """Of every hour."""
    dry_bulb: tuple[float, ...] = measured(TEMPERATURE)
    dew_point: tuple[float | None, ...] = measured(TEMPERATURE)
    relative_humidity: tuple[float | None, ...] = measured(FRACTION)
    pressure: tuple[float | None, ...] = measured(PRESSURE)
    precipitation: tuple[float | None, ...] = measured(PRECIPITATION)
    """Depth that fell in the hour; None where the file does not say, or is not sure of it."""
    repairs: tuple[str, ...] = ()
    """What was mended in the file so that it could be used, in sentences."""
    invented: bool = False
    """Whether it is no place's weather, but made up."""

    @property
    def months(self) -> tuple[int, ...]:
        """Month of every hour."""
        return tuple(month for month, _, _ in self.stamps)

    @property
    def southern(self) -> bool:
        """Whether the place lies south of the equator."""
        return self.latitude < 0.0

    @property
    def missing(self) -> Mapping[str, int]:
        """Hours without a value, by column, where there are any."""
        columns = {
            "dew point": self.dew_point,
            "relative humidity": self.relative_humidity,
            "pressure": self.pressure,
            "precipitation": self.precipitation,
        }
        counts = {name: sum(value is None for value in values) for name, values in columns.items()}
        return {name: count for name, count in counts.items() if count}

    def precipitation_by_month(self) -> tuple[Depth, ...]:
        """Return what the file shows of every month: its depth where every hour is known, else a least depth.

        A file whose year holds not one drop is taken to carry no precipitation: converters write zeros for "unknown".
        """
        if not any(self.precipitation):
            return (UNKNOWN,) * 12
        found = []
        for month in range(1, 13):
            hours = [
                value
                for stamp, value in zip(self.stamps, self.precipitation, strict=True)
                if stamp[0] == month
            ]
            known = [value for value in hours if value is not None]
            found.append(Depth(sum(known), sum(known)) if len(known) == len(hours) else Depth(sum(known)))
        return tuple(found)


def read_weather(path: Path, where: str = "") -> WeatherYear:
    """Read a weather file.

    Parameters
    ----------
    path
        An EPW or TMY3 CSV file, or one of measured hours, whatever its name ends in.
    where
        Where its name stands, for the refusal of a file that cannot be read; a mistake in it stands in the file.

    Raises
    ------
    Refused
        It cannot be read, is neither, is damaged, or holds no whole year of possible hours: every kind of mistake in
        one sentence, with the first line it stands in.
    """
    try:
        state = path.stat()
        if state.st_size <= LARGEST:
            return _read(path, (state.st_mtime_ns, state.st_size), path.name)
    except OSError:
        accepted = f"the path of {weather_layout.WEATHER_FILE}"
        given = path.name if where else str(path)
        raise Refused(Refusal("cannot be read", accepted, where, given)) from None
    raise Refused(Refusal("is too large", f"a file of at most {LARGEST // 1_000_000} MB", path.name))


@lru_cache(maxsize=4)
def _read(path: Path, _version: tuple[int, int], place: str) -> WeatherYear:
    """Read a file once for as long as it does not change: a plan asks for it several times."""
    return weather_year(_text(path.read_bytes(), place), place)


def _text(content: bytes, place: str) -> str:
    """Return the text of a file; station names come in more than one alphabet of eight bits."""
    if content.startswith(b"PK"):
        raise Refused(Refusal("is a zip archive", "the .epw or .csv file inside it", place))
    if b"\0" in content:
        raise Refused(Refusal("is not a text file", weather_layout.WEATHER_FILE, place))
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("latin-1")


def weather_year(text: str, place: str = "") -> WeatherYear:
    """Read the text of a weather file.

    Raises
    ------
    Refused
        As ``read_weather``.
    """
    try:
        rows = [(number, cells) for number, cells in _cells(text) if any(cells)]
    except csv.Error as failure:
        raise Refused(Refusal(f"is no CSV file: {failure}", weather_layout.WEATHER_FILE, place)) from None
    if not rows:
        raise Refused(Refusal("is empty", weather_layout.WEATHER_FILE, place))
    layout, repairs = _layout(rows, place)
    records, mistakes = _records(layout, place)
    if not mistakes:  # or the rows that cannot be read would be told once more, as hours that are missing
        mistakes = _count_mistakes(records, layout, place)
    columns = {}
    for column in layout.columns:
        values, found = _values(records, column, place)
        columns[column.name], mistakes = values, [*mistakes, *found]
    mistakes += _dew_point_mistakes(records, columns, place)
    if mistakes:
        raise Refused(*mistakes)
    return WeatherYear(
        name=layout.name,
        region=layout.region,
        station=layout.station,
        layout=layout.kind,
        latitude=layout.latitude,
        longitude=layout.longitude,
        time_zone=layout.time_zone,
        elevation=layout.elevation,
        stamps=tuple(record.stamp for record in records),
        dry_bulb=tuple(value for value in columns["dry bulb"] if value is not None),
        dew_point=columns["dew point"],
        relative_humidity=columns["relative humidity"],
        pressure=columns["pressure"],
        precipitation=columns["precipitation"],
        repairs=repairs,
    )


def _layout(rows: Sequence[tuple[int, list[str]]], place: str) -> tuple[Layout, tuple[str, ...]]:
    """Read the header by what kind of file it is, mended where that is safe."""
    if weather_measured.is_measured(rows):
        return weather_measured.layout_of(rows, place)
    whole, repairs = weather_repair.mended(rows, lambda cells: weather_layout.epw_stamp(cells) is not None)
    return weather_layout.layout_of(whole, place), repairs


def _cells(text: str) -> Iterator[tuple[int, list[str]]]:
    reader = csv.reader(io.StringIO(text, newline=""))
    return ((reader.line_num, cells) for cells in reader)


def _records(layout: Layout, place: str) -> tuple[list[Record], list[Refusal]]:
    """Read month, day and hour of every row; a row that has none is one mistake, however many there are."""
    records, damaged = [], []
    for number, cells in layout.body:
        record = layout.record(number, cells)
        if record is None:
            damaged.append(number)
        else:
            records.append(record)
    if not damaged:
        return records, []
    shown = f"has {len(damaged)} rows" if len(damaged) > 1 else "has a row"
    problem = f"{shown} that cannot be read as an hour, the first here"
    return records, [Refusal(problem, layout.example, place, line=damaged[0])]


def _count_mistakes(records: Sequence[Record], layout: Layout, place: str) -> list[Refusal]:
    """Find a year that is not whole, or whose hours do not follow one another."""
    if layout.records_an_hour != 1:
        return [
            Refusal(
                f"has {layout.records_an_hour} records an hour", "hourly weather: 1 record an hour", place
            )
        ]
    leap = any(record.stamp[:2] == (2, 29) for record in records)
    due = weather_layout.calendar(leap=leap)
    found = []
    if len(records) != len(due):
        accepted = f"{HOURS} hours, or {HOURS + 24} with 29 February"
        found.append(Refusal(f"has {len(records)} hours, which is no whole year", accepted, place))
    for record, stamp in zip(records, due, strict=False):
        if record.stamp != stamp:
            given, wanted = (_spelled(one) for one in (record.stamp, stamp))
            accepted = f"{wanted} here: every hour once, in order, from 1 to 24"
            found.append(Refusal("is out of order", accepted, place, given, record.line))
            break
    return found


def _spelled(stamp: Stamp) -> str:
    return "month {}, day {}, hour {}".format(*stamp)


def _values(
    records: Sequence[Record], column: Column, place: str
) -> tuple[tuple[float | None, ...], list[Refusal]]:
    """Read one column in SI; each kind of mistake is told once, where it first stands."""
    values: list[float | None] = []
    first: dict[str, tuple[int, str]] = {}
    counts: Counter[str] = Counter()
    for record in records:
        value, kind = column.value(record.cells)
        values.append(value)
        if kind:
            counts[kind] += 1
            first.setdefault(kind, (record.line, column.cell(record.cells)))
    mistakes = []
    for kind, (line, given) in first.items():
        if kind == "missing":
            if column.required:
                problem = f"has no {column.name} in {_hours(counts[kind])}, the first here"
                mistakes.append(Refusal(problem, f"a {column.name} in every hour", place, given, line))
            continue
        many = f" ({_hours(counts[kind])})" if counts[kind] > 1 else ""
        mistakes.append(Refusal(f"is no {column.name} {kind}{many}", column.accepted, place, given, line))
    return tuple(values), mistakes


def _hours(count: int) -> str:
    return "1 hour" if count == 1 else f"{count} hours"


DEW_POINT_SLACK: Final = 1.0
"""Kelvins by which a dew point may be written above its dry bulb: two instruments, two roundings (common practice,
no published source)."""


def _dew_point_mistakes(
    records: Sequence[Record], columns: Mapping[str, tuple[float | None, ...]], place: str
) -> list[Refusal]:
    pairs = zip(records, columns["dry bulb"], columns["dew point"], strict=True)
    above = [
        (record.line, dew)
        for record, dry, dew in pairs
        if dry is not None and dew is not None and dew > dry + DEW_POINT_SLACK
    ]
    if not above:
        return []
    line, dew = above[0]
    problem = f"is a dew point above the dry bulb of its hour ({_hours(len(above))})"
    return [Refusal(problem, "a dew point at or below the dry bulb", place, f"{dew:g} °C", line)]
