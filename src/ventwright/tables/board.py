"""A unit's control board: its terminals and what each does."""

from __future__ import annotations

from typing import Literal

from pydantic import Field

from ventwright.entry import Entry


class Terminal(Entry):
    """One terminal of the board. Its letter is the trade's habit, its function is what counts."""

    mark: str = Field(min_length=1, description="what is printed beside it")
    function: str = Field(min_length=3, description="what it carries, in plain words")
    voltage: Literal["24 V AC", "0-10 V DC", "dry contact", "sensor", "common"] = Field(
        description="kind of circuit"
    )


class Board(Entry):
    """A control board as its file describes it."""

    kind: Literal["board"] = Field(description='the word "board"')
    id: str = Field(
        pattern=r"^[a-z0-9][a-z0-9-]*$", description="short name in small letters, digits and hyphens"
    )
    name: str = Field(min_length=3, description="what people call it")
    invented: bool = Field(False, description="true for an example that exists nowhere")
    terminals: tuple[Terminal, ...] = Field(min_length=1)
    note: str = ""
