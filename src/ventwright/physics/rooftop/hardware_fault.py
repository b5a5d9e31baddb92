"""What goes wrong with the hardware: faults with a severity, any number at once, each a change of the unit itself.

A unit with faults is a unit: nothing downstream asks whether one is there. Faults of one kind add up.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from ventwright.errors import Refusal, Refused
from ventwright.physics.rooftop.air_path import Leg
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.limit import within
from ventwright.physics.rooftop.relief import Relief
from ventwright.physics.rooftop.sensing import FAILS_FROM, Place, Sensor
from ventwright.physics.sensor import Curve


class HardwareFaultKind(StrEnum):
    """What is wrong; beside each what severity 1 is, 0 being sound."""

    DAMPER_STUCK = "damper stuck"
    """The shaft does not leave ``size``, a stroke; at 0.5 it makes half of every way from there."""
    COUPLING_SLIPPED = "coupling slipped"
    """The shaft stays a whole stroke behind the actuator."""
    ACTUATOR_REVERSED = "actuator reversed"
    """It opens when told to close, from severity 0.5 on."""
    DAMPER_LEAKING = "outdoor damper leaking"
    """As if the outdoor blades were gone, beside what they let through."""
    RETURN_NOT_CLOSING = "return blades not closing"
    """They stay fully open; at 0.5 half open at least."""
    HOOD_BLOCKED = "hood blocked"
    """A thousandth of it is left."""
    SENSOR_BIASED = "sensor biased"
    """Off by ``size`` kelvins."""
    SENSOR_OPEN = "sensor open"
    """No contact; below that resistance in line."""
    SENSOR_SHORT = "sensor short"
    """Wires joined; below that resistance across."""
    SENSOR_WRONG_CURVE = "sensor of a wrong curve"
    """The input reads it by the curve ``read_as``, from severity 0.5 on."""
    SENSOR_MISPLACED = "sensor misplaced"
    """It feels the air at ``other`` alone; at 0.5 half of each."""
    SENSORS_SWAPPED = "sensors swapped"
    """Its wires and those of ``other`` are exchanged, from severity 0.5 on."""
    TRANSFORMER_WEAK = "transformer weak"
    """No voltage; at 0.5 it falls twice as fast with the load."""
    RELIEF_SHUT = "relief stuck shut"
    """No relief: flap stuck or fan dead."""
    RELIEF_OPEN = "relief stuck open"
    """The flap stands open against every pressure."""


OF_A_SENSOR = {
    HardwareFaultKind.SENSOR_BIASED,
    HardwareFaultKind.SENSOR_OPEN,
    HardwareFaultKind.SENSOR_SHORT,
    HardwareFaultKind.SENSOR_WRONG_CURVE,
    HardwareFaultKind.SENSOR_MISPLACED,
    HardwareFaultKind.SENSORS_SWAPPED,
}
WITH_ANOTHER = {HardwareFaultKind.SENSOR_MISPLACED, HardwareFaultKind.SENSORS_SWAPPED}


@dataclass(frozen=True, slots=True)
class HardwareFault:
    """One fault."""

    kind: HardwareFaultKind
    severity: float = 1.0
    """0 sound, 1 as the kind says. [-]"""
    sensor: Place | None = None
    """Input whose sensor it is."""
    other: Place | None = None
    """Second place of a misplaced sensor, second input of swapped ones."""
    size: float = 0.0
    """Kelvins of a bias, stroke at which a damper sticks. [K or -]"""
    read_as: Curve | None = None
    """Curve that a wrong one is read by."""

    def __post_init__(self) -> None:
        """Refuse a fault that says too little."""
        within(f"fault {self.kind}, severity", self.severity, 0.0, 1.0)
        if (self.kind in OF_A_SENSOR) is (self.sensor is None):
            accepted = "the sensor that has it" if self.kind in OF_A_SENSOR else "no sensor"
            raise Refused(Refusal("does not fit its sensor", accepted, f"fault {self.kind}"))
        if (self.kind in WITH_ANOTHER) is (self.other is None):
            accepted = "a second place" if self.kind in WITH_ANOTHER else "no second place"
            raise Refused(Refusal("does not fit its second place", accepted, f"fault {self.kind}"))
        if self.kind is HardwareFaultKind.DAMPER_STUCK:
            within(f"fault {self.kind}, size", self.size, 0.0, 1.0)
        elif not math.isfinite(self.size):
            raise Refused(Refusal("is no size", "a finite number", f"fault {self.kind}", f"{self.size}"))
        if self.kind is HardwareFaultKind.SENSOR_WRONG_CURVE and self.read_as is None:
            raise Refused(Refusal("names no curve", "the curve it is read by", f"fault {self.kind}"))


def faulted(unit: Unit, faults: Iterable[HardwareFault]) -> Unit:
    """Unit with its faults.

    Parameters
    ----------
    unit
        As it was built.
    faults
        In any order: swapped sensors are exchanged last, so that every other fault counts where it says.

    Returns
    -------
    Unit
        The unit as it is. [SI throughout]

    Raises
    ------
    Refused
        A fault names a sensor that the unit has not got, or curves where its element has none.

    References
    ----------
    our own assumption: what a severity means stands beside each kind (from memory of what is found on roofs).
    """
    listed = sorted(faults, key=lambda one: one.kind is HardwareFaultKind.SENSORS_SWAPPED)
    for fault in listed:
        if fault.severity > 0.0:
            unit = _with_sensor_fault(unit, fault) if fault.kind in OF_A_SENSOR else _with_fault(unit, fault)
    return unit


def _worse(share: float, severity: float) -> float:
    """Two losses of one kind: what is left is the product of what each leaves."""
    return 1.0 - (1.0 - share) * (1.0 - severity)


def _with_fault(unit: Unit, fault: HardwareFault) -> Unit:
    kind, severity, link = fault.kind, fault.severity, unit.linkage
    match kind:
        case HardwareFaultKind.DAMPER_STUCK:
            stuck = _worse(link.stuck_share, severity)
            return replace(unit, linkage=replace(link, stuck_at=fault.size, stuck_share=stuck))
        case HardwareFaultKind.COUPLING_SLIPPED:
            return replace(unit, linkage=replace(link, slip=min(1.0, link.slip + severity)))
        case HardwareFaultKind.ACTUATOR_REVERSED:
            reverse = link.reversed_actuator ^ (severity >= FAILS_FROM)
            return replace(unit, linkage=replace(link, reversed_actuator=reverse))
        case HardwareFaultKind.DAMPER_LEAKING:
            return replace(unit, outdoor_damper=_leaking(unit.outdoor_damper, severity))
        case HardwareFaultKind.RETURN_NOT_CLOSING:
            least = max(link.return_open_at_least, severity)
            return replace(unit, linkage=replace(link, return_open_at_least=least))
        case HardwareFaultKind.HOOD_BLOCKED:
            return replace(unit, hood_blocked=_worse(unit.hood_blocked, severity))
        case HardwareFaultKind.TRANSFORMER_WEAK:
            weak = _worse(unit.control_power.weak, severity)
            return replace(unit, control_power=replace(unit.control_power, weak=weak))
        case _:
            return replace(unit, relief=_failed(unit.relief, kind, severity))


def _leaking(leg: Leg, severity: float) -> Leg:
    return replace(leg, gap=leg.gap + severity * leg.face / math.sqrt(leg.blades.loss_open))


def _failed(relief: Relief, kind: HardwareFaultKind, severity: float) -> Relief:
    if kind is HardwareFaultKind.RELIEF_SHUT:
        return replace(relief, blocked=_worse(relief.blocked, severity))
    return replace(relief, stuck_open=max(relief.stuck_open, severity))


def _with_sensor_fault(unit: Unit, fault: HardwareFault) -> Unit:
    one = _sensor(unit, fault.sensor)
    if fault.kind is not HardwareFaultKind.SENSORS_SWAPPED:
        return _with_sensors(unit, {one.input: _worn(one, fault)})
    two = _sensor(unit, fault.other)
    if fault.severity < FAILS_FROM:
        return unit
    return _with_sensors(unit, {one.input: _wired(two, one), two.input: _wired(one, two)})


def _worn(one: Sensor, fault: HardwareFault) -> Sensor:
    severity = fault.severity
    match fault.kind:
        case HardwareFaultKind.SENSOR_BIASED:
            return replace(one, bias=one.bias + severity * fault.size)
        case HardwareFaultKind.SENSOR_OPEN:
            return replace(one, open_share=_worse(one.open_share, severity))
        case HardwareFaultKind.SENSOR_SHORT:
            return replace(one, short_share=_worse(one.short_share, severity))
        case HardwareFaultKind.SENSOR_MISPLACED:
            return replace(one, strayed_to=fault.other, strayed_share=severity)
        case _:
            return replace(one, read_as=fault.read_as) if severity >= FAILS_FROM else one


def _wired(element: Sensor, at_input: Sensor) -> Sensor:
    """The element of one sensor on the input of another: that input keeps the curve it reads by."""
    read_as = None if element.curve is None else (at_input.read_as or at_input.curve or element.read_as)
    return replace(element, input=at_input.input, read_as=read_as)


def _sensor(unit: Unit, place: Place | None) -> Sensor:
    for one in unit.sensors:
        if one.input is place:
            return one
    listed = ", ".join(one.input for one in unit.sensors) or "none"
    raise Refused(Refusal("is no sensor of this unit", listed, "fault", f"{place}"))


def _with_sensors(unit: Unit, changed: dict[Place, Sensor]) -> Unit:
    return replace(unit, sensors=tuple(changed.get(one.input, one) for one in unit.sensors))
