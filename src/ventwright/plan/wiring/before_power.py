"""What to do before power goes on: plugs and wires that come out or move; and what brings mechanical cooling back."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.plan.wiring.assembly import ends_of
from ventwright.plan.wiring.chain import Chain, JoinedBefore, joined_before
from ventwright.plan.wiring.net_faults import spelled
from ventwright.tables.board import Board
from ventwright.words import Words

AS_FOUND = Words(
    "power off and locked: the kit's plugs out, and everything back as it was found before; then a cooling call has to start the compressor"
)
"""What restores mechanical cooling where no file says what joined call and compressor."""


@dataclass(frozen=True, slots=True)
class BeforePower:
    """One thing to do before power goes on: a stable kind, and how."""

    kind: str
    do: Words


def before_power(chain: Chain, board: Board) -> tuple[BeforePower, ...]:
    """Return what to do before power, in order."""
    found = [BeforePower("lock out", Words(
        "disconnect off, locked, tagged and tried before a plug is touched; a plug is never moved with power on"))]  # fmt: skip
    for join in chain.taken_apart:
        if join.plug is not None:
            found.append(BeforePower("jumper plug out", Words(
                f"take {join.plug.looks or 'the jumper plug'} out of the {join.plug.connector}: {_joins(join, board)}; "
                "keep it in the unit, since put back it restores mechanical cooling")))  # fmt: skip
        elif join.wire is not None:
            found.append(BeforePower("wire to move", Words(
                f"lift the {join.wire.mark} off {join.wire.lift_from}: it goes to the kit, and the kit's own wire takes its place; "
                "put back, it restores mechanical cooling")))  # fmt: skip
    found += [
        BeforePower("plug to move", Words(
            f"move the {plug.plug} from the {plug.sits_in} to the {plug.goes_to}: {plug.because}"))
        for plug in board.plugs_to_move
    ]  # fmt: skip
    found += [BeforePower("cover", one.sentence) for one in chain.findings if one.name == "wiring.live_spare"]
    found += [
        BeforePower("cover", Words(f"cover the end of {spelled(chain.assembly, node)}: nothing takes it"))
        for node in chain.assembly.loose_ends(chain.links)
    ]
    return tuple(found)


def _joins(join: JoinedBefore, board: Board) -> str:
    ends = ends_of(board)
    said = []
    for one, other in join.pairs:
        circuits = [ends[node.end].cavity(node.cavity) for node in (one, other)]
        functions = " with ".join(circuit.function.value for circuit in circuits if circuit)
        said.append(f"{one.cavity} with {other.cavity} ({functions})")
    return f"it joins {', '.join(said)}"


def restored(board: Board) -> tuple[Words, ...]:
    """Return what restores mechanical cooling: what joined call and compressor before goes back."""
    return tuple(_restored(join) for join in joined_before(board)) or (AS_FOUND,)


def _restored(join: JoinedBefore) -> Words:
    if join.plug is not None:
        pairs = ", ".join(f"{one.cavity} with {other.cavity}" for one, other in join.pairs)
        looks = join.plug.looks or "the jumper plug"
        return Words(f"power off and locked: kit's plug out, {looks} back into the {join.plug.connector}, joining {pairs}; "
                     "the unit then cools mechanically as before, without outdoor air")  # fmt: skip
    wire = join.wire
    mark, home = (wire.mark, wire.lift_from) if wire else ("", "")
    return Words(
        f"power off and locked: kit's wire off {home}, {mark} back on {home}; that stage then cools as before"
    )
