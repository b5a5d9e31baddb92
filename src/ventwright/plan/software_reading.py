"""What each measurement reads on a unit in software: a number, a word, or a word where there is no number."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from math import sqrt

from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.control_fault import ForgottenResistor
from ventwright.physics.rooftop.control_settings import ControlSettings
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.operating import ControlledUnit, sensed_at
from ventwright.physics.rooftop.relief import ReliefKind
from ventwright.physics.rooftop.sensed import Sensed
from ventwright.physics.rooftop.sensing import FAILS_FROM, Place, Sensor
from ventwright.physics.rooftop.steady import State
from ventwright.plan.software_fault import two_speeds

Value = float | str

NOTHING = "nothing shown"
NO_SHARE_BELOW = 0.5
"""Between outdoor and return air below which no share can be worked out (our own assumption). [K]"""


@dataclass(frozen=True, slots=True)
class Seen:
    """A unit in one state, as far as somebody with meter and probe can see it."""

    whole: ControlledUnit
    meant: ControlSettings
    """Settings of the plan."""
    state: State
    commands: Commands
    calls: Calls
    """As they were made."""
    outdoor: float
    """[°C]"""
    design_fan_power: float
    """[W]"""


@dataclass(frozen=True, slots=True)
class Looked:
    """A unit that is looked at: nothing depends on its state but the stroke, which is watched."""

    whole: ControlledUnit
    meant: ControlSettings
    shut: State
    """With the damper told to close."""
    opened: State
    """With the damper told to open."""


def _share(seen: Seen) -> Value:
    """Share as three probes give it: a return plenum into which outdoor air strays hides some of it."""
    returned, mixed = seen.state.returned.dry_bulb, seen.state.mixed.dry_bulb
    difference = returned - seen.outdoor
    if not seen.state.fan_running:
        return "no air"
    if abs(difference) < NO_SHARE_BELOW:
        return seen.state.outdoor_air_fraction
    return min(1.2, max(-0.2, (returned - mixed) / difference))


def _sensor_bias(place: Place, field: str) -> Callable[[Seen], Value]:
    def read(seen: Seen) -> Value:
        sensed: Sensed = seen.whole.shown(sensed_at(seen.state))
        shown = getattr(sensed, field)
        streams = {
            Place.OUTDOOR: seen.outdoor,
            Place.RETURN: seen.state.returned.dry_bulb,
            Place.MIXED: seen.state.mixed.dry_bulb,
            Place.SUPPLY: seen.state.supply.dry_bulb,
        }
        return NOTHING if shown is None else float(shown - streams[place])

    return read


def _compressors(seen: Seen) -> Value:
    if seen.state.chattering:
        return "chatters"
    pumping = seen.state.heating_stages if seen.whole.unit.heat_pump is not None else 0
    return str(max(seen.state.cooling_stages, min(pumping, seen.meant.compressors)))


def _heating(seen: Seen) -> Value:
    return "on" if seen.state.heating_load > 0.0 else "off"


def _supply(seen: Seen) -> Value:
    if not seen.state.fan_running:
        return "no air"
    return seen.state.supply.dry_bulb - seen.state.returned.dry_bulb


def _calls(seen: Seen) -> Value:
    heard = seen.calls
    for fault in seen.whole.faults:
        heard = fault.calls(heard)
    occupied = "occupied" if heard.occupied else "not occupied"
    return f"cooling {heard.cooling_stages} + heating {heard.heating_stages} + {occupied}"


IN_STATE: dict[str, Callable[[Seen], Value]] = {
    "outdoor-air share": _share,
    "outdoor blades": lambda seen: seen.state.outdoor_blades,
    "return blades": lambda seen: seen.state.return_blades,
    "damper signal": lambda seen: seen.commands.damper_signal,
    "compressors": _compressors,
    "heating": _heating,
    "supply less return": _supply,
    "outdoor sensor": _sensor_bias(Place.OUTDOOR, "outdoor_dry_bulb"),
    "return sensor": _sensor_bias(Place.RETURN, "return_dry_bulb"),
    "mixed sensor": _sensor_bias(Place.MIXED, "mixed_dry_bulb"),
    "supply sensor": _sensor_bias(Place.SUPPLY, "supply_dry_bulb"),
    "calls": _calls,
    "control voltage": lambda seen: seen.state.control_voltage,
    "space pressure": lambda seen: seen.state.space_pressure,
    "fan power": lambda seen: seen.state.fan_power / max(seen.design_fan_power, 1.0),
}
"""What is read with the unit in a state."""

MOVES = 0.5
"""Stroke that an actuator has to make before somebody who watches says that it moves (our own assumption). [-]"""

PART, FULL = 0.15, 0.85
"""Shares of the actuator's stroke above which a shaft follows in part, and follows (our own assumption). [-]"""


