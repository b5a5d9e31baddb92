"""What a rooftop unit is told to do at one moment: the outputs of its controls, as they arrive at the hardware."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.errors import Refusal, Refused


@dataclass(frozen=True, slots=True)
class Commands:
    """The outputs of the controls.

    ``damper_signal`` is what the actuator is sent, not where the blades stand. ``fan_speed`` says which speed is
    wanted; a fan of one speed runs at full speed whatever it says, a fan of two at the one that lies nearer.
    """

    fan_running: bool
    fan_speed: float
    """Share of full speed, 0 to 1. [-]"""
    damper_signal: float
    """0 close the outdoor damper, 1 open it. [-]"""
    cooling_stages: int = 0
    """Compressor stages called for."""
    heating_stages: int = 0
    """Stages of heat called for: of a heat pump its compressors first, then its auxiliary heat."""
    reversing_valve_powered: bool = False
    """The coil of a heat pump's reversing valve has its 24 V; which mode that is, the unit says."""

    def __post_init__(self) -> None:
        """Refuse what no control can send."""
        for name in ("fan_speed", "damper_signal"):
            share = getattr(self, name)
            if not 0.0 <= share <= 1.0:
                raise Refused(Refusal("is no share of its range", "0 to 1", f"commands.{name}", f"{share}"))
        for name in ("cooling_stages", "heating_stages"):
            stages = getattr(self, name)
            if stages < 0:
                raise Refused(
                    Refusal(
                        "is no number of stages", "a whole number from 0", f"commands.{name}", f"{stages}"
                    )
                )
