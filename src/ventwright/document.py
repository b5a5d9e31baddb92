"""A YAML or JSON text as plain data, with the line of every part, so that a refusal can say where.

YAML 1.2 is read: ``no`` and ``12:30`` stay the words they are, dates stay as typed, a key written twice is an
error. JSON is read by the same reader, being YAML.
"""

from __future__ import annotations

import io
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from ventwright.errors import Refusal, Refused

if TYPE_CHECKING:
    from ruamel.yaml.nodes import Node

Place = tuple[str | int, ...]
Lines = Mapping[Place, int]

LARGEST = 5_000_000
"""Bytes; a job of a hundred visits is far smaller."""

_PLAIN_TAGS = {"int": int, "float": float}


def read_document(text: str, name: str) -> tuple[Any, dict[Place, int]]:
    """Return the plain data of a YAML or JSON text and the line (from 1) of every place in it.

    Raises
    ------
    Refused
        The text is too long, is no YAML, or has a key twice.
    """
    from ruamel.yaml import YAML
    from ruamel.yaml.error import YAMLError

    if len(text) > LARGEST:
        raise Refused(Refusal("is too large", f"a file of at most {LARGEST // 1_000_000} MB", name))
    try:
        root = YAML(typ="safe", pure=True).compose(io.StringIO(text))
    except YAMLError as failure:
        raise Refused(_syntax(failure, name)) from None
    if root is None:
        raise Refused(Refusal("is empty", "a document; `ventwright new` writes one to start from", name))
    lines: dict[Place, int] = {}
    return _plain(root, (), lines), lines


def _syntax(failure: Exception, name: str) -> Refusal:
    """Say what the YAML reader stumbled over, and where."""
    mark = getattr(failure, "problem_mark", None)
    problem = getattr(failure, "problem", None) or "cannot be read"
    return Refusal(
        f"is not YAML or JSON: {problem}",
        'lines of the form "key: value", indented with spaces',
        name,
        line=mark.line + 1 if mark else None,
    )


def _plain(node: Node, place: Place, lines: dict[Place, int]) -> Any:
    """Build the data of a node, noting lines on the way."""
    from ruamel.yaml.nodes import MappingNode, SequenceNode

    lines[place] = node.start_mark.line + 1
    if isinstance(node, MappingNode):
        data: dict[str, Any] = {}
        for key, value in node.value:
            name = str(key.value)
            if name in data:
                raise Refused(
                    Refusal("stands here twice", "every key once", name, line=key.start_mark.line + 1)
                )
            data[name] = _plain(value, (*place, name), lines)
            lines[*place, name] = key.start_mark.line + 1
        return data
    if isinstance(node, SequenceNode):
        return [_plain(item, (*place, index), lines) for index, item in enumerate(node.value)]
    return _scalar(str(node.tag).rpartition(":")[2], node.value)


def _scalar(tag: str, text: str) -> Any:
    if tag == "null":
        return None
    if tag == "bool":
        return text.lower() == "true"
    if tag in _PLAIN_TAGS:
        try:
            return _PLAIN_TAGS[tag](text)
        except ValueError:  # 0x1F, 1_000: not numbers anybody means here
            return text
    return text
