"""The balance: one estimate from all readings at all fan speeds, and the way to the minimum signal in few of them."""

from __future__ import annotations

from dataclasses import dataclass, replace

from ventwright.facts import Facts
from ventwright.physics.inference import Do, Observation, condition
from ventwright.plan import Plan
from ventwright.quantity import FRACTION, TEMPERATURE_DIFFERENCE
from ventwright.readings import MixedAir, Readings
from ventwright.tables.balance_prior import balance_prior
from ventwright.verdict.as_left import signal_as_left
from ventwright.verdict.balance.advice import Advice, volts
from ventwright.verdict.balance.finding import CONTRADICT, BalanceFinding
from ventwright.verdict.balance.findings import OF_DAMPER, findings
from ventwright.verdict.balance.observed import Observed, compared, gathered, observe
from ventwright.verdict.balance.reading_to_come import reading_to_come
from ventwright.verdict.balance.speed import CurvePoint, SpeedBalance, balance_speed, curve
from ventwright.verdict.balance.standing import SpeedAsRead
from ventwright.verdict.supply import Supply, supply_at
from ventwright.words import measured


@dataclass(frozen=True, slots=True)
class SensorBias:
    """What the unit's own mixed-air sensor shows less the mixed air as read, at one speed and signal. [K]"""

    reading: str
    speed: str
    signal: float = measured(FRACTION)
    bias: float = measured(TEMPERATURE_DIFFERENCE)


@dataclass(frozen=True, slots=True)
class Balance:
    """What all readings tell together. ``evaluations`` counts how often a curve of a unit was evaluated for it."""

    speeds: tuple[SpeedBalance, ...]
    findings: tuple[BalanceFinding, ...] = ()
    sensor_biases: tuple[SensorBias, ...] = ()
    evaluations: int = 0

    def speed(self, name: str) -> SpeedBalance:
        """Return one fan speed; raises StopIteration for a name that the plan does not have."""
        return next(one for one in self.speeds if one.name == name)


def curves(facts: Facts, plan: Plan, readings: Readings) -> dict[str, tuple[CurvePoint, ...]]:
    """Trace the share of outdoor air over the stroke at every fan speed, with its band: for a picture.

    Parameters
    ----------
    facts, plan, readings
        The sections upstream.
    """
    posterior = condition(balance_prior().curve, _learnt(facts, plan, readings)[0])
    return {speed.name: tuple(curve(posterior, speed.name)) for speed in plan.speeds}


def _learnt(
    facts: Facts, plan: Plan, readings: Readings
) -> tuple[tuple[Observation, ...], tuple[Observed, ...], dict[str, Supply]]:
    """What is learnt from, the readings it came from, and the supply airflow of each speed."""
    supplies = {speed.name: supply_at(facts, readings, speed) for speed in plan.speeds}
    observed = observe(facts, plan, readings, supplies)
    return gathered(observed, compared(facts, readings)), observed, supplies


def balance(facts: Facts, plan: Plan, readings: Readings) -> tuple[Balance, dict[str, SpeedAsRead]]:
    """Learn from every reading, and say where each speed stands.

    Parameters
    ----------
    facts, plan, readings
        The sections upstream; nothing is written back to them.

    Returns
    -------
    tuple
        The balance, and where each speed stood before, for those who judge it.
    """
    learnt, observed, supplies = _learnt(facts, plan, readings)
    posterior = condition(balance_prior().curve, learnt)
    standings = {
        speed.name: _standing(plan, readings, speed.name, supplies[speed.name], observed)
        for speed in plan.speeds
    }
    to_come = reading_to_come(facts, readings)
    found = findings(posterior, observed, supplies)
    speeds = tuple(
        _minding(found, plan, one, balance_speed(plan, one, posterior, to_come)) for one in standings.values()
    )
    return Balance(speeds, found, _biases(plan, readings), posterior.evaluations), standings


def _minding(
    found: tuple[BalanceFinding, ...], plan: Plan, standing: SpeedAsRead, balanced: SpeedBalance
) -> SpeedBalance:
    """What is amiss comes before any search: a damper that does not follow, or a reading that has to be repeated."""
    for one in found:
        if one.name in OF_DAMPER:
            return replace(balanced, advice=Advice(Do.STOP, one.sentence, way_out=one.settle_by))
        again = next((seen for seen in standing.observed if seen.entry.id in one.readings), None)
        if again is not None:
            signal = again.signal
            return replace(balanced, advice=Advice(Do.READ, one.settle_by, signal, volts(plan.kit, signal)))
    at_rest = balanced.advice is not None and balanced.advice.do in {Do.HOLD, Do.SET}
    elsewhere = next((one for one in found if one.name == CONTRADICT and at_rest), None)
    if elsewhere is not None:
        return replace(balanced, advice=Advice(Do.STOP, elsewhere.sentence, way_out=elsewhere.settle_by))
    return balanced


def _standing(
    plan: Plan, readings: Readings, name: str, supply: Supply, observed: tuple[Observed, ...]
) -> SpeedAsRead:
    speed = plan.speed(name)
    own = tuple(one for one in observed if one.entry.speed == name)
    return SpeedAsRead(speed, supply, own, signal_as_left(plan, readings, speed))


def _biases(plan: Plan, readings: Readings) -> tuple[SensorBias, ...]:
    return tuple(
        SensorBias(one.id, one.speed, plan.kit.share_of_stroke(one.damper_signal), one.sensor_bias)
        for one in readings.standing(MixedAir)
        if one.sensor_bias is not None
    )


__all__ = [
    "Balance",
    "BalanceFinding",
    "CurvePoint",
    "SensorBias",
    "SpeedAsRead",
    "SpeedBalance",
    "balance",
    "curves",
]
