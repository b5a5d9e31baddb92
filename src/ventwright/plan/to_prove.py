"""What has to be proved before leaving, how, and what today's air must be like for it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ventwright.evidence import Limits, uncertainty_that_passes
from ventwright.facts import Facts, Instrument
from ventwright.physics.mixing import Reading, difference_needed
from ventwright.plan.assumed_space import ENTER_THE_SPACES
from ventwright.plan.outdoor_air import VentilationPlan
from ventwright.plan.requirement import Compliance, Requirement
from ventwright.plan.speeds import SpeedPlan
from ventwright.quantity import FRACTION, TEMPERATURE_DIFFERENCE
from ventwright.tables import prior
from ventwright.words import Amount, Words, measured, words


@dataclass(frozen=True, slots=True)
class ToProve:
    """One thing to prove. ``difference_needed`` is between outdoor and return air, with the best probe at hand."""

    id: str
    what: Words
    how: Words
    difference_needed: float | None = measured(TEMPERATURE_DIFFERENCE, default=None)
    today: Words | None = None


def least_difference() -> float:
    """Least difference between outdoor and return air for a verdict, however good the probe; `usual_settings.toml` has its source. [K]"""
    return prior.usual("least_difference", TEMPERATURE_DIFFERENCE).value


def to_prove(
    facts: Facts, ventilation: VentilationPlan, speeds: Sequence[SpeedPlan], asked: Sequence[Requirement]
) -> tuple[ToProve, ...]:
    """List what is to be proved, airflow first."""
    tests = [
        ToProve(f"test.{one.id}", Words(one.title), one.because)
        for one in asked if one.standing is Compliance.TO_BE_SHOWN and one.id in _TESTED
    ]  # fmt: skip
    return (*(_airflow(facts, ventilation, speed) for speed in speeds), *_always(), *tests)


_TESTED = {
    "integrated_control",
    "relief",
    "demand_control",
    "high_limit_action",
    "heating_impact",
    "fault_detection",
}


def _airflow(facts: Facts, ventilation: VentilationPlan, speed: SpeedPlan) -> ToProve:
    """The outdoor-air share at one speed, and the temperature difference that its proof takes."""
    target, tolerance = speed.target_outdoor_air_fraction, ventilation.tolerance
    what = words(
        "at {name} speed {share} of the supply air is outdoor air, within {tolerance} of it", name=Words(speed.name),
        share=Amount(target, FRACTION), tolerance=Amount(tolerance, FRACTION),
    )  # fmt: skip
    how = Words(
        "outdoor, return and mixed-air temperature, mixed air at eight points or more, one probe for all; supply airflow measured"
    )
    if ventilation.required_is_guess:
        first = words("what is required is assumed, and proves nothing: {do}", do=ENTER_THE_SPACES)
        return ToProve(f"outdoor_air.{speed.name}", what, how, today=first)
    probe = best_probe(facts.instruments)
    if probe is None or not 0.0 < target <= 1.0:
        return ToProve(f"outdoor_air.{speed.name}", what, how)
    allowed = uncertainty_that_passes(target, Limits(target * (1 - tolerance), target * (1 + tolerance)))
    needed = difference_for(probe, target, allowed) if allowed else None
    return ToProve(f"outdoor_air.{speed.name}", what, how, needed, _today(facts, needed))


def _today(facts: Facts, needed: float | None) -> Words | None:
    if needed is None or facts.weather is None or facts.weather.return_air is None:
        return None
    difference = abs(facts.weather.return_air.value - facts.weather.outdoor_air.value)
    amounts = {
        "now": Amount(difference, TEMPERATURE_DIFFERENCE),
        "needed": Amount(needed, TEMPERATURE_DIFFERENCE),
    }
    if difference >= needed:
        return Words(
            "today's {now} between outdoor and return air is enough for the share; {needed} is needed where the air is well mixed, more where the supply airflow is not closely known",
            amounts,
        )
    return Words(
        "today's {now} between outdoor and return air is too little: {needed} is needed even where the air is well mixed, so come back or measure the airflow itself",
        amounts,
    )


def thermometers(instruments: Sequence[Instrument]) -> list[Instrument]:
    """Return the temperature probes, closest first."""
    probes = [
        one
        for one in instruments
        if one.kind == "temperature" and one.accuracy.dimension == TEMPERATURE_DIFFERENCE
    ]
    return sorted(probes, key=lambda one: one.accuracy.value)


def best_probe(instruments: Sequence[Instrument]) -> Instrument | None:
    """Return the temperature probe with the smallest accuracy band, or None where there is none."""
    return next(iter(thermometers(instruments)), None)


def probe_uncertainty(probe: Instrument) -> tuple[float, float]:
    """Return a probe's standard uncertainties: of the offset that all its readings share, and of what differs between them.

    Part of the maker's accuracy is not one offset but changes over the temperature range, and so does not cancel
    between cold outdoor air and warm return air; it is counted with the scatter.

    Returns
    -------
    tuple
        Shared offset, and the rest. [K]
    """
    whole, assumed = probe.accuracy.value / 2, prior.mixed_air()
    scatter = (
        probe.repeatability.value / 2
        if probe.repeatability is not None
        else whole * assumed.repeatability_of_accuracy
    )
    changing = whole * assumed.changes_over_range
    return (whole**2 - changing**2) ** 0.5, (scatter**2 + changing**2) ** 0.5


def probe_reading(value: float, probe: Instrument, scatter: float = 0.0) -> Reading:
    """Return a temperature as read with a probe; ``scatter`` is what else differs between readings. [K]"""
    offset, rest = probe_uncertainty(probe)
    return Reading(value, (rest**2 + scatter**2) ** 0.5, probe.id, offset)


def difference_for(probe: Instrument, outdoor_air_fraction: float, target_u: float) -> float:
    """Return the outdoor-return difference at which one probe for all three tells a fraction well enough. [K]"""
    reading = probe_reading(0.0, probe)
    needed = difference_needed(
        outdoor_air_fraction, target_u, outdoor=reading, returned=reading, mixed=reading
    )
    return max(needed, least_difference())


def _always() -> tuple[ToProve, ...]:
    """What every fitting is proved by, whatever the code."""
    return (
        ToProve("sensors", Words("each sensor of the unit agrees with a reference probe in the same air"),
                Words("side by side, shaded, after five minutes; at two temperatures where the curve is in doubt")),
        ToProve("settings", Words("every setting is as planned"), Words("read each one back from the controller after the last change")),
        ToProve("nothing_left", Words("no resistor, jumper or override is left behind"), Words("every temporary change restored and read back")),
    )  # fmt: skip
