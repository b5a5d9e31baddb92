"""What was read last: a value that has not changed is offered with its age and never typed again."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from ventwright.facts import Facts
from ventwright.plan import best_probe
from ventwright.quantity import Quantity
from ventwright.readings import CarbonDioxide, Humidity, MixedAir, Noted, OutdoorAirflow, Readings, SupplyAir
from ventwright.web.reading_kinds import ReadingKind, fitting

STANDS = timedelta(minutes=60)
"""For how long a value of outdoor or return air is put into the field: our own assumption. Older, it is offered to tap."""

OFFERED = timedelta(hours=12)
"""For how long it is offered: the same day's work, our own assumption."""

SAME = {
    "outdoor_air": ("outdoor_air", "outdoor_dry_bulb"),
    "outdoor_dry_bulb": ("outdoor_dry_bulb", "outdoor_air"),
    "return_air": ("return_air", "return_dry_bulb"),
    "return_dry_bulb": ("return_dry_bulb", "return_air"),
    "fan_heat": ("fan_heat",),
    "outdoor_concentration": ("outdoor_concentration",),
    "return_concentration": ("return_concentration",),
    "outdoor_relative_humidity": ("outdoor_relative_humidity",),
    "return_relative_humidity": ("return_relative_humidity",),
}
"""Fields whose last value serves again, with those of other kinds of reading that are the same thing."""

KINDS: tuple[type[Noted], ...] = (MixedAir, CarbonDioxide, Humidity)


@dataclass(frozen=True, slots=True)
class LastValue:
    """A value as it was typed, and how old it is; None where the facts gave it."""

    typed: str
    age: timedelta | None

    @property
    def stands(self) -> bool:
        """Whether it is young enough to be put into the field."""
        return self.age is not None and self.age <= STANDS

    @property
    def said(self) -> str:
        """Say how old it is."""
        if self.age is None:
            return "as the facts give it"
        minutes = int(self.age.total_seconds() // 60)
        if minutes < 1:
            return "read just now"
        return f"read {minutes} min ago" if minutes < 120 else f"read {minutes // 60} h ago"


def last_value(facts: Facts, readings: Readings, name: str, now: datetime | None = None) -> LastValue | None:
    """Return the last value of a field, of the same day.

    Parameters
    ----------
    facts, readings
        Of the job; today's weather among the facts serves where nothing was read.
    name
        The field.
    now
        When it is asked; left out, now.
    """
    at = now or datetime.now(UTC)
    entries = sorted(
        (one for kind in KINDS for one in readings.standing(kind)), key=lambda one: one.at, reverse=True
    )
    for entry in entries:
        values = (getattr(entry, one, None) for one in SAME.get(name, ()))
        found = next((one for one in values if isinstance(one, Quantity)), None)
        age = max(at - entry.at, timedelta(0))
        if found is not None:
            return LastValue(found.typed, age) if age <= OFFERED else None
    given = getattr(facts.weather, name, None) if name in {"outdoor_air", "return_air"} else None
    return LastValue(given.typed, None) if isinstance(given, Quantity) else None


def last_instruments(
    facts: Facts, readings: Readings, kind: ReadingKind, kinds: Sequence[str]
) -> Mapping[str, str]:
    """Return the instruments that the last reading of a kind was taken with; before any, the best that fits."""
    taken = [one for one in readings.standing(kind.model) if one.instruments_used()]
    if taken:
        return {
            name: given for name, given in taken[-1].instruments_used().items() if name in kind.instruments
        }
    best = best_probe(facts.instruments) if "temperature" in kinds else None
    first = best or next(iter(fitting(facts.instruments, kinds)), None)
    return {"instrument": first.id} if first is not None and "instrument" in kind.instruments else {}


def last_method(readings: Readings, kind: ReadingKind) -> str:
    """Return how an airflow was measured last."""
    if kind.model not in {SupplyAir, OutdoorAirflow}:
        return ""
    taken = readings.standing(kind.model)
    method = getattr(taken[-1], "method", None) if taken else None
    return "" if method is None else str(method.value)
