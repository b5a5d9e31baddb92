"""A YAML or JSON text as plain data, with the line of every part, so that a refusal can say where.

YAML 1.2 is read: ``no`` and ``12:30`` stay the words they are, dates stay as typed, a key written twice is an
error, and so is an alias: every part is written out where it stands. A JSON text is read as JSON, which takes a
fraction of the time; what is only almost JSON is read as the YAML it then is.
"""

from __future__ import annotations

import io
import json
import math
import re
from bisect import bisect_right
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any, Never

from ventwright.errors import Refusal, Refused

if TYPE_CHECKING:
    from ruamel.yaml.nodes import Node

Place = tuple[str | int, ...]
Lines = Mapping[Place, int]

LARGEST = 5_000_000
"""Bytes; a job of a hundred visits is far smaller."""


def read_document(text: str, name: str) -> tuple[Any, dict[Place, int]]:
    """Return the plain data of a YAML or JSON text and the line (from 1) of every place in it.

    Raises
    ------
    Refused
        The text is too long, is no YAML, is nested too deeply, has a key twice or an alias.
    """
    if len(text) > LARGEST:
        raise Refused(Refusal("is too large", f"a file of at most {LARGEST // 1_000_000} MB", name))
    text = text.removeprefix("\ufeff")
    try:
        data, lines = _json_or_yaml(text, name)
    except RecursionError:
        accepted = "parts within parts as `ventwright new` writes them"
        raise Refused(Refusal("is nested too deeply", accepted, name)) from None
    _refuse_half_letters(data, text, name)
    return data, lines


def _json_or_yaml(text: str, name: str) -> tuple[Any, dict[Place, int]]:
    if text.lstrip()[:1] in {"{", "["}:
        reader = _JsonReader(text)
        try:
            return reader.whole(), reader.lines
        except ValueError as failure:
            if isinstance(failure, Refused):
                raise
    return _yaml(text, name)


_HALF_LETTER = re.compile(r"\\u[dD][89a-fA-F][0-9a-fA-F]{2}")


def _refuse_half_letters(data: Any, text: str, name: str) -> None:
    """Refuse an escape for half a letter without its other half: no file could hold what it stands for."""
    found = _HALF_LETTER.search(text)
    if found is None:
        return
    try:
        json.dumps(data, ensure_ascii=False).encode()
    except UnicodeEncodeError:
        line = text.count("\n", 0, found.start()) + 1
        problem = f"holds half a letter ({found[0]})"
        raise Refused(Refusal(problem, "the letter itself", name, line=line)) from None


def _twice(key: str, line: int) -> Refused:
    return Refused(Refusal("stands here twice", "every key once", key, line=line))


class _JsonReader:
    """Reads a JSON text and notes lines on the way; raises ValueError where the text is no JSON."""

    def __init__(self, text: str) -> None:
        self._text = text
        self._decoder = json.JSONDecoder(parse_float=_finite, parse_constant=_no_number)
        self._line_starts = [0, *(found.end() for found in re.finditer("\n", text))]
        self.lines: dict[Place, int] = {}

    def whole(self) -> Any:
        """Return the data of the text, in which nothing may follow."""
        data, end = self._value(self._next(0), ())
        if self._next(end) != len(self._text):
            raise ValueError(end)
        return data

    def _next(self, position: int) -> int:
        """Return where the next sign stands that is not blank."""
        while self._text[position : position + 1] in {" ", "\t", "\n", "\r"}:
            position += 1
        return position

    def _line(self, position: int) -> int:
        return bisect_right(self._line_starts, position)

    def _value(self, start: int, place: Place) -> tuple[Any, int]:
        """Return the value that begins at a position, and where it ends."""
        self.lines[place] = self._line(start)
        match self._text[start : start + 1]:
            case "{":
                return self._part(start, place)
            case "[":
                return self._list(start, place)
            case _:
                return self._decoder.raw_decode(self._text, start)

    def _part(self, start: int, place: Place) -> tuple[dict[str, Any], int]:
        data: dict[str, Any] = {}
        position = self._next(start + 1)
        while self._text[position : position + 1] != "}":
            key, end = self._decoder.raw_decode(self._text, position)
            colon = self._next(end)
            if not isinstance(key, str) or self._text[colon : colon + 1] != ":":
                raise ValueError(position)
            if key in data:
                raise _twice(key, self._line(position))
            data[key], end = self._value(self._next(colon + 1), (*place, key))
            self.lines[*place, key] = self._line(position)
            position = self._after(end, "}")
        return data, position + 1

    def _list(self, start: int, place: Place) -> tuple[list[Any], int]:
        data: list[Any] = []
        position = self._next(start + 1)
        while self._text[position : position + 1] != "]":
            item, end = self._value(position, (*place, len(data)))
            data.append(item)
            position = self._after(end, "]")
        return data, position + 1

    def _after(self, end: int, closing: str) -> int:
        """Return where the next item begins, or where the closing bracket stands."""
        position = self._next(end)
        sign = self._text[position : position + 1]
        if sign == closing:
            return position
        following = self._next(position + 1)
        if sign != "," or self._text[following : following + 1] == closing:
            raise ValueError(position)
        return following


