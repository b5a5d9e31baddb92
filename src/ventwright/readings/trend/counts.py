"""How many rows came, how many were kept, and why each of the others was left out: nothing goes without being counted."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Final

from ventwright.readings.trend.source_file import Piece

REASONS: Final[Mapping[str, str]] = {
    "head": "lines above the names of the columns",
    "names_again": "the names of the columns, once more",
    "empty_line": "empty lines",
    "too_few_cells": "fewer cells than columns: cut off, so that its last number may be too",
    "too_many_cells": "more cells than columns: no telling which is which",
    "no_time": "no time, or text where the time belongs",
    "impossible_time": "a day or an hour that does not exist",
    "skipped_by_the_clock": "an hour that the clock skips when summer time begins",
    "no_value": "a time, and no value in any column that is used",
    "cut_off": "the packed file is damaged, or ends in the middle of its data: what follows is lost",
    "waits": "a last line without an end: it is read when the file has gone on",
    "repeated": "the same time once more, with the same values or with none that are new",
    "contradicts": "the same time once more with another value: the first one stands",
}
"""Why a row is left out, by the word for it in JSON."""

CELL_REASONS: Final[Mapping[str, str]] = {
    "blank": "empty cells",
    "text": "text where a number belongs",
    "neither_on_nor_off": "neither on nor off",
    "impossible": "a number that the point cannot have",
}
"""Why a cell of a row that is kept holds no value, by the word for it in JSON."""


@dataclass(slots=True)
class Counts:
    """How many rows came, how many were kept, and why the others were not; adds up, or it is a mistake of ours."""

    rows: int = 0
    """Lines read, whatever they held."""
    kept: int = 0
    dropped: dict[str, int] = field(default_factory=dict[str, int])
    """Rows left out, by reason: the words of ``REASONS``."""
    cells: dict[str, dict[str, int]] = field(default_factory=dict[str, dict[str, int]])
    """Cells of kept rows without a value, by column heading and reason: the words of ``CELL_REASONS``."""
    examples: dict[str, dict[str, str]] = field(default_factory=dict[str, dict[str, str]])
    """First text that was no number, by column heading and reason."""
    out_of_order: int = 0
    """Rows that came after a later one; kept, and sorted."""

    def drop(self, reason: str, rows: int = 1) -> None:
        """Count rows that are left out."""
        if rows:
            self.dropped[reason] = self.dropped.get(reason, 0) + rows

    def blank(self, heading: str, reason: str, cells: int = 1, example: str = "") -> None:
        """Count cells without a value."""
        if cells:
            of = self.cells.setdefault(heading, {})
            of[reason] = of.get(reason, 0) + cells
            if example:
                self.examples.setdefault(heading, {}).setdefault(reason, example[:60])

    def break_off(self, piece: Piece) -> None:
        """Count what is left over where a piece breaks off: one row, which is not read."""
        if piece.cut_off or piece.waits:
            self.rows += 1
            self.drop("cut_off" if piece.cut_off else "waits")

    def add(self, other: Counts) -> None:
        """Add another file's or block's counts."""
        self.rows += other.rows
        self.kept += other.kept
        self.out_of_order += other.out_of_order
        for reason, rows in other.dropped.items():
            self.drop(reason, rows)
        for heading, of in other.cells.items():
            for reason, cells in of.items():
                self.blank(heading, reason, cells, other.examples.get(heading, {}).get(reason, ""))

    @property
    def adds_up(self) -> bool:
        """Whether every row that came was kept or has a reason."""
        return self.rows == self.kept + sum(self.dropped.values())
