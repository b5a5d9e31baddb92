"""Where things stand in an EPW and in a TMY3 CSV file: header, columns, marks for missing values, possible values."""

from __future__ import annotations

import math
import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Final

from ventwright.errors import Refusal, Refused

Row = tuple[int, list[str]]

CELSIUS: Final = "°C"

DAYS: Final = (31, 28, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31)
"""In each month."""

Stamp = tuple[int, int, int]
"""Month, day and hour from 1 to 24."""


def calendar(*, leap: bool) -> tuple[Stamp, ...]:
    """Return every hour of a year, in order."""
    return tuple(
        (month, day, hour)
        for month, days in enumerate(DAYS, start=1)
        for day in range(1, days + (leap and month == 2) + 1)
        for hour in range(1, 25)
    )


@dataclass(frozen=True, slots=True)
class Record:
    """One hour as it stands in the file: line, stamp, and cells."""

    line: int
    stamp: Stamp
    cells: list[str]


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: where it stands, what marks a missing value, what is possible, and its factor and offset to SI."""

    name: str
    index: int
    unit: str
    missing: Callable[[float], bool]
    low: float
    high: float
    factor: float = 1.0
    offset: float = 0.0
    required: bool = False
    certain: Callable[[Sequence[str]], bool] | None = None
    """Whether the file vouches for the value; where it does not, the value counts as missing."""

    def cell(self, cells: Sequence[str]) -> str:
        """Return what stands in the column, or nothing where the row is too short for it."""
        return cells[self.index].strip() if self.index < len(cells) else ""

    def value(self, cells: Sequence[str]) -> tuple[float | None, str]:
        """Return the value in SI, or None and what is wrong: missing, not a number, not possible."""
        try:
            number = float(cells[self.index])
        except (IndexError, ValueError):
            return None, "that can be read" if self.cell(cells) else "missing"
        if not math.isfinite(number):
            return None, "that can be read"
        if self.missing(number) or (self.certain is not None and not self.certain(cells)):
            return None, "missing"
        if not self.low <= number <= self.high:
            return None, "that is possible"
        return number * self.factor + self.offset, ""

    @property
    def accepted(self) -> str:
        """What would be accepted."""
        return f"{self.low:g} to {self.high:g} {self.unit}"


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """A file's header and where to read its hours."""

    kind: str
    name: str
    region: str
    station: str
    latitude: float
    longitude: float
    time_zone: float
    elevation: float
    records_an_hour: int
    body: Sequence[Row]
    columns: tuple[Column, ...]
    stamp: Callable[[Sequence[str]], Stamp | None]
    example: str

    def record(self, line: int, cells: list[str]) -> Record | None:
        """Read a row as an hour; None where it is none."""
        stamp = self.stamp(cells)
        return None if stamp is None else Record(line, stamp, cells)


WEATHER_FILE: Final = (
    "an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F]"
)
"""What is read as weather, for refusals."""


def layout_of(rows: Sequence[Row], place: str) -> Layout:
    """Tell an EPW from a TMY3 file by its first lines and read its header.

    Raises
    ------
    Refused
        It is neither, or its header is damaged.
    """
    first = rows[0][1]
    if _heading(first) == "LOCATION":
        return _epw(rows, place)
    if len(rows) > 1 and _heading(rows[1][1]).startswith("DATE"):
        return _tmy3(rows, place)
    if any(_heading(cells) in {"DESIGN CONDITIONS", "DATA PERIODS"} for _, cells in rows[:8]):
        raise Refused(Refusal("has no LOCATION line", "an EPW file with its eight header lines", place))
    if epw_stamp(first) is not None and len(first) > PRESSURE_IN_EPW:
        raise Refused(Refusal("has no header", "an EPW file with its eight header lines", place))
    raise Refused(Refusal("is none of the weather files that can be read", WEATHER_FILE, place))


def _heading(cells: Sequence[str]) -> str:
    return cells[0].strip().upper()


