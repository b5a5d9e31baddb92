"""Resistance sensors as they are metered: the element by its curve, a resistor across it, leads, shorts and opens."""

from __future__ import annotations

import math
from dataclasses import dataclass
from enum import StrEnum
from typing import Literal

from ventwright.errors import Refusal, Refused
from ventwright.physics.sensor_element import (
    callendar_van_dusen,
    polynomial,
    steinhart_hart,
    steinhart_hart_resistance,
)

Law = Literal["callendar-van dusen", "polynomial", "steinhart-hart"]

MARGIN = 0.1
"""Kelvins beyond the ends of a curve that are still read: a good sensor at the end lies a little beyond it."""

STEP = 0.01
"""Half the interval over which a slope is taken, in kelvins: small against the bend of any curve here."""


class State(StrEnum):
    """What a resistance says about the wires before it says anything about the temperature."""

    SENSOR = "sensor"
    SHORT = "short"
    OPEN = "open"


@dataclass(frozen=True, slots=True)
class Curve:
    """One curve: its law with coefficients as published, where it holds, and a resistor across the sensor."""

    law: Law
    coefficients: tuple[float, ...]
    coldest: float
    hottest: float
    nominal_resistance: float = 1.0  # thermistor coefficients bring their own
    reference_temperature: float = 0.0
    parallel_resistance: float | None = None

    @property
    def rises(self) -> bool:
        """True where resistance rises with temperature: metals; thermistors fall."""
        return self.law != "steinhart-hart"


def in_ohms(resistance: float) -> str:
    """Write a resistance with five significant figures, as meters show it. [ohm]; common practice."""
    rounded = float(f"{resistance:.5g}")
    return f"{rounded:,.10g} ohm" if rounded >= 10_000 else f"{rounded:.10g} ohm"


def element_resistance(temperature: float, curve: Curve) -> float:
    """Resistance of the element alone, wherever the formula gives one; nothing is refused.

    Parameters
    ----------
    temperature
        Of the element. [°C]
    curve
        Law and coefficients.

    Returns
    -------
    float
        Resistance. [ohm]

    References
    ----------
    The law of the curve.
    """
    match curve.law:
        case "callendar-van dusen":
            return callendar_van_dusen(temperature, curve.nominal_resistance, curve.coefficients)
        case "polynomial":
            return polynomial(
                temperature, curve.nominal_resistance, curve.reference_temperature, curve.coefficients
            )
        case "steinhart-hart":
            return steinhart_hart_resistance(temperature, curve.coefficients)


def wire_resistance(temperature: float, curve: Curve) -> float:
    """Resistance at the two wires of the sensor: the element, with the resistor across it where there is one.

    Parameters
    ----------
    temperature
        Of the element. [°C]
    curve
        Law, coefficients and parallel resistor.

    Returns
    -------
    float
        Resistance. [ohm]

    References
    ----------
    Two resistances in parallel.
    """
    alone = element_resistance(temperature, curve)
    across = curve.parallel_resistance
    return alone if across is None else alone * across / (alone + across)


def without_parallel(resistance: float, parallel_resistance: float | None) -> float:
    """Resistance of the element behind a resistor across its wires.

    Parameters
    ----------
    resistance
        At the wires. [ohm]
    parallel_resistance
        The resistor across them, or None where there is none. [ohm]

    Returns
    -------
    float
        Resistance of the element alone. [ohm]

    Raises
    ------
    Refused
        The wires show as much as the resistor alone: the element is open.

    References
    ----------
    Two resistances in parallel.
    """
    if parallel_resistance is None:
        return resistance
    if resistance >= parallel_resistance:
        raise Refused(
            Refusal(
                f"is no less than the {in_ohms(parallel_resistance)} resistor across the sensor, so the sensor is open",
                "the resistance of sensor and resistor together",
                given=in_ohms(resistance),
            )
        )
    return 1.0 / (1.0 / resistance - 1.0 / parallel_resistance)


