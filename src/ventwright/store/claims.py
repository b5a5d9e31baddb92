"""Who says what of which place, and who did not know of whom: the heads of each place, and where they disagree.

A put claims its place and all below it; an appended entry claims its own place in the list.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from typing import Any

from ventwright.store.change import Change, value_json
from ventwright.store.folding import in_order, known_to, left_out
from ventwright.store.place import Item, Steps, is_key, own_name, steps_of, written

ABSENT: Any = object()
"""What a claim says of a list item that it does not have."""


class Claims:
    """The claims of the changes that stand; one that was undone still tells what was known to whom."""

    def __init__(self, changes: Iterable[Change]) -> None:
        ordered = in_order(changes)
        undone = left_out(ordered)
        self._by_id = {change.id: change for change in ordered}
        self._standing: dict[Steps, list[Change]] = {}
        self._ever: dict[Steps, list[Change]] = {}
        self._below: dict[Steps, list[Change]] = {}
        for change in ordered:
            if change.do != "undo":
                self._claim(change, stands=change.id not in undone)

    def lay(self, change: Change) -> None:
        """Take one more claim in: a put or an entry that comes after all that are here."""
        self._by_id[change.id] = change
        self._claim(change, stands=True)

    def _claim(self, change: Change, *, stands: bool) -> None:
        claimed = claimed_by(change)
        self._ever.setdefault(claimed, []).append(change)
        if stands:
            self._standing.setdefault(claimed, []).append(change)
            for number in range(len(claimed)):
                self._below.setdefault(claimed[:number], []).append(change)

    def heads_around(self, stored: str) -> tuple[str, ...]:
        """Return the ids of the latest claims to a place, to what holds it and to what it holds."""
        steps = steps_of(stored)
        around = [*self._over(steps, self._standing), *self._below.get(steps, ())]
        return tuple(one.id for one in self._heads(around))

    def heads_above(self, stored: str) -> tuple[str, ...]:
        """Return the ids of the latest claims to a place and to what holds it."""
        return tuple(one.id for one in self._heads(self._over(steps_of(stored), self._standing)))

    def ever_said(self, stored: str) -> list[Any]:
        """Return all that was ever said of a place, undone or not."""
        steps = steps_of(stored)
        return [_said(one, steps) for one in self._over(steps, self._ever)]

    def disagreements(self) -> Iterator[tuple[str, list[tuple[Change, Any]]]]:
        """Yield each place of which the heads say different things, with what they say, the last one last."""
        seen: set[Steps] = set()
        ahead = list(self._standing)
        while ahead:
            steps = ahead.pop()
            if steps in seen:
                continue
            seen.add(steps)
            heads = self._heads(self._over(steps, self._standing))
            if len(heads) < 2:
                continue
            said = [(one, _said(one, steps)) for one in heads]
            if any(one.do == "append" and claimed_by(one) == steps for one, _ in said):
                said = [(one, value) for one, value in said if value is not ABSENT]
            said = self._without_outdated(said, steps)
            if len({_compared(value) for _, value in said}) < 2:
                continue
            if all(isinstance(value, dict) and all(map(is_key, value)) for _, value in said):
                keys = dict.fromkeys(key for _, value in said for key in value)
                ahead += [(*steps, key) for key in keys]
            else:
                yield written(steps), [(one, None if value is ABSENT else value) for one, value in said]

    def _without_outdated(self, said: list[tuple[Change, Any]], steps: Steps) -> list[tuple[Change, Any]]:
        """Leave out what says only what the last had before him: he changed it knowing it."""
        if len(said) < 2:
            return said
        last = said[-1][0]
        known = known_to(last, self._by_id)
        before = {_compared(_said(one, steps)) for one in self._over(steps, self._ever) if one.id in known}
        return [(one, value) for one, value in said if one is last or _compared(value) not in before]

    def _over(self, steps: Steps, claims: dict[Steps, list[Change]]) -> list[Change]:
        """Return the claims to a place and to all that holds it."""
        return [one for number in range(len(steps) + 1) for one in claims.get(steps[:number], ())]

    def _heads(self, claims: list[Change]) -> list[Change]:
        """Return those of some claims that no other of them knew of, in order."""
        if len(claims) < 2:
            return claims
        behind: set[str] = set()
        ahead = [name for one in claims for name in one.over]
        while ahead:
            name = ahead.pop()
            if name not in behind:
                behind.add(name)
                ahead += self._by_id[name].over if name in self._by_id else ()
        return sorted((one for one in claims if one.id not in behind), key=lambda one: one.order)


def claimed_by(change: Change) -> Steps:
    """Return the place that a change claims; entries of a ledger that have the same id claim the same place."""
    if change.do == "put":
        return change.steps
    return (*change.steps, Item(own_name(change.value) or change.id))


def _said(change: Change, steps: Steps) -> Any:
    """Return what a claim says of a place at or below its own."""
    return at_place(change.value, steps[len(claimed_by(change)) :])


def at_place(value: Any, steps: Steps) -> Any:
    """Return what stands at a place in plain data: None for a key that is not there, ABSENT for such an item."""
    for step in steps:
        if isinstance(step, Item):
            value = _item(value, step.name)
            if value is ABSENT:
                return ABSENT
        else:
            value = value.get(step) if isinstance(value, dict) else None
    return value


def _item(value: Any, name: str) -> Any:
    if not isinstance(value, list):
        return ABSENT
    found = [one for number, one in enumerate(value, start=1) if name in {own_name(one), str(number)}]
    return found[0] if found else ABSENT


def _compared(value: Any) -> str:
    return "null" if value is ABSENT else value_json(value)
