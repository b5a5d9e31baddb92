"""A current or voltage signal: what quantity it stands for, what signal a quantity takes, and when it means a fault."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.errors import Refusal, Refused
from ventwright.physics import signal as physics
from ventwright.physics.signal import Limits, State
from ventwright.quantity import CURRENT, FRACTION, VOLTAGE, Dimension
from ventwright.tables.signal import FaultLimits, StandardSignal, dead_zero, fault_limits
from ventwright.words import Amount, Words, measured


@dataclass(frozen=True, slots=True)
class Range:
    """The quantity at the two ends of a signal."""

    dimension: Dimension
    at_start: float
    at_end: float


@dataclass(frozen=True, slots=True)
class Shunt:
    """A resistor that makes a voltage of a loop current, and the input that reads it."""

    resistance: float
    relative_u: float = 0.0  # standard uncertainty over the resistance
    input_resistance: float | None = None


@dataclass(frozen=True, slots=True)
class SignalReading:
    """One signal, read or to be sent."""

    span: str
    signal: Amount
    state: State
    may_be_broken_wire: bool
    value: Amount | None
    shunt_voltage: Amount | None
    fault_low: Amount | None
    measuring_low: Amount | None
    measuring_high: Amount | None
    fault_high: Amount | None
    notes: tuple[Words, ...]
    source: str
    doubt: str
    share_of_span: float = measured(FRACTION)
    share_of_span_u: float = measured(FRACTION)


def shown(value: float, dimension: Dimension) -> str:
    """Write a current in mA or a voltage in V, as meters and signals show them."""
    return f"{value * 1e3:.5g} mA" if dimension == CURRENT else f"{value:.5g} V"


def read_signal(
    signal: StandardSignal, metered: float, quantity: Range | None = None, shunt: Shunt | None = None
) -> SignalReading:
    """Return what a signal stands for.

    Parameters
    ----------
    signal
        Its name and span.
    metered
        The signal itself, in the unit of its span. [A or V]
    quantity
        What it stands for at its two ends, if that is known.
    shunt
        A resistor that the current runs through; the voltage to expect across it is given too.

    Returns
    -------
    SignalReading
        Share of span, quantity, and whether the signal measures or means a fault.

    Raises
    ------
    Refused
        A shunt in a voltage signal.
    """
    return _reading(signal, metered, quantity, shunt, share_u=0.0)


def read_across_shunt(
    signal: StandardSignal, voltage: float, shunt: Shunt, quantity: Range | None = None
) -> SignalReading:
    """Return what the voltage across a shunt says of the current through it, and of the quantity.

    Parameters
    ----------
    signal
        The current signal.
    voltage
        As metered across the shunt. [V]
    shunt
        Its resistance with tolerance, and the input across it; the tolerance becomes an uncertainty.
    quantity
        What the signal stands for at its two ends, if that is known.

    Returns
    -------
    SignalReading
        As of the current.

    Raises
    ------
    Refused
        A shunt in a voltage signal, or one of 0 ohm.
    """
    _refuse_shunt_in_voltage(signal)
    current = physics.shunt_current(voltage, shunt.resistance, shunt.input_resistance)
    share_u = physics.share_uncertainty(current, signal.span, shunt.relative_u)
    return _reading(signal, current, quantity, shunt, share_u=share_u)


def signal_for(
    signal: StandardSignal, value: float, quantity: Range, shunt: Shunt | None = None
) -> SignalReading:
    """Return the signal that a value of the quantity takes.

    Parameters
    ----------
    signal
        Its name and span.
    value
        Of the quantity, in SI.
    quantity
        The quantity at the two ends of the signal.
    shunt
        A resistor that the current runs through.

    Returns
    -------
    SignalReading
        The signal; where the value lies beyond the range, a signal beyond the span, with what that would mean.

    Raises
    ------
    Refused
        A range without width, or a shunt in a voltage signal.
    """
    if quantity.at_start == quantity.at_end:
        raise Refused(Refusal("is a range without width", "two different ends", given="the range"))
    share = (value - quantity.at_start) / (quantity.at_end - quantity.at_start)
    return _reading(signal, physics.signal_at(share, signal.span), quantity, shunt, share_u=0.0)


def _reading(
    signal: StandardSignal, at: float, quantity: Range | None, shunt: Shunt | None, *, share_u: float
) -> SignalReading:
    if shunt is not None:
        _refuse_shunt_in_voltage(signal)
    printed = fault_limits()
    limits = limits_of(signal, printed)
    share = physics.share_at(at, signal.span)
    return SignalReading(
        signal.name,
        Amount(at, signal.dimension),
        physics.state(at, limits) if limits else State.MEASURING,
        limits is None and share <= dead_zero(),
        _value(share, share_u, quantity),
        _across(at, shunt),
        *_amounts(limits, signal.dimension),
        tuple(_notes(signal, share, limits, shunt)),
        printed.source,
        "" if signal == printed.signal else "carried over from the current signal by share of span",
        share,
        share_u,
    )


def _amounts(
    limits: Limits | None, dimension: Dimension
) -> tuple[Amount | None, Amount | None, Amount | None, Amount | None]:
    if limits is None:
        return None, None, None, None
    return (
        Amount(limits.fault_low, dimension), Amount(limits.measuring_low, dimension),
        Amount(limits.measuring_high, dimension), Amount(limits.fault_high, dimension),
    )  # fmt: skip


def limits_of(signal: StandardSignal, printed: FaultLimits) -> Limits | None:
    """Return the fault limits of a signal, or None where it starts at 0 and a fault looks like a value."""
    if not signal.span.live_zero:
        return None
    return physics.carried_over(printed.limits, printed.signal.span, signal.span)


def _refuse_shunt_in_voltage(signal: StandardSignal) -> None:
    if signal.dimension != CURRENT:
        accepted = "4-20 mA, or no shunt"
        raise Refused(
            Refusal("is a voltage, and a shunt makes a voltage of a current", accepted, given=signal.name)
        )


def _value(share: float, share_u: float, quantity: Range | None) -> Amount | None:
    if quantity is None:
        return None
    width = quantity.at_end - quantity.at_start
    uncertainty = abs(width) * share_u or None
    return Amount(quantity.at_start + share * width, quantity.dimension, uncertainty)


def _across(current: float, shunt: Shunt | None) -> Amount | None:
    if shunt is None:
        return None
    volts = physics.shunt_voltage(current, shunt.resistance, shunt.input_resistance)
    return Amount(volts, VOLTAGE, volts * shunt.relative_u or None)


def _notes(signal: StandardSignal, share: float, limits: Limits | None, shunt: Shunt | None) -> list[Words]:
    notes = []
    if limits is None:
        notes.append(Words(_AT_ZERO if share <= dead_zero() else _FROM_ZERO))
    else:
        notes.append(Words(_STATE[physics.state(physics.signal_at(share, signal.span), limits)]))
    if shunt is not None and shunt.input_resistance is not None:
        whole = physics.loaded_shunt(shunt.resistance, None)
        lost = 1.0 - physics.loaded_shunt(shunt.resistance, shunt.input_resistance) / whole
        notes.append(Words(f"the input across the shunt takes {100 * lost:.2g} % off the voltage"))
    return notes


_FROM_ZERO = "a signal from 0 V cannot tell a broken wire from 0 %: meter the wire before 0 is believed"
_AT_ZERO = "0 %, or a broken wire: this signal starts at 0 V and cannot tell the two apart; meter the transmitter's terminals"
_STATE = {
    State.MEASURING: "within the measuring range",
    State.FAULT_LOW: "fault: the transmitter says so, or the wire is broken (0), or the loop has no supply",
    State.FAULT_HIGH: "fault: the transmitter says so, or the wires touch",
    State.NOT_RELIABLE: "between measuring range and fault: not reliable; find out what the transmitter does there",
}
