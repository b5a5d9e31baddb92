"""Current and voltage signals: scaling both ways, shunt resistors, and what lies outside the range.

A signal runs over a span, 4 to 20 mA or 2 to 10 V; a quantity runs over its range beside it, 0 to 100 °F. Currents are
in A and voltages in V; what is said of spans and limits holds for either.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from ventwright.errors import Refusal, Refused


@dataclass(frozen=True, slots=True)
class Span:
    """The ends of a signal, at 0 and at 100 % of the quantity."""

    start: float
    end: float

    @property
    def live_zero(self) -> bool:
        """True where 0 % is not "nothing": a broken wire then shows."""
        return self.start > 0.0


@dataclass(frozen=True, slots=True)
class Limits:
    """Where a signal still measures, and where it means a fault; between the two it is not to be relied on."""

    fault_low: float
    measuring_low: float
    measuring_high: float
    fault_high: float


class State(StrEnum):
    """What a signal says of itself."""

    MEASURING = "measuring"
    FAULT_LOW = "fault, low"
    FAULT_HIGH = "fault, high"
    NOT_RELIABLE = "not reliable"


def share_at(signal: float, span: Span) -> float:
    """Share of the span at which a signal stands.

    Parameters
    ----------
    signal
        Current or voltage. [A or V]
    span
        Its ends in the same unit.

    Returns
    -------
    float
        0 at the start, 1 at the end; beyond both where the signal is. [-]

    References
    ----------
    Linear scaling, IEC 60381-1 (current) and 60381-2 (voltage); from memory, not looked up.
    """
    return (signal - span.start) / (span.end - span.start)


def signal_at(share_of_span: float, span: Span) -> float:
    """Signal at a share of the span.

    Parameters
    ----------
    share_of_span
        0 at the start, 1 at the end. [-]
    span
        Ends of the signal.

    Returns
    -------
    float
        Current or voltage. [A or V]

    References
    ----------
    As share_at.
    """
    return span.start + share_of_span * (span.end - span.start)


def state(signal: float, limits: Limits) -> State:
    """Tell a measurement from a fault.

    Parameters
    ----------
    signal
        Current or voltage. [A or V]
    limits
        In the same unit.

    Returns
    -------
    State
        The limits themselves belong to the fault and to the measuring range.

    References
    ----------
    NAMUR NE 43: measuring 3.8 to 20.5 mA, fault from 3.6 mA down and from 21 mA up.
    """
    if signal <= limits.fault_low:
        return State.FAULT_LOW
    if signal >= limits.fault_high:
        return State.FAULT_HIGH
    return State.MEASURING if limits.measuring_low <= signal <= limits.measuring_high else State.NOT_RELIABLE


def carried_over(limits: Limits, span: Span, other: Span) -> Limits:
    """Limits of one signal as they lie on another, at the same shares of the span.

    Parameters
    ----------
    limits
        In the unit of the first signal.
    span, other
        The signal they are printed for, and the other. [A or V]

    Returns
    -------
    Limits
        In the unit of the other signal; exact where a shunt makes one of the other.

    References
    ----------
    Ohm's law for 4-20 mA through 250 or 500 ohm.
    """
    ends = (limits.fault_low, limits.measuring_low, limits.measuring_high, limits.fault_high)
    return Limits(*(signal_at(share_at(end, span), other) for end in ends))


def loaded_shunt(shunt_resistance: float, input_resistance: float | None) -> float:
    """Resistance of a shunt with the input across it.

    Parameters
    ----------
    shunt_resistance
        The resistor, above 0. [ohm]
    input_resistance
        Of the input that reads it, or None where it draws nothing. [ohm]

    Returns
    -------
    float
        Both in parallel. [ohm]

    Raises
    ------
    Refused
        A resistance of 0.

    References
    ----------
    Two resistances in parallel.
    """
    for given in (shunt_resistance, input_resistance):
        if given is not None and given <= 0.0:
            raise Refused(
                Refusal("makes no voltage of a current", "a resistance above 0 ohm", given=f"{given:g} ohm")
            )
    if input_resistance is None:
        return shunt_resistance
    return shunt_resistance * input_resistance / (shunt_resistance + input_resistance)


def shunt_voltage(current: float, shunt_resistance: float, input_resistance: float | None = None) -> float:
    """Voltage that a loop current makes across a shunt.

    Parameters
    ----------
    current
        In the loop. [A]
    shunt_resistance
        The resistor. [ohm]
    input_resistance
        Of the input that reads it, or None where it draws nothing. [ohm]

    Returns
    -------
    float
        Voltage. [V]

    References
    ----------
    Ohm's law.
    """
    return current * loaded_shunt(shunt_resistance, input_resistance)


def shunt_current(voltage: float, shunt_resistance: float, input_resistance: float | None = None) -> float:
    """Loop current behind the voltage across a shunt.

    Parameters
    ----------
    voltage
        Across the shunt. [V]
    shunt_resistance
        The resistor. [ohm]
    input_resistance
        Of the input that reads it, or None where it draws nothing. [ohm]

    Returns
    -------
    float
        Current. [A]

    References
    ----------
    Ohm's law.
    """
    return voltage / loaded_shunt(shunt_resistance, input_resistance)


def share_uncertainty(signal: float, span: Span, relative_u: float) -> float:
    """Uncertainty of a share of span from a shunt that is not exact.

    Parameters
    ----------
    signal
        Current or voltage. [A or V]
    span
        Ends of the signal.
    relative_u
        Standard uncertainty of the shunt over its resistance. [-]

    Returns
    -------
    float
        Standard uncertainty of the share; largest at the top of the span. [-]

    References
    ----------
    JCGM 100:2008, 5.1.2: the voltage is proportional to the shunt.
    """
    return abs(signal * relative_u / (span.end - span.start))
