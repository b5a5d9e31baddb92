"""Random harnesses for tests, and a walker of their own: it knows nothing of the solver and follows wires by hand."""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import permutations, product
from random import Random

from ventwright.tables.adapter import Adapter, Loop, Wire
from ventwright.tables.board import Board
from ventwright.tables.circuit import Function
from ventwright.tables.connector import Cavity, Connector, Shape

POOL = [
    Function.SUPPLY, Function.COMMON, Function.COOLING_1, Function.COOLING_2, Function.COMPRESSOR_1, Function.COMPRESSOR_2,
    Function.HEATING_1, Function.FAN, Function.OCCUPIED, Function.RELIEF, Function.DAMPER_SIGNAL, Function.VALVE_HEATING,
]  # fmt: skip
GIVEN_BY_KIT = {Function.COMPRESSOR_1, Function.COMPRESSOR_2, Function.RELIEF}
OTHER_END = {"plug": "socket", "socket": "plug"}
STRAIGHT_ON = {
    ("cooling stage 1 call", "cooling stage 1 to compressor"),
    ("cooling stage 2 call", "cooling stage 2 to compressor"),
}

Chain = tuple[tuple[Adapter, bool], ...]
"""Adapters from the kit to the unit, each with whether it is turned round."""


@dataclass
class Case:
    """A kit, a board, the adapters that were made to join them as they lie, and others that only look like it."""

    kit: Connector
    board: Board
    way: Chain
    others: list[Adapter] = field(default_factory=list)

    @property
    def inventory(self) -> list[Adapter]:
        """Everything in the truck."""
        return [*(one for one, _ in self.way), *self.others]


def faces(shape: Shape) -> list[tuple[int, int]]:
    """Where the cavities 1, 2, 3 ... are, as one looks at the mating face: (row, column) from the upper left."""
    if shape.numbered_along == "rows":
        seen = [(row, column) for row in range(shape.rows) for column in range(shape.columns)]
    else:
        seen = [(row, column) for column in range(shape.columns) for row in range(shape.rows)]
    if shape.numbered_from == "mating face":
        return seen
    return [(row, shape.columns - 1 - column) for row, column in seen]  # seen from behind, left is right


def meets(cavity: int, shape: Shape, other: Shape) -> int:
    """The cavity of the other half that a cavity meets when the two faces are put together."""
    row, column = faces(shape)[cavity - 1]
    return faces(other).index((row, other.columns - 1 - column)) + 1


def go_together(one: Shape, other: Shape) -> bool:
    """Whether two halves fit: other end, same housing, same layout, same key."""
    same = (one.family, one.rows, one.columns, one.key) == (
        other.family,
        other.rows,
        other.columns,
        other.key,
    )
    return same and {one.end, other.end} == {"plug", "socket"}


