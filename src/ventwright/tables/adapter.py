"""An adapter: two ends and the wires between them."""

from __future__ import annotations

from typing import Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Entry, ShortName
from ventwright.errors import Refusal, Refused
from ventwright.tables.connector import Shape, beyond, twice


class Wire(Entry):
    """One wire, from a cavity of the end toward the kit to one of the end toward the unit."""

    kit_side: int = Field(ge=1, le=1200, description="cavity of the end toward the kit")
    unit_side: int = Field(ge=1, le=1200, description="cavity of the end toward the unit")
    colour: str = Field("", description="its colour, as a word; it is information only")


class Loop(Entry):
    """A short wire that joins cavities of one and the same end."""

    side: Literal["kit side", "unit side"] = Field(description="kit side or unit side")
    cavities: tuple[int, ...] = Field(min_length=2, description="the cavities it joins")
    colour: str = Field("", description="its colour, as a word")


class Adapter(Entry):
    """An adapter as its file describes it."""

    kind: Literal["adapter"] = Field(description='the word "adapter"')
    id: ShortName
    name: str = Field(min_length=3, description="what people call it")
    invented: bool = Field(False, description="true for an example that exists nowhere")
    kit_side: Shape = Field(description="the end toward the kit")
    unit_side: Shape = Field(description="the end toward the unit")
    wires: tuple[Wire, ...] = Field((), description="its wires from end to end")
    loops: tuple[Loop, ...] = Field((), description="wires that join cavities of one end")
    note: str = ""

    @model_validator(mode="after")
    def _cavities_exist_once(self) -> Self:
        mistakes: list[Refusal] = []
        for side, shape in (("kit_side", self.kit_side), ("unit_side", self.unit_side)):
            used = [(f"wires[{n}].{side}", getattr(wire, side)) for n, wire in enumerate(self.wires, start=1)]
            mistakes += twice(used)
            mistakes += [] if shape.by_hand else beyond(used, shape)
        for number, loop in enumerate(self.loops, start=1):
            shape = self.kit_side if loop.side == "kit side" else self.unit_side
            used = [(f"loops[{number}].cavities[{n}]", one) for n, one in enumerate(loop.cavities, start=1)]
            mistakes += [*twice(used), *([] if shape.by_hand else beyond(used, shape))]
        if not self.wires and not self.loops:
            mistakes.append(Refusal("joins nothing", "at least one wire or loop", "wires"))
        if mistakes:
            raise Refused(*mistakes)
        return self
