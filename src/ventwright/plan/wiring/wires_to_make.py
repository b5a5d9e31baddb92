"""The wires of an adapter that would have to be made, where none that is known serves."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ventwright.plan.wiring.assembly import ends_of
from ventwright.tables.board import Board
from ventwright.tables.circuit import Circuit
from ventwright.tables.connector import Connector


@dataclass(frozen=True, slots=True)
class WireToMake:
    """One wire of an adapter that would have to be made: from a cavity of the kit to one of the board, by function."""

    function: str
    kit_end: str
    kit_cavity: str
    kit_colour: str
    board_end: str
    board_cavity: str
    board_colour: str


def wires_to_make(kit: Sequence[Connector], board: Board) -> tuple[WireToMake, ...]:
    """List, by function, what an adapter made for the purpose would have to join; without regard to what fits."""
    there = [(end, circuit) for end in ends_of(board) for circuit in end.circuits]
    found: list[WireToMake] = []
    taken: set[int] = set()
    for end in kit:
        for circuit in end.circuits:
            place = _place_for(circuit, [one for _, one in there], taken)
            if place is not None:
                taken.add(place)
                board_end, other = there[place]
                found.append(WireToMake(circuit.function.value, end.name, circuit.label, circuit.colour,
                                        board_end.name, other.label, other.colour))  # fmt: skip
    return tuple(found)


def _place_for(circuit: Circuit, there: Sequence[Circuit], taken: set[int]) -> int | None:
    fitting = [n for n, other in enumerate(there) if circuit.fits(other) and n not in taken]
    exact = [n for n in fitting if there[n].function is circuit.function]
    return next(iter(exact or fitting), None)
