"""Where a fan speed stands before it is judged: its plan, supply airflow, readings, and the signal it was left at."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.physics.inference import Asked
from ventwright.plan import Plan, SpeedPlan, least_difference
from ventwright.readings import MixedAir, OutdoorAirflow
from ventwright.tables import prior
from ventwright.verdict.at_damper import AtDamper
from ventwright.verdict.balance.direct import supply_error
from ventwright.verdict.balance.observed import Observed
from ventwright.verdict.supply import Supply


def too_even(difference: float) -> bool:
    """Whether outdoor and return air are too alike for any verdict by temperatures, however sure it would be.

    Parameters
    ----------
    difference
        Between the two as read, without sign. [K]
    """
    return difference < least_difference() - 1e-9


@dataclass(frozen=True, slots=True)
class SpeedAsRead:
    """Where a speed stands before it is judged: its plan, supply, readings, and the signal it was left at."""

    speed: SpeedPlan
    supply: Supply
    observed: tuple[Observed, ...]
    left: float | None

    @property
    def usable(self) -> tuple[Observed, ...]:
        """Readings that say something, by time."""
        return tuple(one for one in self.observed if one.observation is not None)

    def carries(self, signal: float, near: float) -> bool:
        """Whether a reading near a signal could carry a verdict: its airflow known, streams apart, mixed air mixed.

        Parameters
        ----------
        signal, near
            Share of stroke, and how far from it a reading still tells of it. [-]
        """
        close = [one.entry for one in self.usable if abs(one.signal - signal) <= near]
        known = self.supply.uncertainty is not None or any(isinstance(one, OutdoorAirflow) for one in close)
        return known and any(_carries(entry) for entry in close)


def _carries(entry: AtDamper) -> bool:
    if not isinstance(entry, MixedAir):
        return True
    layered = entry.spread > prior.mixed_air().stratified_above * entry.difference
    return not too_even(entry.difference) and not layered


def asked_of(plan: Plan, standing: SpeedAsRead) -> Asked:
    """What is wanted at a speed: the share that gives the required airflow, with the error of the supply airflow."""
    target = plan.ventilation.required / standing.supply.airflow
    tolerance = plan.ventilation.tolerance
    relative_u = standing.supply.assumed_u / standing.supply.airflow
    errors = ((supply_error(standing.speed.name), target * relative_u),) if relative_u else ()
    return Asked(standing.speed.name, (1.0 - tolerance) * target, (1.0 + tolerance) * target, errors)
