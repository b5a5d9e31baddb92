"""One fan speed in the balance: what its damper brings in at every signal, what to set today, what to do next."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from ventwright.evidence import Chances
from ventwright.physics.inference import (
    Asked,
    DamperNow,
    Do,
    Posterior,
    ShareBelief,
    Step,
    beyond_supply,
    next_step,
    settled_at,
)
from ventwright.plan import Plan, SpeedPlan
from ventwright.quantity import AIRFLOW, FRACTION, VOLTAGE
from ventwright.tables.balance_prior import balance_prior
from ventwright.tables.kit import Fan, Kit, Term
from ventwright.verdict.balance.advice import Advice, advise, volts
from ventwright.verdict.balance.reading_to_come import ReadingToCome
from ventwright.verdict.balance.standing import SpeedAsRead, asked_of
from ventwright.verdict.supply import Supply
from ventwright.words import measured

CURVE_POINTS = 25


@dataclass(frozen=True, slots=True)
class CurvePoint:
    """The likely share at a signal, and the ends between which it lies 95 times in 100. [-]"""

    signal: float
    outdoor_air_fraction: float = measured(FRACTION)
    at_least: float = measured(FRACTION)
    at_most: float = measured(FRACTION)


@dataclass(frozen=True, slots=True)
class ReadPoint:
    """One reading on the curve, with its standard uncertainty. [-]"""

    signal: float
    outdoor_air_fraction: float = measured(FRACTION)
    outdoor_air_fraction_u: float = measured(FRACTION)
    reading: str = ""


@dataclass(frozen=True, slots=True)
class SetToday:
    """The best signal by what is known now, and the airflow it probably brings in: provisional until the speed is proved."""

    signal: float
    signal_voltage: float | None = measured(VOLTAGE, default=None)
    outdoor_air: float = measured(AIRFLOW, default=0.0)
    at_least: float = measured(AIRFLOW, default=0.0)
    at_most: float = measured(AIRFLOW, default=0.0)


@dataclass(frozen=True, slots=True)
class SpeedBalance:
    """What the readings of all speeds together tell of one. ``probability_within`` is that of the airflow at ``signal``."""

    name: str
    target_outdoor_air_fraction: float = measured(FRACTION)
    outdoor_air_fraction: float | None = measured(FRACTION, default=None)
    outdoor_air_fraction_u: float | None = measured(FRACTION, default=None)
    outdoor_air: float | None = measured(AIRFLOW, default=None)
    outdoor_air_u: float | None = measured(AIRFLOW, default=None)
    signal: float | None = None
    probability_within: float | None = None
    of_flow: Chances | None = None
    of_share: Chances | None = None
    set_today: SetToday | None = None
    advice: Advice | None = None
    readings: tuple[ReadPoint, ...] = ()


def balance_speed(
    plan: Plan, standing: SpeedAsRead, posterior: Posterior, to_come: ReadingToCome
) -> SpeedBalance:
    """Say everything that is known of one speed.

    Parameters
    ----------
    plan
        What is required, and the kit's signal.
    standing
        The speed, its supply airflow and its readings.
    posterior
        What the readings of all speeds have taught.
    to_come
        How one would read next.
    """
    speed, supply = standing.speed, standing.supply
    asked = asked_of(plan, standing)
    absurd = not asked.middle < 10.0 and beyond_supply(asked, balance_prior().rules) is None
    if supply.airflow <= 0.0 or absurd:
        return SpeedBalance(speed.name, asked.middle)
    signal = _signal_judged(standing)
    step = _next(plan, standing, posterior, asked, to_come, signal)
    found = SpeedBalance(
        name=speed.name,
        target_outdoor_air_fraction=asked.middle,
        readings=tuple(_points(standing)),
        set_today=_set_today(plan.kit, posterior, asked, supply, step),
        advice=advise(plan, standing, asked, step, posterior, to_come),
    )
    return found if signal is None else _judged(found, posterior, asked, supply, signal)


def _signal_judged(standing: SpeedAsRead) -> float | None:
    """The signal as left, where it was read near it; else that of the last reading."""
    if not standing.usable:
        return None
    near = balance_prior().rules.near
    if standing.left is not None and any(abs(one.signal - standing.left) <= near for one in standing.usable):
        return standing.left
    return standing.usable[-1].signal


def _next(
    plan: Plan, standing: SpeedAsRead, posterior: Posterior, asked: Asked, to_come: ReadingToCome, signal: float | None
) -> Step:  # fmt: skip
    """The next step at a signal that the kit can be set to; with nothing read at all, the plan's own first guess."""
    rules = balance_prior().rules
    first = standing.speed.first_signal
    if not posterior.observations and first is not None and beyond_supply(asked, rules) is None:
        return Step(Do.READ, settable(plan, standing.speed, first), 0.0)
    held = None if signal is None else DamperNow(signal)
    step = next_step(posterior, asked, to_come.means(standing), rules, held)
    carried = standing.carries(step.signal, rules.near) and not plan.ventilation.required_is_guess
    if step.do in {Do.HOLD, Do.SET} and not carried:
        return Step(Do.STOP, settable(plan, standing.speed, step.signal), step.chance)
    if step.do is Do.HOLD:
        return step
    likeliest = None if step.likeliest is None else settable(plan, standing.speed, step.likeliest)
    rounded = replace(step, signal=settable(plan, standing.speed, step.signal), likeliest=likeliest)
    if step.do is not Do.SET:
        return rounded
    chance = settled_at(posterior, asked, rounded.signal).within(asked.low, asked.high)
    return replace(rounded, do=Do.SET if chance >= rules.sure else Do.READ, chance=chance)


