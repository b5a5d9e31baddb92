"""The glossary docs/names.md is law: every quantity has its name there, with its unit, and no name is a relic.

What counts as a quantity: a field of a result declared with ``measured``, a field of a document that holds a typed
quantity, a parameter of a public function of physics that is a number, and a field of its tuples and dataclasses
that is one.
"""

from __future__ import annotations

import dataclasses
import importlib
import inspect
import pkgutil
import re
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType
from typing import NamedTuple

import pytest

import ventwright
from ventwright.entry import Entry, Typed
from ventwright.quantity import DIMENSIONS, Dimension

GLOSSARY = Path(__file__).parents[2] / "docs" / "names.md"

COLUMNS = ["name in code", "in the trade", "symbol", "unit", "sign", "what it is not"]

UNITS = {
    "": "-", "_C": "°C", "_K": "K", "_m3_s": "m3/s", "_Pa": "Pa", "_V": "V", "_A": "A", "_ohm": "ohm", "_W": "W", "_J": "J", "_m": "m",
    "_m2": "m2", "_kg_kg": "kg/kg", "_J_kg": "J/kg", "_m3_kg": "m3/kg", "_kg_m3": "kg/m3", "_ppm": "ppm", "_s": "s", "_VA": "VA", "_ohm_m": "ohm/m",
    "_m3_s_per_person": "m3/s per person", "_m3_s_per_m2": "m3/s per m2", "_per_m2": "1/m2", "_K_day": "K·day",
}  # fmt: skip
"""How the glossary writes the unit of a dimension, by the ending of its key in JSON."""

NUMBERS = re.compile(r"^(float|Number|Column|ArrayLike)( \| None)?$")
"""Annotations of physics that stand for a number or an array of numbers."""


def modules() -> Iterator[ModuleType]:
    """Import every module of the package."""
    for found in pkgutil.walk_packages(ventwright.__path__, "ventwright."):
        if not found.name.endswith("__main__"):
            yield importlib.import_module(found.name)


def own(module: ModuleType) -> Iterator[tuple[str, object]]:
    """Yield the public things that a module defines itself."""
    for name, thing in vars(module).items():
        if getattr(thing, "__module__", None) == module.__name__ and not name.startswith("_"):
            yield name, thing


class Found(NamedTuple):
    """A name, its dimension where the code declares one, and where it occurs."""

    name: str
    dimension: Dimension | None
    where: str

    @property
    def unit(self) -> str:
        """The unit as the glossary writes it; a dimension that is not in the list above has to be added to it."""
        return "" if self.dimension is None else UNITS.get(self.dimension.key, f"? ({self.dimension.name})")


def of_results() -> Iterator[Found]:
    """Yield the fields declared with ``measured``."""
    for module in modules():
        for place, thing in own(module):
            if inspect.isclass(thing) and dataclasses.is_dataclass(thing):
                yield from (
                    Found(one.name, one.metadata["dimension"], place)
                    for one in dataclasses.fields(thing)
                    if "dimension" in one.metadata
                )


def of_documents() -> Iterator[Found]:
    """Yield the fields of documents that hold a typed quantity, once for each dimension they take."""
    for module in modules():
        for place, thing in own(module):
            if inspect.isclass(thing) and issubclass(thing, Entry):
                for name, field in thing.model_fields.items():
                    typed = [
                        mark
                        for mark in (*field.metadata, *_marks(field.annotation))
                        if isinstance(mark, Typed)
                    ]
                    yield from (
                        Found(name, dimension, place) for mark in typed for dimension in mark.dimensions
                    )


def _marks(annotation: object) -> Iterator[object]:
    """Yield what annotations inside an annotation are marked with."""
    yield from getattr(annotation, "__metadata__", ())
    for inner in getattr(annotation, "__args__", ()):
        yield from _marks(inner)


