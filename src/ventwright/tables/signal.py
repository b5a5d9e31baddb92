"""Signals in use with their spans, and the limits beyond which a current signal means a fault."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from typing import Any

from ventwright.errors import refuse_word
from ventwright.physics.signal import Limits, Span
from ventwright.quantity import CURRENT, FRACTION, VOLTAGE, Dimension, has_unit_of, read
from ventwright.tables.data_file import read_toml


@dataclass(frozen=True, slots=True)
class StandardSignal:
    """A signal that the trade knows by its ends."""

    name: str
    dimension: Dimension
    span: Span
    source: str


@dataclass(frozen=True, slots=True)
class FaultLimits:
    """Fault limits as printed, for the signal they are printed for."""

    signal: StandardSignal
    limits: Limits
    source: str
    confirmed: str


def _data() -> Mapping[str, Any]:
    return read_toml("signals.toml")


def _value(text: str) -> float:
    return read(text, _dimension(text)).value


def _dimension(text: str) -> Dimension:
    return CURRENT if has_unit_of(text, CURRENT) else VOLTAGE


@cache
def signals() -> tuple[StandardSignal, ...]:
    """Return every signal, currents first."""
    return tuple(
        StandardSignal(
            row["name"],
            _dimension(row["start"]),
            Span(_value(row["start"]), _value(row["end"])),
            row["source"],
        )
        for row in _data()["signal"]
    )


def signal(named: str, where: str = "") -> StandardSignal:
    """Return a signal by its ends, such as "2-10 V", however the dash and the blanks are written.

    Raises
    ------
    Refused
        It is none of those known.
    """
    wanted = _plain(named)
    for known in signals():
        if _plain(known.name) == wanted:
            return known
    raise refuse_word(named, [known.name for known in signals()], "a signal that is known here", where)


def _plain(text: str) -> str:
    return "".join(text.lower().replace("–", "-").replace(" to ", "-").split())


@cache
def fault_limits() -> FaultLimits:
    """Return the limits of NAMUR NE 43."""
    row = _data()["fault_limits"]
    ends = (row[name] for name in ("fault_low", "measuring_low", "measuring_high", "fault_high"))
    return FaultLimits(
        signal(row["signal"]), Limits(*(_value(end) for end in ends)), row["source"], row["confirmed"]
    )


@cache
def dead_zero() -> float:
    """Return the share of span below which a signal from 0 V may as well be a broken wire."""
    return read(_data()["dead_zero"]["share"], FRACTION).value
