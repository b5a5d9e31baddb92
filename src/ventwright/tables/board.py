"""A unit's control board: its terminals and connectors, what is plugged in before, and what it expects back."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Entry, ShortName
from ventwright.errors import Refusal, Refused
from ventwright.tables.circuit import Circuit, Function
from ventwright.tables.connector import Connector


class Terminal(Circuit):
    """One screw terminal, or one wire that lands there. Its letter is the trade's habit, its function is what counts."""

    mark: str = Field(min_length=1, description="what is printed beside it, or what the wire is called")
    colour: str = Field("", description="colour of the wire that is there, as a word")
    lift_from: str = Field(
        "", description="terminal from which this wire is lifted before it is joined to the kit's"
    )


class JumperPlug(Entry):
    """A plug or loop that keeps the unit cooling while no economizer is fitted."""

    connector: str = Field(min_length=3, description="connector of this board it sits in")
    joins: tuple[tuple[int, int], ...] = Field(min_length=1, description="pairs of cavities it joins")
    looks: str = Field("", description="what it looks like, so that it is found")


class PlugToMove(Entry):
    """A plug of the unit that sits elsewhere once an economizer is fitted."""

    plug: str = Field(min_length=3, description="what the plug is called")
    sits_in: str = Field(min_length=3, description="where it sits without an economizer")
    goes_to: str = Field(min_length=3, description="where it goes")
    because: str = Field(min_length=3, description="why, in a few words")


class Board(Entry):
    """A control board as its file describes it."""

    kind: Literal["board"] = Field(description='the word "board"')
    id: ShortName
    name: str = Field(min_length=3, description="what people call it")
    invented: bool = Field(False, description="true for an example that exists nowhere")
    terminals: tuple[Terminal, ...] = Field((), description="its screw terminals, and wires found there")
    connectors: tuple[Connector, ...] = Field((), description="its connectors")
    jumper_plugs: tuple[JumperPlug, ...] = Field((), description="what must come out before power")
    plugs_to_move: tuple[PlugToMove, ...] = Field((), description="plugs that go elsewhere before power")
    expects_back: tuple[Function, ...] = Field(
        (), description="what must come back from the economizer, or the unit does not cool"
    )
    note: str = ""

    @model_validator(mode="after")
    def _parts_know_one_another(self) -> Self:
        mistakes = []
        if not self.terminals and not self.connectors:
            mistakes.append(Refusal("has nothing to join to", "terminals, connectors or both"))
        names = [connector.name for connector in self.connectors]
        mistakes += [
            Refusal("is the name of two connectors", "a name of its own for each", "connectors", name)
            for name in sorted({name for name in names if names.count(name) > 1})
        ]
        marks = [terminal.mark for terminal in self.terminals]
        mistakes += [
            Refusal("marks two terminals", "a mark of its own for each", "terminals", mark)
            for mark in sorted({mark for mark in marks if marks.count(mark) > 1})
        ]
        mistakes += [
            Refusal(
                "is no terminal of this board",
                ", ".join(marks),
                f"terminals[{number}].lift_from",
                one.lift_from,
            )
            for number, one in enumerate(self.terminals, start=1)
            if one.lift_from and one.lift_from not in marks
        ]
        for number, plug in enumerate(self.jumper_plugs, start=1):
            mistakes += _plug_mistakes(plug, f"jumper_plugs[{number}]", self.connectors)
        if mistakes:
            raise Refused(*mistakes)
        return self


def _plug_mistakes(plug: JumperPlug, where: str, connectors: tuple[Connector, ...]) -> list[Refusal]:
    """Everything wrong with a jumper plug: no such connector, no contact in a cavity."""
    home = next((one for one in connectors if one.name == plug.connector), None)
    if home is None:
        known = ", ".join(one.name for one in connectors) or "the name of a connector listed above"
        return [Refusal("is no connector of this board", known, f"{where}.connector", plug.connector)]
    contacts = ", ".join(str(one.cavity) for one in home.circuits)
    return [
        Refusal(
            "has no contact there", f"cavities with one: {contacts}", f"{where}.joins[{number}]", str(cavity)
        )
        for number, pair in enumerate(plug.joins, start=1)
        for cavity in pair
        if home.cavity(cavity) is None
    ]
