"""The words of the pages in more than one language: a file of pairs for each, English where a pair is missing.

What the engine says (plans, verdicts, cautions) is English so far; the pages' own words are translated.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import cache
from gettext import NullTranslations
from importlib.resources import files

LANGUAGES: Mapping[str, str] = {"en": "English", "es": "Español (empezado)"}
"""Languages offered, each by its own name."""


class Translations(NullTranslations):
    """Translations of one language, from a file of pairs."""

    def __init__(self, pairs: Mapping[str, str]) -> None:
        super().__init__()
        self._pairs = pairs

    def gettext(self, message: str) -> str:
        """Return the words in this language, or as they are."""
        return self._pairs.get(message, message)


@cache
def pairs(language: str) -> Mapping[str, str]:
    """Return the pairs of a language; none for English."""
    found = files("ventwright.web").joinpath("words", f"{language}.json")
    if not found.is_file():
        return {}
    read: dict[str, str] = json.loads(found.read_text(encoding="utf-8"))
    return read


def chosen(setting: object, accepted: str) -> str:
    """Choose the language of a page.

    Parameters
    ----------
    setting
        What the person set, if anything.
    accepted
        What the browser asks for, as its Accept-Language header says it.
    """
    if isinstance(setting, str) and setting in LANGUAGES:
        return setting
    return next((one for one in _asked_for(accepted) if one in LANGUAGES), "en")


def _asked_for(accepted: str) -> Iterator[str]:
    """Yield the languages a browser asks for, the most wanted first."""
    weighed = []
    for number, part in enumerate(accepted.split(",")[:20]):
        name, _, weight = part.strip().partition(";q=")
        try:
            weighed.append((-float(weight or 1.0), number, name.partition("-")[0].lower()))
        except ValueError:
            continue
    yield from (name for _, _, name in sorted(weighed))
