"""What the controls of a rooftop unit remember from one decision to the next."""

from __future__ import annotations

from dataclasses import dataclass, field

from ventwright.physics.rooftop.freeze_protection import FreezeState
from ventwright.physics.rooftop.high_limit import SwitchState
from ventwright.physics.rooftop.staging import Stage


@dataclass(frozen=True, slots=True)
class Memory:
    """What the controls remember from one decision to the next; a new one has rested for ever."""

    limit: SwitchState = field(default_factory=SwitchState)
    freeze: FreezeState = field(default_factory=FreezeState)
    stages: tuple[Stage, ...] = ()
    locked_out: bool = False
    fan_running: bool = False
    damper_signal: float = 0.0
    """The last one. [-]"""
