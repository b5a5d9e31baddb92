"""Why the airflow at a fan speed cannot be told, and the cheapest thing that would settle it."""

from __future__ import annotations

from ventwright.evidence import Limits, Shortfall, uncertainty_that_passes
from ventwright.facts import Facts
from ventwright.physics.mixing import FractionEstimate
from ventwright.plan import LEAST_DIFFERENCE, Plan, SpeedPlan, best_probe, difference_for
from ventwright.quantity import AIRFLOW, FRACTION, TEMPERATURE_DIFFERENCE
from ventwright.readings import MixedAir, Readings
from ventwright.tables import prior
from ventwright.tables.kit import Fan, Term
from ventwright.verdict.supply import Supply
from ventwright.words import Amount, Words, words

SAME_SIGNAL = 0.006
"""Share of stroke within which the signal of a reading and the setting as left count as one: rounding, no more."""


def nothing_read(speed: SpeedPlan) -> Shortfall:
    """Nobody read the temperatures at this speed."""
    return Shortfall(
        "airflow.nothing_read", words("nothing was read at {name} speed", name=Words(speed.name)),
        Words("hold the damper at its minimum and read outdoor, return and mixed air at this speed"))  # fmt: skip


def contradiction(share: FractionEstimate, entry: MixedAir) -> Shortfall:
    """Why a reading gives no fraction."""
    amounts = {
        "outdoor": Amount(entry.outdoor_air.value, entry.outdoor_air.dimension),
        "returned": Amount(entry.return_air.value, entry.return_air.dimension),
    }
    if share.finding == "mixing.outside_streams":
        return Shortfall(
            "airflow.mixed_outside_streams",
            Words("mixed air does not lie between outdoor air at {outdoor} and return air at {returned}: a probe is wrong, crossed, or heat leaks in", amounts),
            Words("read all three with one probe, side by side first"))  # fmt: skip
    return Shortfall(
        "airflow.streams_too_close",
        Words("outdoor air at {outdoor} and return air at {returned} are too close for these probes to tell any share", amounts),
        Words("come back when outdoor and return air are further apart, or measure the outdoor airflow itself"))  # fmt: skip


def weather_too_even(entry: MixedAir) -> Shortfall:
    """A difference at which no probe carries a verdict, since the air drifts while it is read."""
    return Shortfall(
        "airflow.streams_too_close",
        words(
            "outdoor and return air are only {apart} apart, and below {least} no verdict is given",
            apart=Amount(entry.difference, TEMPERATURE_DIFFERENCE),
            least=Amount(LEAST_DIFFERENCE, TEMPERATURE_DIFFERENCE),
        ),
        Words("come back when outdoor and return air are further apart, or measure the outdoor airflow itself"),
    )  # fmt: skip


def supply_is_design_value(speed: SpeedPlan) -> Shortfall:
    """What was wanted is no measurement."""
    return Shortfall(
        "airflow.supply_is_design_value",
        words(
            "the supply airflow at {name} speed is a design value, and that alone carries no verdict",
            name=Words(speed.name),
        ),
        Words(
            "measure the supply airflow at this speed: traverse, flow plate, static pressure, temperature rise"
        ),
    )


def supply_too_sure(speed: SpeedPlan, supply: Supply) -> Shortfall:
    """A ± that no field reading reaches would let anything pass."""
    return Shortfall(
        "airflow.supply_too_sure",
        words(
            "the supply airflow at {name} speed is given ± {given}, closer than its instrument or any field method reads it (± {closest})",
            name=Words(speed.name), given=Amount(2 * (supply.uncertainty or 0.0) / supply.airflow, FRACTION),
            closest=Amount(2 * supply.closest_u / supply.airflow, FRACTION),
        ),
        Words("correct it by a new entry with the ± of the method, or without any: then the usual one is taken"),
    )  # fmt: skip


