"""Where a fan speed stands before it is judged: its plan, supply airflow, readings, and the signal it was left at."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.physics.inference import Asked
from ventwright.plan import Plan, SpeedPlan
from ventwright.verdict.balance.observed import Observed, supply_error
from ventwright.verdict.supply import Supply


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a speed stands before it is judged: its plan, supply, readings, and the signal it was left at."""

    speed: SpeedPlan
    supply: Supply
    observed: tuple[Observed, ...]
    left: float | None

    @property
    def usable(self) -> tuple[Observed, ...]:
        """Readings that say something, by time."""
        return tuple(one for one in self.observed if one.observation is not None)


def asked_of(plan: Plan, standing: Standing) -> Asked:
    """What is wanted at a speed: the share that gives the required airflow, with the error of the supply airflow."""
    target = plan.ventilation.required / standing.supply.airflow
    tolerance = plan.ventilation.tolerance
    relative_u = standing.supply.assumed_u / standing.supply.airflow
    errors = ((supply_error(standing.speed.name), target * relative_u),) if relative_u else ()
    return Asked(standing.speed.name, (1.0 - tolerance) * target, (1.0 + tolerance) * target, errors)
