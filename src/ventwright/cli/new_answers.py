"""How an answer to a question of `new` is read: as the document will read it."""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping, Sequence
from functools import partial
from typing import Any, get_args


def as_quantity(entry: Any) -> Callable[[str], object]:
    """Read an answer as the document will: a quantity of that kind, within its bounds; the check raises Refused."""
    typed, *more = get_args(entry)[1:]

    def check(text: str) -> object:
        read = typed(text)
        for mark in more:
            read = mark.func(read)
        return read

    return check


def as_field(model: Any, name: str) -> Callable[[str], object]:
    """Read an answer as that field of the document; the check raises Refused."""
    from ventwright.entry import read_value

    return partial(read_value, model, name)


def as_name(text: str) -> str:
    """Read a name; raises Refused where it has signs that no file should hold."""
    from ventwright.errors import Refusal, Refused

    if not text.isprintable():
        raise Refused(Refusal("has signs that cannot be printed", "letters, digits and signs of a keyboard"))
    return text


def as_new_speed(earlier: Sequence[str], text: str) -> None:
    """Read the name of a fan speed as the document does: none may stand there twice.

    Raises
    ------
    Refused
        It stands among the earlier ones, or cannot be printed.
    """
    from ventwright.entry import read_value
    from ventwright.facts import Unit

    read_value(Unit, "fan_speeds", [{"name": as_name(one)} for one in (*earlier, text)])


def refuse_unknown_people(space: Mapping[str, str], edition: str) -> None:
    """Look at a space whose people are left open.

    Raises
    ------
    Refused
        The standard has no usual number for its use.
    """
    from ventwright.entry import validated
    from ventwright.errors import Refused
    from ventwright.facts import Space
    from ventwright.plan.people import people_in
    from ventwright.tables.ventilation import rate

    read = validated(Space, dict(space))
    try:
        people_in(read, rate(edition, read.use))
    except Refused as refused:
        raise Refused(*(one.at("") for one in refused.refusals)) from None


def as_people(text: str) -> float:
    """Read a number of people; raises Refused where it is none."""
    from ventwright.errors import Refusal, Refused

    if not re.fullmatch(r"[0-9]{1,6}(\.[0-9]{1,3})?", text):
        raise Refused(Refusal("is not a number of people", "a number such as 25", given=text))
    return float(text)


def as_yes_or_no(text: str) -> str:
    """Read a yes or a no; raises Refused where it is neither."""
    from ventwright.errors import refuse_word

    if text not in {"yes", "no"}:
        raise refuse_word(text, ("yes", "no"), "an answer to this")
    return text


def as_one_of(known: tuple[str, ...]) -> Callable[[str], object]:
    """Read the id of a kit on the shelf, which is one of those known."""
    from ventwright.errors import refuse_word
    from ventwright.tables.kit import Kit
    from ventwright.tables.shelf import find

    def check(text: str) -> str:
        if text not in known:
            said = {one: find("kits", one, Kit).name for one in known}
            raise refuse_word(text, said, "a kit on the shelf")
        return text

    return check
