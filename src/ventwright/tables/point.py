"""The points of a rooftop unit that a log may hold: what each measures, and what open standards call it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

from ventwright.errors import refuse_word
from ventwright.tables.data_file import read_toml

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Kind:
    """What a kind of point measures, and the whole multiple in which its values are kept."""

    name: str
    si: str
    """SI unit as a person reads it."""
    step: float
    """Values are whole multiples of it. [unit of ``si``]"""


@dataclass(frozen=True, slots=True)
class Way:
    """One combination of meanings that names a point, and how often it does."""

    meanings: frozenset[str]
    chance: float


@dataclass(frozen=True, slots=True)
class Point:
    """One point of a unit."""

    id: str
    name: str
    kind: Kind
    ways: tuple[Way, ...]
    allows: frozenset[str]
    """Meanings that may stand beside without changing which point it is."""
    brick: tuple[str, ...]
    """Classes of Brick 1.4 that are this point on a rooftop unit."""
    haystack: tuple[str, ...]
    """Tags of Project Haystack that together are this point."""
    least: float
    """No such point shows less. [SI]"""
    most: float
    """No such point shows more. [SI]"""
    usual: tuple[float, float]
    """Between which the values of most units lie most of the time. [SI]"""

    @property
    def step(self) -> float:
        """The whole multiple in which values are kept. [SI unit of the point]"""
        return self.kind.step


@cache
def points() -> Mapping[str, Point]:
    """Return every point by its id."""
    held = _file()
    kinds = {name: Kind(name, row["si"], row["step"]) for name, row in held["kinds"].items()}
    return {name: _point(name, row, kinds, held["kinds"]) for name, row in held["points"].items()}


def point(name: str, where: str = "") -> Point:
    """Return one point.

    Raises
    ------
    Refused
        No point has this id.
    """
    if name not in points():
        raise refuse_word(name, {one.id: one.name for one in points().values()}, "a point of a unit", where)
    return points()[name]


@cache
def meanings() -> Mapping[str, str]:
    """Return what a word or an abbreviation in a name means, by the word in small letters; "" for one that says nothing."""
    held = _file()
    known = {
        spelling: meaning for meaning, spellings in held["words"].items() for spelling in spellings.split()
    }
    known |= dict.fromkeys(held["says_nothing"]["words"].split(), "")
    known |= held["several"]["words"]
    return known


def _point(name: str, row: Mapping[str, Any], kinds: Mapping[str, Kind], ranges: Mapping[str, Any]) -> Point:
    kind = kinds[row["kind"]]
    least, most = row.get("possible", ranges[row["kind"]]["possible"])
    return Point(
        id=name,
        name=row["name"],
        kind=kind,
        ways=tuple(Way(frozenset(said.split()), chance) for said, chance in row["ways"].items()),
        allows=frozenset(row.get("allows", "").split()),
        brick=tuple(row.get("brick", "").split()),
        haystack=tuple(row.get("haystack", "").split()),
        least=float(least),
        most=float(most),
        usual=tuple(row.get("usual", (least, most))),
    )


def _file() -> Mapping[str, Any]:
    return read_toml("points", "rooftop.toml")
