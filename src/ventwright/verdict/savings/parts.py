"""Long work in parts: how much of it is done, wherever it may be stopped, and its result at the end."""

from __future__ import annotations

from collections.abc import Generator
from typing import TypeVar

T = TypeVar("T")

Parts = Generator[float, None, T]
"""Yields what share of the work is done, from 0 to 1, and returns the result."""


def finished(parts: Parts[T]) -> T:
    """Do all of the work at once and return its result."""
    while True:
        try:
            next(parts)
        except StopIteration as ended:
            result: T = ended.value
            return result


def within(parts: Parts[T], start: float, end: float) -> Parts[T]:
    """Do work as a part of other work, which it takes from one share to another."""
    while True:
        try:
            done = next(parts)
        except StopIteration as ended:
            result: T = ended.value
            return result
        yield start + (end - start) * done
