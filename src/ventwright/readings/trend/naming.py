"""Which point a column is, guessed from its name by the meanings of its words, and how sure the guess is."""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Final

from ventwright.tables.point import meanings, points

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

NOT_USED: Final = "not used"
"""Stands for a column that is no point of a unit that anything here looks at."""

SURE: Final = 0.6
"""A guess below it is asked about rather than used (our own assumption)."""

PER_STRANGE_WORD: Final = 0.9
"""Factor on the chance for every word that is not known (our own assumption)."""

LONGEST_WORD: Final = 60
"""Letters of a word up to which it is put apart: no name of a point runs longer, and the work grows with the cube."""

KEPT: Final = 4096
"""Names whose meaning is remembered: more come only from logs with names that nobody reads."""

CLEAR: Final = 0.15
"""Least lead over the next point (our own assumption)."""

NUMBERS: Final = {
    "1": "n1",
    "2": "n2",
    "3": "n3",
    "4": "n4",
    "one": "n1",
    "two": "n2",
    "three": "n3",
    "four": "n4",
}
EQUIPMENT: Final = re.compile(r"\s*[A-Za-z]{1,4}[-_ ]?\d{1,4}[A-Za-z]?[-_. :/]+")
"""A tag in front, such as AC07 in AC07_SAT."""

OF_A_STAGE: Final = frozenset({"cooling", "heating", "compressor", "stage", "circuit"})


@dataclass(frozen=True, slots=True)
class Guess:
    """What a name most probably means."""

    point: str
    """Id of the point, or ``NOT_USED``."""
    chance: float
    others: tuple[tuple[str, float], ...] = ()
    """Other points it may be, with their chances."""
    strange: tuple[str, ...] = ()
    """Words of the name that say nothing to us."""

    @property
    def is_sure(self) -> bool:
        """Whether the guess can be used before anybody looked at it."""
        lead = self.chance - max((chance for _, chance in self.others), default=0.0)
        return self.chance >= SURE and lead >= CLEAR


@lru_cache(maxsize=KEPT)
def guess(name: str) -> Guess:
    """Guess the point that a column name means.

    A point is named by a combination of meanings ("outdoor", "damper", "command"); a name has it when it has all of them
    and no other that would make it something else: an alarm, a tuning parameter, water, another piece of equipment.
    """
    found, strange = meanings_of(name)
    chances = _chances(found, strange)
    tag = EQUIPMENT.match(name)
    if (
        not chances and tag is not None
    ):  # the tag of a unit may be made of letters that mean something elsewhere
        chances = {
            one: PER_STRANGE_WORD * chance
            for one, chance in _chances(*meanings_of(name[tag.end() :])).items()
        }
    if not chances:
        return Guess(NOT_USED, 0.9 if found else 0.3, strange=strange)
    ranked = sorted(chances.items(), key=lambda pair: (-pair[1], pair[0]))
    (best, chance), *others = ranked
    return Guess(best, chance, tuple(others), strange)


def _chances(found: frozenset[str], strange: tuple[str, ...]) -> dict[str, float]:
    """Return the points that have the meanings found and no others, with the chance of each."""
    chances: dict[str, float] = {}
    for one in points().values():
        ways = [way.chance for way in one.ways if way.meanings <= found <= way.meanings | one.allows]
        if ways:
            chances[one.id] = max(ways) * PER_STRANGE_WORD ** len(strange)
    return chances


@lru_cache(maxsize=KEPT)
def meanings_of(name: str) -> tuple[frozenset[str], tuple[str, ...]]:
    """Return the meanings of the words of a name, and the words that are not known."""
    found: set[str] = set()
    strange: list[str] = []
    figures: list[str] = []
    for word in words(name):
        known = _known(word)
        if word in NUMBERS:
            figures.append(NUMBERS[word])
        elif known is not None:
            found |= known
        elif not word.isdigit() and len(word) > 1:
            strange.append(word)
    if found & OF_A_STAGE and figures:
        found.add(figures[-1])
    if "switch" in found and len(found) == 1:
        found.clear()
    return frozenset(_joined(found)), tuple(strange)


