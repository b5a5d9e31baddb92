"""Which item of a list a page showed: found again by what it said, however the list has moved, or refused."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from hashlib import sha256
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.web.form import Form

FIELD = "mark"
"""The control of a form that says which item it showed."""

AT = "number"
"""The control that says at which number it stood: of items that say the same, the one there is meant."""

NEW = "new"
"""The mark of a form that shows none of the list, and adds to it."""

NAMED_BY = ("name", "label")
"""Keys by which people tell the items of a list apart."""


def seen_mark(item: Any) -> str:
    """Return what tells an item from others: all that it says, and what it is called."""
    return f"{_short(item)}.{_short(_called(item))}"


def mark_kept(typed: Form | None, item: Any) -> str:
    """Return the mark for a form: that of the page that was sent, else of what stands there now.

    A page that is shown again with what was typed keeps its mark, so that sending it once more finds no other item.
    """
    sent = typed.get(FIELD) if typed else ""
    return sent or (NEW if item is None else seen_mark(item))


def taken_out(items: Sequence[Any], form: Form) -> int:
    """Return the number, from 1, of the item that a page showed in full, to be taken out.

    Raises
    ------
    Refused
        The list does not hold it any more as it was shown.
    """
    whole, at = form.get(FIELD).partition(".")[0], form.get(AT)
    same = [number for number, item in enumerate(items, start=1) if _short(item) == whole]
    if same:
        return next((number for number in same if str(number) == at), same[0])
    raise Refused(Refusal("the list has changed since this page was shown", ACCEPTED))


def changed_item(items: Sequence[Any], form: Form, number: int) -> int:
    """Return the number, from 1, of the item that a page showed, to be changed; of one behind the last for a new one.

    Parameters
    ----------
    items
        The list as it is.
    form
        As it was sent; one without a mark means the item of its address.
    number
        Of the address.

    Raises
    ------
    Refused
        Neither an item that says what was shown is there nor a single one that is called so.
    """
    whole, _, called = form.get(FIELD).partition(".")
    if not whole:
        return number
    if whole == NEW:
        return len(items) + 1
    marks = [seen_mark(item).split(".") for item in items]
    same = [place for place, mark in enumerate(marks, start=1) if mark[0] == whole]
    named = [place for place, mark in enumerate(marks, start=1) if mark[1] == called]
    if same:
        return number if number in same else same[0]
    if len(named) == 1:
        return named[0]
    raise Refused(Refusal("the list has changed since this page was shown", ACCEPTED))


def refuse_other(item: Any, form: Form) -> None:
    """Refuse what was sent from a page that showed another item under the same number.

    Raises
    ------
    Refused
        The page showed another one; a form without a mark means the item of its address.
    """
    if form.get(FIELD) not in {"", seen_mark(item)}:
        raise Refused(Refusal("the list has changed since this page was shown", ACCEPTED))


ACCEPTED = "the same, after a look at the list as it is now"


def _called(item: Any) -> Any:
    """Return what people call an item; all of it where it has no name."""
    if not isinstance(item, Mapping):
        return item
    return next((item[key] for key in NAMED_BY if item.get(key)), item)


def _short(item: Any) -> str:
    return sha256(json.dumps(item, sort_keys=True, default=str).encode()).hexdigest()[:16]
