"""Data files of the package: CSV with its facts in "#" lines on top, and TOML."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from typing import TYPE_CHECKING, Any

if TYPE_CHECKING:
    from collections.abc import Mapping
    from importlib.resources.abc import Traversable

    from ventwright.quantity import Dimension, Unit


ROUNDING = 1e-9
"""Relative; a value converted from the printed unit counts as the printed value: 4.5 tons are 54 000 Btu/h."""


@dataclass(frozen=True, slots=True)
class Sheet:
    """A CSV file: what its head says, the unit of every column that has one, and its rows."""

    head: Mapping[str, str]
    units: Mapping[str, str]
    rows: tuple[Mapping[str, str], ...]

    def unit(self, column: str, dimension: Dimension) -> Unit:
        """Return the unit of a column of one dimension; a column without a known unit is a mistake in the file."""
        for unit in dimension.units:
            if self.units[column] in unit.names:
                return unit
        message = f"column {column} is in {self.units[column]}, which is no unit of a {dimension.name}"
        raise ValueError(message)


def read_sheet(*path: str) -> Sheet:
    """Read a CSV file below ``tables/standards``.

    Its first lines are ``# key: value``, a key that comes twice adding to the first; then one line of column
    names, the unit of a column in brackets; then the rows.
    """
    import csv

    head: dict[str, str] = {}
    lines = _file("standards", *path).read_text(encoding="utf-8").splitlines()
    body = next(number for number, line in enumerate(lines) if not line.startswith("#"))
    for line in lines[:body]:
        key, _, value = line.removeprefix("#").partition(":")
        head[key.strip()] = "; ".join(filter(None, (head.get(key.strip(), ""), value.strip())))
    columns = next(csv.reader([lines[body]]))
    names = [column.partition(" [")[0] for column in columns]
    units = {
        name: column.partition(" [")[2].rstrip("]")
        for name, column in zip(names, columns, strict=True)
        if " [" in column
    }
    rows = tuple(dict(zip(names, cells, strict=True)) for cells in csv.reader(lines[body + 1 :]))
    return Sheet(head, units, rows)


def read_facts(*path: str) -> Mapping[str, Any]:
    """Read a TOML file below ``tables/standards``, once."""
    return read_toml("standards", *path)


@cache
def read_toml(*path: str) -> Mapping[str, Any]:
    """Read a TOML file below ``tables``, once."""
    import tomllib

    return tomllib.loads(_file(*path).read_text(encoding="utf-8"))


@cache
def names(folder: str, ending: str) -> tuple[str, ...]:
    """Return the names, without their ending, of the files of one folder below ``tables``, in order."""
    found = (file.name for file in _file(*folder.split("/")).iterdir())
    return tuple(sorted(name.removesuffix(ending) for name in found if name.endswith(ending)))


def _file(*path: str) -> Traversable:
    from importlib.resources import files

    return files("ventwright.tables").joinpath(*path)
