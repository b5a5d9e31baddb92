"""The shelf of equipment files: ours come with the package, a person's own stand beside the job."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from pathlib import Path
from typing import TypeVar, cast

from ventwright.document import LARGEST, read_document
from ventwright.entry import Entry, validated
from ventwright.errors import Refusal, Refused, refuse_word
from ventwright.tables import data_file

Part = TypeVar("Part", bound=Entry)

SUFFIXES = (".yaml", ".yml", ".json")


def find(kind: str, named: str, model: type[Part], beside: Path | None = None) -> Part:
    """Return an equipment file as its model.

    Parameters
    ----------
    kind
        Folder on the shelf: adapters, boards, kits or units.
    named
        Id of a file on the shelf, or the name of a .yaml or .json file.
    beside
        Folder in which such a file is looked for, where its name is not absolute.

    Raises
    ------
    Refused
        No such id or file, or mistakes in the file: all of them, with their lines.
    """
    if named.endswith(SUFFIXES):
        return read_part((beside or Path()) / named, model)
    if named not in names(kind):
        known = {one: str(getattr(_from_shelf(kind, one, model), "name", "")) for one in names(kind)}
        raise refuse_word(named, known, f"on the shelf of {kind}, nor the name of a .yaml file")
    return cast("Part", _from_shelf(kind, named, model))


def find_at(kind: str, named: str, model: type[Part], where: str, beside: Path | None = None) -> Part:
    """Return an equipment file as `find` does; a name that is refused stands at its place in the document."""
    try:
        return find(kind, named, model, beside)
    except Refused as refused:
        raise Refused(*(one if one.where else one.at(where) for one in refused.refusals)) from None


def read_part(path: Path, model: type[Part]) -> Part:
    """Read one equipment file of a person's own."""
    accepted = "a .yaml or .json file that exists"
    try:
        with path.open("rb") as file:
            content = file.read(LARGEST + 1)  # a device may have no size and no end
    except (OSError, ValueError):  # a ValueError where the name itself is impossible
        raise Refused(Refusal("cannot be read", accepted, str(path))) from None
    if len(content) > LARGEST:
        raise Refused(Refusal("is too large", f"a file of at most {LARGEST // 1_000_000} MB", str(path)))
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refused(Refusal("is not a text file", accepted, str(path))) from None
    data, lines = read_document(text, path.name)
    return validated(model, data, lines=lines, inside=path.name)


def names(kind: str) -> tuple[str, ...]:
    """Return the ids on one shelf, in order."""
    return data_file.names(f"equipment/{kind}", ".yaml")


@cache
def _from_shelf(kind: str, named: str, model: type[Part]) -> Part:
    text = files("ventwright.tables").joinpath("equipment", kind, f"{named}.yaml").read_text(encoding="utf-8")
    data, lines = read_document(text, f"{named}.yaml")
    return validated(model, data, lines=lines, inside=f"{named}.yaml")
