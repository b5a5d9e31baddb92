"""Outdoor air at each fan speed, by temperatures and the supply airflow, held against what the spaces need."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from ventwright.evidence import Shortfall, Verdict
from ventwright.facts import Facts, Instrument
from ventwright.physics.mixing import estimate
from ventwright.plan import LEAST_DIFFERENCE, Plan, SpeedPlan, probe_reading
from ventwright.quantity import AIRFLOW, FRACTION
from ventwright.readings import MixedAir, Readings
from ventwright.tables import prior
from ventwright.verdict.airflow_shortfalls import (
    contradiction,
    not_as_left,
    nothing_read,
    stratified,
    supply_is_design_value,
    supply_too_sure,
    too_uncertain,
    weather_too_even,
    what_would_settle,
)
from ventwright.verdict.check import Check, cannot_tell, held_against
from ventwright.verdict.supply import Supply, supply_at
from ventwright.verdict.thermometer import no_thermometer, reads_temperature
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


def judge_speeds(facts: Facts, plan: Plan, readings: Readings) -> tuple[SpeedVerdict, ...]:
    """Judge every fan speed by its latest readings."""
    return tuple(_judge_speed(facts, plan, readings, speed) for speed in plan.speeds)


def _judge_speed(facts: Facts, plan: Plan, readings: Readings, speed: SpeedPlan) -> SpeedVerdict:
    supply = supply_at(facts, readings, speed)
    target = plan.ventilation.required / supply.airflow if supply.airflow > 0 else float("inf")
    of_speed = [entry for entry in readings.standing(MixedAir) if entry.speed == speed.name]
    untold = SpeedVerdict(
        speed.name, Verdict.CANNOT_TELL, target, supply_air=supply.airflow, supply_air_u=supply.uncertainty
    )
    if not of_speed:
        return replace(untold, flow=_untold(plan, speed, nothing_read(speed)))
    entry = of_speed[-1]
    signal = plan.kit.share_of_stroke(entry.damper_signal)
    share = fraction_from(entry, facts.instruments)
    if isinstance(share, Shortfall):
        return replace(untold, damper_signal=signal, flow=_untold(plan, speed, share, entry.id))
    held = stratified(entry) or not_as_left(plan, readings, speed, signal)
    if supply.uncertainty is None:
        held = supply_is_design_value(speed)
    elif supply.uncertainty < supply.closest_u:
        held = supply_too_sure(speed, supply)
    elif entry.difference < LEAST_DIFFERENCE - 1e-9:
        held = weather_too_even(entry)
    outdoor = _outdoor_air(share, supply)
    flow = _flow_check(facts, plan, speed, entry, supply, outdoor, share, held)
    return replace(
        untold,
        verdict=flow.verdict,
        outdoor_air_fraction=share.value,
        outdoor_air_fraction_u=share.uncertainty,
        outdoor_air=outdoor.value,
        outdoor_air_u=outdoor.uncertainty,
        damper_signal=signal,
        probability_within=flow.probability_within,
        fraction=_fraction_check(facts, plan, speed, entry, target, share, held),
        flow=flow,
    )


def _untold(plan: Plan, speed: SpeedPlan, shortfall: Shortfall, *readings: str) -> Check:
    """The outdoor airflow at a speed where nothing can be told of it."""
    return cannot_tell(f"outdoor_air.{speed.name}", _flow_words(plan, speed), shortfall, readings=readings)


def _outdoor_air(share: Amount, supply: Supply) -> Amount:
    """Outdoor airflow from share and supply; a design value adds no uncertainty, and so can carry no verdict."""
    of_share = supply.airflow * (share.uncertainty or 0.0)
    of_supply = share.value * (supply.uncertainty or 0.0)
    return Amount(share.value * supply.airflow, AIRFLOW, (of_share**2 + of_supply**2) ** 0.5)


def fraction_from(entry: MixedAir, instruments: Sequence[Instrument]) -> Amount | Shortfall:
    """Estimate the outdoor-air fraction of one reading, or say why it gives none. [-]"""
    by_id = {one.id: one for one in instruments}
    named = (entry.outdoor_instrument, entry.return_instrument, entry.mixed_instrument)
    probes = [by_id[one or entry.instrument or ""] for one in named if (one or entry.instrument) in by_id]
    if len(probes) < len(named):
        return Shortfall(
            "airflow.no_instrument", Words("the reading does not say which probe was used, so its accuracy is not known"),
            Words("correct it by a new entry that names the instrument"))  # fmt: skip
    strangers = [one for one in probes if not reads_temperature(one)]
    if strangers:
        return no_thermometer("airflow.no_thermometer", strangers[0])
    share = estimate(
        probe_reading(entry.outdoor_air.value, probes[0]),
        probe_reading(entry.return_air.value, probes[1]),
        probe_reading(entry.mean, probes[2], _scatter(entry)),
    )
    if share.finding is not None or share.outdoor_air_fraction is None:
        return contradiction(share, entry)
    return Amount(share.outdoor_air_fraction, FRACTION, share.outdoor_air_fraction_u)


def _scatter(entry: MixedAir) -> float:
    """Standard uncertainty that stratification leaves in the mean of the mixed-air points. [K]"""
    assumed, count = prior.mixed_air(), len(entry.mixed_air)
    if count == 1:
        return assumed.single_point_of_difference * entry.difference
    variance = sum((point.value - entry.mean) ** 2 for point in entry.mixed_air) / (count - 1)
    return math.sqrt(variance / count + (assumed.traverse_of_spread * entry.spread) ** 2)


def _flow_words(plan: Plan, speed: SpeedPlan) -> Words:
    return words(
        "outdoor air at {name} speed against {required} ± {tolerance}", name=Words(speed.name),
        required=Amount(plan.ventilation.required, AIRFLOW), tolerance=Amount(plan.ventilation.tolerance, FRACTION),
    )  # fmt: skip


def _flow_check(
    facts: Facts, plan: Plan, speed: SpeedPlan, entry: MixedAir, supply: Supply, estimate: Amount,
    share: Amount, held: Shortfall | None,
) -> Check:  # fmt: skip
    required, tolerance = plan.ventilation.required, plan.ventilation.tolerance
    low, high = Amount(required * (1 - tolerance), AIRFLOW), Amount(required * (1 + tolerance), AIRFLOW)
    side = "short of" if estimate.value < required else "over"
    inside = low.value <= estimate.value <= high.value
    sentence = words(
        "{name} speed brings in {found}, " + ("within {low} to {high}" if inside else f"{side} {{low}} to {{high}}"),
        name=Words(speed.name), found=estimate, low=low, high=high,
    )  # fmt: skip
    id_, what = f"outdoor_air.{speed.name}", _flow_words(plan, speed)
    ids = tuple(one for one in (entry.id, supply.reading) if one is not None)
    if held is not None:
        seen = replace(held, sentence=words("{seen}, but {held}", seen=sentence, held=held.sentence))
        return cannot_tell(id_, what, seen, readings=ids, estimate=estimate, at_least=low, at_most=high)
    shortfall = too_uncertain(facts, plan, speed, estimate, entry, share, supply)
    return held_against(id_, what, estimate, low, high, sentence, shortfall, readings=ids)


def _fraction_check(
    facts: Facts,
    plan: Plan,
    speed: SpeedPlan,
    entry: MixedAir,
    target: float,
    estimate: Amount,
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
    return held_against(id_, what, estimate, low, high, sentence, shortfall, readings=(entry.id,))
