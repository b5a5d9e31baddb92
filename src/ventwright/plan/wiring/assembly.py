"""Kit, adapters and board put together: every wire and every contact as a link, and what is joined by them."""

from __future__ import annotations

from collections import deque
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Literal, NamedTuple

from ventwright.plan.wiring.mating import Mating, mate
from ventwright.tables.adapter import Adapter
from ventwright.tables.board import Board
from ventwright.tables.circuit import PAIRS, Function, Voltage
from ventwright.tables.connector import Cavity, Connector, Shape

TERMINALS = "the terminals"


class Node(NamedTuple):
    """One cavity of one end of one part: the kit, the board, or "adapter 1.1" (lane and place in it)."""

    part: str
    end: int
    cavity: int


@dataclass(frozen=True, slots=True)
class Link:
    """Two nodes that are joined, and by what."""

    first: Node
    second: Node
    by: Literal["wire", "contact", "by hand", "loop", "jumper plug", "inside"]
    colour: str = ""


@dataclass(frozen=True, slots=True)
class Placed:
    """An adapter as it lies in a lane; ``turned`` has its unit side toward the kit."""

    adapter: Adapter
    turned: bool = False

    @property
    def near(self) -> Shape:
        """The end toward the kit, as it lies."""
        return self.adapter.unit_side if self.turned else self.adapter.kit_side

    @property
    def far(self) -> Shape:
        """The end toward the unit, as it lies."""
        return self.adapter.kit_side if self.turned else self.adapter.unit_side

    def links(self, part: str) -> Iterator[Link]:
        """Yield its wires and loops; end 0 is the one toward the kit as it lies."""
        for wire in self.adapter.wires:
            ends = (wire.unit_side, wire.kit_side) if self.turned else (wire.kit_side, wire.unit_side)
            yield Link(Node(part, 0, ends[0]), Node(part, 1, ends[1]), "wire", wire.colour)
        for loop in self.adapter.loops:
            end = int((loop.side == "unit side") is not self.turned)
            for one, other in zip(loop.cavities, loop.cavities[1:], strict=False):
                yield Link(Node(part, end, one), Node(part, end, other), "loop", loop.colour)


@dataclass(frozen=True, slots=True)
class Lane:
    """One connector of the kit, the adapters that follow, and the end of the board it reaches; None: left open."""

    kit_end: int
    adapters: tuple[Placed, ...] = ()
    board_end: int | None = None


@dataclass(frozen=True, slots=True)
class Joint:
    """Where two parts of a lane meet."""

    near: tuple[str, int]
    far: tuple[str, int]
    near_shape: Shape
    mating: Mating


