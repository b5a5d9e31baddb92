"""An equipment file of a person's own as text and as data: read with all its mistakes, changed in place, named.

What is changed in a form is changed in the text, whose remarks and order stay as they are.
"""

from __future__ import annotations

import io
import json
import re
from collections.abc import Mapping
from dataclasses import dataclass
from itertools import pairwise
from pathlib import Path
from typing import Any

from ventwright.document import read_document
from ventwright.entry import Entry, validated
from ventwright.errors import Refusal, Refused
from ventwright.tables.adapter import Adapter
from ventwright.tables.board import Board
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import SUFFIXES
from ventwright.tables.unit_sheet import UnitSheet


@dataclass(frozen=True, slots=True)
class Shelf:
    """One kind of equipment: its folder, the word in its files, its model and what people call it."""

    folder: str
    kind: str
    model: type[Entry]
    title: str
    one: str


SHELVES = {
    one.folder: one
    for one in (
        Shelf("kits", "kit", Kit, "Kits", "kit"),
        Shelf("boards", "board", Board, "Control boards", "board"),
        Shelf("adapters", "adapter", Adapter, "Adapters", "adapter"),
        Shelf("units", "unit", UnitSheet, "Data sheets of units", "data sheet"),
    )
}


@dataclass(frozen=True, slots=True)
class OwnPart:
    """A file as it stands: its data where it has any, its model where it is whole, and what is wrong with it."""

    name: str
    text: str
    data: Mapping[str, Any]
    part: Entry | None
    refusals: tuple[Refusal, ...]


def read_own(shelf: Shelf, name: str, text: str) -> OwnPart:
    """Read a file, with every mistake in it and the line where it stands."""
    data: Any = {}
    try:
        data, lines = read_document(text, name)
        part = validated(shelf.model, data, lines=lines)
    except Refused as refused:
        return OwnPart(name, text, data if isinstance(data, dict) else {}, None, refused.refusals)
    return OwnPart(name, text, data, part, ())


def kind_of(text: str) -> str:
    """Return the word that says what a file describes; nothing where it cannot be read."""
    found = re.search(r'^\s*"?kind"?\s*:\s*"?([a-z]+)', text, re.MULTILINE)
    return found[1] if found else ""


def file_name(typed: str) -> str:
    """Return the name of a file of one's own from what a person calls it.

    Raises
    ------
    Refused
        It has no letter or digit that a name can be made of.
    """
    stem = re.sub(r"[^a-z0-9]+", "-", typed.lower().removesuffix(".yaml")).strip("-")[:60]
    if not stem:
        accepted = "a short name in letters, digits and hyphens, such as our-two-speed-kit"
        raise Refused(Refusal("is no name for a file", accepted, "name", typed))
    return f"{stem}.yaml"


def as_own(held: OwnPart, name: str) -> str:
    """Return the text of a file as another one of a person's own: under its own id, where it has one."""
    if "id" not in held.data:
        return held.text
    return changed(held.text, {"id": name.rpartition(".")[0]}, held.name)


def changed(text: str, values: Mapping[str, Any], name: str) -> str:
    """Return a file's text with values put at places; None takes one away.

    Parameters
    ----------
    text
        The file, which can be read.
    values
        By place, such as "settings[3].least"; one behind the end of a list is added to it.
    name
        Name of the file: its ending says whether it is JSON.
    """
    if name.endswith(".json"):
        data = json.loads(text)
        _put_all(data, values)
        return json.dumps(data, indent=2, ensure_ascii=False) + "\n"
    from ruamel.yaml import YAML

    yaml = YAML()
    yaml.width = 160
    yaml.indent(mapping=2, sequence=4, offset=2)
    yaml.preserve_quotes = True
    data = yaml.load(text)
    _put_all(data, values)
    held = io.StringIO()
    yaml.dump(data, held)
    return held.getvalue()


def _put_all(data: Any, values: Mapping[str, Any]) -> None:
    for place, value in values.items():
        _put(
            data,
            [int(step) - 1 if step.isdigit() else step for step in re.findall(r"[^.\[\]]+", place)],
            value,
        )


def _put(data: Any, steps: list[str | int], value: Any) -> None:
    """Put a value where the steps lead, making the parts on the way."""
    held = data
    for step, following in pairwise(steps):
        empty: Any = [] if isinstance(following, int) else {}
        if isinstance(step, int):
            if step >= len(held):
                held.append(empty)
            held = held[step]
        else:
            if held.get(step) is None:
                held[step] = empty
            held = held[step]
    last = steps[-1]
    if isinstance(last, int):
        if value is None:
            del held[last]
        elif last >= len(held):
            held.append(value)
        else:
            held[last] = value
    elif value is None:
        held.pop(last, None)
    else:
        held[last] = value


def own_beside(folder: Path, kind: str) -> list[tuple[str, str]]:
    """Return the files of one kind in the folder that a job sees, each with what people call it.

    Parameters
    ----------
    folder
        The folder beside a job.
    kind
        Word that such a file begins with: kit, board, adapter or unit.
    """
    found = []
    for path in sorted(folder.iterdir()) if folder.is_dir() else ():
        text = path.read_text(encoding="utf-8-sig", errors="replace") if is_own(path.name) else ""
        if kind_of(text) == kind:
            named = re.search(r'^\s*"?name"?\s*:\s*"?([^"\n]+)', text, re.MULTILINE)
            found.append((path.name, f"{named[1].strip()} ({path.name})" if named else path.name))
    return found


def is_own(name: str) -> bool:
    """Whether a name is that of a file of a person's own, and not one on the shelf."""
    return name.endswith(SUFFIXES)
