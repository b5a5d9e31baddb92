"""What the sensors show the controller of a rooftop unit: not what the air is."""

from __future__ import annotations

import math
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused


@dataclass(frozen=True, slots=True)
class Sensed:
    """What is shown; None is a sensor that is not there or has failed (open, short, out of range).

    What the control falls back on is said where a sensor is used: the high limit counts outdoor air as unfit, the
    compressor lockout does not act, free cooling goes without a mixed-air limit only where supply air is held instead.
    """

    outdoor_dry_bulb: float | None = None
    """[°C]"""
    return_dry_bulb: float | None = None
    """[°C]"""
    mixed_dry_bulb: float | None = None
    """[°C]"""
    supply_dry_bulb: float | None = None
    """[°C]"""
    outdoor_enthalpy: float | None = None
    """[J/kg]"""
    return_enthalpy: float | None = None
    """[J/kg]"""
    fan_proved: bool | None = None
    """An air-proving switch has closed; None where there is none, and the command is believed."""
    freeze_switch_tripped: bool = False
    """A freeze switch behind the coil has opened."""

    def __post_init__(self) -> None:
        """Refuse what no sensor shows; a failed one shows None."""
        mistakes = [
            Refusal(
                "is no reading",
                "a finite number, or None for a failed sensor",
                f"sensed.{name}",
                f"{value}",
            )
            for name in NUMBERS
            if (value := getattr(self, name)) is not None and not math.isfinite(value)
        ]
        if mistakes:
            raise Refused(*mistakes)


NUMBERS = ("outdoor_dry_bulb", "return_dry_bulb", "mixed_dry_bulb", "supply_dry_bulb", "outdoor_enthalpy", "return_enthalpy")  # fmt: skip
"""What is shown as a number."""
