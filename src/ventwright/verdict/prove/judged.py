"""One step of the functional tests, as it was seen, held against what was expected of it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

from ventwright.evidence import Estimate, Limits, Shortfall, Verdict, probability_within, verdict
from ventwright.facts import Facts, Instrument
from ventwright.physics.rooftop.minimum_position import minimum_signal
from ventwright.plan import Compliance, Plan
from ventwright.plan.functional_tests import Expected, PlannedStep, StepState
from ventwright.plan.functional_tests.condition import COMMANDED
from ventwright.plan.functional_tests.expected import minimums, minimums_apart
from ventwright.quantity import DURATION, FRACTION, PRESSURE, RESISTANCE, TEMPERATURE, VOLTAGE, Dimension
from ventwright.quantity.dimension import SIGNAL_CURRENT
from ventwright.readings import StepSeen
from ventwright.readings.step_seen import Seen
from ventwright.tables.unit_prior import accepted
from ventwright.verdict.check import Check, cannot_tell
from ventwright.verdict.prove.under import Under
from ventwright.verdict.thermometer import reads_temperature
from ventwright.words import Amount, Words, words

BY_SIMULATION = ", proved by simulation: the logic, not the air"
BY_HAND = ", by the manual mode: the damper follows, and what the controls decide is not shown"

NEGATIVE = Words(
    "stop every test; exhaust fans off, a door open; find what draws air out of the building before anything else, gas appliances first"
)
"""What to do where the building is drawn below the outdoors."""

CORRECT = Words("correct it by a new entry")
WHICH_SPEED = Words("which fan speed was it? Correct it by a new entry that names the speed")
HOLD_SPEED = Words("hold the fan at a speed that the facts name, and enter the signal anew with that speed")
NAME_INSTRUMENT = Words("correct it by a new entry that names the instrument")


def judge_step(planned: PlannedStep, entry: StepSeen, facts: Facts, plan: Plan, under: Under) -> Check | None:
    """Judge what was seen at a step; None where what it tests is not fitted and no code asks for it."""
    id_, what = f"step.{planned.id}", Words(planned.step.expects)
    shortfall = _not_proved(planned, entry, under)
    if shortfall is not None:
        return cannot_tell(id_, what, shortfall, readings=(entry.id,))
    if entry.seen is Seen.NOT_FITTED:
        return _not_fitted(planned, entry, plan)
    if planned.judged is None and entry.read_value is None:
        return _yes_or_no(planned, entry)
    return _number(planned, entry, facts, plan, under)


def _not_proved(planned: PlannedStep, entry: StepSeen, under: Under) -> Shortfall | None:
    """Why an answer, whatever it is, proves nothing."""
    step = planned.step
    if entry.seen is Seen.NOT_LOOKED_AT:
        return Shortfall("step.not_looked_at", Words("nobody looked"), Words(step.do))
    if entry.simulated and step.simulation == "does not count":
        return Shortfall("step.simulation_does_not_count", Words(
            "it was simulated, and this step is about the air itself"), Words("read it when the air is so"))  # fmt: skip
    if step.condition in {None, COMMANDED} or entry.seen is Seen.NOT_FITTED:
        return None
    if step.simulation == "is the test":
        return under.why_nothing(planned, entry)
    if entry.simulated and not entry.changes:
        return Shortfall("step.no_change_entered", Words(
            "it was simulated, and no temporary change is entered by which"),
            Words("enter the change, its restoring, and the step anew with it"))  # fmt: skip
    if not entry.simulated and planned.state in {StepState.SIMULATED, StepState.COME_BACK}:
        return Shortfall("step.condition_not_there", words(
            "today's air does not bring what it needs ({needs}), and it is not said to be simulated", needs=planned.needs),
            Words("enter it anew as simulated, with the temporary change, or correct today's air in the facts"))  # fmt: skip
    return under.why_nothing(planned, entry)


def _not_fitted(planned: PlannedStep, entry: StepSeen, plan: Plan) -> Check | None:
    """What is not there fails only where a code asks for it."""
    asked = any(
        one.id == "fault_detection" and one.standing is Compliance.TO_BE_SHOWN for one in plan.requirements
    )
    if planned.step.test != "fault_indication" or not asked:
        return None
    sentence = Words("not fitted, and the energy code asks for it")
    return Check(
        f"step.{planned.id}", Words(planned.step.expects), Verdict.FAILS, sentence, readings=(entry.id,)
    )


def _behind(planned: PlannedStep, entry: StepSeen) -> str:
    if not entry.simulated or planned.step.simulation != "proves logic":
        return ""
    by_hand = planned.simulated is not None and planned.simulated.fault is None
    return BY_HAND if by_hand else BY_SIMULATION


def _yes_or_no(planned: PlannedStep, entry: StepSeen) -> Check:
    outcome = Verdict.PASSES if entry.seen is Seen.YES else Verdict.FAILS
    said = "seen as expected" if outcome is Verdict.PASSES else "seen, and not as expected"
    sentence = Words(said + _behind(planned, entry))
    return Check(f"step.{planned.id}", Words(planned.step.expects), outcome, sentence, readings=(entry.id,))


def _number(planned: PlannedStep, entry: StepSeen, facts: Facts, plan: Plan, under: Under) -> Check:
    """Hold a value that was read against what was expected, with the uncertainty of what it was read with."""
    id_, what, judged = f"step.{planned.id}", Words(planned.step.expects), planned.judged
    instrument = next((one for one in facts.instruments if one.id == entry.instrument), None)
    estimate = _estimate(entry, instrument, plan)
    each = _minimums(entry, under, plan) if planned.step.named == "minimum" else ()
    if judged is not None and each and isinstance(estimate, Amount):
        judged = _nearest_minimum(judged, estimate, each)
    if judged is None or isinstance(estimate, Shortfall):
        shortfall = estimate if isinstance(estimate, Shortfall) else Shortfall(
            "step.nothing_expected", Words("no number is known to hold it against"),
            Words("give today's outdoor and return air in the facts; a unit that hunts in software is read by eye"))  # fmt: skip
        return cannot_tell(id_, what, shortfall, readings=(entry.id,))
    known, limits = Estimate(estimate.value, estimate.uncertainty or 0.0), _limits(judged)
    outcome, within = verdict(known, limits), probability_within(known, limits)
    held: dict[str, Any] = {"estimate": estimate, "at_least": judged.at_least, "at_most": judged.at_most}
    said = words("read {value}; expected {limits}", value=estimate, limits=_said(judged, limits))
    if outcome is Verdict.CANNOT_TELL:
        near = words("{said}: too near to tell with this instrument", said=said)
        settle = Words("read it with a closer instrument, or again when more lies between")
        return cannot_tell(
            id_, what, Shortfall("step.too_near", near, settle), readings=(entry.id,),
            probability_within=within, **held,
        )  # fmt: skip
    if outcome is Verdict.PASSES and _hangs_on_speed(planned, entry, under):
        unsaid = words("{said} at one fan speed, and it does not say which speed the fan ran at", said=said)
        settle = HOLD_SPEED if plan.kit.variable_fan else WHICH_SPEED
        return cannot_tell(
            id_, what, Shortfall("step.speed_not_said", unsaid, settle), readings=(entry.id,), **held
        )
    behind = Words(_behind(planned, entry))
    if estimate.dimension is PRESSURE and outcome is Verdict.FAILS and estimate.value < 0.0:
        behind = words("; drawn below the outdoors: {stop}", stop=NEGATIVE)
    sentence = words("{said}{behind}", said=said, behind=behind)
    return Check(id_, what, outcome, sentence, **held, probability_within=within, readings=(entry.id,))


def _hangs_on_speed(planned: PlannedStep, entry: StepSeen, under: Under) -> bool:
    """Whether a minimum signal is right at one fan speed and wrong at another, and the entry names none."""
    return planned.step.named == "minimum" and entry.speed is None and minimums_apart(under.unit)


def _minimums(entry: StepSeen, under: Under, plan: Plan) -> tuple[float, ...]:
    """Minimum signals that an entry may be about: that of its fan speed, or of each where it names none and one does not do."""
    if entry.speed is None:
        return tuple(minimums(under.unit, plan).values())
    share = plan.speed(entry.speed).supply_air / plan.speeds[0].supply_air
    return (minimum_signal(under.unit.settings.minimum, share),)


def _nearest_minimum(judged: Expected, estimate: Amount, each: Sequence[float]) -> Expected:
    """Expect the nearest of the minimums that may be meant: between two of them is neither."""
    near, allowed = min(each, key=lambda one: abs(one - estimate.value)), accepted().signal
    low, high = (Amount(min(max(one, 0.0), 1.0), FRACTION) for one in (near - allowed, near + allowed))
    return replace(judged, at_least=low, at_most=high)


def _limits(judged: Expected) -> Limits:
    """Limits of what is expected; beyond shut and open no signal goes, so those ends are open."""
    low = None if judged.at_least is None else judged.at_least.value
    high = None if judged.at_most is None else judged.at_most.value
    if judged.what == "damper signal":
        low = None if low is not None and low <= 0.0 else low
        high = None if high is not None and high >= 1.0 else high
    return Limits(low, high)


def _said(judged: Expected, limits: Limits) -> Words:
    if (
        judged.at_least is not None
        and judged.at_most is not None
        and None not in {limits.at_least, limits.at_most}
    ):
        return words("{low} to {high}", low=judged.at_least, high=judged.at_most)
    if limits.at_least is not None and judged.at_least is not None:
        return words("{low} or more", low=judged.at_least)
    if judged.at_most is not None:
        return words("{high} or less", high=judged.at_most)
    return Words("any")


def _estimate(entry: StepSeen, instrument: Instrument | None, plan: Plan) -> Amount | Shortfall:
    """Return the value with its standard uncertainty: as typed, but not below the instrument's; or by eye and hand."""
    value = entry.read_value
    if value is None:
        return Shortfall("step.not_looked_at", Words("nothing was read"), CORRECT)
    dimension, allowed = value.dimension, accepted()
    if dimension is FRACTION:
        return Amount(value.value, FRACTION, value.uncertainty or allowed.display_u)
    if dimension is DURATION:
        return Amount(value.value, DURATION, value.uncertainty or allowed.watch_u)
    if instrument is None and value.uncertainty is None:
        return Shortfall("step.no_instrument", Words(
            "it does not say with what it was read, so how closely is not known"), NAME_INSTRUMENT)  # fmt: skip
    of_instrument = None if instrument is None else _of_instrument(value.value, dimension, instrument)
    known = [one for one in (value.uncertainty, of_instrument) if one is not None]
    if not known:
        return Shortfall("step.wrong_instrument", words(
            "the accuracy of {name} says nothing of {one}", name=Words(instrument.id if instrument else ""),
            one=Words(dimension.one)), NAME_INSTRUMENT)  # fmt: skip
    uncertainty = max(known)  # nobody reads closer than the instrument does
    if dimension in {VOLTAGE, SIGNAL_CURRENT}:
        signal = plan.kit.damper_signal
        if signal.dimension != dimension:
            wrong = Words(f"this kit's signal is {signal.range_words}")
            return Shortfall("step.wrong_signal", wrong, CORRECT)
        span = plan.kit.signal_at(1.0) - plan.kit.signal_at(0.0)
        return Amount(plan.kit.share_of_stroke(value), FRACTION, uncertainty / span)
    return Amount(value.value, dimension, uncertainty)


def _of_instrument(value: float, dimension: Dimension, instrument: Instrument) -> float | None:
    """Half of the maker's ±, in the unit of the value; None where it says nothing of such a value."""
    accuracy = instrument.accuracy
    if dimension is TEMPERATURE:
        return accuracy.value / 2 if reads_temperature(instrument) else None
    if accuracy.dimension is dimension:
        return accuracy.value / 2
    if accuracy.dimension is FRACTION and dimension in {PRESSURE, RESISTANCE, VOLTAGE, SIGNAL_CURRENT}:
        least = accepted().pressure_u if dimension is PRESSURE else 0.0
        return max(abs(value) * accuracy.value / 2, least)
    return None
