"""The share of outdoor air that the damper brings at a signal: by the readings' curve, else what the plan aims at."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.readings import MixedAir, OutdoorAirflow, Readings
from ventwright.tables import savings_prior
from ventwright.tables.kit import Fan
from ventwright.verdict.balance import CurvePoint, curves
from ventwright.verdict.supply import supply_at

OPEN = 0.9
"""Damper signal from which a reading tells of the open damper. [-]"""


class Share(NamedTuple):
    """A share of outdoor air and its standard uncertainty. [-]"""

    middle: float
    uncertainty: float


@dataclass(frozen=True, slots=True)
class DamperShares:
    """Curves of the fastest and the slowest speed, and how well the ends of them are known."""

    fastest: tuple[CurvePoint, ...]
    slowest: tuple[CurvePoint, ...]
    targets: tuple[float, float]
    """Shares that the plan aims at, fastest and slowest speed. [-]"""
    least_read: bool
    least_u: float
    most_read: bool
    most: float
    most_u: float
    supply_read: bool
    supply_u: float
    """Relative. [-]"""

    def at(self, signal: float | None, fan: Fan) -> Share:
        """Share at a damper signal; that which is aimed at where no reading tells."""
        target = self.targets[0] if fan == "fastest" else self.targets[1]
        if not self.least_read or signal is None:
            return Share(target, self.least_u)
        return _on(self.fastest if fan == "fastest" else self.slowest, signal)


def damper_shares(facts: Facts, plan: Plan, readings: Readings) -> DamperShares:
    """Gather what is known of the damper.

    Parameters
    ----------
    facts, plan, readings
        Of the job.
    """
    traced = curves(facts, plan, readings)
    fastest, slowest = traced[plan.speeds[0].name], traced[plan.speeds[-1].name]
    typed = [one.damper_signal for one in readings.standing(MixedAir)]
    typed += [one.damper_signal for one in readings.standing(OutdoorAirflow)]
    signals = [plan.kit.share_of_stroke(one) for one in typed]
    opened = any(signal >= OPEN for signal in signals)
    least, most = savings_prior.assumed("least_share"), savings_prior.assumed("most_share")
    supply = supply_at(facts, readings, plan.speeds[0])
    at_open = _on(fastest, 1.0)
    targets = (
        min(1.0, plan.speeds[0].target_outdoor_air_fraction),
        min(1.0, plan.speeds[-1].target_outdoor_air_fraction),
    )
    nearest = min(signals, default=1.0)
    return DamperShares(
        fastest, slowest, targets,
        least_read=bool(signals), least_u=_on(fastest, nearest).uncertainty if signals else least.uncertainty,
        most_read=opened, most=at_open.middle if opened else most.value,
        most_u=at_open.uncertainty if opened else most.uncertainty,
        supply_read=supply.uncertainty is not None,
        supply_u=savings_prior.assumed("supply").uncertainty
        if supply.uncertainty is None or supply.airflow <= 0.0
        else supply.uncertainty / supply.airflow,
    )  # fmt: skip


def _on(curve: Sequence[CurvePoint], signal: float) -> Share:
    """Share on a curve, straight between its points."""
    for first, second in pairwise(curve):
        if signal <= second.signal:
            part = (signal - first.signal) / (second.signal - first.signal)
            middle, low, high = (
                getattr(first, name) + part * (getattr(second, name) - getattr(first, name))
                for name in ("outdoor_air_fraction", "at_least", "at_most")
            )
            return Share(middle, 0.25 * (high - low))
    last = curve[-1]
    return Share(last.outdoor_air_fraction, 0.25 * (last.at_most - last.at_least))
