"""Dampers: loss against blade position, and the share of outdoor air that a linked pair lets in.

The position runs from 0 (closed) to 1 (open). Damper signal, blade position and airflow are three things:
this model turns a position into a share for a box whose parts are known, and is no substitute for reading it.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused


@dataclass(frozen=True, slots=True)
class Blades:
    """Coefficients of one kind of blade for the exponential loss model.

    ln k = a + b (1 - position) between ``low`` and ``high``; beyond them a parabola meets it in value and slope
    and ends at ``loss_closed`` and ``loss_open``.
    """

    a: float
    b: float
    low: float
    high: float
    loss_open: float
    loss_closed: float


def loss_coefficient(position: float, blades: Blades) -> float:
    """Pressure loss of a damper in velocity heads of its face.

    Parameters
    ----------
    position
        0 closed, 1 open. [-]
    blades
        Coefficients of the blades.

    Returns
    -------
    float
        Loss coefficient k in dp = k rho v^2 / 2. [-]

    Raises
    ------
    Refused
        The position is not between 0 and 1.

    References
    ----------
    Exponential model of ASHRAE research project 825-RP (Haves, Norford, DeSimone, Mei) as documented in the
    Modelica Buildings library, Fluid.Actuators.Dampers.Exponential.
    """
    if not 0.0 <= position <= 1.0:
        raise Refused(
            Refusal("is no damper position", "a share of full stroke from 0 to 1", given=str(position))
        )
    if position < blades.low:
        return math.exp(_toward_closed(position, blades))
    if position > blades.high:
        return math.exp(_toward_open(position, blades))
    return math.exp(blades.a + blades.b * (1.0 - position))


def _toward_closed(position: float, blades: Blades) -> float:
    """Parabola in ln k through ln k(0), meeting the line at ``low`` in value and slope."""
    end = math.log(blades.loss_closed)
    at_low = blades.a + blades.b * (1.0 - blades.low)
    curve = (end - at_low - blades.b * blades.low) / blades.low**2
    return end + position * (-blades.b - 2.0 * curve * blades.low) + curve * position**2


def _toward_open(position: float, blades: Blades) -> float:
    """Parabola in ln k through ln k(1), meeting the line at ``high`` in value and slope."""
    rest, whole = 1.0 - position, 1.0 - blades.high
    end = math.log(blades.loss_open)
    at_high = blades.a + blades.b * whole
    curve = (end - at_high + blades.b * whole) / whole**2
    return end + rest * (blades.b - 2.0 * curve * whole) + curve * rest**2


def linked_share(position: float, blades: Blades, *, return_size: float = 1.0, leak: float = 0.0) -> float:
    """Share of outdoor air behind a linked outdoor and return damper.

    Holds where both streams see one pressure before and behind the dampers; the return damper stands at
    1 - position. A box with gaps lets in a share of its own before the damper opens.

    Parameters
    ----------
    position
        Outdoor damper: 0 closed, 1 open. [-]
    blades
        Coefficients of the blades, the same in both dampers.
    return_size
        Face of the return damper over that of the outdoor damper. [-]
    leak
        Share of outdoor air that enters past a closed damper. [-]

    Returns
    -------
    float
        Outdoor-air share of the supply air. [-]

    References
    ----------
    Two resistances in parallel, flow proportional to face / sqrt(k).
    """
    outdoor = 1.0 / math.sqrt(loss_coefficient(position, blades))
    returned = return_size / math.sqrt(loss_coefficient(1.0 - position, blades))
    share = outdoor / (outdoor + returned)
    return leak + (1.0 - leak) * share


def position_for(share: float, shares_at: Callable[[float], float]) -> float | None:
    """Position at which a rising curve of outdoor-air share reaches a wanted share; None where none does.

    Parameters
    ----------
    share
        Wanted outdoor-air share. [-]
    shares_at
        Share at a position, rising with it.

    Returns
    -------
    float or None
        Position by bisection, to 1e-6; 0 where even the closed damper lets in more. [-]
    """
    if share > shares_at(1.0):
        return None
    low, high = 0.0, 1.0
    while high - low > 1e-6:
        middle = 0.5 * (low + high)
        if shares_at(middle) < share:
            low = middle
        else:
            high = middle
    return low if low == 0.0 else high
