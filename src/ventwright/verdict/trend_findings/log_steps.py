"""The whole steps in which a log holds temperatures and signals."""

from __future__ import annotations

TEMPERATURE_STEP = 0.001
"""Of logged temperatures. [K]"""
SHARE_STEP = 0.00001
"""Of logged signals. [-]"""


def kelvins(value: float) -> int:
    """Return a temperature or a difference in steps of the log. [°C or K]"""
    return round(value / TEMPERATURE_STEP)


def signal_steps(value: float) -> int:
    """Return a share or a signal in steps of the log. [-]"""
    return round(value / SHARE_STEP)
