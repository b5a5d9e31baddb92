"""Outdoor air at each fan speed, by temperatures and the supply airflow, held against what the spaces need."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ventwright.evidence import Limits, Shortfall, Verdict, uncertainty_that_passes
from ventwright.facts import Facts, Instrument
from ventwright.physics.mixing import FractionEstimate, Reading, difference_needed, estimate_fraction
from ventwright.plan import Plan, SpeedPlan, best_probe, probe_uncertainty
from ventwright.quantity import AIRFLOW, FRACTION, TEMPERATURE_DIFFERENCE
from ventwright.readings import MixedAir, Readings, SettingRead, SupplyAir
from ventwright.readings.entries import SupplyMethod
from ventwright.tables import prior
from ventwright.tables.kit import Fan, Term
from ventwright.verdict.check import Check, cannot_tell, held_against
from ventwright.words import Amount, Words, measured, words

SAME_SIGNAL = 0.015
"""Share of stroke within which the signal of a reading and the setting as left count as one: a step and a half."""


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


@dataclass(frozen=True, slots=True)
class Supply:
    """Supply airflow at one speed as far as it is known."""

    airflow: float
    uncertainty: float | None  # None: a design value, no measurement
    reading: str | None
    words: Words


def judge_speeds(facts: Facts, plan: Plan, readings: Readings) -> tuple[SpeedVerdict, ...]:
    """Judge every fan speed by its latest readings."""
    return tuple(_judge_speed(facts, plan, readings, speed) for speed in plan.speeds)


def _judge_speed(facts: Facts, plan: Plan, readings: Readings, speed: SpeedPlan) -> SpeedVerdict:
    supply = supply_at(facts, readings, speed)
    target = plan.ventilation.required / supply.airflow if supply.airflow > 0 else float("inf")
    of_speed = [entry for entry in readings.standing(MixedAir) if entry.speed == speed.name]
    if not of_speed:
        flow = cannot_tell(f"outdoor_air.{speed.name}", _flow_words(plan, speed), _nothing_read(speed))
        return SpeedVerdict(
            speed.name,
            Verdict.CANNOT_TELL,
            target,
            supply_air=supply.airflow,
            supply_air_u=supply.uncertainty,
            flow=flow,
        )
    entry = of_speed[-1]
    share, problem = fraction_from(entry, facts.instruments)
    signal = plan.kit.share_of_stroke(entry.damper_signal)
    if (
        problem is not None
        or share is None
        or share.outdoor_air_fraction is None
        or share.outdoor_air_fraction_u is None
    ):
        shortfall = problem or _contradiction(share, entry)
        flow = cannot_tell(
            f"outdoor_air.{speed.name}", _flow_words(plan, speed), shortfall, readings=(entry.id,)
        )
        return SpeedVerdict(
            speed.name,
            Verdict.CANNOT_TELL,
            target,
            supply_air=supply.airflow,
            supply_air_u=supply.uncertainty,
            damper_signal=signal,
            flow=flow,
        )
    known, u = share.outdoor_air_fraction, share.outdoor_air_fraction_u
    held = _not_as_left(plan, readings, speed, signal)
    fraction = _fraction_check(facts, plan, speed, entry, target, Amount(known, FRACTION, u), held)
    outdoor = known * supply.airflow
    outdoor_u = (
        supply.airflow * u
        if supply.uncertainty is None
        else ((supply.airflow * u) ** 2 + (known * supply.uncertainty) ** 2) ** 0.5
    )
    flow = _flow_check(
        facts, plan, speed, entry, supply, Amount(outdoor, AIRFLOW, outdoor_u), (known, u), held
    )
    return SpeedVerdict(
        name=speed.name,
        verdict=flow.verdict,
        target_outdoor_air_fraction=target,
        outdoor_air_fraction=known,
        outdoor_air_fraction_u=u,
        supply_air=supply.airflow,
        supply_air_u=supply.uncertainty,
        outdoor_air=outdoor,
        outdoor_air_u=outdoor_u,
        damper_signal=signal,
        probability_within=flow.probability_within,
        fraction=fraction,
        flow=flow,
    )


def supply_at(facts: Facts, readings: Readings, speed: SpeedPlan) -> Supply:
    """Return the supply airflow at a speed: the latest reading, else what the plan reckons with, as a design value."""
    found = [entry for entry in readings.standing(SupplyAir) if entry.speed == speed.name]
    if not found:
        return Supply(speed.supply_air, None, None, Words("a design value, not measured"))
    entry = found[-1]
    return Supply(
        entry.airflow.value,
        _supply_uncertainty(entry, facts.instruments),
        entry.id,
        Words(f"by {entry.method.value}"),
    )


def _supply_uncertainty(entry: SupplyAir, instruments: Sequence[Instrument]) -> float | None:
    """Standard uncertainty of a supply airflow: as typed, else the instrument's, else the method's usual one. [m3/s]"""
    if entry.method is SupplyMethod.DESIGN_VALUE:
        return None
    if entry.airflow.uncertainty is not None:
        return entry.airflow.uncertainty
    usual = prior.airflow_method(entry.method.value).relative_uncertainty or 0.0
    named = next((one for one in instruments if one.id == entry.instrument), None)
    own = named.accuracy.value / 2 if named is not None and named.accuracy.dimension == FRACTION else 0.0
    return entry.airflow.value * max(usual, own)


def fraction_from(
    entry: MixedAir, instruments: Sequence[Instrument]
) -> tuple[FractionEstimate | None, Shortfall | None]:
    """Estimate the outdoor-air fraction of one reading; without named probes nothing can be said of it."""
    by_id = {one.id: one for one in instruments}
    probes = [by_id.get(named or entry.instrument or "") for named in
              (entry.outdoor_instrument, entry.return_instrument, entry.mixed_instrument)]  # fmt: skip
    if any(probe is None for probe in probes):
        return None, Shortfall(
            "airflow.no_instrument", Words("the reading does not say which probe was used, so its accuracy is not known"),
            Words("correct it by a new entry that names the instrument"))  # fmt: skip
    outdoor, returned, mixed = (probe for probe in probes if probe is not None)
    points = [point.value for point in entry.mixed_air]
    mean, scatter = _mean_of_points(points, abs(entry.return_air.value - entry.outdoor_air.value))
    return estimate_fraction(
        _probe_reading(entry.outdoor_air.value, outdoor),
        _probe_reading(entry.return_air.value, returned),
        _probe_reading(mean, mixed, scatter),
    ), None


def _probe_reading(value: float, probe: Instrument, scatter: float = 0.0) -> Reading:
    offset_u, repeatability_u = probe_uncertainty(probe)
    return Reading(value, (repeatability_u**2 + scatter**2) ** 0.5, probe.id, offset_u)


def _mean_of_points(points: Sequence[float], difference: float) -> tuple[float, float]:
    """Mean of a mixed-air traverse, and the standard uncertainty that stratification leaves in it. [K]"""
    assumed = prior.mixed_air()
    mean = sum(points) / len(points)
    if len(points) == 1:
        return mean, assumed.single_point_of_difference * difference
    variance = sum((point - mean) ** 2 for point in points) / (len(points) - 1)
    spread = max(points) - min(points)
    return mean, (variance / len(points) + (assumed.traverse_of_spread * spread) ** 2) ** 0.5


def _flow_words(plan: Plan, speed: SpeedPlan) -> Words:
    return words(
        "outdoor air at {name} speed against {required} ± {tolerance}", name=Words(speed.name),
        required=Amount(plan.ventilation.required, AIRFLOW), tolerance=Amount(plan.ventilation.tolerance, FRACTION),
    )  # fmt: skip


def _flow_check(
    facts: Facts, plan: Plan, speed: SpeedPlan, entry: MixedAir, supply: Supply, estimate: Amount,
    share: tuple[float, float], held: Shortfall | None,
) -> Check:  # fmt: skip
    required, tolerance = plan.ventilation.required, plan.ventilation.tolerance
    low, high = Amount(required * (1 - tolerance), AIRFLOW), Amount(required * (1 + tolerance), AIRFLOW)
    side = "short of" if estimate.value < required else "over"
    inside = low.value <= estimate.value <= high.value
    sentence = words(
        "{name} speed brings in {found}, " + ("within {low} to {high}" if inside else f"{side} {{low}} to {{high}}"),
        name=Words(speed.name), found=estimate, low=low, high=high,
    )  # fmt: skip
    if supply.uncertainty is None:
        shortfall = Shortfall(
            "airflow.supply_is_design_value",
            words("{name} speed: the supply airflow is a design value, and that alone never carries a pass", name=Words(speed.name)),
            Words("measure the supply airflow at this speed: traverse, flow plate, static pressure, temperature rise"))  # fmt: skip
        return cannot_tell(
            f"outdoor_air.{speed.name}",
            _flow_words(plan, speed),
            shortfall,
            readings=(entry.id,),
            estimate=estimate,
            at_least=low,
            at_most=high,
        )
    shortfall = held or _too_uncertain(facts, plan, speed, estimate, entry, share, supply)
    ids = tuple(one for one in (entry.id, supply.reading) if one is not None)
    return held_against(
        f"outdoor_air.{speed.name}",
        _flow_words(plan, speed),
        estimate,
        low,
        high,
        sentence,
        shortfall,
        readings=ids,
        may_pass=held is None,
    )


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
    shortfall = held or Shortfall(
        "airflow.fraction_uncertain", words("{found} cannot be told from {low} to {high}", found=estimate, low=low, high=high),
        _what_would_settle(facts, plan, target, entry))  # fmt: skip
    return held_against(
        f"outdoor_air_fraction.{speed.name}",
        what,
        estimate,
        low,
        high,
        sentence,
        shortfall,
        readings=(entry.id,),
        may_pass=held is None,
    )


def _nothing_read(speed: SpeedPlan) -> Shortfall:
    return Shortfall(
        "airflow.nothing_read", words("nothing was read at {name} speed", name=Words(speed.name)),
        Words("hold the damper at its minimum and read outdoor, return and mixed air at this speed"))  # fmt: skip


def _contradiction(share: FractionEstimate | None, entry: MixedAir) -> Shortfall:
    """Why a reading gives no fraction."""
    amounts = {
        "outdoor": Amount(entry.outdoor_air.value, entry.outdoor_air.dimension),
        "returned": Amount(entry.return_air.value, entry.return_air.dimension),
    }
    if share is not None and share.finding == "mixing.outside_streams":
        return Shortfall(
            "airflow.mixed_outside_streams",
            Words("mixed air does not lie between outdoor air at {outdoor} and return air at {returned}: a probe is wrong, crossed, or heat leaks in", amounts),
            Words("read all three with one probe, side by side first"))  # fmt: skip
    return Shortfall(
        "airflow.streams_too_close",
        Words("outdoor air at {outdoor} and return air at {returned} are too close for these probes to tell any share", amounts),
        Words("come back when outdoor and return air are further apart, or measure the outdoor airflow itself"))  # fmt: skip


def _not_as_left(plan: Plan, readings: Readings, speed: SpeedPlan, signal: float) -> Shortfall | None:
    """Why a reading at this signal says nothing about the unit as it was left; None where it does."""
    fan: Fan = "fastest" if speed is plan.speeds[0] else "slowest"
    setting = plan.kit.setting_for(Term.MINIMUM_DAMPER_SIGNAL, fan)
    left = [
        entry
        for entry in readings.standing(SettingRead)
        if setting and plan.kit.setting(entry.label) == setting
    ]
    if not left or setting is None:
        return Shortfall(
            "airflow.signal_not_read_back",
            words("{name} speed: the minimum damper signal as left was not read back", name=Words(speed.name)),
            Words("read the setting back from the controller and enter it"))  # fmt: skip
    value = setting.read(left[-1].value).value
    if abs(value - signal) <= SAME_SIGNAL:
        return None
    return Shortfall(
        "airflow.read_at_another_signal",
        words("{name} speed was read at {read}, and the minimum was left at {left}", name=Words(speed.name), read=Amount(signal, FRACTION), left=Amount(value, FRACTION)),
        Words("read once more with the damper at the signal that stays"))  # fmt: skip


def _too_uncertain(
    facts: Facts,
    plan: Plan,
    speed: SpeedPlan,
    estimate: Amount,
    entry: MixedAir,
    share: tuple[float, float],
    supply: Supply,
) -> Shortfall:
    """The readings are too uncertain for a verdict; say which part to better."""
    fraction, fraction_u = share
    of_share = fraction_u / fraction if fraction > 0 else float("inf")
    of_supply = (supply.uncertainty or 0.0) / supply.airflow
    sentence = words(
        "{name} speed brings in {found}: that cannot be told from {required} ± {tolerance}", name=Words(speed.name), found=estimate,
        required=Amount(plan.ventilation.required, AIRFLOW), tolerance=Amount(plan.ventilation.tolerance, FRACTION),
    )  # fmt: skip
    numbers = {"relative_u_of_fraction": of_share, "relative_u_of_supply": of_supply}
    if of_supply > of_share:
        settle = words(
            "the supply airflow is the weaker part (± {u}): measure it more closely",
            u=Amount(2 * of_supply, FRACTION),
        )
        return Shortfall("airflow.supply_uncertain", sentence, settle, numbers)
    return Shortfall(
        "airflow.fraction_uncertain",
        sentence,
        _what_would_settle(facts, plan, plan.ventilation.required / supply.airflow, entry),
        numbers,
    )


def _what_would_settle(facts: Facts, plan: Plan, target: float, entry: MixedAir) -> Words:
    """The cheapest thing that would settle the fraction: more points, one probe for all, or other weather."""
    if len(entry.mixed_air) == 1:
        return Words("read the mixed air at eight points or more: one point reads only its own lane")
    used = {
        one or entry.instrument
        for one in (entry.outdoor_instrument, entry.return_instrument, entry.mixed_instrument)
    }
    if len(used) > 1:
        return Words("read all three temperatures with one probe, so that its offset cancels")
    probe = best_probe(facts.instruments)
    tolerance = plan.ventilation.tolerance
    allowed = uncertainty_that_passes(target, Limits(target * (1 - tolerance), target * (1 + tolerance)))
    if probe is None or not allowed:
        return Words("use a probe of known accuracy")
    needed = difference_needed(target, allowed, *probe_uncertainty(probe))
    return words(
        "come back when outdoor and return air are {needed} apart or more, or spread the mixed-air points wider",
        needed=Amount(needed, TEMPERATURE_DIFFERENCE),
    )
