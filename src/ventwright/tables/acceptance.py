"""The published order of acceptance: what each step looks at and what decides it."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from tomllib import loads


@dataclass(frozen=True, slots=True)
class AcceptanceStep:
    """One step, in our words. ``decided_by`` names a check, or a tick with the step's id."""

    id: str
    text: str
    expects: str
    decided_by: str
    source: str
    confirmed: str


@dataclass(frozen=True, slots=True)
class Acceptance:
    """All steps in order, and the words that must stand on the sheet."""

    words: str
    steps: tuple[AcceptanceStep, ...]


@cache
def acceptance() -> Acceptance:
    """Return the acceptance procedure."""
    data = loads(
        files("ventwright.tables").joinpath("procedures", "acceptance.toml").read_text(encoding="utf-8")
    )
    return Acceptance(data["words"], tuple(AcceptanceStep(**row) for row in data["step"]))
