"""From the changes of a job to its document: the same whatever the order in which they arrived.

Changes are taken in the order of their numbers, equal ones by id. The last put at a place stands. An appended entry
stays when something above it is put by a person who did not know of it: an entry is lost only by being taken away.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.store.change import Change, value_json
from ventwright.store.place import LEDGERS, Item, Step, Steps, own_name, steps_of, written


def in_order(changes: Iterable[Change]) -> tuple[Change, ...]:
    """Return each change once, in the order in which all devices take them."""
    return tuple(sorted({change.id: change for change in changes}.values(), key=lambda change: change.order))


def left_out(changes: Iterable[Change]) -> frozenset[str]:
    """Return the ids of changes that stand undone; an undo that is itself undone takes nothing back."""
    ordered = in_order(changes)
    orders = {change.id: change.order for change in ordered}
    undone: set[str] = set()
    for change in reversed(ordered):
        # only an earlier change can be taken back, so that no two can undo one another
        if (
            change.do == "undo"
            and change.id not in undone
            and change.order > orders.get(change.value, change.order)
        ):
            undone.add(change.value)
    return frozenset(undone)


def known_to(change: Change, by_id: Mapping[str, Change]) -> set[str]:
    """Return the ids of all that lies behind a change: what it names, what that names, and so on."""
    seen: set[str] = set()
    ahead = list(change.over)
    while ahead:
        named = ahead.pop()
        if named not in seen:
            seen.add(named)
            ahead += by_id[named].over if named in by_id else ()
    return seen


def folded(changes: Iterable[Change]) -> dict[str, Any]:
    """Return the document that the changes of a job make."""
    return Folding(changes).document()


class _ListItem:
    """An item of a list, with its names; one that was taken away keeps its place and can come back."""

    __slots__ = ("gone", "names", "same_as", "value")

    def __init__(self, value: Any, place: Steps, brought_as: str) -> None:
        named = own_name(value)
        self.names = (brought_as,) if named is None else (named, brought_as)
        self.same_as = named or (value_json(value) if place in LEDGERS else None)
        self.value = _grown(value, (*place, Item(self.names[0])))
        self.gone = False


class _List:
    """A list whose items are found by name."""

    __slots__ = ("by_name", "items", "same_as")

    def __init__(self) -> None:
        self.items: list[_ListItem] = []
        self.by_name: dict[str, _ListItem] = {}
        self.same_as: dict[str, _ListItem] = {}

    def add(self, item: _ListItem) -> None:
        """Add an item after the others."""
        self.items.append(item)
        if item.same_as is not None:
            self.same_as.setdefault(item.same_as, item)
        self._name(item, item)

    def join(self, item: _ListItem) -> None:
        """Add an appended item; where it is there already it takes the latest wording."""
        there = None if item.same_as is None else self.same_as.get(item.same_as)
        if there is None:
            self.add(item)
        else:
            there.value = item.value
            self._name(item, there)

    def _name(self, item: _ListItem, there: _ListItem) -> None:
        for name in item.names:
            self.by_name.setdefault(name, there)

    def standing(self) -> list[_ListItem]:
        return [item for item in self.items if not item.gone]

    def find(self, name: str) -> _ListItem | None:
        """Return an item by its name, or by its number among those that stand."""
        if name in self.by_name or not name.isdecimal():
            return self.by_name.get(name)
        return self.numbered(name)

    def numbered(self, name: str) -> _ListItem | None:
        standing = self.standing()
        return standing[int(name) - 1] if len(name) < 10 and 0 < int(name) <= len(standing) else None


class Folding:
    """The document while changes are laid into it, with the names of its list items."""

    def __init__(self, changes: Iterable[Change], known: dict[str, Change] | None = None) -> None:
        """Lay changes into a document.

        Parameters
        ----------
        changes
            Those that are laid in.
        known
            All changes of the job by id, where only some of them are laid in; what lies behind one may be another.
        """
        ordered = in_order(changes)
        self._by_id = {change.id: change for change in ordered} if known is None else known
        self._whole: dict[str, Any] = {}
        self._appended: dict[Steps, dict[str, _ListItem]] = {}
        undone = left_out(ordered)
        for change in ordered:
            if change.id not in undone:
                self._lay(change)

    def lay(self, change: Change) -> None:
        """Lay one more change in: a put or an entry that comes after all that lie here."""
        self._by_id[change.id] = change
        self._lay(change)

    def _lay(self, change: Change) -> None:
        if change.do == "put":
            self._put(change)
        elif change.do == "append":
            self._append(change.steps, _ListItem(change.value, change.steps, change.id), change.id)

    def document(self) -> dict[str, Any]:
        """Return the document as plain data."""
        plain: dict[str, Any] = _plain(self._whole)
        return plain

    def stored_place(self, place: str) -> str:
        """Return a place as it is stored, its list items by the names that stay theirs.

        Raises
        ------
        Refused
            It is no place, or names an item of a list that is not there.
        """
        at: Any = self._whole
        steps: list[Step] = []
        for step in steps_of(place):
            if isinstance(step, Item):
                item = _shown(at, step.name)
                if item is None:
                    raise Refused(Refusal("is not in this job", "an item that is in its list", given=place))
                steps.append(Item(item.names[0]))
                at = item.value
            else:
                steps.append(step)
                at = at.get(step) if isinstance(at, dict) else None
        return written(tuple(steps))

    def shown_place(self, stored: str) -> str:
        """Return a stored place as a person reads it, list items counted from 1, and said so of one that is gone."""
        at: Any = self._whole
        steps: list[Step] = []
        for step in steps_of(stored):
            if isinstance(step, Item):
                item = at.find(step.name) if isinstance(at, _List) else None
                standing = at.standing() if isinstance(at, _List) else []
                number = standing.index(item) + 1 if item in standing else None
                steps.append(Item(str(number) if number else f"{step.name}, taken away"))
                at = item.value if item else None
            else:
                steps.append(step)
                at = at.get(step) if isinstance(at, dict) else None
        return written(tuple(steps))

    def _put(self, change: Change) -> None:
        """Set a place, keeping the entries below it that the change did not know of."""
        steps = change.steps
        below = [place for place in self._appended if place[: len(steps)] == steps]
        known = known_to(change, self._by_id) if below else set()
        kept = {
            place: {name: item for name, item in self._appended.pop(place).items() if name not in known}
            for place in below
        }
        if not steps:
            self._whole = _grown(change.value, ())
        else:
            self._set(steps, change.value)
        for place, items in kept.items():
            for name, item in items.items():
                self._append(place, item, name)

    def _set(self, steps: Steps, value: Any) -> None:
        parents: list[Any] = [self._whole]
        for number, (step, following) in enumerate(zip(steps, (*steps[1:], None), strict=True), start=1):
            at, last = parents[-1], following is None
            if isinstance(step, Item):
                item = at.find(step.name) if isinstance(at, _List) else None
                if item is None or (item.gone and value is None):
                    return  # the list was put anew meanwhile without this item, or it was taken away
                item.gone = last and value is None
                if not item.gone:
                    item.value = _grown(value, steps) if last else _part(item.value, following)
                parents.append(item.value)
            elif not isinstance(at, dict):
                return
            elif last and value is None:
                at.pop(step, None)
                _drop_empty(parents, steps[: number - 1])
            elif isinstance(following, Item) and not isinstance(at.get(step), _List):
                _drop_empty(parents, steps[: number - 1])
                return  # the list was taken away meanwhile, and every item with it
            else:
                at[step] = _grown(value, steps) if last else _part(at.get(step), following)
                parents.append(at[step])

    def _append(self, place: Steps, item: _ListItem, name: str) -> None:
        """Add an entry to the list at a place, made where there is none."""
        at: Any = self._whole
        for step, following in zip(place, (*place[1:], None), strict=True):
            if isinstance(step, Item):
                found = at.find(step.name) if isinstance(at, _List) else None
                if found is None:
                    return
                found.value = at = _part(found.value, following)
            elif isinstance(at, dict):
                at[step] = at = _part(at.get(step), following)
        if isinstance(at, _List):
            at.join(item)
            self._appended.setdefault(place, {})[name] = item


def _shown(at: Any, name: str) -> _ListItem | None:
    """Return the item that a person means: one that stands, a number counts those that stand."""
    if not isinstance(at, _List):
        return None
    item = at.numbered(name) if name.isdecimal() else at.by_name.get(name)
    return None if item is None or item.gone else item


def _part(found: Any, following: Step | None) -> Any:
    """Return what the next step goes into, made where there is nothing: a part, or for an item a list."""
    if isinstance(found, (dict, _List)):
        return found
    return {} if isinstance(following, str) else _List()


def _drop_empty(parents: list[Any], steps: Steps) -> None:
    """Take away parts in which nothing is left, so that a part never stands there for the sake of nothing."""
    for parent, step in zip(reversed(parents[: len(steps)]), reversed(steps), strict=True):
        if not isinstance(parent, dict) or isinstance(step, Item) or parent.get(step) != {}:
            return
        del parent[step]


def _grown(value: Any, place: Steps) -> Any:
    """Return plain data as it is held here, its lists with the names of their items."""
    if isinstance(value, dict):
        return {key: _grown(below, (*place, key)) for key, below in value.items()}
    if isinstance(value, (list, tuple)):
        grown = _List()
        for number, one in enumerate(value, start=1):
            grown.add(_ListItem(one, place, str(number)))
        return grown
    return value


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(below) for key, below in value.items()}
    if isinstance(value, _List):
        return [_plain(item.value) for item in value.standing()]
    return value
