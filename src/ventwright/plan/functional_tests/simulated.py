"""How a condition is simulated where the weather does not bring it: resistor, pack, setting, call or the manual mode."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from ventwright.errors import Refused
from ventwright.facts.at_hand import AtHand
from ventwright.physics.rooftop.control_fault import ControlFault, ForgottenResistor, WrongSetting
from ventwright.physics.rooftop.control_settings import TERMS
from ventwright.physics.rooftop.high_limit import HighLimitControl
from ventwright.physics.sensor import in_ohms, sensor_temperature
from ventwright.plan import Plan, Setting
from ventwright.plan.functional_tests.condition import (
    BELOW_LOCKOUT,
    BY_ENTHALPY,
    CLEAR,
    COMMANDED,
    MIXED_COLD,
    SUITABLE,
    SUITABLE_WARM,
    UNSUITABLE,
    Window,
    brought_today,
    window_of,
)
from ventwright.plan.sensor.substitute import substitute
from ventwright.plan.software_unit import SoftwareUnit
from ventwright.quantity import RESISTANCE, TEMPERATURE, TEMPERATURE_DIFFERENCE
from ventwright.tables.kit import Term
from ventwright.tables.kit_sensor import Sensing
from ventwright.tables.procedure import Condition, Step
from ventwright.tables.sensor_curve import SensorCurve, assumed
from ventwright.tables.unit_prior import accepted
from ventwright.words import Amount, Words, measured, words

SENSED: dict[str, str] = {"outdoor air": "outdoor_dry_bulb", "mixed air": "mixed_dry_bulb"}
"""Field of what the controls are shown, for each sensor that may be imitated."""

PLACES: dict[str, Sensing] = {"outdoor air": "outdoor air", "mixed air": "mixed air"}

COLDEST_PACK, WARMEST_PACK = 0.0, 40.0
"""Temperatures to which packs from a cool box bring a sensor (our own assumption). [°C]"""

NEAR = 1e-6
"""Room for rounding, in steps or in a setting's own unit."""


@dataclass(frozen=True, slots=True)
class Simulated:
    """One way to simulate a condition: what to do, what to put back, and what the controls then take for true."""

    way: str
    """substitute resistor, warm or cold pack, temporary setting, cooling call or manual mode."""
    how: Words
    restore: Words
    resistance: float | None = measured(RESISTANCE, default=None)
    shows: float | None = measured(TEMPERATURE, default=None)
    setting: str | None = None
    fault: ControlFault | None = None
    """What the unit in software is given for it; None where the damper is sent by hand or by a call."""


def way_to_simulate(
    step: Step, condition: Condition, unit: SoftwareUnit, plan: Plan, at_hand: AtHand
) -> Simulated | None:
    """Return the first way that kit, weather and what is carried allow; None where there is none."""
    if step.simulation == "does not count":
        return None
    if condition.id == SUITABLE_WARM and not _warm_enough(unit):
        # the air would be held at its set point whatever the outdoor sensor is shown
        return _by_hand(step, plan)
    return next(_ways(step, condition, unit, plan, at_hand), None)


def _warm_enough(unit: SoftwareUnit) -> bool:
    return unit.weather is not None and unit.weather.dry_bulb >= unit.settings.set_point


def _ways(
    step: Step, condition: Condition, unit: SoftwareUnit, plan: Plan, at_hand: AtHand
) -> Iterator[Simulated]:
    hand = _by_hand(step, plan)
    if condition.id == COMMANDED and hand is not None:
        yield hand
    others = (
        _by_resistor(condition, unit, plan, at_hand),
        _by_pack(condition, unit, plan, at_hand),
        _by_setting(condition, unit, plan),
        _by_call(step, condition, unit),
    )
    yield from (way for way in others if way is not None)
    if hand is not None:
        yield hand


def _by_hand(step: Step, plan: Plan) -> Simulated | None:
    """The kit's own manual mode: it moves the damper and proves no decision."""
    moves = step.condition == COMMANDED or (step.named == "open" and not step.runs_compressor)
    if not (plan.kit.manual_mode and moves):
        return None
    how = "the kit's own manual mode: it shows that the damper follows, not that the controls decide"
    return Simulated("manual mode", Words(how), Words("manual mode off; the display shows automatic"))


def _by_resistor(condition: Condition, unit: SoftwareUnit, plan: Plan, at_hand: AtHand) -> Simulated | None:
    """A resistor that is carried, in place of a sensor whose curve is known."""
    place = PLACES.get(condition.sensor)
    sensor = plan.kit.sensor(place) if place else None
    window = window_of(unit, condition.id)
    if place is None or sensor is None or sensor.curve is None or window is None:
        return None
    found = _substitute(sensor.curve, window, at_hand)
    if found is None:
        return None
    shows, resistance = found
    within = Amount(assumed().restored, TEMPERATURE_DIFFERENCE)
    return Simulated(
        "substitute resistor",
        words(
            "disconnect off and proved dead, {ohms} on the terminals of the {place} sensor in place of its wires ({curve}): the controller reads {shows}; enter it as a temporary change first",
            ohms=Words(in_ohms(resistance)), place=Words(place), curve=Words(sensor.curve.id), shows=Amount(shows, TEMPERATURE),
        ),
        words(
            "resistor out, the sensor's two wires back; the controller then reads a probe beside the sensor within {within}",
            within=within,
        ),
        resistance, shows, None, ForgottenResistor(SENSED[place], shows),
    )  # fmt: skip


