"""A connector as it can be seen: plug or socket, rows and columns, key, numbering; and the circuits in its cavities."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Entry
from ventwright.errors import Refusal, Refused
from ventwright.tables.circuit import Circuit

End = Literal["plug", "socket", "loose wires", "screw terminals"]

BY_HAND = frozenset({"loose wires", "screw terminals"})
"""Ends that are joined wire by wire, each where its function belongs."""

Place = tuple[int, int]


class Shape(Entry):
    """What can be seen of a connector with the plug in the hand. What is left empty was not seen."""

    name: str = Field(min_length=3, description="what it is called within its part, plain words")
    end: End = Field(
        description="plug (it has the pins), socket (it takes them), loose wires or screw terminals"
    )
    family: str = Field("", description="make of housing in plain words of one's own; empty: not known")
    rows: int = Field(1, ge=1, le=20, description="rows of cavities")
    columns: int = Field(1, ge=1, le=60, description="cavities in a row")
    key: str = Field("", description='what keeps it from going in wrong, or "none"; empty: not known')
    numbered_from: Literal["mating face", "wire side"] = Field(
        "mating face", description="side from which the numbers run left to right and top to bottom"
    )
    numbered_along: Literal["rows", "columns"] = Field(
        "rows", description="whether the numbers run along the rows or down the columns"
    )

    @property
    def count(self) -> int:
        """Number of cavities."""
        return self.rows * self.columns

    @property
    def by_hand(self) -> bool:
        """Whether it is joined wire by wire."""
        return self.end in BY_HAND

    @property
    def described(self) -> str:
        """The shape in a few words."""
        if self.by_hand:
            return self.end
        family = f" ({self.family})" if self.family else ""
        return f"{self.count}-way {self.end}{family}"

    def place(self, cavity: int) -> Place:
        """Row and column of a cavity, from 0, as its mating face is looked at with the top up."""
        step = cavity - 1
        if self.numbered_along == "rows":
            row, column = divmod(step, self.columns)
        else:
            column, row = divmod(step, self.rows)
        return (row, column) if self.numbered_from == "mating face" else (row, self.columns - 1 - column)

    def at(self, place: Place) -> int:
        """Cavity that stands at a row and column of the mating face."""
        row, column = place
        if self.numbered_from == "wire side":
            column = self.columns - 1 - column
        return 1 + (
            row * self.columns + column if self.numbered_along == "rows" else column * self.rows + row
        )


class Cavity(Circuit):
    """One cavity with a contact in it: its circuit, and the wire that goes to it."""

    cavity: int = Field(ge=1, le=1200, description="number of the cavity, or of the wire or terminal")
    mark: str = Field("", description="what is printed beside it")
    colour: str = Field("", description="colour of the wire, as a word; it is information only")
    lift_from: str = Field(
        "", description="terminal from which this wire is lifted before it is joined elsewhere"
    )

    @property
    def label(self) -> str:
        """How people point at it: what is printed there, else its number."""
        return self.mark or str(self.cavity)


class Connector(Shape):
    """A connector of a board or of a kit, with the circuits in its cavities."""

    circuits: tuple[Cavity, ...] = Field(min_length=1, description="the cavities that have a contact")

    @model_validator(mode="after")
    def _cavities_exist_once(self) -> Self:
        used = [(f"circuits[{n}].cavity", one.cavity) for n, one in enumerate(self.circuits, start=1)]
        mistakes = [*twice(used), *([] if self.by_hand else beyond(used, self))]
        if mistakes:
            raise Refused(*mistakes)
        return self

    def cavity(self, number: int) -> Cavity | None:
        """Return a cavity by its number, or None where it has no contact."""
        return next((one for one in self.circuits if one.cavity == number), None)


def twice(used: Iterable[tuple[str, int]]) -> list[Refusal]:
    """Refuse every cavity that was named before, at the later of its places."""
    seen: dict[int, str] = {}
    mistakes = []
    for where, cavity in used:
        if cavity in seen:
            accepted = f"every cavity once; {seen[cavity]} has it already"
            mistakes.append(Refusal("is used twice", accepted, where, str(cavity)))
        else:
            seen[cavity] = where
    return mistakes


def beyond(used: Iterable[tuple[str, int]], shape: Shape) -> list[Refusal]:
    """Refuse every cavity that a connector of this shape does not have."""
    return [
        Refusal("is no cavity of this connector", f"1 to {shape.count}", where, str(cavity))
        for where, cavity in used
        if cavity > shape.count
    ]