def settable(plan: Plan, speed: SpeedPlan, signal: float) -> float:
    """Return the nearest signal that the kit's setting for a speed takes. [-]"""
    fan: Fan = "slowest" if speed is plan.speeds[-1] and len(plan.speeds) > 1 else "fastest"
    setting = plan.kit.setting_for(Term.MINIMUM_DAMPER_SIGNAL, fan)
    if setting is None or not setting.step:
        return signal
    return min(1.0, max(0.0, round(signal / setting.step) * setting.step))


def _judged(
    found: SpeedBalance, posterior: Posterior, asked: Asked, supply: Supply, signal: float
) -> SpeedBalance:
    share = settled_at(posterior, Asked(asked.speed, asked.low, asked.high), signal)
    flow = settled_at(posterior, asked, signal)
    of_flow = _chances(flow, asked)
    return replace(
        found,
        outdoor_air_fraction=share.mean,
        outdoor_air_fraction_u=share.u,
        outdoor_air=flow.mean * supply.airflow,
        outdoor_air_u=flow.u * supply.airflow,
        signal=signal,
        probability_within=of_flow.within,
        of_flow=of_flow,
        of_share=_chances(share, asked),
    )


def _chances(belief: ShareBelief, asked: Asked) -> Chances:
    """How a share probably lies to what is wanted."""
    short, over = belief.below(asked.low), belief.above(asked.high)
    return Chances(short, max(0.0, 1.0 - short - over), over)


def _points(standing: SpeedAsRead) -> Iterator[ReadPoint]:
    for one in standing.usable:
        seen = one.observation
        if seen is not None:
            layers = seen.layers.share_u if seen.layers else 0.0
            u = (seen.noise**2 + layers**2 + sum(moved**2 for _, moved in seen.errors)) ** 0.5
            yield ReadPoint(one.signal, seen.value, u, one.entry.id)


def curve(posterior: Posterior, speed: str) -> Iterator[CurvePoint]:
    """Trace the share over the stroke at one fan speed, with its band.

    Parameters
    ----------
    posterior
        What the readings of all speeds have taught.
    speed
        Name of the fan speed.
    """
    for number in range(CURVE_POINTS):
        signal = number / (CURVE_POINTS - 1)
        belief = posterior.at(speed, signal)
        low, high = (min(1.0, max(0.0, belief.mean + sign * 2.0 * belief.u)) for sign in (-1.0, 1.0))
        yield CurvePoint(signal, min(1.0, max(0.0, belief.mean)), low, high)


def _set_today(kit: Kit, posterior: Posterior, asked: Asked, supply: Supply, step: Step) -> SetToday:
    """The signal to leave today: that of the next step where it is final, else the likeliest."""
    signal = step.signal if step.likeliest is None else step.likeliest
    belief = settled_at(posterior, asked, signal)
    low, high = max(0.0, belief.mean - 2.0 * belief.u), belief.mean + 2.0 * belief.u
    flow = supply.airflow
    return SetToday(
        signal,
        volts(kit, signal),
        max(0.0, belief.mean) * flow,
        low * flow,
        high * flow,
    )
