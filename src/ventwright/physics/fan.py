"""Fans: the fan laws, a fan's curve, power at part load, and the power at the shaft."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ventwright.errors import Refusal, Refused

CUBE = (0.0, 0.0, 0.0, 1.0)
"""Power at part speed by the fan laws alone, as a polynomial of the share of full airflow."""


def airflow_at_speed(airflow: float, speed: float) -> float:
    """Airflow of a fan at another speed.

    Holds on a system whose resistance goes with the square of the airflow.

    Parameters
    ----------
    airflow
        At full speed. [m3/s]
    speed
        Share of full speed. [-]

    Returns
    -------
    float
        Airflow. [m3/s]

    References
    ----------
    Fan laws, AMCA 201 (from memory); as public engineering pages give them.
    """
    return airflow * speed


def power_share(airflow_share: float, coefficients: Sequence[float]) -> float:
    """Power of a fan over that at full airflow, by a polynomial of the share of full airflow.

    Parameters
    ----------
    airflow_share
        Share of full airflow. [-]
    coefficients
        Of its zeroth, first, second ... power. [-]

    Returns
    -------
    float
        Share of full power, never below 0. [-]

    References
    ----------
    ASHRAE 90.1, appendix G, method of part-load fan power by a cubic (coefficients from memory: 0.0013, 0.1470,
    0.9506, -0.0998; checked against a published point).
    """
    share = 0.0
    for coefficient in reversed(coefficients):
        share = share * airflow_share + coefficient
    return max(share, 0.0)


def shaft_power(airflow: float, pressure_rise: float, efficiency: float) -> float:
    """Power that a fan takes at its shaft.

    Parameters
    ----------
    airflow
        Through the fan. [m3/s]
    pressure_rise
        Across it. [Pa]
    efficiency
        Of the fan at that point. [-]

    Returns
    -------
    float
        Shaft power. [W]

    Raises
    ------
    Refused
        The efficiency is not above 0 and at most 1.

    References
    ----------
    Power of a flow against a pressure; in inch-pound units bhp = cfm in.w.g. / (6356 efficiency), as public
    engineering pages give it.
    """
    if not 0.0 < efficiency <= 1.0:
        raise Refused(Refusal("is no efficiency of a fan", "above 0, up to 100 %", given=f"{efficiency:g}"))
    return airflow * pressure_rise / efficiency


@dataclass(frozen=True, slots=True)
class FanCurve:
    """Pressure rise of a fan over its airflow at full speed: a parabola that falls from ``shut_off``."""

    shut_off: float
    """At no airflow. [Pa]"""
    linear: float
    """Fall with the airflow. [Pa s/m3]"""
    quadratic: float
    """Fall with its square. [Pa s2/m6]"""
    efficiency: float = 0.6
    """Of the fan, taken as constant (our own assumption). [-]"""

    def __post_init__(self) -> None:
        """Refuse what no fan does."""
        if not (self.shut_off > 0.0 and self.linear >= 0.0 and self.quadratic > 0.0):
            given = f"{self.shut_off:g} Pa, {self.linear:g}, {self.quadratic:g}"
            accepted = "a pressure above 0 at no airflow that falls from there on"
            raise Refused(Refusal("is no falling fan curve", accepted, "fan.curve", given))
        if not 0.0 < self.efficiency <= 1.0:
            given = f"{self.efficiency:g}"
            raise Refused(
                Refusal("is no efficiency of a fan", "above 0, up to 100 %", "fan.curve.efficiency", given)
            )

    def rise(self, airflow: float, speed: float) -> float:
        """Pressure rise at an airflow and a share of full speed. [Pa]"""
        return self.shut_off * speed**2 - self.linear * speed * airflow - self.quadratic * airflow**2

    def free_airflow(self, speed: float) -> float:
        """Airflow against no pressure at a share of full speed. [m3/s]"""
        root = (self.linear**2 + 4.0 * self.quadratic * self.shut_off) ** 0.5
        return float(speed * (root - self.linear) / (2.0 * self.quadratic))
