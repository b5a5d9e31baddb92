"""The words of the pages in more than one language: a file of pairs for each, English where a pair is missing.

What the engine says (plans, verdicts, advice) is English so far; the pages' own words and the cautions are translated.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from functools import cache
from gettext import NullTranslations
from importlib.resources import files

LANGUAGES: Mapping[str, str] = {"en": "English", "es": "Español (en parte)"}
"""Languages offered, each by its own name."""

PAGES_IN: Mapping[str, tuple[str, ...]] = {
    "es": (
        "balance", "balance_leave", "balance_list", "balance_mend", "balance_other", "balance_pieces", "balance_read",
        "balance_result", "balance_set", "balance_traverse", "balance_wait", "pieces", "typed_list", "waiting",
    ),
}  # fmt: skip
"""Pages of which every word of their own is translated, by the names of their templates."""

SO_FAR = (
    "In Spanish so far: the balance with its readings, every caution, and parts of other pages. Plan, wiring, tests, record and "
    "whatever is worked out are in English. The Spanish is from memory; nobody whose language it is has looked it over. "
    "— En español hasta ahora: equilibrar con sus lecturas, todas las precauciones y partes de otras páginas. El plan, el cableado, "
    "las pruebas, el registro y todo lo calculado están en inglés. El español es de memoria y nadie de habla hispana lo ha revisado: "
    "si una precaución no está clara, léala en inglés."
)
"""What is said of that beside the choice, in both languages."""


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
    read: dict[str, str] = json.loads(found.read_text(encoding="utf-8"))["pairs"]
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
