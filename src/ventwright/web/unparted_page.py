"""A page in which no line ends between a number and its unit."""

from __future__ import annotations

import re

from ventwright.record.letters import unparted

_PIECES = re.compile(
    r"<(script|style|textarea|option|pre|title)\b.*?</\1>|<[^>]*>|(?P<words>[^<]+)", re.DOTALL | re.IGNORECASE
)
"""A page in pieces: what is sent back or read by a program, a tag, and the words that a person reads."""


def unparted_page(page: str) -> str:
    """Return a page with a hard space between each number and its unit, in words that are read and nowhere else."""
    return _PIECES.sub(_unparted, page)


def _unparted(piece: re.Match[str]) -> str:
    return piece[0] if piece["words"] is None else unparted(piece[0])
