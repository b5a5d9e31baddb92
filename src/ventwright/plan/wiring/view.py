"""The harness as columns to look at: kit, adapters and board, their cavities, and the wires between, right or wrong."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.plan.concerns import Weight
from ventwright.plan.wiring.assembly import Joint, Lane, Node
from ventwright.plan.wiring.chain import Chain
from ventwright.tables.connector import Connector, Shape


@dataclass(frozen=True, slots=True)
class CavityView:
    """One cavity in use."""

    cavity: int
    label: str
    function: str = ""
    colour: str = ""


@dataclass(frozen=True, slots=True)
class EndView:
    """One connector of a part."""

    name: str
    described: str
    cavities: tuple[CavityView, ...]


@dataclass(frozen=True, slots=True)
class WireView:
    """One wire or contact from a cavity to another, and whether what it carries lands where it belongs."""

    from_cavity: int
    to_cavity: int
    colour: str
    right: bool
    loop: str = ""


@dataclass(frozen=True, slots=True)
class PartView:
    """One adapter: the end toward the kit, the end toward the unit, the wires between."""

    id: str
    name: str
    turned: bool
    kit_side: EndView
    unit_side: EndView
    wires: tuple[WireView, ...]


@dataclass(frozen=True, slots=True)
class JointView:
    """Two connectors that meet: whether they fit, by hand or not, and the cavities that touch."""

    fits: bool
    by_hand: bool
    reasons: tuple[str, ...]
    contacts: tuple[WireView, ...]


@dataclass(frozen=True, slots=True)
class LaneView:
    """One connector of the kit and all that follows it; ``joints`` are one more than the parts, from the kit on."""

    kit: EndView
    parts: tuple[PartView, ...]
    joints: tuple[JointView, ...]
    board: EndView | None


def lanes_of(chain: Chain) -> tuple[LaneView, ...]:
    """Show a chain lane by lane."""
    wrong = {
        chain.nets.joined(node)[0]
        for one in chain.findings
        if one.weight is Weight.CONFLICT
        for node in one.nodes
    }
    return tuple(_lane(chain, lane, wrong) for lane in chain.assembly.lanes)


def _lane(chain: Chain, lane: Lane, wrong: set[Node]) -> LaneView:
    parts = []
    for number, placed in enumerate(lane.adapters, start=1):
        name = f"adapter {lane.kit_end + 1}.{number}"
        wires = []
        for link in placed.links(name):
            loop = "" if link.by == "wire" else "kit side" if link.first.end == 0 else "unit side"
            right = chain.nets.joined(link.first)[0] not in wrong
            wires.append(WireView(link.first.cavity, link.second.cavity, link.colour, right, loop))
        used = [{wire.from_cavity for wire in wires if wire.loop != "unit side"}, set[int]()]
        used[0] |= {wire.to_cavity for wire in wires if wire.loop == "kit side"}
        used[1] |= {wire.to_cavity for wire in wires if wire.loop != "kit side"}
        used[1] |= {wire.from_cavity for wire in wires if wire.loop == "unit side"}
        ends = [_end(shape, used[end]) for end, shape in enumerate((placed.near, placed.far))]
        parts.append(
            PartView(placed.adapter.id, placed.adapter.name, placed.turned, ends[0], ends[1], tuple(wires))
        )
    joints = tuple(_joint(chain, joint, wrong) for joint in chain.assembly.joints(lane))
    board = None if lane.board_end is None else _connector(chain.assembly.board[lane.board_end])
    return LaneView(_connector(chain.assembly.kit[lane.kit_end]), tuple(parts), joints, board)


def _end(shape: Shape, used: set[int]) -> EndView:
    return EndView(shape.name, shape.described, tuple(CavityView(one, str(one)) for one in sorted(used)))


def _connector(connector: Connector) -> EndView:
    cavities = tuple(
        CavityView(one.cavity, one.label, one.function.value, one.colour)
        for one in sorted(connector.circuits, key=lambda one: one.cavity)
    )
    return EndView(connector.name, connector.described, cavities)


def _joint(chain: Chain, joint: Joint, wrong: set[Node]) -> JointView:
    contacts = tuple(
        WireView(
            link.first.cavity, link.second.cavity, link.colour, chain.nets.joined(link.first)[0] not in wrong
        )
        for link in chain.links
        if link.by in {"contact", "by hand"} and link.first[:2] == joint.near and link.second[:2] == joint.far
    )
    reasons = tuple(one.sentence.text for one in joint.mating.mismatches)
    return JointView(joint.mating.fits, joint.mating.by_hand, reasons, contacts)
