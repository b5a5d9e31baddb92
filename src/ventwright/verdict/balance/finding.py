"""Something amiss in a balance: what it is, what to do, and the readings it rests on."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.words import Words

CONTRADICT = "balance.readings_contradict"
"""Every speed has learnt from such readings, and so rests on them."""


@dataclass(frozen=True, slots=True)
class BalanceFinding:
    """Something amiss: its name, what it is, what to do, and the readings it rests on."""

    name: str
    sentence: Words
    settle_by: Words
    readings: tuple[str, ...] = ()
