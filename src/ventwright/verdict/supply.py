"""Supply airflow at a fan speed, as far as it is known: read by some method, or only designed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from ventwright.facts import Facts, Instrument
from ventwright.plan import SpeedPlan
from ventwright.readings import Readings, SupplyAir
from ventwright.readings.entries import SupplyMethod
from ventwright.tables import prior
from ventwright.tables.balance_prior import balance_prior
from ventwright.verdict.at_damper import at_damper, supply_counts_since
from ventwright.words import Words

CLOSEST = 0.01
"""Relative standard uncertainty below which no field reading of a supply airflow is believed: ± 2 % (common practice, no
published source). [-]"""


@dataclass(frozen=True, slots=True)
class Supply:
    """Supply airflow at one speed as far as it is known."""

    airflow: float
    uncertainty: float | None  # None: a design value, no measurement
    reading: str | None
    words: Words
    closest_u: float = 0.0
    """Smallest standard uncertainty that is believed. [m3/s]"""
    read_at: datetime | None = None
    older_by: timedelta | None = None
    """How long before the newest reading at the damper it was read, or below zero after it; None where that is one state."""
    before_repair: tuple[str, ...] = ()
    """Ids of readings that no longer count, since a repair made another supply airflow."""

    @property
    def assumed_u(self) -> float:
        """Standard uncertainty to search with: a design value has one too, though it carries no verdict. [m3/s]"""
        if self.uncertainty is None:
            return self.airflow * balance_prior().design_supply_u
        return max(self.uncertainty, self.closest_u)

    @property
    def closer_than_its_method(self) -> bool:
        """Whether it was typed as closer than its instrument or any such method is; what rounding makes is no claim."""
        return self.uncertainty is not None and self.uncertainty < self.closest_u * (1.0 - 1e-9)


def supply_at(facts: Facts, readings: Readings, speed: SpeedPlan) -> Supply:
    """Return the supply airflow at a speed: the latest reading, else what the plan reckons with, as a design value.

    A reading of before a repair that made another supply airflow does not count; one that is only old does, and says
    so: a balancing report is seldom of the same week.
    """
    found = [entry for entry in readings.standing(SupplyAir) if entry.speed == speed.name]
    since = supply_counts_since(readings)
    dropped = tuple(
        entry.id for entry in found if entry.at < since and entry.method is not SupplyMethod.DESIGN_VALUE
    )
    kept = [entry for entry in found if entry.id not in dropped]
    if not kept:
        return Supply(
            speed.supply_air, None, None, Words("a design value, not measured"), before_repair=dropped
        )
    entry = kept[-1]
    return Supply(
        entry.airflow.value,
        _supply_uncertainty(entry, facts.instruments),
        entry.id,
        Words(f"by {entry.method.value}"),
        entry.airflow.value * max(CLOSEST, _own(entry, facts.instruments)),
        entry.at,
        _older_by(entry, readings),
        dropped if entry.method is SupplyMethod.DESIGN_VALUE else (),
    )


def _older_by(entry: SupplyAir, readings: Readings) -> timedelta | None:
    """How long before the newest reading at the damper, where that is longer than one state of the unit lasts."""
    newest = at_damper(readings)[-1:]
    if not newest or entry.method is SupplyMethod.DESIGN_VALUE:
        return None
    apart = newest[0].at - entry.at
    return apart if abs(apart) > timedelta(days=balance_prior().days) else None


def _supply_uncertainty(entry: SupplyAir, instruments: Sequence[Instrument]) -> float | None:
    """Standard uncertainty of a supply airflow: as typed, else the instrument's, else the method's usual one. [m3/s]"""
    if entry.method is SupplyMethod.DESIGN_VALUE:
        return None
    if entry.airflow.uncertainty is not None:
        return entry.airflow.uncertainty
    usual = prior.airflow_method(entry.method.value).relative_uncertainty or 0.0
    return entry.airflow.value * max(usual, _own(entry, instruments))


def _own(entry: SupplyAir, instruments: Sequence[Instrument]) -> float:
    """Relative standard uncertainty of the airflow instrument that was used; 0 where none is named. [-]"""
    named = next((one for one in instruments if one.id == entry.instrument), None)
    return named.accuracy.value / 2 if named is not None and named.kind == "airflow" else 0.0
