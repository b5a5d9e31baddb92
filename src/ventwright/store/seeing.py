"""Whose eyes look at the jobs of a shop."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Seeing:
    """Whose eyes: a technician's, a reviewer's, or those of an owner who was given a link.

    ``jobs`` are the jobs of an owner's link and ``units`` those that it shows; ``device`` is what a phone that shares is
    called.
    """

    person: str = ""
    name: str = ""
    role: str = ""
    jobs: frozenset[str] = frozenset()
    address: str = ""
    device: str = ""
    units: str = ""

    @property
    def sees_all(self) -> bool:
        """Whether every job is there."""
        return self.role == "reviewer"

    @property
    def enters(self) -> bool:
        """Whether anything may be entered."""
        return self.role in {"reviewer", "technician"}