def _stripped(cells: Sequence[str]) -> list[str]:
    return [cell.strip() for cell in cells]


def _number(cells: Sequence[str], index: int, what: str, low: float, high: float, place: str) -> float:
    """Read one number of a header."""
    text = cells[index] if index < len(cells) else ""
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not low <= value <= high:
        problem = f"is no {what}" if text else f"has no {what} in its first line"
        raise Refused(Refusal(problem, f"{what} from {low:g} to {high:g}", place, text, 1))
    return value


PRESSURE_IN_EPW, ELEVATION_IN_EPW = 9, 9
"""Places of the pressure in a row of hours, and of the elevation, the last, in the LOCATION line."""


def _epw(rows: Sequence[Row], place: str) -> Layout:
    location = _stripped(rows[0][1])
    if len(location) <= ELEVATION_IN_EPW:
        problem = f"has a LOCATION line of {len(location)} parts"
        accepted = (
            "LOCATION, city, region, country, source, station, latitude, longitude, time zone, elevation"
        )
        raise Refused(Refusal(problem, accepted, place, line=1))
    periods = next(
        (number for number, (_, cells) in enumerate(rows) if _heading(cells) == "DATA PERIODS"), None
    )
    if periods is None:
        raise Refused(Refusal("has no DATA PERIODS line", "an EPW file with its eight header lines", place))
    an_hour = rows[periods][1][2].strip() if len(rows[periods][1]) > 2 else ""
    if not an_hour.isdigit() or int(an_hour) < 1:
        problem = "does not say how many records it has an hour"
        raise Refused(Refusal(problem, "DATA PERIODS, 1, 1, ...", place, an_hour, rows[periods][0]))
    return Layout(
        kind="EPW",
        name=location[1],
        region=", ".join(part for part in location[2:4] if part),
        station=location[5],
        latitude=_number(location, 6, "latitude", -90.0, 90.0, place),
        longitude=_number(location, 7, "longitude", -180.0, 180.0, place),
        time_zone=_number(location, 8, "time zone", -12.0, 14.0, place),
        elevation=_number(location, ELEVATION_IN_EPW, "elevation", -500.0, 9000.0, place),
        records_an_hour=int(an_hour),
        body=rows[periods + 1 :],
        columns=_EPW_COLUMNS,
        stamp=epw_stamp,
        example="year, month, day, hour 1 to 24, minute, source flags, dry bulb, dew point, ...",
    )


def epw_stamp(cells: Sequence[str]) -> Stamp | None:
    """Month, day and hour of a row of an EPW file; None where it is no hour."""
    if len(cells) <= PRESSURE_IN_EPW:
        return None
    try:
        month, day, hour = (int(cell) for cell in cells[1:4])
    except ValueError:
        return None
    return month, day, hour


def _from(mark: float) -> Callable[[float], bool]:
    """Missing from a mark upwards: 99.9, 999, 999900 and 999999 are in use."""
    return lambda number: number >= mark


# Columns and their marks: EnergyPlus documentation, Auxiliary Programs, "EPW data dictionary" (from memory); possible
# values are those of the same page, temperatures cut down to what the earth has shown.
_EPW_COLUMNS: Final = (
    Column(name="dry bulb", index=6, unit=CELSIUS, missing=_from(99.9), low=-90.0, high=60.0, required=True),
    Column(name="dew point", index=7, unit=CELSIUS, missing=_from(99.9), low=-100.0, high=60.0),
    Column(name="relative humidity", index=8, unit="%", missing=_from(999), low=0.0, high=110.0, factor=0.01),
    Column(name="pressure", index=PRESSURE_IN_EPW, unit="Pa", missing=_from(999900), low=31e3, high=120e3),
    Column(name="precipitation", index=33, unit="mm", missing=_from(999), low=0.0, high=500.0, factor=1e-3),
)


