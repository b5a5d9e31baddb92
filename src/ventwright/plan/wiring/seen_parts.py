"""Parts that are in no file, as the solver takes them: a board from its named circuits, an adapter from its continuity."""

from __future__ import annotations

from ventwright.facts.harness import Continuity, SeenAdapter, SeenBoard
from ventwright.plan.wiring.named_circuits import CircuitsTold
from ventwright.tables.adapter import Adapter, Loop, Wire
from ventwright.tables.board import Board, JumperPlug
from ventwright.tables.circuit import PASSED_ON
from ventwright.tables.connector import Cavity, Connector, Shape
from ventwright.tables.meter import thresholds

SEEN = "seen on the unit"


def board_of(seen: SeenBoard, told: CircuitsTold) -> Board | None:
    """Build a board from what was told of its connector; None where nothing was told at all."""
    if not told.circuits:
        return None
    circuits = tuple(
        Cavity(
            cavity=one.cavity, function=one.function, colour=one.colour,
            role="sink" if one.function in PASSED_ON.values() else "source",
        )
        for one in told.circuits
    )  # fmt: skip
    named = {one.cavity for one in told.circuits}
    shape = seen.connector
    pairs = tuple(pair for pair in shape.joined_by_plug if set(pair) <= named)
    plug = JumperPlug(connector=shape.name, joins=pairs, looks=shape.plug_looks) if pairs else None
    return Board(
        kind="board", id="seen-board", name=seen.name,
        connectors=(Connector(**_looks(shape), circuits=circuits),),
        jumper_plugs=(plug,) if plug else (),
        expects_back=tuple(one.function for one in told.circuits if one.function in PASSED_ON.values()),
        note=SEEN,
    )  # fmt: skip


def _looks(shape: Shape) -> dict[str, object]:
    """Return what is seen of a connector, without what was metered on it."""
    return {name: getattr(shape, name) for name in Shape.model_fields}


def adapter_of(seen: SeenAdapter) -> Adapter:
    """Build an adapter from an ohmmeter's readings: what reads closed is joined, whatever else is not.

    Where several cavities of one end read closed to one cavity of the other, the wire branches, which is written as
    a wire and a loop. Of two readings between the same cavities the last one counts.
    """
    wires: list[Wire] = []
    loops: list[Loop] = []
    from_kit: dict[int, int] = {}
    from_unit: dict[int, int] = {}
    last = {(one.kit_side, one.unit_side): one for one in seen.readings}
    for one in last.values():
        if not _closed(one):
            continue
        if one.kit_side not in from_kit and one.unit_side not in from_unit:
            wires.append(Wire(kit_side=one.kit_side, unit_side=one.unit_side, colour=one.colour))
        elif one.kit_side in from_kit and from_kit[one.kit_side] != one.unit_side:
            loops.append(Loop(side="unit side", cavities=(from_kit[one.kit_side], one.unit_side)))
        elif one.unit_side in from_unit and from_unit[one.unit_side] != one.kit_side:
            loops.append(Loop(side="kit side", cavities=(from_unit[one.unit_side], one.kit_side)))
        from_kit.setdefault(one.kit_side, one.unit_side)
        from_unit.setdefault(one.unit_side, one.kit_side)
    return Adapter(
        kind="adapter", id=seen.id, name=seen.name, kit_side=seen.kit_side, unit_side=seen.unit_side,
        wires=tuple(wires), loops=tuple(loops), note=SEEN,
    )  # fmt: skip


def _closed(reading: Continuity) -> bool:
    return not isinstance(reading.reads, str) and reading.reads.value <= thresholds().closed
