"""The settings of a rooftop unit's controls, in the trade's terms: what a kit can be set to, and what is built in."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, is_dataclass, replace
from typing import Any, Literal

from ventwright.errors import Refusal, Refused, refuse_word
from ventwright.physics.rooftop.freeze_protection import FreezeProtection
from ventwright.physics.rooftop.high_limit import HighLimit
from ventwright.physics.rooftop.minimum_position import MinimumPosition

HeldAir = Literal["mixed", "supply"]
ValveSense = Literal["powered in cooling", "powered in heating"]


@dataclass(frozen=True, slots=True)
class FanSpeeds:
    """Share of full speed for each duty.

    Energy codes ask for a low speed in ventilation and at low cooling load (IECC-2015 C403.4.1); equal shares are a
    fan of one speed.
    """

    ventilating: float = 1.0
    """[-]"""
    cooling_first: float = 1.0
    """At the first stage of cooling, free or not. [-]"""
    cooling_second: float = 1.0
    """From the second stage on. [-]"""
    heating: float = 1.0
    """[-]"""

    def __post_init__(self) -> None:
        """Refuse what is no speed."""
        shares = (self.ventilating, self.cooling_first, self.cooling_second, self.heating)
        if not all(0.0 < share <= 1.0 for share in shares):
            given = ", ".join(f"{share:g}" for share in shares)
            raise Refused(Refusal("are no fan speeds", "more than 0, at most 1", "fan speeds", given))


@dataclass(frozen=True, slots=True)
class ControlSettings:
    """Everything that decides what the unit does with its calls and sensors.

    Values without a source beside them are common practice, no published source.
    """

    minimum: MinimumPosition
    high_limit: HighLimit = field(default_factory=HighLimit)
    freeze: FreezeProtection = field(default_factory=FreezeProtection)
    fan: FanSpeeds = field(default_factory=FanSpeeds)
    set_point: float = 12.8
    """What free cooling holds: 55 °F. [°C]"""
    held: HeldAir = "mixed"
    """Where that is sensed."""
    low_limit: float = 7.2
    """Mixed air is not brought below this by opening the damper: 45 °F. [°C]"""
    low_limit_shuts: bool = False
    """Below the low limit even the minimum gives way; else ventilation goes on."""
    lockout: float | None = 12.8
    """Outdoor air below which no compressor cools: 55 °F; None where there is no lockout. [°C]"""
    lockout_differential: float = 1.1
    """Rise above it after which they may again. [K]"""
    lockout_stops_heating: bool = False
    """A heat pump's compressors are kept from heating too: a wrong setting."""
    integrated: bool = True
    """The damper stays open while a compressor runs; else a compressor and free cooling exclude each other."""
    free_cooling_unoccupied: bool = True
    """Outdoor air may meet a cooling call outside occupied hours."""
    compressors: int = 2
    """Stages of mechanical cooling there are."""
    heaters: int = 1
    """Stages of heat there are, a heat pump's compressors among them."""
    valve: ValveSense | None = None
    """Sense of the reversing valve as the control was set; None is no heat pump."""
    speed_known: bool = True
    """The control is told the speed of the fan; else it takes the fastest for granted."""
    least_on: float = 180.0
    """Least time that a compressor stage runs. [s]"""
    least_off: float = 300.0
    """Least time that it rests. [s]"""
    throttling_range: float = 10.0
    """Deviation that would drive the damper over its stroke in one reset time. [K]"""
    reset_time: float = 240.0
    """Of the integrating control of the damper. [s]"""

    def __post_init__(self) -> None:
        """Refuse what cannot be set; what can be set and is unwise is let through, as a kit lets it through."""
        where = "control settings"
        mistakes = [
            Refusal("is no setting", "a finite number", f"{where}.{name}", f"{value:g}")
            for name, value in (
                ("set_point", self.set_point),
                ("low_limit", self.low_limit),
                ("lockout", self.lockout or 0.0),
            )
            if not math.isfinite(value)
        ]
        mistakes += [
            Refusal("is below nothing", "a finite number of at least 0", f"{where}.{name}", f"{value:g}")
            for name, value in (
                ("lockout_differential", self.lockout_differential),
                ("least_on", self.least_on),
                ("least_off", self.least_off),
            )
            if not 0.0 <= value < math.inf
        ]
        mistakes += [
            Refusal("is no setting", "more than 0", f"{where}.{name}", f"{value:g}")
            for name, value in (
                ("throttling_range", self.throttling_range),
                ("reset_time", self.reset_time),
            )
            if not 0.0 < value < math.inf
        ]
        mistakes += [
            Refusal("is no number of stages", "a whole number from 0", f"{where}.{name}", f"{stages}")
            for name, stages in (("compressors", self.compressors), ("heaters", self.heaters))
            if stages < 0
        ]
        if mistakes:
            raise Refused(*mistakes)