@dataclass(frozen=True, slots=True)
class Assembly:
    """Everything put together.

    ``kit`` and ``board`` are the connectors of each, ``jumper_plugs`` the cavities joined by what is left in the
    board, ``landed`` the terminals at which loose wires were found where nobody followed a plan.
    """

    kit: tuple[Connector, ...]
    board: tuple[Connector, ...]
    lanes: tuple[Lane, ...]
    jumper_plugs: tuple[tuple[Node, Node], ...] = ()
    landed: Mapping[int, str] = field(default_factory=dict)

    def joints(self, lane: Lane) -> tuple[Joint, ...]:
        """Return the places where the parts of a lane meet, from the kit on."""
        names = [f"adapter {lane.kit_end + 1}.{n}" for n in range(1, len(lane.adapters) + 1)]
        nears = [("kit", lane.kit_end), *((name, 1) for name in names)]
        near_shapes: list[Shape] = [self.kit[lane.kit_end], *(placed.far for placed in lane.adapters)]
        fars = [(name, 0) for name in names]
        far_shapes: list[Shape] = [placed.near for placed in lane.adapters]
        if lane.board_end is not None:
            fars.append(("board", lane.board_end))
            far_shapes.append(self.board[lane.board_end])
        return tuple(
            Joint(near, far, near_shape, mate(near_shape, far_shape))
            for near, far, near_shape, far_shape in zip(nears, fars, near_shapes, far_shapes, strict=False)
        )

    def circuit(self, node: Node) -> Cavity | None:
        """Return the circuit of a cavity of the kit or the board."""
        if node.part not in {"kit", "board"}:
            return None
        return (self.kit if node.part == "kit" else self.board)[node.end].cavity(node.cavity)

    def circuits(self, part: Literal["kit", "board"]) -> Iterator[tuple[Node, Cavity]]:
        """Yield every circuit of the kit or the board with its node."""
        for number, end in enumerate(self.kit if part == "kit" else self.board):
            for cavity in end.circuits:
                yield Node(part, number, cavity.cavity), cavity

    def links(self) -> tuple[Link, ...]:
        """Return every link, hand-made joints last, since they follow from the others."""
        found = list(self._fixed())
        for lane in self.lanes:
            for joint in self.joints(lane):
                if joint.mating.by_hand and joint.mating.fits:
                    found += self._by_hand(joint, Nets(found))
        return tuple(found)

    def _fixed(self) -> Iterator[Link]:
        yield from _inside(self.circuits("kit"))
        yield from _inside(self.circuits("board"))
        yield from (Link(one, other, "jumper plug") for one, other in self.jumper_plugs)
        for lane in self.lanes:
            yield from self.links_of(lane)

    def links_of(self, lane: Lane) -> Iterator[Link]:
        """Yield the wires, loops and contacts of one lane, without joints that are made by hand."""
        for number, placed in enumerate(lane.adapters, start=1):
            yield from placed.links(f"adapter {lane.kit_end + 1}.{number}")
        for joint in self.joints(lane):
            populated = self._contacts(joint.near, lane), self._contacts(joint.far, lane)
            for one, other in joint.mating.pairs:
                if one in populated[0] and other in populated[1]:
                    yield Link(Node(*joint.near, one), Node(*joint.far, other), "contact")

    def _contacts(self, end: tuple[str, int], lane: Lane) -> frozenset[int]:
        """Return the cavities of an end that have a contact in them."""
        if end[0] in {"kit", "board"}:
            connector = (self.kit if end[0] == "kit" else self.board)[end[1]]
            return frozenset(one.cavity for one in connector.circuits)
        placed = lane.adapters[int(end[0].rpartition(".")[2]) - 1]
        nodes = (node for link in placed.links(end[0]) for node in (link.first, link.second))
        return frozenset(node.cavity for node in nodes if node.end == end[1])

    def _by_hand(self, joint: Joint, nets: Nets) -> Iterator[Link]:
        """Join loose wires by what they carry: each to the terminal or wire of the same function."""
        near = {node: self._carried("kit", node, nets) for node in self._at(joint.near)}
        far = {node: self._carried("board", node, nets) for node in self._at(joint.far)}
        taken: set[Node] = set()
        for node, carried in near.items():
            chosen = self._told(node, far) or next((
                other for circuit in carried for exact in (True, False) for other, there in far.items()
                if other not in taken and any(_goes_to(circuit, one, exact=exact) for one in there)
            ), None)  # fmt: skip
            if chosen is None:
                continue
            if any(circuit.function in PAIRS for circuit in carried):
                taken.add(chosen)
            yield Link(node, chosen, "by hand")

    def loose_ends(self, links: Iterable[Link]) -> tuple[Node, ...]:
        """Return the loose wires on the kit's side that are joined to nothing."""
        joined = {link.first for link in links if link.by == "by hand"}
        joints = [joint for lane in self.lanes for joint in self.joints(lane)]
        return tuple(
            node
            for joint in joints
            if joint.mating.by_hand and joint.mating.fits and joint.near_shape.end == "loose wires"
            for node in self._at(joint.near)
            if node not in joined
        )

    def _told(self, node: Node, far: Mapping[Node, Sequence[Cavity]]) -> Node | None:
        """Return where a wire was put, as somebody wrote it down."""
        mark = self.landed.get(node.cavity)
        if mark is None:
            return None
        return next((one for one in far if one.part == "board" and self._label(one) == mark), None)

    def _label(self, node: Node) -> str:
        circuit = self.circuit(node)
        return circuit.label if circuit else str(node.cavity)

    def _at(self, end: tuple[str, int]) -> list[Node]:
        lane = next((one for one in self.lanes if end[0].startswith(f"adapter {one.kit_end + 1}.")), None)
        return [Node(*end, cavity) for cavity in sorted(self._contacts(end, lane or self.lanes[0]))]

    def _carried(self, part: str, node: Node, nets: Nets) -> list[Cavity]:
        joined = [one for one in nets.joined(node) if one.part == part]
        return [circuit for one in joined if (circuit := self.circuit(one)) is not None]


def _goes_to(circuit: Cavity, there: Cavity, *, exact: bool) -> bool:
    return circuit.function is there.function if exact else circuit.fits(there)


def ends_of(board: Board) -> tuple[Connector, ...]:
    """Return the connectors of a board; its terminals are one more, to which wires are joined by hand."""
    if not board.terminals:
        return board.connectors
    circuits = tuple(
        Cavity(
            cavity=number, function=one.function, role=one.role, voltage=one.voltage_given, needed=one.needed,
            accepts=one.accepts, mark=one.mark, colour=one.colour, lift_from=one.lift_from,
        )
        for number, one in enumerate(board.terminals, start=1)
    )  # fmt: skip
    return (*board.connectors, Connector(name=TERMINALS, end="screw terminals", circuits=circuits))


def _inside(circuits: Iterable[tuple[Node, Cavity]]) -> Iterator[Link]:
    """Yield the links within a part: one and the same circuit in two cavities is one circuit."""
    first: dict[tuple[Function, Voltage], Node] = {}
    for node, circuit in circuits:
        same = (circuit.function, circuit.voltage)
        if circuit.function in PAIRS:
            continue
        if same in first:
            yield Link(first[same], node, "inside")
        else:
            first[same] = node


class Nets:
    """Which nodes are joined to which, whatever the way."""

    def __init__(self, links: Iterable[Link]) -> None:
        self._next: dict[Node, list[Node]] = {}
        for link in links:
            self._next.setdefault(link.first, []).append(link.second)
            self._next.setdefault(link.second, []).append(link.first)
        self._net: dict[Node, tuple[Node, ...]] = {}
        for node in self._next:
            if node not in self._net:
                found = self._reach(node)
                self._net |= dict.fromkeys(found, found)

    def _reach(self, start: Node) -> tuple[Node, ...]:
        found, waiting = {start: None}, deque([start])
        while waiting:
            for other in self._next[waiting.popleft()]:
                if other not in found:
                    found[other] = None
                    waiting.append(other)
        return tuple(found)

    def joined(self, node: Node) -> tuple[Node, ...]:
        """Return every node joined to one, itself included."""
        return self._net.get(node, (node,))

    def same(self, one: Node, other: Node) -> bool:
        """Whether two nodes are joined."""
        return other in self.joined(one)

    def all(self) -> tuple[tuple[Node, ...], ...]:
        """Return every net once."""
        return tuple({id(net): net for net in self._net.values()}.values())
