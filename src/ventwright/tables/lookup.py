"""Finding a row by the name a person typed: case, spaces and punctuation do not matter; a doubt is refused."""

from __future__ import annotations

from difflib import SequenceMatcher
from typing import TYPE_CHECKING

from ventwright.errors import Refusal, Refused

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Sequence

SHORT_LIST = 25
"""As many names as fit into a refusal; of a longer list only the nearest are named."""

NEAR = 0.6
"""Likeness from which on a name is worth suggesting (common practice, no published source)."""


def key(text: str) -> str:
    """Return the letters and digits of a name, in lower case."""
    return "".join(character for character in text.casefold() if character.isalnum())


def nearest(given: str, names: Iterable[str], most: int = 3, short: Callable[[str], str] = str) -> list[str]:
    """Return the names most like the one given, the likest first; none where none comes near.

    Parameters
    ----------
    short
        Shorter form of a name that people use too, such as a county without the word county.
    """
    likeness = {name: max(_likeness(key(given), key(form)) for form in (name, short(name))) for name in names}
    likest = sorted(likeness, key=lambda name: -likeness[name])
    return [name for name in likest[:most] if likeness[name] >= NEAR]


def _likeness(given: str, known: str) -> float:
    """Return how like two keys are, 0 to 1; a part of a name counts as like it."""
    if not given:
        return 0.0
    if given in known:
        return 0.7 + 0.3 * len(given) / len(known)
    return SequenceMatcher(None, given, known).ratio()


def unknown(
    given: str, names: Sequence[str], what: str, where: str = "", short: Callable[[str], str] = str
) -> Refused:
    """Build the refusal of a name that is in no row: ``what`` completes "is no ..."."""
    likest = nearest(given, names, short=short)
    if len(names) <= SHORT_LIST:
        hint = f" (did you mean {likest[0]}?)" if likest else ""
        return Refused(Refusal(f"is no {what}{hint}", ", ".join(names), where, given))
    example = f"the nearest: {' or '.join(likest)}" if likest else f"such as {names[0]}"
    return Refused(Refusal(f"is no {what}", f"one of its {len(names)} names, {example}", where, given))


def unknown_edition(given: str, editions: Sequence[str], what: str, where: str = "") -> Refused:
    """Build the refusal of an edition that is not there, naming all that are and the one of the nearest year."""
    document, year = key(given)[:-4].removeprefix("ashrae"), key(given)[-4:]
    same = [edition for edition in editions if key(edition)[:-4] == document]
    if year.isdigit() and same:
        likest = min(same, key=lambda edition: abs(int(edition[-4:]) - int(year)))
        return Refused(Refusal(f"is no {what} (the nearest is {likest})", ", ".join(editions), where, given))
    return unknown(given, editions, what, where)


def ambiguous(given: str, choices: Iterable[str], what: str, where: str = "") -> Refused:
    """Build the refusal of a name that fits several rows, naming them."""
    return Refused(Refusal(f"fits more than one {what}", " or ".join(choices), where, given))


def not_held(edition: str, held: Iterable[str], what: str) -> Refused:
    """Build the refusal of an edition that is known but has no ``what`` here, naming those that have."""
    return Refused(Refusal(f"has no {what} here", ", ".join(sorted(held)), given=edition))
