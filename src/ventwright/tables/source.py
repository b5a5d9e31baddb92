"""Where a printed number stands, and how sure anyone here is that it stands there."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

if TYPE_CHECKING:
    from collections.abc import Mapping

CONFIRMED: Final = {
    "read": "read in the text itself",
    "open data": "taken from an open data set or tool of a US national laboratory or of the state agency that makes the code",
    "secondary": "read in a page about the text, not in the text",
    "disputed": "two sources disagree",
    "from memory": "nobody looked it up",
}
"""The ways a row can be confirmed, and what each means."""


@dataclass(frozen=True, slots=True)
class Source:
    """Document, edition and place of a row, and how it was confirmed."""

    code: str
    edition: str
    section: str
    confirmed: str
    by: str
    note: str = ""

    def __post_init__(self) -> None:
        if self.confirmed not in CONFIRMED:
            message = f'"{self.confirmed}" is no way to confirm a row; there are: {", ".join(CONFIRMED)}'
            raise ValueError(message)

    def __str__(self) -> str:
        """Return the place in one line: document, edition, section."""
        return ", ".join(part for part in (f"{self.code}-{self.edition}", self.section) if part)

    @property
    def doubt(self) -> str:
        """What an output adds to the row so that nobody takes it for more than it is; empty where none is due."""
        note = f" ({self.note})" if self.note else ""
        match self.confirmed:
            case "disputed":
                return f"disputed: {self.note or 'two sources disagree'}"
            case "from memory":
                return f"from memory, check before relying on it{note}"
            case "secondary":
                return f"from a page about the text, not read in the text itself{note}"
            case _:
                return ""


def source_of(row: Mapping[str, Any], table: Mapping[str, Any], *more_notes: str) -> Source:
    """Build the source of a row: what the row says itself, else what its table says, and every note of both."""
    said = [row.get("note", ""), table.get("note", ""), *more_notes]
    return Source(
        **{name: row.get(name) or table[name] for name in ("code", "edition", "section", "confirmed", "by")},
        note="; ".join(dict.fromkeys(note for note in said if note)),
    )


def document_of(edition: str) -> dict[str, str]:
    """Split an edition such as "90.1-2019" into its document and its year."""
    code, _, year = edition.rpartition("-")
    return {"code": f"ASHRAE {code}" if code[0].isdigit() else code, "edition": year}


def editions_of(row: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the editions that a row of a file names; "Title24-2016" there is "Title 24-2016", since spaces part them."""
    return tuple(edition.replace("Title24-", "Title 24-") for edition in row["editions"].split())


def source_for(edition: str, sources: list[dict[str, Any]]) -> tuple[Source, dict[str, Any]] | None:
    """Find the source that names an edition, as a Source and as written, or None where none does."""
    for row in sources:
        if edition in editions_of(row):
            return source_of(row, document_of(edition)), row
    return None
