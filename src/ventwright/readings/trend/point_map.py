"""The point map: which column is which point of which unit, as a person confirmed it once; kept as a YAML file."""

from __future__ import annotations

import re
from collections.abc import Iterable
from fnmatch import fnmatchcase
from typing import TYPE_CHECKING, Any, Literal

from pydantic import Field, field_validator, model_validator

from ventwright.entry import Count, Entry, Number
from ventwright.errors import Refusal, Refused
from ventwright.readings.trend.clock import zone_named
from ventwright.readings.trend.measures import Measure, measure_named, measures_of
from ventwright.readings.trend.naming import NOT_USED
from ventwright.tables.point import point, points

if TYPE_CHECKING:
    from pathlib import Path

    from ventwright.readings.trend.understood import Understood

EVERY_FILE = "*"


class MappedColumn(Entry):
    """One column of the files: which point it is, in which unit it is written, whose it is."""

    heading: str = Field(description="name of the column as it stands in the file")
    point: str = Field(description=f'a point such as outdoor_temperature, or "{NOT_USED}"')
    measured_in: str | None = Field(
        None, description="unit of its numbers, such as °F, %, 0-1, 0-10 V, 2-10 V, on/off"
    )
    unit: str | None = Field(
        None, description="the rooftop unit it belongs to; else as file and heading tell"
    )
    file: str = Field(
        EVERY_FILE, description='name of the file, in which * stands for anything, such as "rtu-3*.csv"'
    )
    chance: Number | None = Field(
        None, description="how sure the guess was, 0 to 1; kept for whoever looks at it"
    )

    @field_validator("point")
    @classmethod
    def _known(cls, given: str) -> str:
        return given if given == NOT_USED else point(given).id

    @model_validator(mode="after")
    def _measured(self) -> MappedColumn:
        if self.point != NOT_USED and self.measured_in is not None and self.measure is None:
            kind = point(self.point).kind.name
            accepted = ", ".join(measures_of(kind))
            raise Refused(Refusal(f"is no unit of {kind}", accepted, "measured_in", self.measured_in))
        return self

    @property
    def measure(self) -> Measure | None:
        """How its numbers become SI; None where the column is not used or its unit is left to the file."""
        if self.point == NOT_USED or self.measured_in is None:
            return None
        return measure_named(points()[self.point].kind.name, self.measured_in)

    def is_about(self, file: str, heading: str) -> bool:
        """Whether a column of a file is meant."""
        return self.heading == heading and fnmatchcase(file, self.file)


class PointMap(Entry):
    """The file: what a person said about logs of one building, read again with every new log of it."""

    kind: Literal["point map"] = "point map"
    zone: str | None = Field(
        None, description="time zone of the clock that wrote the files, such as America/Chicago"
    )
    dates: Literal["month first", "day first"] | None = Field(None, description="of dates such as 03/04/2026")
    year: Count | None = Field(
        None, ge=1970, le=2100, description="year of the first row, where the files give none"
    )
    columns: tuple[MappedColumn, ...] = ()

    @field_validator("zone")
    @classmethod
    def _on_earth(cls, given: str | None) -> str | None:
        return None if given is None else zone_named(given, "").key

    def column(self, file: str, heading: str) -> MappedColumn | None:
        """Return what is said of a column; the first line that fits, so that a special one stands above a general one."""
        return next((one for one in self.columns if one.is_about(file, heading)), None)


def read_point_map(path: Path) -> PointMap:
    """Read a point map.

    Raises
    ------
    Refused
        It cannot be read, or has mistakes: every one of them, with its line.
    """
    from ventwright.tables.shelf import read_part

    return read_part(path, PointMap)


def point_map_of(understood: Understood) -> str:
    """Return the text of a point map that says what was understood, to be looked over and kept."""
    said: list[dict[str, Any]] = []
    seen: set[tuple[str, str, str]] = set()
    for file in understood.files:
        for column in file.columns:
            used = column.point != NOT_USED
            entry: dict[str, Any] = {"heading": column.heading, "point": column.point}
            if used and column.measure is not None:
                entry["measured_in"] = column.measure.name
            if used and column.unit and column.unit_said:
                entry["unit"] = column.unit
            if not column.heading:
                entry["file"] = file.name
            entry["chance"] = round(column.chance, 2)
            key = (column.heading, column.point, entry.get("file", ""))
            if key not in seen:
                seen.add(key)
                said.append(entry)
    return _text(understood, said)


def written_map(said: PointMap) -> str:
    """Return the text of a point map that says what a person said."""
    columns = [one.model_dump(exclude_none=True, exclude_defaults=True) for one in said.columns]
    return _text(said, columns)


def _text(understood: Understood | PointMap, columns: Iterable[dict[str, Any]]) -> str:
    lines = [
        "# Which column is which point. Look every line over once; then the file is used as it stands.",
        f'# point: one of `ventwright trends --list-points`, or "{NOT_USED}". measured_in: unit of the numbers. chance: how sure the guess was.',
        "kind: point map",
    ]
    facts = {"zone": understood.zone, "dates": understood.dates, "year": understood.year}
    lines += [f"{key}: {value}" for key, value in facts.items() if value is not None]
    lines.append("columns:")
    for entry in columns:
        first, *rest = (f"{key}: {_quoted(value)}" for key, value in entry.items())
        lines += [f"  - {first}", *(f"    {line}" for line in rest)]
    return "\n".join(lines) + "\n"


_PLAIN = re.compile(r"[A-Za-z_][A-Za-z0-9_ ]*[A-Za-z0-9_]")


def _quoted(value: object) -> str:
    """Return a value as YAML reads it again, whatever stands in it."""
    import json

    if not isinstance(value, str):
        return str(value)
    plain = _PLAIN.fullmatch(value) and value.lower() not in {
        "true",
        "false",
        "null",
        "yes",
        "no",
        "on",
        "off",
    }
    return value if plain else json.dumps(value, ensure_ascii=False)