def sensor_temperature(resistance: float, curve: Curve) -> float:
    """Temperature at which a curve has a resistance.

    Parameters
    ----------
    resistance
        At the wires of the sensor, leads taken off, parallel resistor included. [ohm]
    curve
        Law, coefficients, range and parallel resistor.

    Returns
    -------
    float
        Temperature: thermistors directly, metals by bisection to 1e-9 K. [°C]

    Raises
    ------
    Refused
        The resistance lies outside what the curve has between its coldest and its hottest temperature, by more than 0.1 K.

    References
    ----------
    The law of the curve, inverted.
    """
    low, high = curve.coldest - MARGIN, curve.hottest + MARGIN
    least, most = limits(curve, low, high)
    if not least <= resistance <= most:
        ends = " to ".join(in_ohms(end) for end in limits(curve, curve.coldest, curve.hottest))
        accepted = f"{ends} ({curve.coldest:g} to {curve.hottest:g} °C)"
        raise Refused(Refusal("is outside the range of this curve", accepted, given=in_ohms(resistance)))
    alone = without_parallel(resistance, curve.parallel_resistance)
    if curve.law == "steinhart-hart":
        return steinhart_hart(alone, curve.coefficients)
    while high - low > 1e-9:
        middle = 0.5 * (low + high)
        if element_resistance(middle, curve) < alone:
            low = middle
        else:
            high = middle
    return 0.5 * (low + high)


def slope(temperature: float, curve: Curve) -> float:
    """Change of resistance at the wires with temperature; below 0 for thermistors.

    Parameters
    ----------
    temperature
        Of the element. [°C]
    curve
        Law, coefficients and parallel resistor.

    Returns
    -------
    float
        dR/dt. [ohm/K]

    References
    ----------
    Central difference over 0.02 K.
    """
    above, below = (wire_resistance(temperature + step, curve) for step in (STEP, -STEP))
    return (above - below) / (2.0 * STEP)


def lead_error(temperature: float, lead_resistance: float, curve: Curve) -> float:
    """How far a reading is off when the resistance of the wires to the sensor is read as the sensor's.

    Parameters
    ----------
    temperature
        Of the element. [°C]
    lead_resistance
        Of both conductors together. [ohm]
    curve
        Law, coefficients and parallel resistor.

    Returns
    -------
    float
        Shown minus true temperature: above 0 for metals, below for thermistors. [K]

    References
    ----------
    First order: lead resistance over dR/dt.
    """
    return lead_resistance / slope(temperature, curve)


def temperature_uncertainty(
    temperature: float, curve: Curve, resistance_u: float, tolerance_u: float
) -> float:
    """Standard uncertainty of a temperature read from ohms.

    Parameters
    ----------
    temperature
        That was read. [°C]
    curve
        Law, coefficients and parallel resistor.
    resistance_u
        Standard uncertainty of the resistance. [ohm]
    tolerance_u
        Standard uncertainty from the tolerance within which sensors of one curve differ. [K]

    Returns
    -------
    float
        Both taken as independent. [K]

    References
    ----------
    JCGM 100:2008, 5.1.2.
    """
    return math.hypot(resistance_u / slope(temperature, curve), tolerance_u)


def state(resistance: float, curve: Curve, coldest: float, hottest: float) -> State:
    """Whether a resistance is a sensor's in air, or that of a short or an open circuit.

    Parameters
    ----------
    resistance
        At the wires, parallel resistor included. [ohm]
    curve
        Law, coefficients and parallel resistor.
    coldest, hottest
        Temperatures beyond which no air near the sensor can be. [°C]

    Returns
    -------
    State
        Sensor, short or open; the limits are the curve's resistances at the two temperatures. [ohm]

    References
    ----------
    common practice, no published source: most controllers flag a sensor by limits of resistance.
    """
    least, most = limits(curve, coldest, hottest)
    return State.SHORT if resistance < least else State.OPEN if resistance > most else State.SENSOR


def limits(curve: Curve, coldest: float, hottest: float) -> tuple[float, float]:
    """Resistances below which a circuit is a short and above which it is open.

    Parameters
    ----------
    curve
        Law, coefficients and parallel resistor.
    coldest, hottest
        Temperatures beyond which no air near the sensor can be. [°C]

    Returns
    -------
    tuple
        Short below, open above. [ohm]

    References
    ----------
    common practice, no published source.
    """
    least, most = sorted(wire_resistance(end, curve) for end in (coldest, hottest))
    return least, most