def _joined(found: set[str]) -> set[str]:
    """Return meanings of which two together make a third: a high limit is one thing, as is a supply duct."""
    for parts, whole in JOINED:
        if parts <= found:
            found = (found - parts) | set(whole.split())
    return found


JOINED: Final = (
    (frozenset({"humidity_ratio", "power"}), "power"),
    (frozenset({"humidity_ratio", "fan"}), "fan power"),
    (frozenset({"humidity_ratio", "heating"}), "heating power"),
    (frozenset({"humidity_ratio", "cooling"}), "cooling power"),
    (frozenset({"high", "parameter", "economizer"}), "economizer high_limit"),
    (frozenset({"flow", "fraction", "outdoor"}), "outdoor fraction"),
)

_TWO_WORDS: Final = {
    ("set", "point"): "setpoint", ("dew", "point"): "dewpoint", ("wet", "bulb"): "wetbulb", ("free", "cooling"): "freecooling",
    ("carbon", "dioxide"): "co2", ("ground", "truth"): "alarm", ("mixing", "box"): "mixed", ("air", "handler"): "ahu",
    ("start", "stop"): "ss", ("on", "off"): "onoff", ("high", "limit"): "highlimit", ("change", "over"): "changeover", ("humidity", "ratio"): "humrat", ("absolute", "humidity"): "humrat",
    ("roof", "top"): "rooftop", ("not", "occupied"): "unoccupied", ("non", "occupied"): "unoccupied", ("heat", "pump"): "unit",
    ("current", "value"): "value", ("per", "cent"): "percent", ("drive", "speed"): "speed", ("load", "shed"): "shed",
}  # fmt: skip
"""Words that mean something only together."""


def words(name: str) -> Iterator[str]:
    """Yield the words of a name in small letters, put apart at signs, at capitals and where letters meet figures."""
    single = [word.lower() for word in _WORD.findall(_spaced(name))]
    position = 0
    while position < len(single):
        pair = tuple(single[position : position + 2])
        if len(pair) == 2 and (pair[0], pair[1]) in _TWO_WORDS:
            yield _TWO_WORDS[pair[0], pair[1]]
            position += 2
        elif len(pair) == 2 and pair[0] + pair[1] in meanings() and pair[1].isdigit():
            yield pair[0] + pair[1]  # "CO2", "Y1"
            position += 2
        else:
            yield from _parts(single[position])
            position += 1


_WORD: Final = re.compile(r"[^\W\d_]+|\d+")
_HUMP: Final = re.compile(r"(?<=[a-z])(?=[A-Z])|(?<=[A-Z])(?=[A-Z][a-z]{2,})")


def _spaced(name: str) -> str:
    return _HUMP.sub(" ", name)


@lru_cache(maxsize=KEPT)
def _parts(word: str) -> tuple[str, ...]:
    """Put apart a word of several known ones written together, as "damperpos"; one that is known stays whole."""
    if _known(word) is not None or not 4 <= len(word) <= LONGEST_WORD:
        return (word,)
    best: dict[int, tuple[str, ...]] = {0: ()}
    for end in range(2, len(word) + 1):
        for start in range(end - 1):
            piece = word[start:end]
            if start in best and _known(piece) is not None:
                candidate = (*best[start], piece)
                if end not in best or len(candidate) < len(best[end]):
                    best[end] = candidate
    return best.get(len(word), (word,))


@lru_cache(maxsize=KEPT)
def _known(word: str) -> frozenset[str] | None:
    """Return the meanings of one word, itself or without a plural; none where nobody knows it."""
    known: Mapping[str, str] = meanings()
    if word in known:
        return frozenset(known[word].split())
    if len(word) > 4 and word.endswith("s") and word[:-1] in known:
        return frozenset(known[word[:-1]].split())
    return None