def _finite(text: str) -> float | str:
    """Return a number, or the text where no such number exists: it is then refused as it was typed."""
    value = float(text)
    return value if math.isfinite(value) else text


def _no_number(name: str) -> Never:
    raise ValueError(name)


def _yaml(text: str, name: str) -> tuple[Any, dict[Place, int]]:
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    try:
        root = YAML(typ="safe", pure=True).compose(io.StringIO(text))
    except YAMLError as failure:
        raise Refused(_syntax(failure, text, name)) from None
    if root is None:
        raise Refused(Refusal("is empty", "a document; `ventwright new` writes one to start from", name))
    lines: dict[Place, int] = {}
    try:
        return _plain(root, (), lines, set()), lines
    except _AliasError:
        raise Refused(_alias(text, name)) from None


def _syntax(failure: Exception, text: str, name: str) -> Refusal:
    """Say what the YAML reader stumbled over, and where."""
    accepted = 'lines of the form "key: value", indented with spaces'
    position = getattr(failure, "position", None)
    if position is not None:
        line = text.count("\n", 0, position) + 1
        code = getattr(failure, "character", 0)
        return Refusal(
            f"is not YAML or JSON: a sign that no text has (U+{code:04X})", accepted, name, line=line
        )
    mark = getattr(failure, "problem_mark", None)
    problem = getattr(failure, "problem", None) or "cannot be read"
    if "'\\t'" in problem:
        problem = "a tab stands where only spaces may"
    return Refusal(f"is not YAML or JSON: {problem}", accepted, name, line=mark.line + 1 if mark else None)


class _AliasError(Exception):
    """A part of the document is used a second time; it could be used a million times."""


def _alias(text: str, name: str) -> Refusal:
    """Say where the first alias stands."""
    from ruamel.yaml import YAML
    from ruamel.yaml.events import AliasEvent

    events = YAML(typ="safe", pure=True).parse(io.StringIO(text))
    first = next(event for event in events if isinstance(event, AliasEvent))
    problem = f"repeats another part of the file (*{first.anchor})"
    return Refusal(problem, "every part written out where it stands", name, line=first.start_mark.line + 1)


def _plain(node: Node, place: Place, lines: dict[Place, int], seen: set[int]) -> Any:
    """Build the data of a node, noting lines on the way."""
    from ruamel.yaml.nodes import MappingNode, ScalarNode, SequenceNode

    if id(node) in seen:
        raise _AliasError
    seen.add(id(node))
    lines[place] = node.start_mark.line + 1
    if isinstance(node, MappingNode):
        data: dict[str, Any] = {}
        for key, value in node.value:
            line = key.start_mark.line + 1
            if not isinstance(key, ScalarNode):
                raise Refused(Refusal("has a list or a part for a key", "a word before the colon", line=line))
            if id(key) in seen:
                raise _AliasError
            seen.add(id(key))
            name = str(key.value)
            if name in data:
                raise _twice(name, line)
            data[name] = _plain(value, (*place, name), lines, seen)
            lines[*place, name] = line
        return data
    if isinstance(node, SequenceNode):
        return [_plain(item, (*place, index), lines, seen) for index, item in enumerate(node.value)]
    return _scalar(str(node.tag).rpartition(":")[2], node.value)


def _scalar(tag: str, text: str) -> Any:
    """Return what a word means in YAML 1.2, whatever version the file says it is; what is no number stays text."""
    if tag == "null":
        return None
    if tag == "bool" and text.lower() in {"true", "false"}:
        return text.lower() == "true"
    if tag in {"int", "float"} and "_" not in text:
        try:
            return int(text) if tag == "int" else _finite(text)
        except ValueError:  # 0x1F, .inf: not numbers anybody means here
            return text
    return text