TERMS: Mapping[tuple[str, str | None], str] = {
    ("minimum damper signal", None): "minimum.at_fastest",
    ("minimum damper signal", "fastest"): "minimum.at_fastest",
    ("minimum damper signal", "slowest"): "minimum.at_slowest",
    ("damper signal at low occupancy", None): "minimum.low_at_fastest",
    ("damper signal at low occupancy", "fastest"): "minimum.low_at_fastest",
    ("damper signal at low occupancy", "slowest"): "minimum.low_at_slowest",
    ("dry-bulb high limit", None): "high_limit.high_limit",
    ("enthalpy high limit", None): "high_limit.enthalpy_limit",
    ("differential between return and outdoor air", None): "high_limit.return_differential",
    ("high-limit differential", None): "high_limit.limit_differential",
    ("mixed-air set point", None): "set_point",
    ("mixed-air low limit", None): "low_limit",
    ("compressor lockout", None): "lockout",
    ("reversing valve sense", None): "valve",
}
"""The setting that each of a kit's terms fills, and at which fan speed; of a term that is not here the sequence takes
no notice (relief and carbon dioxide are outside it)."""


def filled(settings: ControlSettings, values: Mapping[tuple[str, str | None], Any]) -> ControlSettings:
    """Settings with a kit's values in them.

    Parameters
    ----------
    settings
        As they were.
    values
        A kit's settings by term and fan speed (fastest, slowest or None): in SI [°C, K, J/kg, shares], the sense of a
        reversing valve in words. A signal without a fan speed holds at every speed.

    Returns
    -------
    ControlSettings
        As they are then.

    Raises
    ------
    Refused
        No setting of the sequence has such a term.

    References
    ----------
    The terms are common practice, no published source.
    """
    changed: dict[str, Any] = {}
    for (term, fan), value in values.items():
        if (term, fan) not in TERMS:
            raise refuse_word(term, sorted({known for known, _ in TERMS}), "a term that the sequence knows")
        changed[TERMS[term, fan]] = value
        if fan is None and TERMS[term, None].endswith("at_fastest"):
            changed[TERMS[term, "slowest"]] = value
    return changed_settings(settings, changed)


def changed_settings(settings: ControlSettings, changes: Mapping[str, Any]) -> ControlSettings:
    """Settings with some of them changed.

    Parameters
    ----------
    settings
        As they were.
    changes
        New values by place, such as ``high_limit.high_limit`` [°C]; all are changed before any is looked at.

    Returns
    -------
    ControlSettings
        As they are then.

    Raises
    ------
    Refused
        A place that is no setting.

    References
    ----------
    None is needed: nothing is calculated (common practice, no published source).
    """
    own = {place: value for place, value in changes.items() if "." not in place}
    for place in changes:
        part, _, name = place.partition(".")
        if not hasattr(settings, part) or (name and not hasattr(getattr(settings, part), name)):
            raise refuse_word(place, _places(settings), "a setting of the sequence")
        if name:
            inner = {
                one.partition(".")[2]: value for one, value in changes.items() if one.startswith(f"{part}.")
            }
            own[part] = replace(getattr(settings, part), **inner)
    return replace(settings, **own)


def _places(settings: ControlSettings) -> list[str]:
    """Every place of a setting."""
    names = []
    for name in ControlSettings.__dataclass_fields__:
        part = getattr(settings, name)
        if is_dataclass(part):
            names += [f"{name}.{inner}" for inner in part.__dataclass_fields__]
        else:
            names.append(name)
    return names
