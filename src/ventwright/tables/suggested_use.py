"""The uses of the ventilation standard to offer as one types, found by the words that people have for a space."""

from __future__ import annotations

import re
from functools import cache
from typing import TYPE_CHECKING

from ventwright.tables.data_file import read_toml
from ventwright.tables.lookup import key, nearest
from ventwright.tables.ventilation import category_of, edition_named, rates

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

LEAST_LETTERS = 3
"""Letters from which on the beginning of somebody's word for a space is taken for it."""


def suggested_uses(edition: str, text: str, most: int = 5) -> tuple[str, ...]:
    """Return the names of the categories that a piece of text most probably means, the likeliest first.

    Those that it is a common word for go first, then those of which a word begins as typed, category before group, then
    those that are only spelled like it.

    Raises
    ------
    Refused
        No such edition.
    """
    names = [row.name for row in rates(edition_named(edition))]
    if not key(text):
        return ()
    found = [*_by_common_word(text, names), *_by_word(text, names)]
    return tuple(dict.fromkeys(found or nearest(text, names, most, category_of)))[:most]


@cache
def _common_words() -> Mapping[str, tuple[str, ...]]:
    held = read_toml("priors", "words_for_uses.toml")["words"]
    return {key(word): tuple(key(use) for use in uses) for word, uses in held.items()}


def _by_common_word(text: str, names: Sequence[str]) -> Iterator[str]:
    """Yield what common words mean: the one typed or its singular, else those that begin as typed."""
    wanted, known = key(text), _common_words()
    exact = [word for word in (wanted, wanted.removesuffix("s")) if word in known]
    begun = sorted(word for word in known if len(wanted) >= LEAST_LETTERS and word.startswith(wanted))
    for word in exact[:1] or begun:
        for use in known[word]:
            yield from sorted((name for name in names if use in key(name)), key=len)


def _by_word(text: str, names: Sequence[str]) -> list[str]:
    """Return the names in which every word typed begins some word: in the category, else in group and category."""
    typed = _words(text)
    in_category = [name for name in names if _begin(typed, _words(category_of(name)))]
    first = [name for name in in_category if key(category_of(name)).startswith(key(text))]
    return [*first, *in_category, *(name for name in names if _begin(typed, _words(name)))]


def _begin(typed: Sequence[str], words: Sequence[str]) -> bool:
    return all(any(word.startswith(one) for word in words) for one in typed)


def _words(text: str) -> list[str]:
    return re.findall(r"[^\W_]+", text.casefold())
