"""Whether two connectors go together, and which cavity then meets which."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.tables.connector import Shape
from ventwright.words import Words

KIND = {
    "plug": "a plug",
    "socket": "a socket",
    "loose wires": "loose wires",
    "screw terminals": "screw terminals",
}


@dataclass(frozen=True, slots=True)
class Mismatch:
    """One reason why two connectors do not go together."""

    name: str
    sentence: Words


@dataclass(frozen=True, slots=True)
class Mating:
    """Two connectors held against one another. ``pairs`` are the cavities that meet; a joint by hand has none of itself."""

    mismatches: tuple[Mismatch, ...] = ()
    pairs: tuple[tuple[int, int], ...] = ()
    by_hand: bool = False
    remarks: tuple[Mismatch, ...] = ()

    @property
    def fits(self) -> bool:
        """Whether they go together, as far as could be seen."""
        return not self.mismatches


def mate(first: Shape, second: Shape) -> Mating:
    """Hold two connectors against one another: plug end, housing, cavities, layout, key, numbering."""
    if first.by_hand or second.by_hand:
        return _by_hand(first, second)
    found = [*_ends(first, second), *_housing(first, second), *_layout(first, second)]
    if found:
        return Mating(tuple(found))
    return Mating(pairs=_meeting(first, second), remarks=(*_seen(first, second), *_numbers(first, second)))


def _by_hand(first: Shape, second: Shape) -> Mating:
    """Join wire by wire, which takes loose wires on one side at least."""
    ends = {first.end, second.end}
    if first.by_hand and second.by_hand and "loose wires" in ends:
        return Mating(by_hand=True)
    if first.by_hand and second.by_hand:
        sentence = f"{first.name} and {second.name} are both screw terminals: wires between them are missing"
    else:
        loose, housed = (first, second) if first.by_hand else (second, first)
        sentence = (
            f"{loose.name}: {loose.end}; {housed.name}: {KIND[housed.end]}; what joins the two is missing"
        )
    return Mating((Mismatch("end", Words(sentence)),))


def _ends(first: Shape, second: Shape) -> list[Mismatch]:
    if first.end != second.end:
        return []
    return [Mismatch("end", Words(f"{first.name} and {second.name} are both {KIND[first.end][2:]}s"))]


def _housing(first: Shape, second: Shape) -> list[Mismatch]:
    """Compare make and key; what was not seen on one side is not held against it."""
    found = []
    if first.family and second.family and first.family != second.family:
        found.append(Mismatch("family", Words(
            f"{first.name} is a {first.family}, and {second.name} a {second.family}")))  # fmt: skip
    if first.key and second.key and first.key != second.key:
        found.append(Mismatch("key", Words(
            f"the keys differ: {first.name} has {_key(first)}, and {second.name} has {_key(second)}")))  # fmt: skip
    return found


def _key(shape: Shape) -> str:
    return "no key" if shape.key == "none" else shape.key


def _layout(first: Shape, second: Shape) -> list[Mismatch]:
    if first.count != second.count:
        return [Mismatch("count", Words(
            f"{first.name} has {first.count} cavities, and {second.name} has {second.count}"))]  # fmt: skip
    if (first.rows, first.columns) != (second.rows, second.columns):
        return [Mismatch("layout", Words(
            f"{first.name} has {first.rows} rows of {first.columns}, and {second.name} has {second.rows} of {second.columns}"))]  # fmt: skip
    return []


def _meeting(first: Shape, second: Shape) -> tuple[tuple[int, int], ...]:
    """Return the cavities that meet: face to face, left is right."""
    met = []
    for cavity in range(1, first.count + 1):
        row, column = first.place(cavity)
        met.append((cavity, second.at((row, second.columns - 1 - column))))
    return tuple(met)


def _seen(first: Shape, second: Shape) -> list[Mismatch]:
    """Say what could not be compared, and what nothing prevents."""
    found = []
    if not first.family or not second.family:
        found.append(Mismatch("family_not_known", Words(
            f"the make of {first.name if not first.family else second.name} is not known: hold the two together, never force them")))  # fmt: skip
    if not first.key or not second.key:
        found.append(Mismatch("key_not_known", Words(
            f"the key of {first.name if not first.key else second.name} was not seen: look where cavity 1 is before it goes in")))  # fmt: skip
    elif first.key == "none":
        found.append(Mismatch("no_key", Words(
            f"nothing keeps {first.name} from going into {second.name} the wrong way round: mark cavity 1 on both")))  # fmt: skip
    return found


def _numbers(first: Shape, second: Shape) -> list[Mismatch]:
    """Say where the numbers printed on the halves do not agree: then places count, not numbers."""
    first_wrong = next(((one, other) for one, other in _meeting(first, second) if one != other), None)
    if first_wrong is None:
        return []
    return [Mismatch("mirrored_numbering", Words(
        f"the halves are numbered differently: cavity {first_wrong[0]} of {first.name} meets cavity {first_wrong[1]}"
        f" of {second.name}; go by the place, not by the number"))]  # fmt: skip
