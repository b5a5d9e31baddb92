"""One change of a job: who put what where, appended what, or took which change back.

A job is the union of its changes, wherever they were made: nothing in the list is ever altered, and two copies of a
job are merged by putting their lists together.
"""

from __future__ import annotations

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import asdict, dataclass, fields
from datetime import UTC, datetime
from typing import Any, Literal, cast, get_args
from uuid import uuid4

from ventwright.errors import Refusal, Refused
from ventwright.store.place import Steps, steps_of

Do = Literal["put", "append", "undo"]

LARGEST_NUMBER = 2**53 - 1
"""The greatest whole number that every JSON reader keeps exactly."""

_ID = re.compile(r"[0-9a-f]{32}")


@dataclass(frozen=True, slots=True)
class Change:
    """One change, made on a device and never altered.

    ``number`` is one more than the greatest the device had seen in that job: it orders changes where clocks do not.
    ``put`` sets a place, or takes it away with None; ``append`` adds an entry to a list; ``undo`` leaves the change
    whose id is its value out. ``over`` are the changes at that place, above and below it, that the person had before
    him: what is not among them, and not behind them, was not known to him.
    """

    id: str
    job: str
    number: int
    at: datetime
    device: str
    by: str
    do: Do
    path: str
    value: Any
    over: tuple[str, ...] = ()

    @property
    def order(self) -> tuple[int, str]:
        """Where the change stands among all of its job, the same on every device."""
        return self.number, self.id

    @property
    def steps(self) -> Steps:
        """The place as steps."""
        return steps_of(self.path)

    def as_data(self) -> dict[str, Any]:
        """Return the change as plain data, to be sent or written."""
        return asdict(self) | {"at": self.at.isoformat(), "over": list(self.over)}


def new_id() -> str:
    """Return an id for a change or a job, made on the device."""
    return uuid4().hex


def change_of(data: object) -> Change:
    """Read a change from plain data that came from elsewhere.

    Raises
    ------
    Refused
        It is no change: the first mistake found.
    """
    mistakes = _mistakes_of_data(data) if isinstance(data, Mapping) else iter([("is no part with keys", "")])
    _refuse_first(mistakes)
    given = dict(cast("Mapping[str, Any]", data))
    given |= {"at": datetime.fromisoformat(given["at"]), "over": tuple(given["over"])}
    change = Change(**given)
    refuse_unfit(change)
    return change


def refuse_unfit(change: Change) -> None:
    """Refuse a change that no document could take: a place that is none, a value that is no JSON.

    Raises
    ------
    Refused
        What is wrong with it.
    """
    _refuse_first(_unfit(change))


def value_json(value: Any) -> str:
    """Write a value as JSON, its keys in the order given.

    Raises
    ------
    TypeError, ValueError
        It holds what JSON does not have.
    """
    return json.dumps(value, ensure_ascii=False, allow_nan=False, separators=(",", ":"))


def _mistakes_of_data(data: Mapping[str, Any]) -> Iterator[tuple[str, str]]:
    """Yield what is wrong with the parts of a change, and where."""
    keys = {field.name for field in fields(Change)}
    yield from (("is missing", key) for key in sorted(keys - data.keys()))
    yield from (("is not known here", str(key)) for key in data.keys() - keys)
    if not (isinstance(data["id"], str) and _ID.fullmatch(data["id"])):
        yield "is no id of 32 hexadecimal digits", "id"
    if type(data["number"]) is not int or not 0 <= data["number"] <= LARGEST_NUMBER:
        yield "is no whole number from 0", "number"
    if data["do"] not in get_args(Do):
        yield "is not put, append or undo", "do"
    yield from (
        ("is no text", key) for key in ("job", "device", "by", "path") if not isinstance(data[key], str)
    )
    if not isinstance(data["over"], (list, tuple)) or not all(isinstance(one, str) for one in data["over"]):
        yield "is no list of ids", "over"
    try:
        datetime.fromisoformat(data["at"])
    except (TypeError, ValueError):
        yield "is no time", "at"


def _unfit(change: Change) -> Iterator[tuple[str, str]]:
    """Yield why no document could take a change, and which part of it is at fault."""
    steps = change.steps
    if not change.job:
        yield "is left blank", "job"
    if change.at.utcoffset() is None:
        yield "has no offset from UTC", "at"
    elif not _is_in_utc(change.at):
        yield "is no time", "at"
    if change.do == "put" and not steps and not isinstance(change.value, dict):
        yield "is no document", "value"
    if change.do == "append" and not steps:
        yield "names no list", "path"
    if change.do == "undo" and not isinstance(change.value, str):
        yield "is no id of a change", "value"
    try:
        value_json(change.value).encode()
    except (TypeError, ValueError, RecursionError):
        yield "cannot be written as JSON", "value"


def _is_in_utc(moment: datetime) -> bool:
    """Whether a moment has a year in UTC: at the ends of the calendar an offset may lead out of it."""
    try:
        moment.astimezone(UTC)
    except OverflowError:
        return False
    return True


def _refuse_first(mistakes: Iterator[tuple[str, str]]) -> None:
    for problem, where in mistakes:
        raise Refused(Refusal(problem, "a change as Ventwright writes it", where))
