"""Control of the damper in free cooling: the signal that holds mixed or supply air, and how it is approached."""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from ventwright.physics.rooftop.control_settings import HeldAir
from ventwright.physics.rooftop.sensed import Sensed

NEAR_ENOUGH = 0.01
"""Deviation from the set point at which the search for a damper signal ends (our own assumption). [K]"""

FINEST = 1e-4
"""Share of stroke to which it searches at most (our own assumption). [-]"""

SEARCHES = 40
"""Readings that it takes at most."""


@dataclass(frozen=True, slots=True)
class Hold:
    """A temperature that an opening damper must not bring below a value."""

    place: HeldAir
    at_least: float
    """[°C]"""


def margin(holds: tuple[Hold, ...], sensed: Sensed) -> float:
    """How far the coldest of what is held is above its value: above 0 the damper may open further.

    Parameters
    ----------
    holds
        What the damper holds. [°C]
    sensed
        What the sensors show. [°C]

    Returns
    -------
    float
        Infinite where nothing is held, minus infinite where a sensor that is needed shows nothing. [K]

    References
    ----------
    Common practice, no published source.
    """
    shown = {"mixed": sensed.mixed_dry_bulb, "supply": sensed.supply_dry_bulb}
    return min(
        (-math.inf if (value := shown[hold.place]) is None else value - hold.at_least for hold in holds),
        default=math.inf,
    )


def holding_signal(margin_at: Callable[[float], float], least: float, most: float) -> float:
    """Damper signal at which the integrating control comes to rest.

    It rests at the lower end where even that is too cold, at the upper end where that is still too warm, else where
    the margin is nothing. Where the margin does not fall with the signal all along (a reversed actuator, a probe in a
    lane) it is one of the places where it passes 0 falling.

    Parameters
    ----------
    margin_at
        How far what is held is above its value [K], at a damper signal [-].
    least, most
        Ends of the signal. [-]

    Returns
    -------
    float
        Damper signal. [-]

    References
    ----------
    Regula falsi with halving of the end that stays (Illinois method), from memory.
    """
    low, high = least, most
    above = margin_at(low)
    if above <= 0.0 or low >= high:
        return low
    below = margin_at(high)
    if below >= 0.0:
        return high
    kept = 0
    for _ in range(SEARCHES):
        signal = low + (high - low) * above / (above - below) if math.isfinite(below) else 0.5 * (low + high)
        here = margin_at(signal)
        if abs(here) <= NEAR_ENOUGH or high - low <= FINEST:
            return signal
        if here > 0.0:
            low, above = signal, here
            below, kept = (0.5 * below if kept == 1 else below), 1
        else:
            high, below = signal, here
            above, kept = (0.5 * above if kept == -1 else above), -1
    return 0.5 * (low + high)


def moved(damper_signal: float, share: float, least: float, most: float) -> float:
    """Damper signal after one step of the integrating control.

    Parameters
    ----------
    damper_signal
        Before it. [-]
    share
        How much of its stroke the damper is to be moved, either way; infinite where nothing holds it. [-]
    least, most
        Ends of the signal. [-]

    Returns
    -------
    float
        Between the two ends. [-]

    References
    ----------
    Integrating control that does not wind up: common practice, no published source.
    """
    return min(max(damper_signal + share, least), most)
