"""Random harnesses: what the solver says of them, against a walk from cavity to cavity that knows nothing of it."""

from __future__ import annotations

from random import Random

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from tests.random_harness import Chain as Laid
from tests.random_harness import adapter, case, every_chain, meets, shape, walk, with_loops

from ventwright.plan.wiring.assembly import Lane, Placed
from ventwright.plan.wiring.chain import put_together, shortest_chain
from ventwright.plan.wiring.chain_given import as_laid_out
from ventwright.tables.connector import Shape

RANDOM = st.randoms(use_true_random=False)
SHORTS = {"wiring.short", "wiring.call_not_interrupted", "wiring.passed_straight"}


def laid(placed: tuple[Placed, ...]) -> Laid:
    """A chain of the solver as the walker takes it."""
    return tuple((one.adapter, one.turned) for one in placed)


@settings(max_examples=150, deadline=None)
@given(RANDOM)
def test_what_is_called_whole_is_whole_when_walked(random: Random) -> None:
    """A chain is found where one was made, and every circuit walked by hand arrives where it belongs."""
    made = case(random)

    search = shortest_chain([made.kit], made.board, made.inventory)

    assert search.found is not None
    by_hand = walk(made.kit, made.board.connectors[0], laid(search.found.adapters))
    assert by_hand.whole(made.board.expects_back)
    assert len(search.found.adapters) <= len(made.way)


@settings(max_examples=60, deadline=None)
@given(RANDOM)
def test_no_shorter_chain_is_whole(random: Random) -> None:
    """Every chain with fewer adapters, laid out and walked, fails."""
    made = case(random, most_adapters=2)

    search = shortest_chain([made.kit], made.board, made.inventory)

    assert search.found is not None
    for length in range(len(search.found.adapters)):
        for chain in every_chain(made.inventory, length):
            assert not walk(made.kit, made.board.connectors[0], chain).whole(made.board.expects_back)


@settings(max_examples=60, deadline=None)
@given(RANDOM)
def test_none_found_means_none_there(random: Random) -> None:
    """Without the adapters that were made for it a chain is found exactly where the walk finds one."""
    made = case(random, most_adapters=2)

    search = shortest_chain([made.kit], made.board, made.others)

    walked = [
        chain for length in range(len(made.others) + 1) for chain in every_chain(made.others, length)
        if walk(made.kit, made.board.connectors[0], chain).whole(made.board.expects_back)
    ]  # fmt: skip
    assert (search.found is not None) == bool(walked)
    assert not search.gave_up


@settings(max_examples=80, deadline=None)
@given(RANDOM)
def test_removing_any_link_breaks_it(random: Random) -> None:
    """Without any one wire on a way, or any one adapter, the chain is no longer whole."""
    made = case(random)
    search = shortest_chain([made.kit], made.board, made.inventory)
    assert search.found is not None
    chain = list(search.found.adapters)
    by_hand = walk(made.kit, made.board.connectors[0], laid(tuple(chain)))
    on_the_way = set().union(*(by_hand.reached(f"kit {one.cavity}") for one in made.kit.circuits))

    for place, one in enumerate(chain):
        assert not as_laid_out([made.kit], made.board, [*chain[:place], *chain[place + 1 :]]).whole
        for wire in one.adapter.wires:
            near = wire.unit_side if one.turned else wire.kit_side
            if f"near{place} {near}" not in on_the_way or len(one.adapter.wires) == 1:
                continue
            rest = [other for other in one.adapter.wires if other is not wire]
            cut = Placed(adapter("cut", one.adapter.kit_side, one.adapter.unit_side, rest), one.turned)
            lane = Lane(0, (*chain[:place], cut, *chain[place + 1 :]), 0)
            assert not put_together([made.kit], made.board, [lane]).whole


@settings(max_examples=150, deadline=None)
@given(RANDOM)
def test_every_short_found_is_one_and_every_one_is_found(random: Random) -> None:
    """Circuits that are joined and should not be are just those that a walk finds joined."""
    made = case(random)
    chain = tuple((with_loops(random, one), turned) for one, turned in made.way)

    found = put_together([made.kit], made.board, [Lane(0, tuple(Placed(*one) for one in chain), 0)])

    by_hand = walk(made.kit, made.board.connectors[0], chain)
    for side in ("kit", "board"):
        told = {
            frozenset((one.nodes[0].cavity, one.nodes[1].cavity))
            for one in found.findings
            if one.name in SHORTS and one.nodes[0].part == side
        }
        assert told == by_hand.joined_pairs(side)
    assert found.whole == by_hand.whole(made.board.expects_back)


@settings(max_examples=60, deadline=None)
@given(RANDOM)
def test_turning_what_cannot_be_turned_is_never_whole_by_mistake(random: Random) -> None:
    """Whatever order and turns the adapters are laid in, solver and walk agree whether that is whole."""
    made = case(random, most_adapters=2)
    inventory = made.inventory
    random.shuffle(inventory)
    chain = [Placed(one, random.random() < 0.5) for one in inventory[: random.randint(0, 3)]]

    found = put_together([made.kit], made.board, [Lane(0, tuple(chain), 0)])

    by_hand = walk(made.kit, made.board.connectors[0], laid(tuple(chain)))
    assert found.whole == by_hand.whole(made.board.expects_back)


SIX = {"name": "a half", "family": "f", "rows": 2, "columns": 3, "key": "k"}


@pytest.mark.parametrize(
    ("plug", "socket", "pairs"),
    [
        ("mating face", "wire side", {1: 1, 2: 2, 3: 3, 4: 4, 5: 5, 6: 6}),
        ("wire side", "mating face", {1: 1, 2: 2, 3: 3, 4: 4, 5: 5, 6: 6}),
        ("mating face", "mating face", {1: 3, 2: 2, 3: 1, 4: 6, 5: 5, 6: 4}),
        ("wire side", "wire side", {1: 3, 2: 2, 3: 1, 4: 6, 5: 5, 6: 4}),
    ],
)
def test_faces_meet_as_two_hands_do(plug: str, socket: str, pairs: dict[int, int]) -> None:
    """Two rows of three, face to face: what is left on one is right on the other (drawn on paper and turned)."""
    from ventwright.plan.wiring.mating import mate

    one = Shape.model_validate({**SIX, "end": "plug", "numbered_from": plug})
    other = Shape.model_validate({**SIX, "end": "socket", "numbered_from": socket})

    assert dict(mate(one, other).pairs) == pairs
    assert {cavity: meets(cavity, one, other) for cavity in range(1, 7)} == pairs


@settings(max_examples=100, deadline=None)
@given(RANDOM)
def test_a_joint_is_the_same_from_either_side(random: Random) -> None:
    """Where cavity a meets b, b meets a, whatever the layout and numbering."""
    one = shape(random, 4, "one")
    other = one.model_copy(
        update={"end": "socket" if one.end == "plug" else "plug", "numbered_from": "wire side"}
    )
    for cavity in range(1, one.count + 1):
        assert other.at(other.place(cavity)) == cavity
        assert meets(meets(cavity, one, other), other, one) == cavity
