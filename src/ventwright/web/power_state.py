"""Whether power is off and proved dead, or on again, as somebody ticked it: asked anew at every change and after a while."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal

from ventwright.readings import Readings, Tick

Power = Literal["off", "on"]

ITEMS: dict[Power, str] = {
    "off": "power off: locked, tagged, tried and proved dead",
    "on": "power on: panels closed, tools and hands out, people warned",
}
"""What is ticked at a change of power."""

ASKED: dict[Power, tuple[tuple[str, str], ...]] = {
    "off": (
        ("off", "Disconnect off"),
        ("locked", "Locked and tagged, the key in my pocket"),
        ("tried", "Tried: nothing starts; fans and capacitors have come to rest"),
        ("proved", "Proved dead: tester tried on a live source, every point read, tester tried again"),
    ),
    "on": (
        ("clear", "Tools, rags and hands out of fan, belts, damper and linkage"),
        ("closed", "Panels closed, but for the one I read at"),
        ("told", "Everybody at the unit knows that power comes on"),
        ("probes", "Insulated probes and a meter of the right category in hand"),
    ),
}
"""What has to be true before it is ticked, each with its name in the form (common practice, no published source)."""

HOLDS = timedelta(hours=2)
"""After this the question is asked again: people come and go (our own assumption)."""


@dataclass(frozen=True, slots=True)
class PowerState:
    """How power stood when it was last ticked; ``stands`` is None where nobody ticked it lately."""

    stands: Power | None
    since: datetime | None = None


def power_state(readings: Readings, now: datetime | None = None) -> PowerState:
    """Tell from the latest tick how power stands.

    Parameters
    ----------
    now
        The present time; left out, the clock's.
    """
    by_item: dict[str, Power] = {words.lower(): power for power, words in ITEMS.items()}
    ticked = [
        one
        for one in readings.standing(Tick)
        if one.item.strip().lower() in by_item and one.found == "in order"
    ]
    if not ticked:
        return PowerState(None)
    last = ticked[-1]
    age = (now or datetime.now(UTC)) - last.at
    if age > HOLDS:
        return PowerState(None, last.at)
    return PowerState(by_item[last.item.strip().lower()], last.at)
