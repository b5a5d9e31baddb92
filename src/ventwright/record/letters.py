"""What a typeface can print, and plain words for what it cannot."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable

from ventwright.quantity import DIMENSIONS

WORDS = {
    "≤": "at most",
    "≥": "at least",
    "≈": "about",
    "≠": "not equal to",
    "Δ": "difference",
    "Ω": "ohm",
    "√": "root",
    "∞": "infinite",
    "→": "to",
    "✓": "yes",
    "✗": "no",
}
"""Signs that a word stands for; a word keeps a space from what it would run into."""

SIGNS = {
    "−": "-",
    "–": "-",
    "—": "-",
    "\N{HYPHEN}": "-",
    "\N{NON-BREAKING HYPHEN}": "-",
    "“": '"',
    "”": '"',
    "\N{LEFT SINGLE QUOTATION MARK}": "'",
    "’": "'",
    "\N{PRIME}": "'",
    "″": '"',
    "…": "...",
    "•": "-",
    "·": "-",
    "×": "x",
    "\N{FRACTION SLASH}": "/",
    "μ": "µ",
    "☐": "[ ]",
    "☑": "[x]",
}
"""Signs that a plainer sign stands for."""

UNKNOWN = "?"

HARD_SPACE = "\u00a0"

_UNITS = {name for dimension in DIMENSIONS for unit in dimension.units for name in unit.names} | {
    "VA",
    "mm²",
    "AWG",
}
_UNPARTED = re.compile(
    rf"(?<=\d) (?=(?:{'|'.join(re.escape(name) for name in sorted(_UNITS, key=len, reverse=True))})(?!\w))"
    r"|(?<=[±≤≥<>≈Δ]) (?=[\d+−-])"
)

CanPrint = Callable[[str], bool]


def windows_1252(character: str) -> bool:
    """Tell whether the standard fonts of every PDF reader have a character."""
    try:
        character.encode("cp1252")
    except UnicodeEncodeError:
        return False
    return True


def clean(text: str) -> str:
    """Return a text without control characters other than the end of a line, its characters composed."""
    composed = unicodedata.normalize("NFC", text.replace("\r\n", "\n").replace("\r", "\n").replace("\t", " "))
    # Cc control, Cf format (soft hyphens, direction marks), Cs lone halves of pairs: none leaves a mark on paper.
    return "".join(c for c in composed if c == "\n" or unicodedata.category(c) not in {"Cc", "Cf", "Cs"})


def unparted(text: str) -> str:
    """Return a text with a hard space between a number and its unit, and between a sign and its number."""
    return _UNPARTED.sub(HARD_SPACE, text)


def printable(text: str, can_print: CanPrint) -> str:
    """Return a text in which every character can be printed, with words or plainer signs for those that cannot.

    Parameters
    ----------
    text
        What is to be printed.
    can_print
        Whether the typeface has a character.

    Returns
    -------
    str
        The same text where the typeface has all of it; else "at most" for "≤", "-" for "−", the base letter for an
        accented one, and "?" for what nothing stands for.
    """
    result = ""
    ends_in_word = False
    for character in clean(text):
        if character == "\n" or can_print(character):
            piece, is_word = character, False
        elif character in WORDS:
            piece, is_word = WORDS[character], True
        else:
            piece, is_word = _plainer(character, can_print), False
        # "x≤5" must not become "xat most5", yet "10 kΩ" may well become "10 kohm".
        runs_in = is_word and character != "Ω" and bool(re.search(r"[\w)%°]$", result))
        runs_on = ends_in_word and bool(re.match(r"[\w(%°+±.-]", piece))
        result += (" " if runs_in or runs_on else "") + piece
        ends_in_word = is_word
    return result


def _plainer(character: str, can_print: CanPrint) -> str:
    """Return what stands for one character that cannot be printed: a sign, its base letter, or "?"."""
    if character in SIGNS and can_print(SIGNS[character][0]):
        return SIGNS[character]
    if unicodedata.category(character) == "Zs":
        return " "
    if unicodedata.combining(character):
        return ""
    apart = unicodedata.normalize("NFKD", character)
    base = "".join(c for c in apart if can_print(c))
    return base or UNKNOWN