def stratified(entry: MixedAir) -> Shortfall | None:
    """The mixed air stands in layers, so that the mean of its points is not that of the air; None where it does not."""
    if entry.spread <= prior.mixed_air().stratified_above * entry.difference:
        return None
    return Shortfall(
        "airflow.stratified",
        words(
            "the mixed air stands in layers: {spread} between its points, of {difference} between outdoor and return air",
            spread=Amount(entry.spread, TEMPERATURE_DIFFERENCE),
            difference=Amount(entry.difference, TEMPERATURE_DIFFERENCE),
        ),
        Words("read where the air has mixed: behind the fan with coil and heat off, less what the fan adds"),
    )


def not_as_left(plan: Plan, readings: Readings, speed: SpeedPlan, signal: float) -> Shortfall | None:
    """Why a reading at this signal says nothing about the unit as it was left; None where it does."""
    left = _signal_as_left(plan, readings, speed)
    if left is None:
        return Shortfall(
            "airflow.signal_not_read_back",
            words(
                "the minimum damper signal as left was not read back for {name} speed", name=Words(speed.name)
            ),
            Words("read the setting back from the controller and enter it"),
        )
    if abs(left - signal) <= SAME_SIGNAL:
        return None
    return Shortfall(
        "airflow.read_at_another_signal",
        words(
            "{name} speed was read at {read}, and its minimum was left at {left}",
            name=Words(speed.name),
            read=Amount(signal, FRACTION),
            left=Amount(left, FRACTION),
        ),
        Words("read once more with the damper at the signal that stays"),
    )


def _signal_as_left(plan: Plan, readings: Readings, speed: SpeedPlan) -> float | None:
    """Minimum damper signal at a speed, as it was left; between two settings it follows the airflow, as kits do it."""
    fastest, slowest = plan.speeds[0], plan.speeds[-1]
    at_fastest, at_slowest = (_setting_as_left(plan, readings, fan) for fan in ("fastest", "slowest"))
    if speed is fastest:
        return at_fastest
    if speed is slowest:
        return at_slowest
    if at_fastest is None or at_slowest is None or not plan.kit.variable_fan:
        return None  # which of its two openings a two-speed kit holds at a middle speed nobody has said
    apart = fastest.supply_air - slowest.supply_air
    share = (speed.supply_air - slowest.supply_air) / apart if apart > 0.0 else 1.0
    return at_slowest + share * (at_fastest - at_slowest)


def _setting_as_left(plan: Plan, readings: Readings, fan: Fan) -> float | None:
    setting = plan.kit.setting_for(Term.MINIMUM_DAMPER_SIGNAL, fan)
    entry = readings.settings_left().get(setting.label.lower()) if setting is not None else None
    return setting.read(entry.value).value if setting is not None and entry is not None else None


def too_uncertain(
    facts: Facts,
    plan: Plan,
    speed: SpeedPlan,
    estimate: Amount,
    entry: MixedAir,
    share: Amount,
    supply: Supply,
) -> Shortfall:
    """The readings are too uncertain for a verdict; say which part to better."""
    of_share = (share.uncertainty or 0.0) / share.value if share.value > 0 else float("inf")
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
        what_would_settle(facts, plan, plan.ventilation.required / supply.airflow, entry, share),
        numbers,
    )


def what_would_settle(facts: Facts, plan: Plan, target: float, entry: MixedAir, share: Amount) -> Words:
    """The cheapest thing that would settle the fraction: more points, one probe for all, another signal, or other weather."""
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
    needed = difference_for(probe, target, allowed)
    if entry.difference >= needed:
        if abs(share.value - target) > 0.5 * tolerance * target:
            return words(
                "the reading lies near the edge of what is accepted: move the damper until it is nearer {target}, and read again",
                target=Amount(target, FRACTION),
            )
        return Words("read the mixed air at more points, where the streams have mixed better")
    return words(
        "come back when outdoor and return air are {needed} apart or more, or spread the mixed-air points wider",
        needed=Amount(needed, TEMPERATURE_DIFFERENCE),
    )
