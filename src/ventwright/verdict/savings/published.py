"""What is published of free cooling at a place: said where there is no weather of it, and marked as not reckoned."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.plan import Plan
from ventwright.plan.basis import TON
from ventwright.quantity import ENERGY, FRACTION
from ventwright.tables import savings_prior
from ventwright.words import Amount, Words, measured, words


@dataclass(frozen=True, slots=True)
class Published:
    """A published range of the share of cooling electricity that free cooling saves, for a climate zone."""

    climate_zone: str | None
    sentence: Words
    source: str
    confirmed: str
    low: float = measured(FRACTION)
    high: float = measured(FRACTION)
    at_most: float | None = measured(ENERGY, default=None)
    """The highest that is published for a unit of this size."""


def published(plan: Plan) -> Published:
    """Return the published range for the job's climate zone."""
    zone, capacity = plan.basis.climate_zone, plan.basis.cooling_capacity
    row, guard = savings_prior.yardstick(zone), savings_prior.guard()
    most = None if capacity is None else guard.per_ton * capacity / TON
    place = f"climate zone {zone}" if zone else "a place whose climate zone is not known"
    sentence = words(
        "published, not reckoned for this unit: free cooling saves {low} to {high} of the cooling electricity in {place}"
        + ("; at most about {most} in a year for a unit of this size" if most is not None else ""),
        low=Amount(row.low, FRACTION), high=Amount(row.high, FRACTION), place=Words(place),
        **({} if most is None else {"most": Amount(most, ENERGY)}),
    )  # fmt: skip
    source = row.source if most is None else f"{row.source}; for a unit of this size: {guard.source}"
    return Published(zone, sentence, source, row.confirmed, row.low, row.high, most)
