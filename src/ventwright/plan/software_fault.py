"""A fault of the data file as faults of the unit in software: which unit can have it, and how bad it is drawn."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Final, get_args

from ventwright.physics.rooftop.control_fault import (
    Call,
    CallNotRouted,
    ControlFault,
    ForgottenResistor,
    ReversedValveSense,
    SpeedSignalMissing,
    WrongSetting,
)
from ventwright.physics.rooftop.control_settings import ControlSettings
from ventwright.physics.rooftop.hardware import Unit
from ventwright.physics.rooftop.hardware_fault import (
    OF_A_SENSOR,
    WITH_ANOTHER,
    HardwareFault,
    HardwareFaultKind,
)
from ventwright.physics.rooftop.high_limit import HighLimitControl
from ventwright.physics.rooftop.operating import Fault
from ventwright.physics.rooftop.relief import ReliefKind
from ventwright.physics.rooftop.sensing import Place, Sensor
from ventwright.physics.sensor import Curve, wire_resistance
from ventwright.tables.fault_prior import FaultRow, Range
from ventwright.tables.sensor_curve import curves

CALLS: Final[dict[str, Call]] = {one: one for one in get_args(Call)}
"""Calls by the word of the data file."""
ROOM = 25.0
"""Temperature at which a wrong sensor would have been noticed (our own assumption). [°C]"""
LEAST_LIKE, MOST_LIKE = 0.4, 2.5
"""Between which a curve's ohms there, over those of the right one, pass unnoticed (our own assumption). [-]"""


def can_have(row: FaultRow, unit: Unit, settings: ControlSettings) -> bool:
    """Whether a unit has what a fault needs."""
    sensed = {one.input: one for one in unit.sensors}
    if row.sensor in set(Place) and Place(row.sensor) not in sensed:
        return False
    has: dict[str, Callable[[], bool]] = {
        "": lambda: True,
        "heat pump": lambda: unit.heat_pump is not None,
        "heat": lambda: unit.heater is not None or unit.heat_pump is not None,
        "two speeds": lambda: two_speeds(settings),
        "two stages": lambda: settings.compressors > 1,
        "relief": lambda: unit.relief.kind is not ReliefKind.NONE,
        "flap": lambda: unit.relief.kind is ReliefKind.BAROMETRIC,
        "curve": lambda: sensed[Place(row.sensor)].curve is not None,
        "lockout": lambda: settings.lockout is not None,
        "fixed dry bulb": lambda: settings.high_limit.control in FIXED_DRY_BULB,
    }
    return has[row.needs]()


FIXED_DRY_BULB = {HighLimitControl.FIXED_DRY_BULB, HighLimitControl.FIXED_ENTHALPY_AND_DRY_BULB}
"""Controls of the high limit that look at its temperature."""


def two_speeds(settings: ControlSettings) -> bool:
    """Whether the fan is run at more than one speed."""
    return settings.minimum.slowest < settings.minimum.fastest


def made(row: FaultRow, draws: Sequence[float], unit: Unit, settings: ControlSettings) -> tuple[Fault, ...]:
    """Faults of the unit in software that one row stands for.

    Parameters
    ----------
    row
        Of the data file.
    draws
        Two numbers from 0 to 1: how bad it is, and its other number. [-]
    unit, settings
        That have it.

    Returns
    -------
    tuple
        One fault, or a setting wrong in two places.

    References
    ----------
    Ranges: the data file, with a mark each.
    """
    severity, size = _within(row.severity, draws[0]), _size(row, draws)
    match row.acts:
        case "setting":
            return _wrong_settings(row, draws[0], settings)
        case "call not routed":
            return (CallNotRouted(CALLS[row.call], row.to_compressor),)
        case "forgotten resistor":
            return (ForgottenResistor(row.sensor, _within(row.shows, draws[0])),)
        case "speed signal missing":
            return (SpeedSignalMissing("controls" if row.at == "controls" else "fan"),)
        case "reversed valve sense":
            return (ReversedValveSense(),)
        case _:
            kind = HardwareFaultKind(row.acts)
            sensor = Place(row.sensor) if kind in OF_A_SENSOR else None
            other = Place(row.other) if kind in WITH_ANOTHER else None
            wrong = kind is HardwareFaultKind.SENSOR_WRONG_CURVE
            read_as = _other_curve(unit, sensor, draws[1]) if wrong else None
            return (HardwareFault(kind, severity, sensor, other, size, read_as),)


def _within(ends: Range, draw: float) -> float:
    return ends[0] + (ends[1] - ends[0]) * draw


def _size(row: FaultRow, draws: Sequence[float]) -> float:
    """Size of a bias, with either sign where it goes both ways; the first draw spreads it, severities of these being one."""
    if row.acts == "damper stuck":
        return _within(row.size, draws[1])
    if row.signs == 1:
        return _within(row.size, draws[0])
    upper = draws[0] >= 0.5
    size = _within(row.size, 2.0 * draws[0] - 1.0 if upper else 1.0 - 2.0 * draws[0])
    return size if upper else -size


def _wrong_settings(row: FaultRow, draw: float, settings: ControlSettings) -> tuple[ControlFault, ...]:
    minimum = settings.minimum
    if row.place == "minimum" and row.times is not None:
        times = _within(row.times, draw)
        return (
            WrongSetting("minimum.at_fastest", min(1.0, times * minimum.at_fastest)),
            WrongSetting("minimum.at_slowest", min(1.0, times * minimum.at_slowest)),
        )
    if row.place == "minimum.at_slowest":
        return (WrongSetting(row.place, minimum.at_fastest),)
    if row.place == "integrated":
        return (WrongSetting(row.place, not settings.integrated),)
    part, _, name = row.place.partition(".")
    as_meant = getattr(settings, part)
    value = getattr(as_meant, name) if name else as_meant
    return (WrongSetting(row.place, value + _within(row.by or (0.0, 0.0), draw)),)


def _other_curve(unit: Unit, place: Place | None, draw: float) -> Curve:
    """Another published curve that the input might be set for: of ohms near enough that nobody noticed."""
    own = next(one for one in unit.sensors if one.input is place)
    others = _mistakable(own)
    return others[min(int(draw * len(others)), len(others) - 1)]


def _mistakable(own: Sensor) -> list[Curve]:
    if own.curve is None:
        return []
    at_hand = wire_resistance(ROOM, own.curve)
    others = [one.curve for one in curves() if one.material == "thermistor" and one.curve != own.curve]
    near = [curve for curve in others if LEAST_LIKE < wire_resistance(ROOM, curve) / at_hand < MOST_LIKE]
    return near or others
