"""Jobs that travel as documents: a file becomes changes, as a new job, a copy, or merged into the job that is here.

The entries of the ledgers are appended one by one, never put with the rest: two devices that took in the same file,
or files of different age, then lose none of them.
"""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from ventwright.document import read_document
from ventwright.errors import Refusal, Refused
from ventwright.job import FIRST_SCHEMA_VERSION, upgraded
from ventwright.store.change import new_id, value_json
from ventwright.store.claims import ABSENT
from ventwright.store.history import History, Pen
from ventwright.store.outside_names import refuse_outside_names
from ventwright.store.past import Past
from ventwright.store.place import LEDGERS, Item, Steps, is_key, own_name, written


def read_copy(text: str, name: str) -> dict[str, Any]:
    """Return the document of a job that came as YAML or JSON, in the present schema.

    What is missing or wrong in it is not refused: a job that is not finished travels too.

    Raises
    ------
    Refused
        The text holds no job, one of a newer Ventwright, or one that names files outside of it.
    """
    data, _ = read_document(text, name)
    if not isinstance(data, dict) or not isinstance(data.get("facts"), dict):
        raise Refused(Refusal("holds no job", "a document with facts, as Ventwright writes it", name))
    document = upgraded(data)
    refuse_outside_names(document)
    return document


def first_changes(pen: Pen, document: Mapping[str, Any]) -> None:
    """Write the first changes of a job: its document, and every entry of its ledgers.

    Raises
    ------
    Refused
        The document names files outside of it.
    """
    refuse_outside_names(document)
    pen.put("", {"schema_version": FIRST_SCHEMA_VERSION, **_without_ledgers(document)})
    for place, entry in _entries(document):
        pen.append(written(place), entry)


def as_copy(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return the document as another job, with an id of its own."""
    return {**document, "id": new_id()}


def merge(pen: Pen, document: Mapping[str, Any]) -> None:
    """Write what a copy of the same job holds and the job here does not.

    Entries that are not here are appended. A setting that is not here is put. One that differs stays as it is here and
    becomes a conflict, unless the copy says what was known here before: then it is only older.

    Raises
    ------
    Refused
        The copy is of another job, or names files outside of it.
    """
    if document.get("id") != pen.history.job:
        accepted = f"a copy of {pen.history.job}, or this one taken in as a job of its own"
        raise Refused(Refusal("is another job", accepted, "id", str(document.get("id"))))
    refuse_outside_names(document)
    before = pen.history
    past, here, copy = Past(before), before.document, _without_ledgers(document)
    otherwise: list[tuple[str, Any]] = []
    for place, value in list(_differences((), _without_ledgers(here), copy)):
        stored = before.folding.stored_place(written(place))
        if all(said is None or said is ABSENT for said in before.claims.ever_said(stored)):
            pen.put(written(place), value)
        else:
            otherwise.append((stored, value))
    there = {(place, known_as(entry)): entry for place, entry in _entries(here)}
    for place, entry in _entries(document):
        held = there.get((place, known_as(entry)))
        if held is None:
            pen.append(written(place), entry)
        elif held != entry:
            otherwise.append((written((*place, Item(known_as(entry)))), entry))
    for (
        stored,
        value,
    ) in otherwise:  # last: they stand below everything, and nothing that is written rests on them
        if not past.said(stored, value):
            pen.copy_put(stored, value)


def exported(history: History) -> bytes:
    """Return the document of a job as JSON, as it was entered; Ventwright reads it again."""
    return json.dumps(history.document, indent=2, ensure_ascii=False).encode() + b"\n"


def known_as(entry: Any) -> str:
    """Return what an entry of a ledger is known by wherever it comes from: its id, or else what it says."""
    return own_name(entry) or value_json(entry)


def _without_ledgers(document: Mapping[str, Any]) -> dict[str, Any]:
    """Return a document without the entries of its ledgers; the sections stay, in their order."""
    rest = dict(document)
    for section, key in (map(str, place) for place in LEDGERS):
        part = rest.get(section)
        if isinstance(part, dict) and isinstance(part.get(key), list):
            rest[section] = {name: value for name, value in part.items() if name != key}
    return rest


def _entries(document: Mapping[str, Any]) -> Iterator[tuple[Steps, Any]]:
    """Yield every entry of the ledgers of a document with the place of its list."""
    for place in LEDGERS:
        section, key = map(str, place)
        part = document.get(section)
        held = part.get(key) if isinstance(part, dict) else None
        yield from ((place, entry) for entry in (held if isinstance(held, list) else ()))


_OWN = frozenset({"id", "schema_version", "made_with"})
"""What a document says of itself and not of the unit."""


def _differences(place: Steps, here: Any, copy: Any) -> Iterator[tuple[Steps, Any]]:
    """Yield what a copy says otherwise than the document here, as small as it can be told, by shown place."""
    if isinstance(here, dict) and isinstance(copy, dict) and all(map(is_key, copy)):
        for key in copy:
            if place or key not in _OWN:
                yield from _differences((*place, key), here.get(key), copy[key])
    elif isinstance(here, list) and isinstance(copy, list) and len(here) == len(copy):
        for number, (ours, theirs) in enumerate(zip(here, copy, strict=True), start=1):
            yield from _differences((*place, Item(str(number))), ours, theirs)
    elif here != copy and copy is not None and copy != {}:
        yield place, copy
