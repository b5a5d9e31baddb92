"""The published order of acceptance: what each step looks at and what decides it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache

from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class AcceptanceStep:
    """One step, in our words. ``decided_by`` names a check, or a tick with the step's id.

    ``functional`` are the steps of the functional tests that test the same.
    """

    id: str
    text: str
    expects: str
    decided_by: str
    source: str
    confirmed: str
    functional: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Acceptance:
    """All steps in order, and the words that must stand on the sheet."""

    words: str
    steps: tuple[AcceptanceStep, ...]


@cache
def acceptance() -> Acceptance:
    """Return the acceptance procedure."""
    data = read_toml("procedures", "acceptance.toml")
    rows = (row | {"functional": tuple(row.get("functional", ()))} for row in data["step"])
    return Acceptance(data["words"], tuple(AcceptanceStep(**row) for row in rows))
