"""A clause of a code in our own words, its numbers as printed, and where it stands in each edition."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from ventwright.tables.data_file import read_facts
from ventwright.tables.source import Source, source_for

if TYPE_CHECKING:
    from collections.abc import Mapping


@dataclass(frozen=True, slots=True)
class Clause:
    """What one clause asks for, in one edition."""

    id: str
    title: str
    text: str
    quantities: Mapping[str, str]
    """Numbers as printed, with their unit, by what they are."""
    lists: Mapping[str, tuple[str, ...]]
    """Things the clause counts up, such as sensors or faults, by what they are."""
    source: Source


def clauses_of(file: str, edition: str) -> tuple[Clause, ...]:
    """Return the clauses of a TOML file that hold in an edition such as "IECC-2021", in the order of the file."""
    found = []
    for clause in read_facts(file)["clause"]:
        if (placed := source_for(edition, clause["sources"])) is None:
            continue
        source, row = placed
        said = clause | row
        found.append(
            Clause(
                id=clause["id"],
                title=clause["title"],
                text=said["text"],
                quantities=said.get("quantities", {}),
                lists={name: tuple(things) for name, things in said.get("lists", {}).items()},
                source=source,
            )
        )
    return tuple(found)
