"""From the facts of a job to the parts that are to be wired."""

from __future__ import annotations

from collections.abc import Sequence
from functools import partial
from itertools import chain
from pathlib import Path

from ventwright.errors import Refused, refuse_every, refuse_word
from ventwright.facts import Facts
from ventwright.facts.harness import Harness, SeenBoard
from ventwright.plan.wiring import STAGES, Parts, WiringPlan, WiringState, wire
from ventwright.plan.wiring.before_power import AS_FOUND
from ventwright.plan.wiring.named_circuits import CircuitsTold, tell
from ventwright.plan.wiring.seen_parts import adapter_of, board_of
from ventwright.tables import shelf
from ventwright.tables.adapter import Adapter
from ventwright.tables.board import Board
from ventwright.tables.caution import cautions
from ventwright.tables.circuit import Function
from ventwright.tables.connector import Connector
from ventwright.tables.kit import Kit
from ventwright.tables.unit_sheet import UnitSheet
from ventwright.words import Words


def plan_wiring(facts: Facts, kit: Kit, beside: Path | None = None) -> WiringPlan | None:
    """Plan the wiring; None where the kit's connectors or the unit's board are not known.

    Raises
    ------
    Refused
        A board or an adapter that is named and not there, or mistakes in its file.
    """
    told_of = facts.harness or Harness()
    connectors = told_of.kit_connectors or (kit.harness.connectors if kit.harness else ())
    if not connectors:
        return None
    seen = {one.id: adapter_of(one) for one in told_of.seen_adapters}
    truck = (
        None
        if facts.truck is None
        else (*adapters_named(facts.truck, seen, "facts.truck", beside), *seen.values())
    )
    laid = (
        None
        if told_of.adapters is None
        else adapters_named(told_of.adapters, seen, "facts.harness.adapters", beside)
    )
    landed = {one.wire: one.on for one in told_of.landed}
    told: CircuitsTold | None = None
    if told_of.seen_board is not None:
        told = tell(told_of.seen_board.connector, _wanted(connectors))
        board = board_of(told_of.seen_board, told)
        if board is None:
            return _nothing_told(told_of.seen_board, told)
    else:
        board = _board(facts, told_of, beside)
        if board is None:
            return None
        _known_terminals(landed, board)
    return wire(Parts(connectors, board, laid, truck, on_shelf, landed), told)


def refuse_strange_parts(facts: Facts, beside: Path | None = None) -> None:
    """Look up the board, the adapters and the terminals that the facts name, whether or not the kit is known.

    Raises
    ------
    Refused
        Every one that is not there.
    """
    told_of = facts.harness or Harness()
    seen = {one.id: adapter_of(one) for one in told_of.seen_adapters}

    def board() -> None:
        laid_on = _board(facts, told_of, beside)
        if laid_on is not None:
            _known_terminals({one.wire: one.on for one in told_of.landed}, laid_on)

    refuse_every((
        lambda: adapters_named(facts.truck or (), seen, "facts.truck", beside),
        lambda: adapters_named(told_of.adapters or (), seen, "facts.harness.adapters", beside),
        lambda: None if told_of.seen_board is not None else board(),
    ))  # fmt: skip


def on_shelf() -> tuple[Adapter, ...]:
    """Return every adapter on the shelf."""
    return tuple(shelf.find("adapters", name, Adapter) for name in shelf.names("adapters"))


def _board(facts: Facts, told_of: Harness, beside: Path | None) -> Board | None:
    if told_of.board is not None:
        return shelf.find_at("boards", told_of.board, Board, "facts.harness.board", beside)
    if facts.unit.sheet is None:
        return None
    sheet = shelf.find_at("units", facts.unit.sheet, UnitSheet, "facts.unit.sheet", beside)
    return None if sheet.board is None else shelf.find("boards", sheet.board, Board, beside)


def adapters_named(
    named: Sequence[str], seen: dict[str, Adapter], where: str, beside: Path | None
) -> tuple[Adapter, ...]:
    """Return adapters by their names: those described in the job first, then those of the shelf.

    Raises
    ------
    Refused
        Every name that is neither.
    """
    refuse_every(
        partial(shelf.find_at, "adapters", name, Adapter, f"{where}[{number}]", beside)
        for number, name in enumerate(named, start=1)
        if name not in seen
    )
    return tuple(seen.get(name) or shelf.find("adapters", name, Adapter, beside) for name in named)


def _known_terminals(landed: dict[int, str], board: Board) -> None:
    """Refuse a wire that is said to be on a terminal which the board does not have."""
    marks = [terminal.mark for terminal in board.terminals]
    known = marks or ["none: this board has no terminals"]
    strange = [
        refuse_word(mark, known, "a terminal of this board", f"facts.harness.landed[{number}].on").refusals
        for number, mark in enumerate(landed.values(), start=1)
        if mark not in marks
    ]
    if strange:
        raise Refused(*chain.from_iterable(strange))


def _wanted(connectors: Sequence[Connector]) -> list[Function]:
    return list(dict.fromkeys(
        circuit.function for end in connectors for circuit in end.circuits if circuit.needed != "no"
    ))  # fmt: skip


def _nothing_told(seen: SeenBoard, told: CircuitsTold) -> WiringPlan:
    """Return what to do while nothing is known of a connector."""
    restore = [AS_FOUND]
    if seen.connector.joined_by_plug:
        pairs = ", ".join(f"{one} with {other}" for one, other in seen.connector.joined_by_plug)
        looks = seen.connector.plug_looks or "the plug that was found"
        restore = [Words(f"power off and locked: {looks} back into the {seen.connector.name}, joining {pairs}; "
                         "the unit then cools mechanically as before, without outdoor air")]  # fmt: skip
    return WiringPlan(
        board="seen-board", board_name=seen.name, state=WiringState.PUT_IT_BACK,
        sentence=Words(f"no circuit of the {seen.connector.name} is known yet. "
                       "Take the readings listed if there is time, else restore mechanical cooling as below"),
        restore=tuple(restore), to_measure=told.to_measure,
        cautions=tuple(one for one in cautions() if one.stage in STAGES),
    )  # fmt: skip
