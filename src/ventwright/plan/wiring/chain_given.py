"""A chain as somebody has laid it out: put together as it lies, and what would mend it where it does not work."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import permutations, product

from ventwright.plan.wiring.assembly import Lane, Placed, ends_of
from ventwright.plan.wiring.chain import Chain, Search, put_together, shortest_chain
from ventwright.plan.wiring.mating import mate
from ventwright.tables.adapter import Adapter
from ventwright.tables.board import Board
from ventwright.tables.connector import Connector, Shape
from ventwright.words import Words

MOST_TURNED = 4
"""Adapters whose every order and turn is tried."""


@dataclass(frozen=True, slots=True)
class Remedy:
    """What to do with the adapters so that all circuits become whole."""

    sentence: Words
    chain: Chain
    missing: tuple[Adapter, ...] = ()


def as_laid_out(
    kit: Sequence[Connector],
    board: Board,
    adapters: Sequence[Placed],
    landed: Mapping[int, str] | None = None,
) -> Chain:
    """Put a chain together in the order given.

    Each adapter goes to the first connector of the kit that it fits, as it lies; one that fits none goes to the
    first. Every open end then goes to the connector of the board with which the fewest things are wrong.
    """
    laid: list[list[Placed]] = [[] for _ in kit]
    for placed in adapters:
        tips = [_tip(kit[place], laid[place]) for place in range(len(kit))]
        fitting = [place for place, tip in enumerate(tips) if mate(tip, placed.near).fits]
        laid[fitting[0] if fitting else 0].append(placed)
    ends = ends_of(board)
    tips = [_tip(kit[place], laid[place]) for place in range(len(kit))]
    best: Chain | None = None
    for chosen in product(*(_candidates(tip, ends) for tip in tips)):
        lanes = [Lane(place, tuple(laid[place]), end) for place, end in enumerate(chosen)]
        chain = put_together(kit, board, lanes, landed)
        if best is None or chain.wrongs < best.wrongs:
            best = chain
    if best is None:  # a board always has an end, so there is always a candidate
        raise AssertionError
    return best


def _tip(start: Connector, laid: Sequence[Placed]) -> Shape:
    return laid[-1].far if laid else start


def _candidates(tip: Shape, ends: Sequence[Connector]) -> list[int | None]:
    """Return the ends of the board that a tip fits; where it fits none, the one that is nearest to fitting."""
    misfits = [len(mate(tip, end).mismatches) for end in ends]
    fitting: list[int | None] = [place for place, count in enumerate(misfits) if count == 0]
    return fitting or [misfits.index(min(misfits))]


def mend(
    kit: Sequence[Connector],
    board: Board,
    laid_out: Sequence[Placed],
    at_hand: Sequence[Adapter],
    shelf: Callable[[], Sequence[Adapter]],
) -> Remedy | Search:
    """Find what makes a chain whole: turning, changing places, leaving out, adding; from what is at hand before the shelf.

    The shelf is only looked through where what is at hand does not do.

    Returns
    -------
    Remedy or Search
        The search that came to nothing, where nothing helps.
    """
    for other in _rearranged(laid_out):
        chain = as_laid_out(kit, board, other)
        if chain.whole:
            return Remedy(_rearranging(laid_out, other), chain)
    known = _with([placed.adapter for placed in laid_out], at_hand)
    search = shortest_chain(kit, board, known)
    if search.found is not None:
        return Remedy(_exchanging(laid_out, search.found), search.found)
    search = shortest_chain(kit, board, _with(known, shelf()))
    if search.found is None:
        return search
    here = {adapter.id for adapter in known}
    missing = tuple(placed.adapter for placed in search.found.adapters if placed.adapter.id not in here)
    return Remedy(_exchanging(laid_out, search.found), search.found, missing)


def _with(adapters: Sequence[Adapter], more: Sequence[Adapter]) -> list[Adapter]:
    """Add adapters that are not there yet; one that is there twice stays twice."""
    here = {adapter.id for adapter in adapters}
    return [*adapters, *(adapter for adapter in more if adapter.id not in here)]


def _rearranged(laid_out: Sequence[Placed]) -> Iterator[list[Placed]]:
    """Yield the adapters in every order and turn, those with the fewest turned first."""
    if not 0 < len(laid_out) <= MOST_TURNED:
        return
    flips = sorted(product((False, True), repeat=len(laid_out)), key=sum)
    for order in permutations(range(len(laid_out))):
        for flip in flips:
            yield [Placed(laid_out[n].adapter, laid_out[n].turned is not flip[n]) for n in order]


def _rearranging(before: Sequence[Placed], after: Sequence[Placed]) -> Words:
    turns = {placed.adapter.id: placed.turned for placed in before}
    turned = [placed.adapter.name for placed in after if placed.turned is not turns[placed.adapter.id]]
    moved = [placed.adapter.id for placed in before] != [placed.adapter.id for placed in after]
    parts = []
    if turned:
        parts.append(
            f"{' and '.join(turned)} {'is' if len(turned) == 1 else 'are'} turned round: put the other end toward the kit"
        )
    if moved:
        parts.append(
            f"the order from the kit to the unit is {', then '.join(placed.adapter.name for placed in after)}"
        )
    return Words("; ".join(parts))


def _exchanging(before: Sequence[Placed], chain: Chain) -> Words:
    old = {placed.adapter.id: placed.adapter.name for placed in before}
    new = {placed.adapter.id: placed.adapter.name for placed in chain.adapters}
    out = [name for id_, name in old.items() if id_ not in new]
    into = [name for id_, name in new.items() if id_ not in old]
    parts = []
    if out:
        parts.append(f"leave out {' and '.join(out)}")
    if into:
        parts.append(f"{'put in' if old else 'use'} {' and '.join(into)}")
    whole = ", then ".join(new.values())
    parts.append(
        f"the way from the kit to the unit is {whole}"
        if new
        else "the kit's plug goes straight into the unit"
    )
    return Words("; ".join(parts))
