"""Names of files in what came from elsewhere: none may lead out of the folder beside the job.

On a server the folder beside a job is made by the store; a name with a path in it would have the engine read, and pack
into a record, a file of the server itself.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from ventwright.document import read_document
from ventwright.entry import spelled
from ventwright.errors import Refusal, Refused
from ventwright.tables.shelf import SUFFIXES

Place = tuple[str | int, ...]

WEATHER = "weather_file"
"""The key whose text is a file's name however it ends."""


def refuse_outside_names(document: Mapping[str, Any]) -> None:
    """Refuse a job whose facts name a file that would not stand beside it.

    Raises
    ------
    Refused
        Every such name, with its place.
    """
    _refuse(document.get("facts"), ("facts",), "")


def refuse_outside_names_in(content: bytes, name: str) -> None:
    """Refuse an equipment file that names such a file, or that is no document at all.

    Raises
    ------
    Refused
        Every such name, with its place, or why the content cannot be read.
    """
    try:
        text = content.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise Refused(Refusal("is not a text file", "an equipment file, in UTF-8", name)) from None
    _refuse(read_document(text, name)[0], (), f"{name}: ")


def _refuse(data: Any, place: Place, before: str) -> None:
    accepted = "the name of a file beside the job, without folders"
    found = [
        Refusal("leads out of the job's own files", accepted, before + spelled(where), text)
        for where, text in _texts(data, place)
        if (text.endswith(SUFFIXES) or where[-1:] == (WEATHER,)) and set("/\\:") & set(text)
    ]
    if found:
        raise Refused(*found)


def _texts(data: Any, place: Place) -> Iterator[tuple[Place, str]]:
    """Yield every text in plain data with its place, without spaces at its ends: so the engine reads it."""
    ahead = [(place, data)]
    while ahead:
        where, value = ahead.pop()
        if isinstance(value, str):
            yield where, value.strip()
        elif isinstance(value, dict):
            ahead += [((*where, key), below) for key, below in value.items()]
        elif isinstance(value, list):
            ahead += [((*where, number), below) for number, below in enumerate(value)]
