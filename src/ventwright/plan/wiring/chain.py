"""The shortest chain of adapters from a kit to a board that makes every circuit whole.

A breadth-first search over what the open end of the harness looks like and what it carries: first every chain
without an adapter, then with one, then with two. A chain whose open end looks and carries the same as one that was
reached before with no more adapters is not followed, so that adapters which undo one another cost nothing.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace

from ventwright.plan.concerns import Weight
from ventwright.plan.wiring.assembly import Assembly, Lane, Link, Nets, Node, Placed, ends_of
from ventwright.plan.wiring.mating import mate
from ventwright.plan.wiring.net_faults import NetFault, findings
from ventwright.tables.adapter import Adapter
from ventwright.tables.board import Board, JumperPlug, Terminal
from ventwright.tables.circuit import PAIRS, Circuit
from ventwright.tables.connector import Connector, Shape
from ventwright.words import Words

MOST_TRIED = 3_000
"""Half-built chains that are looked at before the search gives up and says so: a few seconds of work at most."""


@dataclass(frozen=True, slots=True)
class JoinedBefore:
    """What joins circuits of a board while no economizer is fitted: a jumper plug, or a wire on its terminal."""

    pairs: tuple[tuple[Node, Node], ...]
    plug: JumperPlug | None = None
    wire: Terminal | None = None


@dataclass(frozen=True, slots=True)
class Chain:
    """Kit, adapters and board put together and looked over."""

    assembly: Assembly
    links: tuple[Link, ...]
    nets: Nets
    findings: tuple[NetFault, ...]
    taken_apart: tuple[JoinedBefore, ...]

    @property
    def whole(self) -> bool:
        """Whether every connector is joined and every circuit arrives where it belongs, and nowhere else."""
        return not self.wrongs

    @property
    def wrongs(self) -> int:
        """How many things are wrong with it."""
        return sum(one.weight is Weight.CONFLICT for one in self.findings)

    @property
    def adapters(self) -> tuple[Placed, ...]:
        """The adapters in use, lane by lane, from the kit on."""
        return tuple(placed for lane in self.assembly.lanes for placed in lane.adapters)


@dataclass(frozen=True, slots=True)
class Search:
    """What came of looking for a chain: the shortest whole one, else the least wrong; and the ends that were reached."""

    found: Chain | None
    least_wrong: Chain | None
    tips: tuple[Shape, ...]
    gave_up: bool = False


def put_together(
    kit: Sequence[Connector], board: Board, lanes: Sequence[Lane], landed: Mapping[int, str] | None = None
) -> Chain:
    """Put a kit, its adapters and a board together, and look the result over.

    A jumper plug comes out where a connector of the kit takes its place, and where the kit handles one of the calls
    that it joins, as a thermostat wire comes off its terminal then; both stay where the kit has nothing to do with them.
    """
    ends = ends_of(board)
    joins = joined_before(board)
    bare = Assembly(tuple(kit), ends, tuple(lanes), landed=landed or {})
    nets = Nets(bare.links())
    taken = {lane.board_end for lane in lanes}
    out = tuple(
        join for join in joins
        if (join.plug is not None and join.pairs[0][0].end in taken)
        or any(_of_kit(node, nets) for pair in join.pairs for node in pair)
    )  # fmt: skip
    left_in = tuple(pair for join in joins if join not in out for pair in join.pairs)
    assembly = replace(bare, jumper_plugs=left_in)
    links = assembly.links()
    nets = Nets(links)
    found = findings(assembly, links, nets, board.expects_back)
    return Chain(assembly, links, nets, (*_mating(assembly), *_one_too_many(assembly), *found), out)


def joined_before(board: Board) -> tuple[JoinedBefore, ...]:
    """Return what joins calls and compressors before anyone comes: jumper plugs, and thermostat wires on their terminals."""
    names = [connector.name for connector in board.connectors]
    joins = [
        JoinedBefore(tuple((Node("board", names.index(plug.connector), one), Node("board", names.index(plug.connector), other))
                           for one, other in plug.joins), plug=plug)
        for plug in board.jumper_plugs
    ]  # fmt: skip
    marks = {terminal.mark: number for number, terminal in enumerate(board.terminals, start=1)}
    joins += [
        JoinedBefore(((Node("board", len(names), marks[wire.mark]), Node("board", len(names), marks[wire.lift_from])),), wire=wire)
        for wire in board.terminals if wire.lift_from
    ]  # fmt: skip
    return tuple(joins)


def _of_kit(node: Node, nets: Nets) -> bool:
    return any(other.part == "kit" for other in nets.joined(node))


def _mating(assembly: Assembly) -> Iterator[NetFault]:
    """Turn what does not go together, and what is to be known where it does, into findings."""
    for lane in assembly.lanes:
        for joint in assembly.joints(lane):
            between = f"{_owner(lane, joint.near[0])} and {_owner(lane, joint.far[0])}"
            for mismatch in joint.mating.mismatches:
                sentence = Words(f"{between}: {mismatch.sentence.text}")
                yield NetFault(f"wiring.cannot_mate.{mismatch.name}", Weight.CONFLICT, sentence)
            for remark in joint.mating.remarks:
                yield NetFault(
                    f"wiring.{remark.name}", Weight.ADVICE, Words(f"{between}: {remark.sentence.text}")
                )


def _one_too_many(assembly: Assembly) -> Iterator[NetFault]:
    """Find connectors of the board into which more than one end of the harness would have to go."""
    ends = [lane.board_end for lane in assembly.lanes if lane.board_end is not None]
    for place in sorted({end for end in ends if ends.count(end) > 1}):
        if not assembly.board[place].by_hand:
            named = " and ".join(
                assembly.kit[lane.kit_end].name for lane in assembly.lanes if lane.board_end == place
            )
            sentence = Words(
                f"the board's {assembly.board[place].name.removeprefix('the ')} takes one end, and {named} would both go there"
            )
            yield NetFault("wiring.cannot_mate.taken", Weight.CONFLICT, sentence)


def _owner(lane: Lane, part: str) -> str:
    """Name a part as people do."""
    if part in {"kit", "board"}:
        return f"the {part}"
    return lane.adapters[int(part.rpartition(".")[2]) - 1].adapter.name


@dataclass(frozen=True, slots=True)
class _State:
    """A half-built harness: lanes that are done, the one in work, and the adapters used up."""

    done: tuple[Lane, ...]
    adapters: tuple[Placed, ...]
    used: frozenset[int]


def shortest_chain(kit: Sequence[Connector], board: Board, inventory: Sequence[Adapter]) -> Search:
    """Find the shortest chain that makes all circuits whole.

    Parameters
    ----------
    kit
        The connectors of the kit's harness.
    board
        The unit's control board.
    inventory
        The adapters at hand; one that is there twice stands twice.

    Returns
    -------
    Search
        With ``found`` None where no chain makes the circuits whole.
    """
    ends = ends_of(board)
    there = [circuit for end in ends for circuit in end.circuits]
    waiting = deque([_State((), (), frozenset())])
    reached: dict[object | None, list[frozenset[int]]] = {}
    tips: dict[Shape, None] = {}
    least_wrong: Chain | None = None
    tried = 0
    while waiting and tried < MOST_TRIED:
        state = waiting.popleft()
        tried += 1
        number = len(state.done)
        if number == len(kit):
            chain = put_together(kit, board, state.done)
            if chain.whole:
                return Search(chain, None, tuple(tips))
            if least_wrong is None or chain.wrongs < least_wrong.wrongs:
                least_wrong = chain
            continue
        tip: Shape = state.adapters[-1].far if state.adapters else kit[number]
        tips[tip] = None
        if not state.adapters:
            reached.setdefault(_seen_as(state, kit, there), []).append(state.used)
        waiting.extendleft(reversed(list(_closed(state, tip, kit[number], ends))))
        for grown in _longer(state, tip, inventory):
            tried += 1
            seen = _seen_as(grown, kit, there)
            if seen is not None and not any(used <= grown.used for used in reached.get(seen, [])):
                reached.setdefault(seen, []).append(grown.used)
                waiting.append(grown)
    return Search(None, least_wrong, tuple(tips), gave_up=bool(waiting))


def _closed(state: _State, tip: Shape, start: Connector, ends: Sequence[Connector]) -> Iterator[_State]:
    """Yield the ways to end a lane: at a connector of the board that is free, or, where nothing needs it, open."""
    number = len(state.done)
    taken = {lane.board_end for lane in state.done}
    for place, end in enumerate(ends):
        mating = mate(tip, end)
        twice_by_hand = mating.by_hand and sum(_hand_made(start, state.adapters)) > 0
        if mating.fits and not twice_by_hand and (end.by_hand or place not in taken):
            yield _State((*state.done, Lane(number, state.adapters, place)), (), state.used)
    there = [circuit for end in ends for circuit in end.circuits]
    if not state.adapters and not any(one.must_arrive(there) for one in start.circuits):
        yield _State((*state.done, Lane(number)), (), state.used)


def _hand_made(start: Shape, adapters: Sequence[Placed]) -> Iterator[bool]:
    """Say of every joint of a lane whether it is made wire by wire."""
    near = start
    for placed in adapters:
        yield mate(near, placed.near).by_hand
        near = placed.far


def _longer(state: _State, tip: Shape, inventory: Sequence[Adapter]) -> Iterator[_State]:
    """Yield the lane in work with one more adapter, either way round."""
    for number, adapter in enumerate(inventory):
        if number in state.used:
            continue
        for turned in (False, True):
            placed = Placed(adapter, turned)
            if mate(tip, placed.near).fits:
                yield _State(state.done, (*state.adapters, placed), state.used | {number})


def _seen_as(state: _State, kit: Sequence[Connector], there: Sequence[Circuit]) -> object | None:
    """Return what matters of a half-built chain for whatever follows; None where it is spoilt already.

    That is what was done before, the shape of the open end, and which of its cavities are joined with which circuits
    of the kit, or with one another. A needed circuit that does not arrive at the open end, or two that are joined,
    cannot be mended by what comes after.
    """
    number = len(state.done)
    start, lane = kit[number], Lane(number, state.adapters)
    hand_made = [place for place, by_hand in enumerate(_hand_made(start, state.adapters), start=1) if by_hand]
    if len(hand_made) > 1:
        return None
    tip_end = (f"adapter {number + 1}.{len(state.adapters)}", 1) if state.adapters else ("kit", number)
    far_hand = (f"adapter {number + 1}.{hand_made[0]}", 0) if hand_made else None
    near_hand = _before(far_hand, number) if far_hand else None
    tip: Shape = state.adapters[-1].far if state.adapters else start
    joined, arrived = [], set()
    for net in _nets_of(kit, lane):
        here = tuple(sorted(node.cavity for node in net if node[:2] == tip_end))
        carried = tuple(sorted(node.cavity for node in net if node.part == "kit"))
        from_hand = any(node[:2] == far_hand for node in net)
        if len({_carries(start, cavity) for cavity in carried}) > 1:
            return None
        if here or any(node[:2] == near_hand for node in net):
            arrived |= set(carried)
        if here:
            joined.append((here, carried, from_hand))
    if any(one.cavity not in arrived and one.must_arrive(there) for one in start.circuits):
        return None
    looks = (tip.end, tip.family, tip.rows, tip.columns, tip.key, tip.numbered_from, tip.numbered_along)
    done = tuple(
        (one.board_end, tuple((placed.adapter.id, placed.turned) for placed in one.adapters))
        for one in state.done
    )
    return done, looks, tuple(sorted(joined)), frozenset(arrived), len(hand_made)


def _before(end: tuple[str, int], lane: int) -> tuple[str, int]:
    """Return the end that lies before the first end of an adapter."""
    place = int(end[0].rpartition(".")[2])
    return (f"adapter {lane + 1}.{place - 1}", 1) if place > 1 else ("kit", lane)


def _nets_of(kit: Sequence[Connector], lane: Lane) -> tuple[tuple[Node, ...], ...]:
    """Return what is joined in a lane that is not finished; every cavity of a bare kit stands for itself."""
    nets = Nets(Assembly(tuple(kit), (), (lane,)).links_of(lane))
    lonely = [Node("kit", lane.kit_end, one.cavity) for one in kit[lane.kit_end].circuits]
    return (*nets.all(), *((node,) for node in lonely if len(nets.joined(node)) == 1))


def _carries(start: Connector, cavity: int) -> tuple[str, int]:
    """Return what a cavity of the kit carries; the two wires of a pair are told apart."""
    circuit = start.cavity(cavity)
    function = circuit.function if circuit else ""
    return function, cavity if function in PAIRS else 0
