"""A column of whole numbers in plain Python that is reckoned with as a whole, as arrays of NumPy are.

Rules are written once, with these signs, and run on either: nothing is missing in a column, and every number is whole.
"""

from __future__ import annotations

import operator
from collections.abc import Callable, Iterator, Sequence
from itertools import repeat


class PlainColumn:
    """Whole numbers, or yes and no."""

    __slots__ = ("held",)

    def __init__(self, held: Sequence[int]) -> None:
        """Hold some numbers."""
        self.held = held

    def __len__(self) -> int:
        """Count the rows."""
        return len(self.held)

    def __getitem__(self, row: int) -> int:
        """Return one row."""
        return self.held[row]

    def __iter__(self) -> Iterator[int]:
        """Go through the rows."""
        return iter(self.held)

    def _with(self, other: PlainColumn | int, how: Callable[[int, int], int]) -> PlainColumn:
        return PlainColumn(
            list(map(how, self.held, other.held if isinstance(other, PlainColumn) else repeat(other)))
        )

    def __add__(self, other: PlainColumn | int) -> PlainColumn:
        """Sum, row by row."""
        return self._with(other, operator.add)

    def __sub__(self, other: PlainColumn | int) -> PlainColumn:
        """Difference."""
        return self._with(other, operator.sub)

    def __mul__(self, other: PlainColumn | int) -> PlainColumn:
        """Product."""
        return self._with(other, operator.mul)

    def __floordiv__(self, other: int) -> PlainColumn:
        """Whole quotient, rounded down."""
        return self._with(other, operator.floordiv)

    def __ge__(self, other: PlainColumn | int) -> PlainColumn:
        """Whether at least."""
        return self._with(other, operator.ge)

    def __le__(self, other: PlainColumn | int) -> PlainColumn:
        """Whether at most."""
        return self._with(other, operator.le)

    def __gt__(self, other: PlainColumn | int) -> PlainColumn:
        """Whether more."""
        return self._with(other, operator.gt)

    def __lt__(self, other: PlainColumn | int) -> PlainColumn:
        """Whether less."""
        return self._with(other, operator.lt)

    def __and__(self, other: PlainColumn) -> PlainColumn:
        """Whether both."""
        return self._with(other, operator.and_)

    def __or__(self, other: PlainColumn) -> PlainColumn:
        """Whether either."""
        return self._with(other, operator.or_)

    def __invert__(self) -> PlainColumn:
        """Whether not."""
        return PlainColumn(list(map(operator.not_, self.held)))

    def __abs__(self) -> PlainColumn:
        """Return each without its sign."""
        return PlainColumn(list(map(abs, self.held)))
