"""What is to be joined and what was seen: the adapters at hand, and connectors that are in no file, as metered."""

from __future__ import annotations

from typing import Annotated, Literal, Self

from pydantic import Field, model_validator

from ventwright.entry import Entry, ShortName, Typed
from ventwright.errors import Refusal, Refused
from ventwright.quantity import RESISTANCE, VOLTAGE, Quantity
from ventwright.tables.connector import Connector, Shape, beyond

Letter = Literal["R", "C", "G", "Y1", "Y2", "W1", "W2", "O", "B"]
Call = Literal["none", "G", "Y1", "Y2", "W1", "W2", "O", "B"]
MeterShows = Annotated[Quantity, Typed((VOLTAGE, RESISTANCE), 0.0)] | Literal["open"]
Ohms = Annotated[Quantity, Typed((RESISTANCE,), 0.0)] | Literal["open"]
Point = int | Literal["cabinet"]


class MeterReading(Entry):
    """One reading between two points of a connector: volts with power on, ohms with power off."""

    between: tuple[Point, Point] = Field(description="two cavity numbers, or one and the word cabinet")
    reads: MeterShows = Field(
        description='what the meter shows, such as "25.1 V" or "0.4 ohm", or the word open'
    )
    call: Call = Field("none", description="the one letter that was joined to R at the thermostat, or none")


class SeenWire(Entry):
    """What can be seen at one cavity."""

    cavity: int = Field(ge=1, le=1200, description="number of the cavity")
    colour: str = Field("", description="colour of its wire, as a word; it is information only")
    marked: Letter | None = Field(None, description="letter printed beside it, such as Y1")


class SeenConnector(Shape):
    """A connector that is in no file: what can be seen of it, and what the meter shows."""

    wires: tuple[SeenWire, ...] = Field((), description="the cavities with a wire")
    readings: tuple[MeterReading, ...] = Field((), description="meter readings on it")
    joined_by_plug: tuple[tuple[int, int], ...] = Field(
        (), description="pairs of cavities that the plug found in it joins, as an ohmmeter shows on that plug"
    )
    plug_looks: str = Field("", description="what the plug found in it looks like")

    @model_validator(mode="after")
    def _cavities_exist(self) -> Self:
        used = [(f"wires[{n}].cavity", wire.cavity) for n, wire in enumerate(self.wires, start=1)]
        used += [
            (f"readings[{n}].between[{m}]", point)
            for n, reading in enumerate(self.readings, start=1)
            for m, point in enumerate(reading.between, start=1)
            if isinstance(point, int)
        ]
        used += [
            (f"joined_by_plug[{n}][{m}]", cavity)
            for n, pair in enumerate(self.joined_by_plug, start=1)
            for m, cavity in enumerate(pair, start=1)
        ]
        mistakes = [] if self.by_hand else beyond(used, self)
        mistakes += [
            Refusal("is one point twice", "two points", f"readings[{n}].between", f"{one.between[0]}")
            for n, one in enumerate(self.readings, start=1)
            if one.between[0] == one.between[1]
        ]
        if mistakes:
            raise Refused(*mistakes)
        return self


class SeenBoard(Entry):
    """A control board that is in no file."""

    name: str = Field(min_length=3, description="what to call it, three letters or more")
    connector: SeenConnector = Field(description="where an economizer is to be joined")


class Continuity(Entry):
    """One reading across an adapter, from an end to the other."""

    kit_side: int = Field(ge=1, le=1200, description="cavity of the end toward the kit")
    unit_side: int = Field(ge=1, le=1200, description="cavity of the end toward the unit")
    reads: Ohms = Field(description='what the ohmmeter shows, such as "0.3 ohm", or the word open')
    colour: str = Field("", description="colour of the wire, as a word")


class SeenAdapter(Entry):
    """An adapter that is in no file: its ends as seen, its wires as an ohmmeter finds them."""

    id: ShortName
    name: str = Field(min_length=3, description="what to call it, three letters or more")
    kit_side: Shape = Field(description="the end toward the kit")
    unit_side: Shape = Field(description="the end toward the unit")
    readings: tuple[Continuity, ...] = Field(min_length=1, description="readings from end to end")


class Landed(Entry):
    """Where a loose wire was found or put."""

    wire: int = Field(ge=1, le=1200, description="number of the wire, as the kit or the adapter counts them")
    on: str = Field(min_length=1, description="mark of the terminal it is on")


class Harness(Entry):
    """What joins the kit to the unit. What is left out is taken from the kit's file and the unit's data sheet."""

    board: str | None = Field(
        None, description="the unit's control board: its id, or a .yaml file beside the job"
    )
    seen_board: SeenBoard | None = Field(None, description="a control board that is in no file")
    kit_connectors: tuple[Connector, ...] = Field(
        (), description="the kit's connectors, where its file does not give them or they differ"
    )
    adapters: tuple[str, ...] | None = Field(
        None,
        description="the adapters in use, in order from the kit to the unit; left out, they are looked for",
    )
    seen_adapters: tuple[SeenAdapter, ...] = Field((), description="adapters at hand that are in no file")
    landed: tuple[Landed, ...] = Field((), description="where loose wires are, where no plan was followed")

    @model_validator(mode="after")
    def _one_board(self) -> Self:
        if self.board is not None and self.seen_board is not None:
            raise Refused(Refusal("is given beside a board of a file", "one of the two", "seen_board"))
        return self
