"""Measured hours: a CSV of our own plain form, whose head names the place and whose columns name their units.

    # place: roof of Larkspur Row
    # elevation: 60 ft
    # latitude: 37.6
    time, outdoor air [°F], relative humidity [%], pressure [kPa]
    2025-03-01 00:00, 52.1, 80, 101.9

A time is where its hour begins. The year may begin on any day; gaps of up to three hours are filled, and said.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping, Sequence
from datetime import datetime
from itertools import groupby

from ventwright.errors import Refusal, Refused
from ventwright.quantity import FRACTION, LENGTH, PRESSURE, TEMPERATURE, Dimension, read
from ventwright.tables.weather_layout import Column, Layout, Row, Stamp, calendar

KIND = "measured hours"
LONGEST_GAP = 3
"""Hours in a row that are filled by a straight line (our own assumption)."""

COLUMNS: tuple[tuple[str, str, Dimension, float, float], ...] = (
    ("dry bulb", r"dry.?bulb|outdoor|outside|temperature", TEMPERATURE, -90.0, 60.0),
    ("dew point", r"dew.?point", TEMPERATURE, -100.0, 60.0),
    ("relative humidity", r"humid|\brh\b", FRACTION, 0.0, 1.1),
    ("pressure", r"pressure|barometer", PRESSURE, 31e3, 120e3),
)
"""Our name of a column, what its heading holds, what it measures, and the values that are possible in SI."""

EXAMPLE = "2025-03-01 00:00, one value for each column"
HEAD = "lines such as # elevation: 60 ft and # latitude: 37.6 above its columns"


def is_measured(rows: Sequence[Row]) -> bool:
    """Whether rows begin as a file of measured hours does: notes with "#", then a column of times."""
    heading = next((cells for _, cells in rows if not cells[0].lstrip().startswith("#")), [""])
    return re.fullmatch(r"(date|time|date.?time|timestamp|hour)\b.*", heading[0].strip(), re.IGNORECASE) is not None and len(
        heading
    ) > 1  # fmt: skip


def layout_of(rows: Sequence[Row], place: str) -> tuple[Layout, tuple[str, ...]]:
    """Read the head, put the hours in the order of the calendar, and fill short gaps.

    Raises
    ------
    Refused
        No elevation or latitude, no column of temperatures, a unit that is not known, or two rows of one hour.
    """
    notes = [cells for _, cells in rows if cells[0].lstrip().startswith("#")]
    head = dict(_facts(notes))
    body = [(line, cells) for line, cells in rows if not cells[0].lstrip().startswith("#")]
    line, heading = body[0]
    columns = tuple(_columns(heading, place, line))
    if all(one.name != "dry bulb" for one in columns):
        problem, accepted = "has no column of outdoor temperatures", "a heading such as outdoor air [°F]"
        raise Refused(Refusal(problem, accepted, place, line=line))
    hours = _by_stamp(body[1:], place)
    filled, mended = _filled(hours, [one.index for one in columns])
    absent = len(heading) + 1
    rest = [
        Column(name=name, index=absent, unit="", missing=lambda _: False, low=low, high=high)
        for name, _, _, low, high in (*COLUMNS, ("precipitation", "", LENGTH, 0.0, 1.0))
        if all(one.name != name for one in columns)
    ]
    layout = Layout(
        kind=KIND, name=head.get("place", "measured"), region=head.get("region", ""), station=head.get("station", ""),
        latitude=_latitude(head, place), longitude=0.0, time_zone=0.0, elevation=_elevation(head, place),
        records_an_hour=1, body=filled, columns=(*columns, *rest), stamp=_stamp, example=EXAMPLE,
    )  # fmt: skip
    return layout, mended


def _facts(notes: Sequence[Sequence[str]]) -> Iterator[tuple[str, str]]:
    """Yield what the lines with "#" say."""
    for cells in notes:
        key, _, value = ",".join(cells).lstrip("# ").partition(":")
        yield key.strip().lower(), value.strip()


def _elevation(head: Mapping[str, str], place: str) -> float:
    if "elevation" not in head:
        raise Refused(Refusal("does not say how high its place lies", HEAD, place))
    try:
        return read(head["elevation"], LENGTH, at_least=-500.0, at_most=9000.0).value
    except Refused as refused:
        raise Refused(*(one.at(f"{place} elevation") for one in refused.refusals)) from None


def _latitude(head: Mapping[str, str], place: str) -> float:
    try:
        value = float(head.get("latitude", ""))
    except ValueError:
        value = 999.0
    if not -90.0 <= value <= 90.0:
        raise Refused(Refusal("does not say its latitude in degrees", HEAD, place, head.get("latitude", "")))
    return value


def _columns(heading: Sequence[str], place: str, line: int) -> Iterator[Column]:
    taken: set[str] = set()
    for index, cell in enumerate(heading[1:], start=1):
        found = re.fullmatch(r"(.*?)\s*[\[(](.+?)[\])]\s*", cell.strip())
        words, unit_name = (found[1], found[2]) if found else (cell.strip(), "")
        row = next(
            (
                one
                for one in reversed(COLUMNS)
                if one[0] not in taken and re.search(one[1], words, re.IGNORECASE)
            ),
            None,
        )
        if row is None:
            continue
        name, _, dimension, low, high = row
        unit = dimension.unit(unit_name)
        if unit is None:
            accepted = f"{words} with its unit in brackets, such as [{dimension.us.names[0]}]"
            raise Refused(Refusal(f"names no unit of {dimension.one}", accepted, place, cell.strip(), line))
        taken.add(name)
        yield Column(
            name=name, index=index, unit=unit.names[0], missing=lambda _: False,
            low=(low - unit.offset) / unit.factor, high=(high - unit.offset) / unit.factor,
            factor=unit.factor, offset=unit.offset, required=name == "dry bulb",
        )  # fmt: skip


def _stamp(cells: Sequence[str]) -> Stamp | None:
    """Month, day and hour from 1, of the hour that begins at a time."""
    try:
        at = datetime.fromisoformat(cells[0].strip())
    except ValueError:
        return None
    return None if at.minute or at.second else (at.month, at.day, at.hour + 1)


def _by_stamp(body: Sequence[Row], place: str) -> dict[Stamp, Row]:
    found: dict[Stamp, Row] = {}
    for line, cells in body:
        stamp = _stamp(cells)
        if stamp is None:
            problem = "cannot be read as the beginning of an hour"
            raise Refused(Refusal(problem, EXAMPLE, place, cells[0].strip(), line))
        if stamp in found:
            problem = "stands twice, in this year or in another"
            raise Refused(Refusal(problem, "every hour of one year once", place, cells[0].strip(), line))
        found[stamp] = (line, cells)
    return found


def _filled(hours: Mapping[Stamp, Row], indexes: Sequence[int]) -> tuple[list[Row], tuple[str, ...]]:
    """Put hours in the order of the calendar; a gap between two of them, if it is short, is filled."""
    leap = (2, 29, 12) in hours
    body: list[Row] = []
    filled = 0
    runs = [
        (there, list(run))
        for there, run in groupby(calendar(leap=leap), key=lambda stamp: _whole(hours.get(stamp), indexes))
    ]
    for number, (there, run) in enumerate(runs):
        ends = (
            runs[number - 1][1][-1] if number else None,
            runs[number + 1][1][0] if number + 1 < len(runs) else None,
        )
        if not there and len(run) <= LONGEST_GAP and ends[0] is not None and ends[1] is not None:
            body += _between(hours[ends[0]], hours[ends[1]], run, indexes)
            filled += len(run)
        else:
            body += [hours[stamp] for stamp in run if stamp in hours]
    if not filled:
        return body, ()
    spelled = "1 hour was" if filled == 1 else f"{filled} hours were"
    return body, (f"{spelled} missing, no more than {LONGEST_GAP} in a row: a straight line stands for them",)


def _whole(row: Row | None, indexes: Sequence[int]) -> bool:
    """Whether an hour is there with all its numbers."""
    return row is not None and all(index < len(row[1]) and row[1][index].strip() for index in indexes)


def _between(before: Row, after: Row, run: Sequence[Stamp], indexes: Sequence[int]) -> Iterator[Row]:
    """Yield rows on a straight line between two hours; what is no number there stays empty, for the checks to find."""
    for place, (month, day, hour) in enumerate(run, start=1):
        part = place / (len(run) + 1)
        cells = [""] * (max(indexes) + 1)
        cells[0] = f"2024-{month:02d}-{day:02d} {hour - 1:02d}:00"
        for index in indexes:
            try:
                first, second = float(before[1][index]), float(after[1][index])
            except ValueError:
                continue
            cells[index] = f"{first + part * (second - first):.6g}"
        yield before[0], cells