def shape(random: Random, least: int, name: str) -> Shape:
    """Some connector with room for so many circuits."""
    rows = random.randint(1, 3)
    columns = random.randint(-(-least // rows), -(-least // rows) + 2)
    return Shape.model_validate({
        "name": name, "end": random.choice(["plug", "socket"]), "family": random.choice(["grey block", "black strip"]),
        "rows": rows, "columns": columns, "key": random.choice(["a rib", "a notch"]), **numbering(random),
    })  # fmt: skip


def numbering(random: Random) -> dict[str, str]:
    """Some way to number a half."""
    return {
        "numbered_from": random.choice(["mating face", "wire side"]),
        "numbered_along": random.choice(["rows", "columns"]),
    }


def other_half(random: Random, one: Shape, name: str) -> Shape:
    """A half that fits another, numbered in its own way."""
    return one.model_copy(update={"name": name, "end": OTHER_END[one.end], **numbering(random)})


def case(random: Random, most_adapters: int = 3) -> Case:
    """A kit and a board with adapters that join them rightly, and other adapters that do not."""
    functions = random.sample(POOL, random.randint(2, 6))
    start = shape(random, len(functions), "kit plug")
    at = dict(zip(functions, random.sample(range(1, start.count + 1), len(functions)), strict=True))
    kit = Connector(**dict(start), circuits=tuple(
        Cavity(cavity=cavity, function=function, role="source" if function in GIVEN_BY_KIT else "sink")
        for function, cavity in at.items()
    ))  # fmt: skip
    tip: Shape = start
    made: list[Adapter] = []
    tips = [tip]
    for number in range(random.randint(0, most_adapters)):
        near = other_half(random, tip, f"near end {number}")
        far = shape(random, len(functions), f"far end {number}")
        places = random.sample(range(1, far.count + 1), len(functions))
        arrived = {function: meets(cavity, tip, near) for function, cavity in at.items()}
        at = dict(zip(functions, places, strict=True))
        wires = [Wire(kit_side=arrived[function], unit_side=at[function]) for function in functions]
        made.append(adapter(f"made-{number}", near, far, wires))
        tip = far
        tips.append(tip)
    home = other_half(random, tip, "board socket")
    landed = {function: meets(cavity, tip, home) for function, cavity in at.items()}
    board = board_with(random, home, landed)
    way = tuple(as_written(random, one) for one in made)
    found = Case(kit, board, way)
    found.others = [
        one for one in (miswired(random, one, n) for n, one in enumerate(made)) if one is not None
    ]
    found.others += [backwards(random, one, tips[n], n) for n, one in enumerate(made[:2])]
    random.shuffle(found.others)
    return found


def as_written(random: Random, one: Adapter) -> tuple[Adapter, bool]:
    """The adapter as its file has it, and whether it then lies turned round: which end a file calls the kit's is chance."""
    if random.random() < 0.6:
        return one, False
    wires = [Wire(kit_side=wire.unit_side, unit_side=wire.kit_side) for wire in one.wires]
    return adapter(one.id, one.unit_side, one.kit_side, wires), True


def adapter(id_: str, near: Shape, far: Shape, wires: list[Wire], loops: tuple[Loop, ...] = ()) -> Adapter:
    """An adapter of these wires."""
    return Adapter(kind="adapter", id=id_, name=f"adapter {id_}", invented=True, kit_side=near, unit_side=far,
                   wires=tuple(wires), loops=loops)  # fmt: skip


def board_with(random: Random, home: Shape, landed: dict[Function, int]) -> Board:
    """A board whose socket has these circuits and some that the kit does not know."""
    free = [cavity for cavity in range(1, home.count + 1) if cavity not in landed.values()]
    strangers = random.sample(
        [one for one in POOL if one not in landed], min(len(free), random.randint(0, 2))
    )
    more = dict(zip(strangers, free, strict=False))
    circuits = tuple(
        Cavity(cavity=cavity, function=function, role="sink" if function in GIVEN_BY_KIT else "source")
        for function, cavity in {**landed, **more}.items()
    )
    wanted = tuple(one for one in landed if one in {Function.COMPRESSOR_1, Function.COMPRESSOR_2})
    connector = Connector(**dict(home), circuits=circuits)
    return Board(
        kind="board",
        id="some-board",
        name="some board",
        invented=True,
        connectors=(connector,),
        expects_back=wanted,
    )


def miswired(random: Random, right: Adapter, number: int) -> Adapter | None:
    """An adapter with the same ends and two wires on one another's places."""
    if len(right.wires) < 2:
        return None
    wires = list(right.wires)
    one, other = random.sample(range(len(wires)), 2)
    a, b = wires[one], wires[other]
    wires[one], wires[other] = (
        Wire(kit_side=a.kit_side, unit_side=b.unit_side),
        Wire(kit_side=b.kit_side, unit_side=a.unit_side),
    )
    return adapter(f"miswired-{number}", right.kit_side, right.unit_side, wires)


def backwards(random: Random, right: Adapter, before: Shape, number: int) -> Adapter:
    """An adapter that undoes another: a loop of the two leads back to where it began."""
    near = other_half(random, right.unit_side, f"near end back {number}")
    far = before.model_copy(update={"name": f"far end back {number}"})
    wires = [
        Wire(
            kit_side=meets(wire.unit_side, right.unit_side, near),
            unit_side=meets(wire.kit_side, right.kit_side, before),
        )
        for wire in right.wires
    ]
    return adapter(f"back-{number}", near, far, wires)


def with_loops(random: Random, right: Adapter) -> Adapter:
    """The adapter with wires between cavities of one end that do not belong there."""
    loops = []
    for side, end in (("kit side", right.kit_side), ("unit side", right.unit_side)):
        if random.random() < 0.6:
            cavities = tuple(random.sample(range(1, end.count + 1), 2))
            loops.append(Loop.model_validate({"side": side, "cavities": cavities}))
    return adapter(right.id, right.kit_side, right.unit_side, list(right.wires), tuple(loops))


@dataclass
class Walk:
    """A chain as a plain list of neighbours, to be walked from cavity to cavity."""

    kit: Connector
    board: Connector
    next_to: dict[str, set[str]]
    fits: bool

    def reached(self, start: str) -> set[str]:
        """Every cavity one gets to from another, on foot."""
        seen, ahead = {start}, [start]
        while ahead:
            for near in self.next_to.get(ahead.pop(), set()):
                if near not in seen:
                    seen.add(near)
                    ahead.append(near)
        return seen

    def joined_pairs(self, side: str) -> set[frozenset[int]]:
        """Pairs of circuits of one side that are joined with one another."""
        cavities = [one.cavity for one in (self.kit if side == "kit" else self.board).circuits]
        return {
            frozenset((one, other))
            for one in cavities
            for other in cavities
            if one < other and f"{side} {other}" in self.reached(f"{side} {one}")
        }

    def whole(self, expects_back: tuple[Function, ...]) -> bool:
        """Whether every circuit of the kit arrives at its own function and nowhere else, and all that is awaited comes."""
        if not self.fits or self.joined_pairs("kit"):
            return False
        names = {one.cavity: one.function.value for one in self.board.circuits}
        touched: set[str] = set()
        for one in self.kit.circuits:
            arrived = {
                names[int(node.split()[1])]
                for node in self.reached(f"kit {one.cavity}")
                if node.startswith("board ") and int(node.split()[1]) in names
            }
            if arrived != {one.function.value}:
                return False
            touched |= arrived
        for pair in self.joined_pairs("board"):
            both = {names[cavity] for cavity in pair}
            if both & touched or not any(both == set(known) for known in STRAIGHT_ON):
                return False
        return all(one.value in touched for one in expects_back)


def walk(kit: Connector, board: Connector, chain: Chain) -> Walk:
    """Write a chain down as neighbours."""
    next_to: dict[str, set[str]] = {}
    fits = True

    def join(one: str, other: str) -> None:
        next_to.setdefault(one, set()).add(other)
        next_to.setdefault(other, set()).add(one)

    def contacts(
        shape: Shape, used: set[int], name: str, other: Shape, other_used: set[int], other_name: str
    ) -> bool:
        if not go_together(shape, other):
            return False
        for cavity in used:
            if meets(cavity, shape, other) in other_used:
                join(f"{name} {cavity}", f"{other_name} {meets(cavity, shape, other)}")
        return True

    tip: Shape = kit
    used, name = {one.cavity for one in kit.circuits}, "kit"
    for number, (one, turned) in enumerate(chain):
        ends = [one.unit_side, one.kit_side] if turned else [one.kit_side, one.unit_side]
        sides = ("unit side", "kit side") if turned else ("kit side", "unit side")
        cavities = [
            {getattr(wire, side.replace(" ", "_")) for wire in one.wires}
            | {cavity for loop in one.loops if loop.side == side for cavity in loop.cavities}
            for side in sides
        ]
        fits = contacts(tip, used, name, ends[0], cavities[0], f"near{number}") and fits
        for wire in one.wires:
            near, far = (wire.unit_side, wire.kit_side) if turned else (wire.kit_side, wire.unit_side)
            join(f"near{number} {near}", f"far{number} {far}")
        for loop in one.loops:
            end = "near" if loop.side == sides[0] else "far"
            join(f"{end}{number} {loop.cavities[0]}", f"{end}{number} {loop.cavities[1]}")
        tip, used, name = ends[1], cavities[1], f"far{number}"
    fits = contacts(tip, used, name, board, {one.cavity for one in board.circuits}, "board") and fits
    return Walk(kit, board, next_to, fits)


def every_chain(inventory: list[Adapter], length: int) -> list[Chain]:
    """Every way to lay out so many adapters, each way round."""
    return [
        tuple(zip(order, turns, strict=True))
        for order in permutations(inventory, length)
        for turns in product((False, True), repeat=length)
    ]
