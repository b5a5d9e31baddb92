"""How a condition is simulated where the weather does not bring it: resistor, pack, setting, call or the manual mode."""

from __future__ import annotations

import math
from collections.abc import Iterator
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
from ventwright.tables.sensor_curve import assumed
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
        _by_call(condition, unit),
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
    resistance: float | None = None
    shows = window.aim
    try:
        if at_hand.decade_box:
            resistance = substitute(sensor.curve, shows).resistance
        else:
            known = [
                (sensor_temperature(one.value, sensor.curve.curve), one.value) for one in at_hand.resistors
            ]
            fitting = [one for one in known if window.low <= one[0] <= window.high]
            shows, resistance = min(fitting, key=lambda one: abs(one[0] - window.aim), default=(shows, None))
    except Refused:
        return None
    if resistance is None:
        return None
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
            "hold a pack to the {place} sensor, dry in a bag, until the controller shows {low} to {high}; enter it as a temporary change first",
            place=Words(place), low=Amount(window.low, TEMPERATURE), high=Amount(window.high, TEMPERATURE),
        ),
        Words("pack off; wait until the controller shows a probe's temperature beside the sensor again"),
        shows=window.aim, fault=ForgottenResistor(SENSED[place], window.aim),
    )  # fmt: skip


def _by_call(condition: Condition, unit: SoftwareUnit) -> Simulated | None:
    """A cooling call in air that opens the damper all the way by itself."""
    if condition.id != COMMANDED or not brought_today(unit, SUITABLE_WARM):
        return None
    how = "call for the first stage of cooling: today's air opens the damper all the way; the call off shuts it to its minimum"
    return Simulated("cooling call", Words(how), Words("the call off; thermostat or jumper back"))


def _by_setting(condition: Condition, unit: SoftwareUnit, plan: Plan) -> Simulated | None:
    """A setting that is moved across today's air, within the kit's range."""
    wish = _moved(condition, unit)
    if wish is None:
        return None
    term, value = wish
    setting = next((one for one in plan.settings if one.means is term), None)
    if setting is None:
        return None
    value = _on_a_step(value, setting, plan)
    if not setting.least.value - NEAR <= value <= setting.most.value + NEAR:
        return None
    moved = Amount(value, setting.value.dimension)
    return Simulated(
        "temporary setting",
        words(
            'the setting "{label}" at {moved} instead of {was}; enter it as a temporary change first',
            label=Words(setting.label), moved=moved, was=setting.value,
        ),
        words('"{label}" back at {was}, and read again', label=Words(setting.label), was=setting.value),
        setting=setting.label, fault=_in_software(setting, value),
    )  # fmt: skip


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


__all__ = ["Simulated", "Window", "way_to_simulate"]
