"""What another store says, held against what may be said: nothing of another kind is kept, shown or reckoned with here."""

from __future__ import annotations

from base64 import b64decode
from typing import Any, TypeGuard

from ventwright.errors import Refusal, Refused
from ventwright.store.change import LARGEST_NUMBER

MOST_SAID, LONGEST_ID = 500, 100
"""Letters of a sentence, and of an id, that came from elsewhere; our own assumption."""


def said(told: object) -> str:
    """Return a text that came from elsewhere, cut to the length of a sentence; nothing where it is no text."""
    return told.encode(errors="replace").decode()[:MOST_SAID] if isinstance(told, str) else ""


def decoded(told: object, place: str, given: str) -> bytes:
    """Return the bytes that came as base64.

    Raises
    ------
    Refused
        It is none.
    """
    try:
        return b64decode(told if isinstance(told, str) else "?", validate=True)
    except ValueError:
        raise Refused(Refusal("came damaged", "the same once more", place, given)) from None


def is_mark(told: object) -> TypeGuard[list[Any] | tuple[Any, ...]]:
    """Whether it is a mark of arrival: a number, and the id of the change that has it."""
    return (
        isinstance(told, (list, tuple))
        and len(told) == 2
        and type(told[0]) is int
        and 0 <= told[0] <= LARGEST_NUMBER
        and isinstance(told[1], str)
    )


def is_answer(told: dict[str, Any]) -> bool:
    """Whether each part of an answer to changes is of its kind; the changes themselves are looked at one by one."""
    if not _is_id(told.get("store")) or type(told.get("schema", 0)) is not int:
        return False
    if told.get("begin_again"):
        return True
    mark, refused = told.get("mark"), told.get("refused")
    return (
        is_mark(mark)
        and _is_id(mark[1])
        and isinstance(told.get("changes"), list)
        and isinstance(told.get("more"), bool)
        and isinstance(refused, dict)
        and all(_is_id(one) and said(why) == why for one, why in refused.items())
    )


def _is_id(told: object) -> bool:
    return isinstance(told, str) and told.isascii() and len(told) <= LONGEST_ID