def _stroke(looked: Looked) -> Value:
    actuator = looked.opened.actuator_position - looked.shut.actuator_position
    if abs(actuator) < MOVES:
        return "actuator stands still"
    link = looked.whole.unit.linkage
    # the shaft, not the blades: what the linkage makes of it is no fault of the coupling
    ends = [max(0.0, one.actuator_position - link.slip) for one in (looked.opened, looked.shut)]
    shaft = abs(ends[0] - ends[1]) * (1.0 - link.stuck_share) / abs(actuator)
    way = "opens" if actuator > 0.0 else "closes when told to open"
    follows = "follows" if shaft > FULL else "follows in part" if shaft > PART else "does not follow"
    return f"actuator {way}, shaft {follows}"


def _settings(looked: Looked) -> Value:
    own, meant = looked.whole.settings, looked.meant
    pairs = (
        ("high limit", own.high_limit.high_limit, meant.high_limit.high_limit),
        ("minimum position", own.minimum.at_fastest, meant.minimum.at_fastest),
        ("minimum position at low speed", own.minimum.at_slowest, meant.minimum.at_slowest),
        ("set point", own.set_point, meant.set_point),
        ("lockout", own.lockout or 0.0, meant.lockout or 0.0),
    )
    found = [
        f"{name} {'low' if value < planned else 'high'}"
        for name, value, planned in pairs
        if abs(value - planned) > 1e-6
    ]
    found += ["not integrated"] if own.integrated is not meant.integrated else []
    found += ["valve sense"] if own.valve != meant.valve else []
    return " + ".join(found) or "as planned"


def _leads(place: Place, field: str) -> Callable[[Looked], Value]:
    def read(looked: Looked) -> Value:
        whole = looked.whole
        if any(isinstance(fault, ForgottenResistor) and fault.sensor == field for fault in whole.faults):
            return "a resistor"
        one = next(sensor for sensor in whole.unit.sensors if sensor.input is place)
        return _how(one)

    return read


STRAYS_FROM = 0.15
"""Share of other air, or of a flap that stands open, from which somebody sees it (our own assumption). [-]"""

SHUT_FROM, HELD_FROM = 0.35, 0.3
"""Shares of a relief that is lost, and of a shaft's motion, from which a hand feels it (our own assumption). [-]"""


def _how(one: Sensor) -> Value:
    if one.at is not one.input:
        return "another sensor's leads"
    if one.open_share >= FAILS_FROM:
        return "open"
    if one.short_share >= FAILS_FROM:
        return "short"
    if one.read_as is not None and one.read_as != one.curve:
        return "another curve"
    return "in other air" if one.strayed_share > STRAYS_FROM else "in order"


def _relief(looked: Looked) -> Value:
    relief = looked.whole.unit.relief
    if relief.blocked > SHUT_FROM:
        return "does not open"
    return "stands open" if relief.stuck_open > STRAYS_FROM else "in order"


def _seal_gap(looked: Looked) -> Value:
    leg = looked.whole.unit.outdoor_damper
    return leg.gap * sqrt(leg.blades.loss_open) / leg.face


LOOKED_AT: dict[str, Callable[[Looked], Value]] = {
    "stroke": _stroke,
    "free blades": lambda looked: "held" if looked.whole.unit.linkage.stuck_share > HELD_FROM else "free",
    "hood": lambda looked: looked.whole.unit.hood_blocked,
    "seal gap": _seal_gap,
    "relief": _relief,
    "settings": _settings,
    "outdoor leads": _leads(Place.OUTDOOR, "outdoor_dry_bulb"),
    "mixed leads": _leads(Place.MIXED, "mixed_dry_bulb"),
    "speed input": lambda looked: "right" if looked.whole.settings.speed_known else "missing",
}
"""What is read by looking, whatever the unit does."""


def has(unit: Unit, settings: ControlSettings, reads: str) -> bool:
    """Whether a unit has what is to be read."""
    match reads.split():
        case ["speed", "input"]:
            return two_speeds(settings)
        case ["relief"]:
            return unit.relief.kind is not ReliefKind.NONE
        case [place, "sensor" | "leads"]:
            return any(one.input == place for one in unit.sensors)
        case _:
            return True
