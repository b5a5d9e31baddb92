"""Whatever stands in a data file says where it comes from and how sure anyone is of it."""

from __future__ import annotations

import re
import tomllib
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest

from ventwright.document import read_document
from ventwright.tables.source import CONFIRMED

TABLES = Path(__file__).parents[2] / "src" / "ventwright" / "tables"
TOML = sorted(TABLES.rglob("*.toml"))
CSV = sorted(TABLES.rglob("*.csv"))
EQUIPMENT = sorted((TABLES / "equipment").rglob("*.yaml"))

PRACTICE = "common practice, no published source"
OURS = "our own assumption"
MARKS = {*CONFIRMED, PRACTICE, OURS}
"""The ways in which a fact may be confirmed."""

SAYS_WHERE = {"confirmed", "source", "sources"}
A_FACT = re.compile(r"^-?\d")
"""A printed value: text that begins with a figure, as "65 F" or "10 %"."""


def is_fact(value: Any) -> bool:
    """Tell whether a value is a number or a printed quantity, itself or in a list."""
    if isinstance(value, list):
        return any(is_fact(one) for one in value)
    if isinstance(value, str):
        return bool(A_FACT.match(value))
    return isinstance(value, int | float) and not isinstance(value, bool)


def unmarked(part: Any, place: str = "", *, marked: bool = False) -> Iterator[str]:
    """Yield the places of a document whose facts have a mark neither beside them nor above."""
    if isinstance(part, list):
        for number, one in enumerate(part, start=1):
            yield from unmarked(one, f"{place}[{number}]", marked=marked)
    if isinstance(part, dict):
        marked = marked or bool(SAYS_WHERE & part.keys())
        for key, value in part.items():
            where = f"{place}.{key}".lstrip(".")
            if key in SAYS_WHERE | {"edition", "editions"}:
                continue
            if is_fact(value) and not marked:
                yield where
            yield from unmarked(value, where, marked=marked)


def marks(part: Any) -> Iterator[str]:
    """Yield every mark of a document."""
    if isinstance(part, dict):
        if "confirmed" in part:
            yield part["confirmed"]
        for value in part.values():
            yield from marks(value)
    if isinstance(part, list):
        for one in part:
            yield from marks(one)


@pytest.mark.parametrize("path", TOML, ids=lambda path: str(path.relative_to(TABLES)))
def test_every_fact_of_a_toml_file_is_marked(path: Path) -> None:
    """Beside a number, or above it, stands a source or how it was confirmed, in one of the known words."""
    text = path.read_text(encoding="utf-8")
    document = tomllib.loads(text)
    assert document.get("title") or text.startswith("# "), "the file does not say what it is"
    assert list(unmarked(document)) == []
    assert set(marks(document)) <= MARKS


@pytest.mark.parametrize("path", CSV, ids=lambda path: str(path.relative_to(TABLES)))
def test_every_csv_file_says_where_it_is_from(path: Path) -> None:
    """Title, document, mark, by what and licence stand in the lines above the columns."""
    head = dict(
        line.removeprefix("# ").split(": ", 1)
        for line in path.read_text(encoding="utf-8").splitlines()
        if line.startswith("# ")
    )
    assert {"title", "code", "edition", "section", "confirmed", "by", "licence"} <= head.keys()
    assert head["confirmed"] in MARKS


def test_usual_values_name_their_source() -> None:
    """A usual setting is common practice and says so, or names a document and whether it was read."""
    usual = tomllib.loads((TABLES / "priors" / "usual_settings.toml").read_text(encoding="utf-8"))
    for name, row in usual.items():
        if isinstance(row, dict):
            assert row["source"] == PRACTICE or re.search(r"\d", row["source"]), name


@pytest.mark.parametrize("path", EQUIPMENT, ids=lambda path: path.name)
def test_equipment_on_the_shelf_is_invented_and_says_so(path: Path) -> None:
    """No real product is on the shelf: a comment and a key of the file say that it is invented."""
    text = path.read_text(encoding="utf-8")
    document, _ = read_document(text, path.name)
    assert "invented" in text.splitlines()[0]
    assert document["invented"] is True


def test_a_bare_number_is_noticed() -> None:
    """A fact without a mark is found, at whatever depth; one below a mark is not."""
    bare = tomllib.loads('title = "t"\n[limit]\nvalue = "65 F"\n[[row]]\nrates = [1.0, 2.0]\n')
    assert list(unmarked(bare)) == ["limit.value", "row[1].rates"]
    assert list(unmarked({"confirmed": "read", "limit": {"value": "65 F"}})) == []
