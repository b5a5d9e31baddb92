"""What is wrong with a harness as it is put together: opens, shorts, crossed circuits, two sources, wrong voltages."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

from ventwright.plan.concerns import Weight
from ventwright.plan.wiring.assembly import Assembly, Link, Nets, Node
from ventwright.tables.circuit import PAIRS, PASSED_ON, Circuit, Function, Voltage
from ventwright.tables.connector import Cavity
from ventwright.words import Words

DELICATE = frozenset({Voltage.SENSOR, Voltage.SIGNAL})
"""Kinds of circuit that 24 V AC destroys."""

Ends = Sequence[tuple[Node, Cavity]]


@dataclass(frozen=True, slots=True)
class NetFault:
    """Something about the wiring that has to be known: a stable name, how serious, the cavities, and what it means."""

    name: str
    weight: Weight
    sentence: Words
    nodes: tuple[Node, ...] = ()


def findings(
    assembly: Assembly, links: Sequence[Link], nets: Nets, expects_back: Sequence[Function]
) -> tuple[NetFault, ...]:
    """Look every net over, and every circuit that has to arrive.

    Parameters
    ----------
    assembly, links, nets
        What is put together, its links, and the nets they make.
    expects_back
        Functions that have to come back to the board, or the unit does not cool.
    """
    kit, board = list(assembly.circuits("kit")), list(assembly.circuits("board"))
    by_net: dict[Node, tuple[list[tuple[Node, Cavity]], list[tuple[Node, Cavity]]]] = {}
    for side, ends in enumerate((kit, board)):
        for node, circuit in ends:
            by_net.setdefault(nets.joined(node)[0], ([], []))[side].append((node, circuit))
    found: list[NetFault] = []
    there = [circuit for _, circuit in board]
    for of_kit, of_board in by_net.values():
        found += _voltages([*of_kit, *of_board])
        found += _shorts(assembly, of_kit, of_board, links)
        found += _sources(assembly, of_kit, of_board)
        found += _landings(assembly, of_kit, of_board, nets, there)
        found += _spare(assembly, of_kit, of_board, nets)
    found += _nothing_back(assembly, board, nets, expects_back)
    return tuple(sorted(found, key=lambda one: _ORDER.get(one.name, len(_ORDER))))


_ORDER = {
    name: place
    for place, name in enumerate(
        (
            "wiring.line_voltage_joined",
            "wiring.24_v_on_signal",
            "wiring.two_sources",
            "wiring.call_not_interrupted",
            "wiring.two_on_one_terminal",
            "wiring.short",
            "wiring.crossed",
            "wiring.open",
            "wiring.nothing_comes_back",
            "wiring.no_source",
        )
    )
}
"""Most dangerous first."""


def spelled(assembly: Assembly, node: Node) -> str:
    """Write a cavity as people point at it."""
    circuit = assembly.circuit(node)
    label = circuit.label if circuit else str(node.cavity)
    if node.part == "kit":
        return f"the kit's {assembly.kit[node.end].name}, {label}"
    if node.part == "board":
        return f"the board's {assembly.board[node.end].name.removeprefix('the ')}, {label}"
    lane, _, place = node.part.removeprefix("adapter ").partition(".")
    adapters = next(one.adapters for one in assembly.lanes if one.kit_end == int(lane) - 1)
    placed = adapters[int(place) - 1]
    return f"{placed.adapter.name}, {(placed.near, placed.far)[node.end].name}, {node.cavity}"


def _named(assembly: Assembly, ends: Ends) -> str:
    return " and ".join(f"{circuit.function} ({spelled(assembly, node)})" for node, circuit in ends)


def _voltages(ends: Ends) -> Iterator[NetFault]:
    """Find line voltage joined to anything else, and 24 V on what it destroys."""
    kinds = {circuit.voltage for _, circuit in ends}
    nodes = tuple(node for node, _ in ends)
    shown = ", ".join(sorted({circuit.function for _, circuit in ends}))
    if Voltage.LINE in kinds and len(kinds) > 1:
        yield NetFault("wiring.line_voltage_joined", Weight.CONFLICT, Words(
            f"line voltage is joined with a low-voltage circuit ({shown}): never switch this on"), nodes)  # fmt: skip
    if Voltage.CONTROL in kinds and kinds & DELICATE:
        yield NetFault("wiring.24_v_on_signal", Weight.CONFLICT, Words(
            f"24 V AC would stand on a sensor or signal input ({shown}): it would be destroyed"), nodes)  # fmt: skip


def _differ(one: Cavity, other: Cavity) -> bool:
    """Whether two circuits of one part must not be joined."""
    return one.function is not other.function or one.function in PAIRS


def _shorts(assembly: Assembly, of_kit: Ends, of_board: Ends, links: Sequence[Link]) -> Iterator[NetFault]:
    for one, other in combinations(of_kit, 2):
        if _differ(one[1], other[1]):
            terminal = _shared_terminal(one[0], other[0], of_board, links, assembly)
            if terminal is not None:
                yield NetFault("wiring.two_on_one_terminal", Weight.CONFLICT, Words(
                    f"two circuits land on {spelled(assembly, terminal)}: {_named(assembly, (one, other))}"),
                    (one[0], other[0], terminal))  # fmt: skip
            else:
                yield NetFault("wiring.short", Weight.CONFLICT, Words(
                    f"joined with one another: {_named(assembly, (one, other))}"), (one[0], other[0]))  # fmt: skip
    for one, other in combinations(of_board, 2):
        if not _differ(one[1], other[1]):
            continue
        nodes = (one[0], other[0])
        if (
            PASSED_ON.get(one[1].function) is other[1].function
            or PASSED_ON.get(other[1].function) is one[1].function
        ):
            yield _passed_straight(assembly, one, other, touched=bool(of_kit))
        else:
            yield NetFault("wiring.short", Weight.CONFLICT, Words(
                f"joined with one another: {_named(assembly, (one, other))}"), nodes)  # fmt: skip


def _passed_straight(
    assembly: Assembly, one: tuple[Node, Cavity], other: tuple[Node, Cavity], *, touched: bool
) -> NetFault:
    """A call that goes to its compressor without the kit in between: a fault only where the kit should stand there."""
    named = _named(assembly, (one, other))
    if touched:
        return NetFault("wiring.call_not_interrupted", Weight.CONFLICT, Words(
            f"the call reaches its compressor past the kit: {named}; the compressor would run with the damper open, "
            "and from inside it would look fine"), (one[0], other[0]))  # fmt: skip
    return NetFault("wiring.passed_straight", Weight.ADVICE, Words(
        f"the kit leaves this stage alone, and the call goes straight on: {named}"), (one[0], other[0]))  # fmt: skip


def _shared_terminal(
    one: Node, other: Node, of_board: Ends, links: Sequence[Link], assembly: Assembly
) -> Node | None:
    """Return the terminal at which two circuits come together by hand, if that is where they do."""
    hand = [link for link in links if link.by == "by hand"]
    apart = Nets([link for link in links if link.by != "by hand"])
    if apart.same(one, other):
        return None
    for node, _ in of_board:
        arriving = [link.first for link in hand if link.second == node]
        if any(apart.same(one, near) for near in arriving) and any(
            apart.same(other, near) for near in arriving
        ):
            return node if assembly.circuit(node) else None
    return None


def _sources(assembly: Assembly, of_kit: Ends, of_board: Ends) -> Iterator[NetFault]:
    """Find nets into which two circuits give."""
    giving: dict[tuple[str, Function], tuple[Node, Cavity]] = {}
    for node, circuit in (*of_kit, *of_board):
        if circuit.role == "source":
            giving.setdefault((node.part, circuit.function), (node, circuit))
    if len(giving) > 1:
        ends = tuple(giving.values())
        yield NetFault("wiring.two_sources", Weight.CONFLICT, Words(
            f"two sources on one wire: {_named(assembly, ends)}"), tuple(node for node, _ in ends))  # fmt: skip


def _landings(
    assembly: Assembly, of_kit: Ends, of_board: Ends, nets: Nets, everything: Sequence[Circuit]
) -> Iterator[NetFault]:
    """Say for every circuit of the kit whether it arrives where it belongs."""
    for node, circuit in of_kit:
        fitting = [(there, other) for there, other in of_board if circuit.fits(other)]
        if not of_board:
            if circuit.must_arrive(everything):
                yield NetFault("wiring.open", Weight.CONFLICT, Words(
                    f"{circuit.function} of the kit arrives nowhere: {_last_seen(assembly, node, nets)}"), (node,))  # fmt: skip
            elif any(circuit.fits(other) for other in everything):
                yield NetFault("wiring.not_carried", Weight.ADVICE, Words(
                    f"the unit has {circuit.function}, and the kit could use it, but no wire carries it: "
                    f"{_last_seen(assembly, node, nets)}"), (node,))  # fmt: skip
        elif not fitting:
            yield NetFault("wiring.crossed", Weight.CONFLICT, Words(
                f"{circuit.function} ({spelled(assembly, node)}) lands on {_named(assembly, of_board)}"),
                (node, *(there for there, _ in of_board)))  # fmt: skip
        else:
            there, other = fitting[0]
            if circuit.function is not other.function:
                yield NetFault("wiring.setting_follows", Weight.ADVICE, Words(
                    f"the unit has {other.function} where the kit expects {circuit.function}: the wire may stay, "
                    "and the kit's setting has to say so"), (node, there))  # fmt: skip
            if circuit.role == "sink" and all(one.role == "sink" for _, one in fitting):
                yield NetFault("wiring.no_source", Weight.CONFLICT, Words(
                    f"{circuit.function} ({spelled(assembly, node)}): neither side gives it"), (node, there))  # fmt: skip


def _last_seen(assembly: Assembly, node: Node, nets: Nets) -> str:
    """Say how far a circuit that arrives nowhere gets."""
    last = max(
        (one for one in nets.joined(node) if one.part != "kit"),
        default=node,
        key=lambda one: (one.part, one.end),
    )
    return f"the way ends at {spelled(assembly, last)}"


def _spare(assembly: Assembly, of_kit: Ends, of_board: Ends, nets: Nets) -> Iterator[NetFault]:
    """Find live wires that the kit has no use for: their ends are to be covered."""
    if of_kit:
        return
    for node, circuit in of_board:
        live = circuit.role == "source" and circuit.voltage in {Voltage.CONTROL, Voltage.LINE}
        loose = [one for one in nets.joined(node) if one.part.startswith("adapter") and one.end == 0]
        if live and loose:
            yield NetFault("wiring.live_spare", Weight.ADVICE, Words(
                f"{circuit.function} stands live at {spelled(assembly, loose[0])}, where nothing takes it: keep it covered"),
                (node, loose[0]))  # fmt: skip


def _nothing_back(
    assembly: Assembly, board: Ends, nets: Nets, expected: Sequence[Function]
) -> Iterator[NetFault]:
    """Find what the board waits for in vain."""
    for function in expected:
        ends = [(node, circuit) for node, circuit in board if circuit.function is function]
        if not any(_is_fed(assembly, node, circuit, nets) for node, circuit in ends):
            place = spelled(assembly, ends[0][0]) if ends else "no terminal is known for it"
            yield NetFault("wiring.nothing_comes_back", Weight.CONFLICT, Words(
                f"the board waits for {function} ({place}), and nothing brings it: this stage would not cool"),
                tuple(node for node, _ in ends))  # fmt: skip


def _is_fed(assembly: Assembly, node: Node, circuit: Cavity, nets: Nets) -> bool:
    """Whether the kit gives what the board waits for, or the call itself goes straight on."""
    for other in nets.joined(node):
        there = assembly.circuit(other)
        if there is None or there.role != "source":
            continue
        if PASSED_ON.get(there.function) is circuit.function or (other.part == "kit" and there.fits(circuit)):
            return True
    return False