def _tmy3(rows: Sequence[Row], place: str) -> Layout:
    station, head = _stripped(rows[0][1]), _stripped(rows[1][1])
    for index, what in ((4, "latitude"), (5, "longitude"), (6, "elevation")):
        if index >= len(station):
            accepted = "station, name, state, time zone, latitude, longitude, elevation"
            raise Refused(Refusal(f"has no {what} in its first line", accepted, place, line=1))
    found = {name: _index(head, name) for name in _TMY3_COLUMNS}
    lost = [name for name in ("Dry-bulb", "Dew-point", "RHum", "Pressure") if found[name] is None]
    if lost:
        raise Refused(
            Refusal(f"has no column {' and no column '.join(lost)}", "the columns of TMY3", place, line=2)
        )
    doubt = _index(head, "Lprecip uncert")
    return Layout(
        kind="TMY3",
        name=station[1],
        region=station[2],
        station=station[0],
        latitude=_number(station, 4, "latitude", -90.0, 90.0, place),
        longitude=_number(station, 5, "longitude", -180.0, 180.0, place),
        time_zone=_number(station, 3, "time zone", -12.0, 14.0, place),
        elevation=_number(station, 6, "elevation", -500.0, 9000.0, place),
        records_an_hour=1,
        body=rows[2:],
        columns=tuple(
            _tmy3_column(name, len(head) if index is None else index, doubt) for name, index in found.items()
        ),
        stamp=_tmy3_stamp,
        example="MM/DD/YYYY, HH:MM from 01:00 to 24:00, ...",
    )


def _index(head: Sequence[str], name: str) -> int | None:
    """Return where a column stands; a name counts with or without its unit, not with "source" or "uncert" behind it."""
    wanted = re.compile(rf"{re.escape(name)}(?!.*(source|uncert|quantity))|{re.escape(name)}$", re.IGNORECASE)
    if "uncert" in name:
        wanted = re.compile(re.escape(name), re.IGNORECASE)
    return next((number for number, cell in enumerate(head) if wanted.match(cell)), None)


_DATE = re.compile(r"(\d{1,2})/(\d{1,2})/\d{4}$")
_TIME = re.compile(r"(\d{1,2}):00$")


def _tmy3_stamp(cells: Sequence[str]) -> Stamp | None:
    if len(cells) < 2:
        return None
    date, time = _DATE.match(cells[0].strip()), _TIME.match(cells[1].strip())
    return (int(date[1]), int(date[2]), int(time[1])) if date and time else None


MISSING_IN_TMY3: Final = -9900.0
UNKNOWN_DOUBT: Final = "9"

# User's manual for TMY3 data sets, NREL/TP-581-43156 (from memory): -9900 marks a missing value; uncertainty code 9
# stands for "worse than an estimate, or unknown".
_TMY3_COLUMNS: Final[dict[str, tuple[str, str, float, float, float]]] = {
    "Dry-bulb": ("dry bulb", CELSIUS, -90.0, 60.0, 1.0),
    "Dew-point": ("dew point", CELSIUS, -100.0, 60.0, 1.0),
    "RHum": ("relative humidity", "%", 0.0, 110.0, 0.01),
    "Pressure": ("pressure", "mbar", 310.0, 1200.0, 100.0),
    "Lprecip depth": ("precipitation", "mm", 0.0, 500.0, 1e-3),
}


def _tmy3_column(name: str, index: int, doubt: int | None) -> Column:
    ours, unit, low, high, factor = _TMY3_COLUMNS[name]

    def certain(cells: Sequence[str]) -> bool:
        return doubt is None or doubt >= len(cells) or cells[doubt] != UNKNOWN_DOUBT

    return Column(
        name=ours,
        index=index,
        unit=unit,
        missing=lambda number: number <= MISSING_IN_TMY3 or number >= 9999,
        low=low,
        high=high,
        factor=factor,
        required=ours == "dry bulb",
        certain=certain if ours == "precipitation" else None,
    )
