"""Results in words and as plain data: sentences that show either unit system, keys that name their unit."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from enum import Enum
from typing import Any

from ventwright.quantity import Dimension, Quantity, System, show


@dataclass(frozen=True, slots=True)
class Amount:
    """A computed SI value with its dimension and, where it has one, its standard uncertainty."""

    value: float
    dimension: Dimension
    uncertainty: float | None = None

    def show(self, system: System) -> str:
        """Return the amount in the units of one system."""
        return show(self.value, self.dimension, system, self.uncertainty)


@dataclass(frozen=True, slots=True)
class Words:
    """A sentence with quantities in it, worded when it is known who reads it.

    ``Words("outdoor air is {t}", {"t": Amount(20.0, TEMPERATURE)}).show("us")`` gives "outdoor air is 68.0 °F".
    """

    text: str
    amounts: Mapping[str, Amount | Words] = field(default_factory=dict)

    def show(self, system: System) -> str:
        """Return the sentence in the units of one system."""
        return _NAME.sub(
            lambda found: self.amounts[found[1]].show(system) if found[1] in self.amounts else found[0],
            self.text,
        )


_NAME = re.compile(r"\{(\w+)\}")
"""A name in braces; braces in what a person typed, which stands in many sentences, mean nothing."""


def chance(probability: float) -> str:
    """Say a probability without claiming certainty."""
    if probability > 0.99:
        return "over 99 %"
    return "under 1 %" if probability < 0.01 else f"{100 * probability:.0f} %"


CERTAIN, NEARLY = 0.99, 0.95


def in_words(probability: float) -> str:
    """Say a probability as people do on a roof, "9 in 10", never higher than it is.

    >>> in_words(0.93), in_words(0.997), in_words(0.004)
    ('9 in 10', 'over 99 in 100', 'less than 1 in 100')
    """
    if probability > CERTAIN:
        return "over 99 in 100"
    if probability >= NEARLY:
        return f"{int(100 * probability)} in 100"
    if probability >= 0.1:
        return f"{int(10 * probability + 1e-9)} in 10"
    return f"{int(100 * probability)} in 100" if probability >= 0.01 else "less than 1 in 100"


def words(text: str, **amounts: Amount | Words) -> Words:
    """Build a sentence with the amounts that its braces name."""
    return Words(text, amounts)


def measured(dimension: Dimension, **options: Any) -> Any:
    """Declare a dataclass field that holds SI floats of one dimension; ``plain`` then names its unit."""
    return field(metadata={"dimension": dimension}, **options)


OR_NO_KEY = {"or_no_key": True}
"""Metadata of a dataclass field for an Amount or nothing: nothing has no unit, and so no key in JSON."""

NO_KEY = {"no_key": True}
"""Metadata of a dataclass field that is reckoned with and said in no JSON."""


DIGITS = 12
"""Significant digits of a number in JSON. Builds of Python that add up and take logarithms by other libraries of the
system differ in the last of the sixteen that a number has; these are the same, and more than any reading has."""


def _number(value: float) -> float:
    return float(f"{value:.{DIGITS - 1}e}")


def plain(thing: Any) -> Any:
    """Turn frozen results into dictionaries for JSON, with the SI unit in the key of every quantity.

    A field declared with ``measured(TEMPERATURE)`` and named ``dry_bulb`` becomes ``dry_bulb_C``. A Quantity
    that a person typed becomes its text, so that the document can be read again; a sentence is given in SI.
    An Amount in a field ``value`` becomes ``value_C`` and, where it is known, ``value_u_C``; in a list it becomes
    a dictionary of these.
    """
    if isinstance(thing, Quantity):
        return thing.typed
    if isinstance(thing, Words):
        return thing.show("si")
    if isinstance(thing, Amount):
        return dict(_named("value", {}, thing))
    if isinstance(thing, Dimension):
        return thing.name
    if isinstance(thing, Enum):
        return thing.value
    if isinstance(thing, float):
        return _number(thing)
    if is_dataclass(thing) and not isinstance(thing, type):
        return {
            key: value
            for f in fields(thing)
            for key, value in _named(f.name, f.metadata, getattr(thing, f.name))
        }
    return _several(thing)


def _several(thing: Any) -> Any:
    if isinstance(thing, Mapping):
        return {
            key: value for name, held in thing.items() for key, value in _named(str(plain(name)), {}, held)
        }
    if isinstance(thing, (set, frozenset)):
        return sorted((plain(value) for value in thing), key=str)
    if isinstance(thing, (list, tuple)):
        return [plain(value) for value in thing]
    return thing


def _named(name: str, metadata: Mapping[str, Any], value: Any) -> list[tuple[str, Any]]:
    """Return a field as one key, or as value and uncertainty where it holds an amount."""
    if metadata.get("no_key") or (value is None and metadata.get("or_no_key")):
        return []
    if isinstance(value, Amount):
        if value.dimension.words:
            return [(name, value.show("si"))]
        key = value.dimension.key
        uncertainty = [] if value.uncertainty is None else [(f"{name}_u{key}", plain(value.uncertainty))]
        return [(f"{name}{key}", plain(value.value)), *uncertainty]
    return [(name + (metadata["dimension"].key if "dimension" in metadata else ""), plain(value))]
