"""Why the airflow at a fan speed cannot be told, and the cheapest thing that would settle it."""

from __future__ import annotations

from collections.abc import Sequence

from ventwright.evidence import Limits, Shortfall, uncertainty_that_passes
from ventwright.facts import Facts
from ventwright.plan import Plan, SpeedPlan, best_probe, difference_for, least_difference
from ventwright.plan.assumed_space import ENTER_THE_SPACES
from ventwright.quantity import AIRFLOW, FRACTION, TEMPERATURE_DIFFERENCE
from ventwright.readings import MixedAir, OutdoorAirflow
from ventwright.tables import prior
from ventwright.verdict.at_damper import AtDamper
from ventwright.verdict.balance.finding import BalanceFinding
from ventwright.verdict.supply import Supply
from ventwright.words import Amount, Words, words

ANOTHER_SIGNAL = "airflow.read_at_another_signal"
"""Name of the shortfall where a speed was read at other signals than the one it was left at."""


def nothing_read(speed: SpeedPlan) -> Shortfall:
    """Nobody read the temperatures at this speed."""
    return Shortfall(
        "airflow.nothing_read", words("nothing was read at {name} speed", name=Words(speed.name)),
        Words("hold the damper at its minimum and read outdoor, return and mixed air at this speed"))  # fmt: skip


def weather_too_even(entry: MixedAir) -> Shortfall:
    """A difference at which no probe carries a verdict, since the air drifts while it is read."""
    return Shortfall(
        "airflow.streams_too_close",
        words(
            "outdoor and return air are only {apart} apart, and below {least} no verdict is given",
            apart=Amount(entry.difference, TEMPERATURE_DIFFERENCE),
            least=Amount(least_difference(), TEMPERATURE_DIFFERENCE),
        ),
        Words("come back when outdoor and return air are further apart, or measure the outdoor airflow itself"),
    )  # fmt: skip


def requirement_is_guess(speed: SpeedPlan) -> Shortfall:
    """What the spaces need is not known, and an assumed need is met or missed by nothing."""
    return Shortfall(
        "airflow.requirement_is_guess",
        words(
            "what {name} speed has to bring in is assumed, since no spaces are entered",
            name=Words(speed.name),
        ),
        ENTER_THE_SPACES,
    )


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


def not_as_left(speed: SpeedPlan, left: float | None, read: Sequence[float], near: float) -> Shortfall | None:
    """Why readings at these signals say nothing of the unit as it was left; None where one is near enough.

    Parameters
    ----------
    left
        Signal as it was left, None where it was not read back. [-]
    read
        Signals that were read at this speed, by time. [-]
    near
        How far from a signal a reading still tells of it. [-]
    """
    if left is None:
        return Shortfall(
            "airflow.signal_not_read_back",
            words(
                "the minimum damper signal as left was not read back for {name} speed", name=Words(speed.name)
            ),
            Words("read the setting back from the controller and enter it"),
        )
    if any(abs(left - signal) <= near for signal in read):
        return None
    return Shortfall(
        ANOTHER_SIGNAL,
        words(
            "{name} speed was read at {read}, and its minimum was left at {left}",
            name=Words(speed.name),
            read=Amount(read[-1], FRACTION),
            left=Amount(left, FRACTION),
        ),
        Words("read once more with the damper at the signal that stays"),
    )


def does_not_go_together(finding: BalanceFinding) -> Shortfall:
    """Readings that contradict each other carry no verdict."""
    return Shortfall("airflow.readings_contradict", finding.sentence, finding.settle_by)


def too_uncertain(
    facts: Facts,
    plan: Plan,
    speed: SpeedPlan,
    estimate: Amount,
    entry: AtDamper,
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
    if of_supply > of_share and not isinstance(
        entry, OutdoorAirflow
    ):  # of that, the supply airflow hardly counts
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


def what_would_settle(facts: Facts, plan: Plan, target: float, entry: AtDamper, share: Amount) -> Words:
    """The cheapest thing that would settle the fraction: more points, one probe for all, another signal, or other weather."""
    if isinstance(entry, OutdoorAirflow) and not entry.says_its_density:
        return Words(
            "enter with the outdoor airflow the temperature of its air and what the instrument shows; if that does not do, measure it more closely"
        )
    if not isinstance(entry, MixedAir):
        return Words(
            "read the three temperatures as well, with one probe, or measure the outdoor airflow more closely"
        )
    if len(entry.mixed_air) == 1 and not entry.behind_fan:
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
