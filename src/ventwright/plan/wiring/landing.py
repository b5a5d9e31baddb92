"""The terminal-by-terminal list: every wire of the kit, the way it takes, where it lands, and what a meter shows there."""

from __future__ import annotations

from collections import deque
from dataclasses import dataclass

from ventwright.plan.concerns import Weight
from ventwright.plan.wiring.assembly import Link, Node
from ventwright.plan.wiring.chain import Chain
from ventwright.plan.wiring.net_faults import spelled
from ventwright.quantity import RESISTANCE, VOLTAGE
from ventwright.tables.circuit import PASSED_ON, Function, Voltage
from ventwright.tables.connector import Cavity
from ventwright.tables.meter import expected, thresholds
from ventwright.words import Words, measured


@dataclass(frozen=True, slots=True)
class Hop:
    """One adapter on the way: in at one cavity, out at another, on a wire of a colour."""

    part: str
    enters: str
    leaves: str
    colour: str


@dataclass(frozen=True, slots=True)
class Landing:
    """One wire of the kit from end to end. ``standing`` is right, wrong, open, not carried or not there."""

    function: str
    voltage: str
    kit_end: str
    kit_cavity: str
    kit_colour: str
    way: tuple[Hop, ...]
    board_end: str
    board_cavity: str
    board_function: str
    board_colour: str
    standing: str
    by_hand: Words | None = None


@dataclass(frozen=True, slots=True)
class MeterPoint:
    """What a meter should show at one wire that lands right; None where there is no number to hold it against."""

    function: str
    where: str
    off: Words
    on: Words
    resistance_at_least: float | None = measured(RESISTANCE, default=None)
    resistance_at_most: float | None = measured(RESISTANCE, default=None)
    voltage_at_least: float | None = measured(VOLTAGE, default=None)
    voltage_at_most: float | None = measured(VOLTAGE, default=None)
    confirmed: str = ""


def landings(chain: Chain) -> tuple[Landing, ...]:
    """Follow every wire of the kit to where it lands."""
    there = [circuit for _, circuit in chain.assembly.circuits("board")]
    wrong = {node for one in chain.findings if one.weight is Weight.CONFLICT for node in one.nodes}
    return tuple(
        _landing(chain, node, circuit, wrong=node in wrong, on_board=any(circuit.fits(one) for one in there))
        for node, circuit in chain.assembly.circuits("kit")
    )


def _landing(chain: Chain, node: Node, circuit: Cavity, *, wrong: bool, on_board: bool) -> Landing:
    way = _way(chain, node, circuit)
    end = way[-1].second if way else node
    arrived = chain.assembly.circuit(end) if end.part == "board" else None
    if arrived is None:
        standing = "open" if wrong else "not carried" if on_board else "not there"
    else:
        standing = "wrong" if wrong or not circuit.fits(arrived) else "right"
    return Landing(
        function=circuit.function.value, voltage=circuit.voltage.value,
        kit_end=chain.assembly.kit[node.end].name, kit_cavity=circuit.label, kit_colour=circuit.colour,
        way=_hops(chain, way),
        board_end=chain.assembly.board[end.end].name if arrived else "",
        board_cavity=arrived.label if arrived else "", board_function=arrived.function.value if arrived else "",
        board_colour=arrived.colour if arrived else "", standing=standing,
        by_hand=_by_hand(chain, way),
    )  # fmt: skip


