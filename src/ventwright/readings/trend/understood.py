"""What was understood of a set of files, before any of them is read through, and what only a person can answer."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import TYPE_CHECKING
from zoneinfo import ZoneInfo

from ventwright.errors import Refusal
from ventwright.readings.trend.layout import Layout
from ventwright.readings.trend.measures import Measure
from ventwright.readings.trend.naming import NOT_USED, Guess
from ventwright.readings.trend.source_file import Source
from ventwright.readings.trend.unit_told import LikelyMeasure
from ventwright.tables.point import Point, points

if TYPE_CHECKING:
    from pathlib import Path

SHARED = ""
"""Unit of a column that belongs to every unit of its file, such as one outdoor sensor for the whole roof."""


@dataclass(frozen=True, slots=True)
class Column:
    """One column of one file."""

    place: int
    heading: str
    written_in: str
    """Unit as the file gives it; "" where it gives none."""
    unit: str
    """The rooftop unit that it belongs to; ``SHARED`` for all of the file."""
    unit_said: bool
    """Whether the heading or a person names the unit, rather than file or folder."""
    guess: Guess
    told: LikelyMeasure | None
    point: str
    """Id of the point as it is used, or ``NOT_USED``."""
    measure: Measure | None
    confirmed: bool
    """Whether a person said so."""

    @property
    def is_used(self) -> bool:
        """Whether values are read from it."""
        return self.point != NOT_USED and self.measure is not None

    @property
    def chance(self) -> float:
        """How sure point and unit are together, 0 to 1."""
        if self.confirmed:
            return 1.0
        return self.guess.chance * (self.told.chance if self.told is not None else 1.0)

    @property
    def of(self) -> Point:
        """The point, of a column that is used."""
        return points()[self.point]


@dataclass(frozen=True, slots=True)
class LogFile:
    """One file: how to read it and what its columns are."""

    source: Source
    layout: Layout
    columns: tuple[Column, ...]
    falling: bool
    """Whether the newest row comes first."""
    zone: ZoneInfo | None
    unit: str
    """The rooftop unit that file or folder names."""
    tabular: bool = False
    """Whether it is Parquet, whose columns have types, rather than text."""

    @property
    def path(self) -> Path:
        """Where it is."""
        return self.source.path

    @property
    def name(self) -> str:
        """Its name without the folder."""
        return self.source.path.name

    @property
    def units(self) -> tuple[str, ...]:
        """The rooftop units it holds points of."""
        named = dict.fromkeys(one.unit for one in self.columns if one.is_used and one.unit != SHARED)
        return tuple(named) or (self.unit,)

    def of_unit(self, unit: str) -> tuple[Column, ...]:
        """Return the used columns of one unit, those that all share among them."""
        return tuple(one for one in self.columns if one.is_used and one.unit in (unit, SHARED))


@dataclass(frozen=True, slots=True)
class Understood:
    """Every file with its columns, and what stands in the way of reading them."""

    files: tuple[LogFile, ...]
    questions: tuple[Refusal, ...]
    """What only a person can answer; nothing is read while one is open."""
    refused: tuple[Refusal, ...]
    """Files that cannot be read at all; the others are read without them."""
    remarks: tuple[str, ...]
    zone: str | None
    dates: str | None
    year: int | None

    @property
    def units(self) -> tuple[str, ...]:
        """Every rooftop unit, in order of its name."""
        return tuple(sorted({unit for file in self.files for unit in file.units}))

    @property
    def size(self) -> int:
        """Bytes of all files on the disk."""
        return sum(file.source.size for file in self.files)

    def of_unit(self, unit: str) -> Iterator[LogFile]:
        """Yield the files that hold points of one unit."""
        return (file for file in self.files if unit in file.units)