def of_physics() -> Iterator[Found]:
    """Yield the numbers that the public functions of physics take and that its results hold."""
    for module in modules():
        if not module.__name__.startswith("ventwright.physics."):
            continue
        for place, thing in own(module):
            if inspect.isfunction(thing):
                parameters = inspect.signature(thing).parameters.values()
                numbers = (one.name for one in parameters if NUMBERS.match(str(one.annotation)))
                yield from (Found(name, None, f"{place}()") for name in numbers)
            elif inspect.isclass(thing) and (dataclasses.is_dataclass(thing) or issubclass(thing, tuple)):
                annotations = inspect.get_annotations(thing)
                words = {
                    name: getattr(kind, "__forward_arg__", str(kind)) for name, kind in annotations.items()
                }
                yield from (Found(name, None, place) for name, word in words.items() if NUMBERS.match(word))


def quantities() -> Iterator[Found]:
    """Yield every quantity that has a name in the code; its dimension where the code declares it."""
    yield from of_results()
    yield from of_documents()
    yield from of_physics()


def rows(text: str) -> list[dict[str, str]]:
    """Return the rows of every table of the glossary whose first column is a name in code."""
    found = []
    for line in text.splitlines():
        cells = [cell.strip() for cell in line.strip().strip("|").split(" | ")]
        if len(cells) == len(COLUMNS) and cells[0].startswith("`"):
            found.append(dict(zip(COLUMNS, (cells[0].strip("`"), *cells[1:]), strict=True)))
    return found


@pytest.fixture(scope="module")
def glossary() -> dict[str, list[dict[str, str]]]:
    """Return the rows of the glossary by name."""
    found: dict[str, list[dict[str, str]]] = {}
    for row in rows(GLOSSARY.read_text(encoding="utf-8")):
        found.setdefault(row["name in code"], []).append(row)
    return found


def test_every_quantity_stands_in_the_glossary(glossary: dict[str, list[dict[str, str]]]) -> None:
    """Whoever names a new quantity decides its trade name, unit, sign and limits first."""
    missing = {f"{one.name} [{one.unit}] in {one.where}" for one in quantities() if one.name not in glossary}
    assert sorted(missing) == []


def test_the_glossary_holds_no_relic(glossary: dict[str, list[dict[str, str]]]) -> None:
    """A name that no longer occurs in the code leaves the glossary too."""
    assert sorted(glossary.keys() - {one.name for one in quantities()}) == []


def test_the_unit_is_that_of_the_code(glossary: dict[str, list[dict[str, str]]]) -> None:
    """Where the code declares a dimension, the glossary gives its SI unit."""
    wrong = {
        f"{one.name} [{one.unit}] in {one.where}"
        for one in quantities()
        if one.unit and not any(one.unit in row["unit"].split(", ") for row in glossary.get(one.name, []))
    }
    assert sorted(wrong) == []


def test_every_row_is_whole(glossary: dict[str, list[dict[str, str]]]) -> None:
    """Trade name, unit, sign and what it is not are given for every name; a name has one row for each meaning."""
    assert len(glossary) > 60
    for name, meanings in glossary.items():
        assert len({row["unit"] for row in meanings}) == len(meanings), name
        assert all(row[column] for row in meanings for column in COLUMNS), name


def test_temperature_and_difference_never_share_a_unit(glossary: dict[str, list[dict[str, str]]]) -> None:
    """A name is a temperature in °C or a difference in K, never both; an enthalpy names its datum."""
    for name, meanings in glossary.items():
        units = {unit for row in meanings for unit in row["unit"].split(", ")}
        assert not {"°C", "K"} <= units, name
        if "J/kg" in units:
            assert any("0 °C" in row["what it is not"] + row["sign"] for row in meanings), name


def test_the_units_of_the_glossary_are_those_of_the_program() -> None:
    """Every dimension that can be typed has its unit in the list above."""
    assert {dimension.key for dimension in DIMENSIONS} <= UNITS.keys()