def _substitute(curve: SensorCurve, window: Window, at_hand: AtHand) -> tuple[float, float] | None:
    """Return what a resistor that is carried shows [°C], and its ohms; None where none shows what is wanted."""
    if at_hand.decade_box:
        try:
            return window.aim, substitute(curve, window.aim).resistance
        except Refused:
            return None
    fitting: list[tuple[float, float]] = []
    for one in at_hand.resistors:
        try:
            shows = sensor_temperature(one.value, curve.curve)
        except Refused:  # one that is off the curve says nothing against the others
            continue
        if window.low <= shows <= window.high:
            fitting.append((shows, one.value))
    return min(fitting, key=lambda one: abs(one[0] - window.aim), default=None)


def _by_pack(condition: Condition, unit: SoftwareUnit, plan: Plan, at_hand: AtHand) -> Simulated | None:
    """A pack held to the sensor itself: it works for a sensor of any kind."""
    place = PLACES.get(condition.sensor)
    window = window_of(unit, condition.id)
    if not at_hand.packs or place is None or window is None or plan.kit.sensor(place) is None:
        return None
    # the pack has to reach where hand and sensor are: no pack takes a sensor far into frost or beyond a warm hand
    if not COLDEST_PACK <= window.aim <= WARMEST_PACK:
        return None
    return Simulated(
        "warm or cold pack",
        words(
            "hold a pack to the {place} sensor, dry in a bag, until the controller shows {low} to {high}; enter it as a temporary change first, of kind pack",
            place=Words(place), low=Amount(window.low, TEMPERATURE), high=Amount(window.high, TEMPERATURE),
        ),
        Words("pack off; wait until the controller shows a probe's temperature beside the sensor again"),
        shows=window.aim, fault=ForgottenResistor(SENSED[place], window.aim),
    )  # fmt: skip


def _by_call(step: Step, condition: Condition, unit: SoftwareUnit) -> Simulated | None:
    """A cooling call in air that opens the damper all the way by itself, and holds it nowhere on its way."""
    if condition.id != COMMANDED or step.to_any_signal or not brought_today(unit, SUITABLE_WARM):
        return None
    how = "call for the first stage of cooling: today's air opens the damper all the way; the call off shuts it to its minimum"
    return Simulated("cooling call", Words(how), Words("the call off; thermostat or jumper back"))


def _by_setting(condition: Condition, unit: SoftwareUnit, plan: Plan) -> Simulated | None:
    """A setting that is moved across today's air, within the kit's range; of one for each fan speed all are moved."""
    wish = _moved(condition, unit)
    if wish is None:
        return None
    term, value = wish
    found = [one for one in plan.settings if one.means is term]
    values = [_on_a_step(value, one, plan) for one in found]
    if not found or not all(_within(one, at) for one, at in zip(found, values, strict=True)):
        return None
    moved = [_from_to(one, at) for one, at in zip(found, values, strict=True)]
    back = [words('"{label}" back at {was}', label=Words(one.label), was=one.value) for one in found]
    return Simulated(
        "temporary setting",
        words("{settings}; enter each as a temporary change first", settings=_joined(moved)),
        words("{settings}, and read again", settings=_joined(back)),
        setting=found[0].label, fault=_in_software(found[0], values[0]),
    )  # fmt: skip


def _within(setting: Setting, value: float) -> bool:
    return setting.least.value - NEAR <= value <= setting.most.value + NEAR


def _from_to(setting: Setting, value: float) -> Words:
    return words(
        'the setting "{label}" at {moved} instead of {was}',
        label=Words(setting.label), moved=Amount(value, setting.value.dimension), was=setting.value,
    )  # fmt: skip


def _joined(parts: Sequence[Words]) -> Words:
    """Say parts one after the other."""
    text = " and ".join(f"{{part_{number}}}" for number in range(len(parts)))
    return Words(text, {f"part_{number}": one for number, one in enumerate(parts)})


def _on_a_step(value: float, setting: Setting, plan: Plan) -> float:
    """Take a value to the kit's next step, away from the one that is planned: further beyond today's air, not nearer."""
    step = plan.kit.setting(setting.label).step
    if step is None:
        return value
    steps = (value - setting.least.value) / step
    return setting.least.value + step * (
        math.ceil(steps - NEAR) if value > setting.si else math.floor(steps + NEAR)
    )


def _in_software(setting: Setting, value: float) -> ControlFault:
    """The same setting in software; one that belongs to a fan speed is moved at that speed."""
    return WrongSetting(TERMS[setting.means.value, setting.fan], value)


def _moved(condition: Condition, unit: SoftwareUnit) -> tuple[Term, float] | None:
    """Return which setting has to stand where, for today's air; None where no setting does it."""
    settings, beyond = unit.settings, accepted().beyond_limit
    if condition.id == COMMANDED:
        return Term.MINIMUM_DAMPER_SIGNAL, 1.0
    if unit.weather is None:
        return None
    outdoor, limit = unit.weather.dry_bulb, settings.high_limit
    differential = limit.control is HighLimitControl.DIFFERENTIAL_DRY_BULB
    if condition.id in {SUITABLE, SUITABLE_WARM}:
        if limit.control in BY_ENTHALPY or differential:
            return None
        return Term.DRY_BULB_HIGH_LIMIT, outdoor + limit.limit_differential + beyond
    if condition.id == UNSUITABLE:
        if differential:
            return Term.RETURN_DIFFERENTIAL, max(unit.indoor.dry_bulb - outdoor, 0.0) + CLEAR
        return Term.DRY_BULB_HIGH_LIMIT, outdoor - beyond
    if condition.id == BELOW_LOCKOUT:
        return Term.COMPRESSOR_LOCKOUT, outdoor + beyond
    if condition.id == MIXED_COLD:
        return Term.MIXED_AIR_LOW_LIMIT, max(settings.set_point, outdoor) + beyond
    return None


__all__ = ["Simulated", "way_to_simulate"]
