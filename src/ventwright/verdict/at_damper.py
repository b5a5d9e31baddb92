"""Readings at the damper by time, and from when on a reading tells of the unit as it is."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

from ventwright.readings import CarbonDioxide, Humidity, MixedAir, OutdoorAirflow, Readings, Repaired
from ventwright.tables.balance_prior import balance_prior
from ventwright.tables.procedure import touches_airflow, touches_supply

AtDamper = MixedAir | OutdoorAirflow | CarbonDioxide | Humidity

EVER = datetime.min.replace(tzinfo=UTC)
"""Before anything was read."""


def at_damper(readings: Readings) -> list[AtDamper]:
    """Every standing reading at the damper, by time."""
    kinds: tuple[type[AtDamper], ...] = (MixedAir, OutdoorAirflow, CarbonDioxide, Humidity)
    return sorted((one for kind in kinds for one in readings.standing(kind)), key=lambda one: one.at)


def counts_since(readings: Readings, newest: datetime) -> datetime:
    """Return from when on a reading at the damper counts beside the newest: of the last visit or so, and since the last repair.

    Parameters
    ----------
    newest
        When the newest was read.
    """
    repairs = (one.at for one in readings.standing(Repaired) if one.at < newest and touches_airflow(one.of))
    return max(newest - timedelta(days=balance_prior().days), max(repairs, default=EVER))


def supply_counts_since(readings: Readings) -> datetime:
    """Return from when on a supply airflow counts: since the last repair that made another one of it."""
    return max((one.at for one in readings.standing(Repaired) if touches_supply(one.of)), default=EVER)