def _way(chain: Chain, start: Node, circuit: Cavity) -> list[Link]:
    """Return the shortest way from a cavity of the kit to the board, else as far as it goes; to its own function first."""
    neighbours: dict[Node, list[Link]] = {}
    for link in chain.links:
        if link.by in {"wire", "contact", "by hand", "loop"}:
            neighbours.setdefault(link.first, []).append(link)
            neighbours.setdefault(link.second, []).append(Link(link.second, link.first, link.by, link.colour))
    came: dict[Node, list[Link]] = {start: []}
    waiting = deque([start])
    while waiting:
        here = waiting.popleft()
        for link in neighbours.get(here, []):
            if link.second not in came and link.second.part != "kit":
                came[link.second] = [*came[here], link]
                waiting.append(link.second)
    arrived = [node for node in came if node.part == "board"]
    fitting = [node for node in arrived if (there := chain.assembly.circuit(node)) and circuit.fits(there)]
    for candidates in (fitting, arrived):
        if candidates:
            return came[candidates[0]]
    return came[max(came, key=lambda node: (len(came[node]), node))]


def _hops(chain: Chain, way: list[Link]) -> tuple[Hop, ...]:
    hops = []
    for link in way:
        if link.by in {"wire", "loop"}:
            lane, _, place = link.first.part.removeprefix("adapter ").partition(".")
            lane_adapters = next(one.adapters for one in chain.assembly.lanes if one.kit_end == int(lane) - 1)
            name = lane_adapters[int(place) - 1].adapter.name
            hops.append(Hop(name, str(link.first.cavity), str(link.second.cavity), link.colour))
    return tuple(hops)


def _by_hand(chain: Chain, way: list[Link]) -> Words | None:
    """Say what is joined by hand on the way, if anything is."""
    for place, link in enumerate(way):
        if link.by != "by hand":
            continue
        there = chain.assembly.circuit(link.second)
        here = chain.assembly.circuit(link.first)
        colour = here.colour if here else way[place - 1].colour if place else ""
        wire = (
            f"the {colour} wire ({spelled(chain.assembly, link.first)})"
            if colour
            else spelled(chain.assembly, link.first)
        )
        if there is not None and there.lift_from:
            return Words(f"join {wire} with the {there.mark}, once that is off {there.lift_from}")
        if link.second.part == "board":
            return Words(f"land {wire} on {there.label if there else link.second.cavity}")
        on = f", {way[place + 1].colour}" if place + 1 < len(way) and way[place + 1].colour else ""
        return Words(f"join {wire} with {spelled(chain.assembly, link.second)}{on}")
    return None


def meter_points(landed: tuple[Landing, ...]) -> tuple[MeterPoint, ...]:
    """Return what a meter should show: along every wire first, then at each that lands where it belongs."""
    right = [one for one in landed if one.standing == "right"]
    return (_along(), *(_meter_point(one) for one in right)) if right else ()


def _along() -> MeterPoint:
    ends = thresholds()
    return MeterPoint(
        function="every wire",
        where="end to end, its plug out at the unit",
        off=Words(
            f"from the kit's end to the unit's end; to every other cavity more than {ends.open / 1e6:g} Mohm"
        ),
        on=Words("nothing is read along a wire with power on"),
        resistance_at_least=0.0,
        resistance_at_most=ends.closed,
        confirmed="from memory",
    )


def _kind(one: Landing) -> str:
    function = Function(one.function)
    if function is Function.SUPPLY:
        return "supply"
    if one.voltage in {Voltage.COMMON, Voltage.SENSOR, Voltage.LINE}:
        return one.voltage
    if one.voltage == Voltage.SIGNAL:
        return "signal"
    if one.voltage == Voltage.CONTACT:
        return "contact"
    return "to the unit" if function in {*PASSED_ON.values(), Function.RELIEF} else "call"


def _meter_point(one: Landing) -> MeterPoint:
    kind = expected(_kind(one))
    ohms, volts = kind.ohms or (None, None), kind.volts or (None, None)
    return MeterPoint(
        function=one.function,
        where=f"{one.board_end}, {one.board_cavity}",
        off=Words(kind.off),
        on=Words(kind.on),
        resistance_at_least=ohms[0],
        resistance_at_most=ohms[1],
        voltage_at_least=volts[0],
        voltage_at_most=volts[1],
        confirmed=kind.confirmed,
    )
