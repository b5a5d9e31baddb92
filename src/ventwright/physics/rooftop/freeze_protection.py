"""Freeze protection in three stages: damper to its minimum, damper shut for an hour, unit off until somebody resets it.

A compressor, a coil or a heat exchanger suffers before water does; the stages and times are those of a published
sequence for coils with water, and shut the damper of a unit without water early enough too.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused


@dataclass(frozen=True, slots=True)
class FreezeProtection:
    """Temperatures and times of the stages; the defaults are those of Guideline 36."""

    first_below: float = 4.4
    """Supply air that starts the first stage: 40 °F. [°C]"""
    second_below: float = 3.3
    """Supply air that starts the second: 38 °F. [°C]"""
    third_below: float = 1.1
    """Supply air that starts the third: 34 °F. [°C]"""
    over_above: float = 7.2
    """Supply air that ends the first: 45 °F. [°C]"""
    delay: float = 300.0
    """How long it has to last. [s]"""
    off_after: float = 900.0
    """How long below the second temperature before the third stage. [s]"""
    shut_time: float = 3600.0
    """How long the second stage keeps the damper shut. [s]"""

    def __post_init__(self) -> None:
        """Refuse stages that are out of order."""
        rising = (self.third_below, self.second_below, self.first_below, self.over_above)
        if list(rising) != sorted(rising) or not all(math.isfinite(one) for one in rising):
            given = ", ".join(f"{one:g}" for one in rising)
            accepted = "temperatures that rise from the third stage to the end of the first"
            raise Refused(Refusal("are out of order", accepted, "freeze protection", given))
        times = (self.delay, self.off_after, self.shut_time)
        if not all(0.0 <= one < math.inf for one in times):
            given = ", ".join(f"{one:g}" for one in times)
            raise Refused(Refusal("are no times", "at least 0 seconds", "freeze protection", given))


@dataclass(frozen=True, slots=True)
class FreezeState:
    """The stage, 0 for none to 3, and how long each condition has lasted."""

    stage: int = 0
    below_first: float = 0.0
    """[s]"""
    below_second: float = 0.0
    """[s]"""
    below_third: float = 0.0
    """[s]"""
    above: float = 0.0
    """Above the temperature that ends the first stage. [s]"""
    shut: float = 0.0
    """In the second stage. [s]"""


def protected(
    protection: FreezeProtection,
    supply_dry_bulb: float | None,
    state: FreezeState,
    seconds: float,
    *,
    switch_tripped: bool = False,
) -> FreezeState:
    """Stage of freeze protection after a time in which the supply air was as it is shown now.

    The third stage stays until somebody starts with a new state: that is the reset by hand.

    Parameters
    ----------
    protection
        Temperatures [°C] and times [s] of the stages.
    supply_dry_bulb
        As shown with the fan running; None with the fan off, or where no sensor shows it: then no time adds up. [°C]
    state
        The stage as it was.
    seconds
        Time since then. [s]
    switch_tripped
        A freeze switch in the air stream has opened.

    Returns
    -------
    FreezeState
        The stage as it is.

    References
    ----------
    ASHRAE Guideline 36, 5.18.11, as restated in the Modelica Buildings library,
    Controls.OBC.ASHRAE.G36.AHUs.SingleZone.VAV.SetPoints.FreezeProtection.
    """

    def lasting(so_far: float, *, holds: bool) -> float:
        return so_far + seconds if holds else 0.0

    shown = math.nan if supply_dry_bulb is None else supply_dry_bulb  # nan is neither below nor above
    first = lasting(state.below_first, holds=shown < protection.first_below)
    second = lasting(state.below_second, holds=shown < protection.second_below)
    third = lasting(state.below_third, holds=shown < protection.third_below)
    above = lasting(state.above, holds=shown > protection.over_above)
    if (
        state.stage == 3
        or switch_tripped
        or (second > 0.0 and second >= protection.off_after)
        or (third > 0.0 and third >= protection.delay)
    ):
        return FreezeState(3, first, second, third, above)
    if state.stage == 2:
        shut = state.shut + seconds
        return (
            FreezeState(2, first, second, third, above, shut)
            if shut < protection.shut_time
            else FreezeState(1)
        )
    if second > 0.0 and second >= protection.delay:
        return FreezeState(2, first, second, third, above)
    if state.stage == 1:
        over = above > 0.0 and above >= protection.delay
        return FreezeState(0 if over else 1, first, second, third, above)
    started = first > 0.0 and first >= protection.delay
    return FreezeState(1 if started else 0, first, second, third, above)
