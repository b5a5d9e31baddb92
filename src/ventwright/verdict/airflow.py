"""Outdoor air at each fan speed, as all readings together show it, held against what the spaces need."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace

from ventwright.evidence import Chances, Shortfall, Verdict
from ventwright.facts import Facts
from ventwright.plan import Plan, SpeedPlan
from ventwright.quantity import AIRFLOW, FRACTION
from ventwright.readings import MixedAir, OutdoorAirflow
from ventwright.tables.balance_prior import balance_prior
from ventwright.verdict.airflow_shortfalls import (
    does_not_go_together,
    not_as_left,
    nothing_read,
    requirement_is_guess,
    stratified,
    supply_is_design_value,
    supply_too_sure,
    too_uncertain,
    weather_too_even,
    what_would_settle,
)
from ventwright.verdict.at_damper import AtDamper
from ventwright.verdict.balance import Balance, SpeedAsRead, SpeedBalance
from ventwright.verdict.balance.finding import CONTRADICT
from ventwright.verdict.balance.findings import old
from ventwright.verdict.balance.observed import Observed
from ventwright.verdict.balance.standing import too_even
from ventwright.verdict.check import Check, EstimateAgainstLimits, cannot_tell, judged
from ventwright.words import Amount, Words, measured, words


@dataclass(frozen=True, slots=True)
class SpeedVerdict:
    """What the readings show at one fan speed. ``verdict`` is that of the outdoor airflow, which is what is required."""

    name: str
    verdict: Verdict
    target_outdoor_air_fraction: float = measured(FRACTION)
    outdoor_air_fraction: float | None = measured(FRACTION, default=None)
    outdoor_air_fraction_u: float | None = measured(FRACTION, default=None)
    supply_air: float | None = measured(AIRFLOW, default=None)
    supply_air_u: float | None = measured(AIRFLOW, default=None)
    outdoor_air: float | None = measured(AIRFLOW, default=None)
    outdoor_air_u: float | None = measured(AIRFLOW, default=None)
    damper_signal: float | None = measured(FRACTION, default=None)
    probability_within: float | None = None
    fraction: Check | None = None
    flow: Check | None = None


def judge_speeds(
    facts: Facts, plan: Plan, found: Balance, standings: Mapping[str, SpeedAsRead]
) -> tuple[SpeedVerdict, ...]:
    """Judge every fan speed by what the balance makes of all readings."""
    return tuple(_judge_speed(facts, plan, found, standings[speed.name]) for speed in plan.speeds)


def _judge_speed(facts: Facts, plan: Plan, found: Balance, standing: SpeedAsRead) -> SpeedVerdict:
    speed, supply, one = standing.speed, standing.supply, found.speed(standing.speed.name)
    untold = SpeedVerdict(
        speed.name,
        Verdict.CANNOT_TELL,
        one.target_outdoor_air_fraction,
        supply_air=supply.airflow,
        supply_air_u=supply.uncertainty,
    )
    if not standing.observed:
        return replace(untold, flow=_untold(plan, speed, nothing_read(speed)))
    last = standing.observed[-1]
    if last.outside_streams or one.signal is None or one.of_flow is None or one.of_share is None:
        why = last.unusable or nothing_read(speed)
        return replace(untold, damper_signal=last.signal, flow=_untold(plan, speed, why, last.entry.id))
    entry = _nearest(standing, one.signal).entry
    share = Amount(one.outdoor_air_fraction or 0.0, FRACTION, one.outdoor_air_fraction_u)
    outdoor = Amount(one.outdoor_air or 0.0, AIRFLOW, one.outdoor_air_u)
    held = requirement_is_guess(speed) if plan.ventilation.required_is_guess else _held(found, standing, one)
    flow = _flow_check(facts, plan, standing, entry, outdoor, share, one.of_flow, held)
    return replace(
        untold,
        verdict=flow.verdict,
        outdoor_air_fraction=share.value,
        outdoor_air_fraction_u=share.uncertainty,
        outdoor_air=outdoor.value,
        outdoor_air_u=outdoor.uncertainty,
        damper_signal=one.signal,
        probability_within=flow.probability_within,
        fraction=_fraction_check(facts, plan, speed, entry, one.target_outdoor_air_fraction, share, one.of_share, held),
        flow=flow,
    )  # fmt: skip


def _nearest(standing: SpeedAsRead, signal: float) -> Observed:
    """The latest usable reading at the signal that is judged, else the nearest to it."""
    return min(reversed(standing.usable), key=lambda one: round(abs(one.signal - signal) / 0.006))


def _held(found: Balance, standing: SpeedAsRead, one: SpeedBalance) -> Shortfall | None:
    """Why no verdict may rest on these readings, however small their uncertainty; None where one may."""
    supply, speed, signal = standing.supply, standing.speed, one.signal or 0.0
    near = balance_prior().rules.near
    close = [seen for seen in standing.usable if abs(seen.signal - signal) <= near]
    if supply.uncertainty is None and not any(isinstance(seen.entry, OutdoorAirflow) for seen in close):
        return supply_is_design_value(speed)  # the outdoor airflow itself needs no supply airflow
    if supply.closer_than_its_method:
        return supply_too_sure(speed, supply)
    for finding in found.findings:
        if finding.name == CONTRADICT:  # every speed has learnt from it
            return does_not_go_together(finding)
    reasons = [_of_weather_and_layers(seen.entry) for seen in close]
    if reasons and all(reason is not None for reason in reasons):
        return reasons[-1]
    return not_as_left(speed, standing.left, [seen.signal for seen in standing.usable], near)


def _of_weather_and_layers(entry: AtDamper) -> Shortfall | None:
    if not isinstance(entry, MixedAir):
        return None
    even = weather_too_even(entry) if too_even(entry.difference) else None
    return even or stratified(entry)


def _untold(plan: Plan, speed: SpeedPlan, shortfall: Shortfall, *readings: str) -> Check:
    """The outdoor airflow at a speed where nothing can be told of it."""
    return cannot_tell(f"outdoor_air.{speed.name}", _flow_words(plan, speed), shortfall, readings=readings)


def _flow_words(plan: Plan, speed: SpeedPlan) -> Words:
    return words(
        "outdoor air at {name} speed against {required} ± {tolerance}", name=Words(speed.name),
        required=Amount(plan.ventilation.required, AIRFLOW), tolerance=Amount(plan.ventilation.tolerance, FRACTION),
    )  # fmt: skip


def _flow_check(
    facts: Facts, plan: Plan, standing: SpeedAsRead, entry: AtDamper, estimate: Amount, share: Amount, chances: Chances,
    held: Shortfall | None,
) -> Check:  # fmt: skip
    speed, supply = standing.speed, standing.supply
    required, tolerance = plan.ventilation.required, plan.ventilation.tolerance
    low, high = Amount(required * (1 - tolerance), AIRFLOW), Amount(required * (1 + tolerance), AIRFLOW)
    side = "short of" if estimate.value < required else "over"
    inside = low.value <= estimate.value <= high.value
    sentence = words(
        "{name} speed brings in {found}, " + ("within {low} to {high}" if inside else f"{side} {{low}} to {{high}}"),
        name=Words(speed.name), found=estimate, low=low, high=high,
    )  # fmt: skip
    if supply.older_by is not None:
        sentence = words(
            "{seen}, with a supply airflow measured {age} the readings at the damper", seen=sentence, age=old(supply.older_by)
        )  # fmt: skip
    id_, what = f"outdoor_air.{speed.name}", _flow_words(plan, speed)
    ids = tuple(one for one in (entry.id, supply.reading) if one is not None)
    if held is not None:
        seen = replace(held, sentence=words("{seen}, but {held}", seen=sentence, held=held.sentence))
        return cannot_tell(id_, what, seen, readings=ids, estimate=estimate, at_least=low, at_most=high)
    shortfall = too_uncertain(facts, plan, speed, estimate, entry, share, supply)
    return judged(
        id_, what, EstimateAgainstLimits(chances, estimate, low, high), sentence, shortfall, readings=ids
    )


def _fraction_check(
    facts: Facts,
    plan: Plan,
    speed: SpeedPlan,
    entry: AtDamper,
    target: float,
    estimate: Amount,
    chances: Chances,
    held: Shortfall | None,
) -> Check:
    tolerance = plan.ventilation.tolerance
    what = words(
        "outdoor-air share at {name} speed against {target}",
        name=Words(speed.name),
        target=Amount(target, FRACTION),
    )
    low, high = Amount(target * (1 - tolerance), FRACTION), Amount(target * (1 + tolerance), FRACTION)
    sentence = words(
        "{found} of the supply air at {name} speed is outdoor air", found=estimate, name=Words(speed.name)
    )
    id_ = f"outdoor_air_fraction.{speed.name}"
    if held is not None:
        seen = replace(held, sentence=words("{seen}, but {held}", seen=sentence, held=held.sentence))
        return cannot_tell(
            id_, what, seen, readings=(entry.id,), estimate=estimate, at_least=low, at_most=high
        )
    shortfall = Shortfall(
        "airflow.fraction_uncertain",
        words("{found} cannot be told from {low} to {high}", found=estimate, low=low, high=high),
        what_would_settle(facts, plan, target, entry, estimate),
    )
    return judged(
        id_,
        what,
        EstimateAgainstLimits(chances, estimate, low, high),
        sentence,
        shortfall,
        readings=(entry.id,),
    )
