"""The half of the sensor command that reads mA and V, and what both halves share."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from contextlib import contextmanager
from typing import TYPE_CHECKING

from ventwright.cli.arguments import quantity, typed
from ventwright.errors import Refusal, Refused

if TYPE_CHECKING:
    from ventwright.plan.sensor.signal import Range, Shunt, SignalReading
    from ventwright.quantity import System
    from ventwright.tables.signal import StandardSignal
    from ventwright.words import Amount

LOOP = "4-20 mA"
RANGE = '"0 F to 100 F": the quantity at the two ends of the signal'


@contextmanager
def placed(option: str) -> Iterator[None]:
    """Place what is refused inside at an option, unless it has a place of its own."""
    try:
        yield
    except Refused as refused:
        raise Refused(*(one if one.where else one.at(option) for one in refused.refusals)) from None


def answer(arguments: argparse.Namespace) -> int:
    """Show what a signal stands for, or the signal that a quantity takes."""
    from ventwright.cli import CANNOT_TELL, DONE, FAILS, show
    from ventwright.physics.signal import State

    found = _wanted(arguments) if arguments.signal_for is not None else _metered(arguments)
    if arguments.json:
        show.as_json(found)
    else:
        _print(found, arguments.units)
    if found.state in {State.FAULT_LOW, State.FAULT_HIGH}:
        return FAILS
    return DONE if found.state is State.MEASURING and not found.may_be_broken_wire else CANNOT_TELL


def _wanted(arguments: argparse.Namespace) -> SignalReading:
    from ventwright.plan.sensor.signal import signal_for

    limits = _range(arguments.range)
    if limits is None:
        raise Refused(Refusal("is missing: a value has a signal within a range only", RANGE, "--range"))
    value = typed(arguments.signal_for, limits.dimension, "--signal-for").value
    with placed("--shunt"):
        return signal_for(_span(arguments.span or LOOP), value, limits, _shunt(arguments))


def _metered(arguments: argparse.Namespace) -> SignalReading:
    from ventwright.plan.sensor.signal import read_across_shunt, read_signal
    from ventwright.quantity import CURRENT, VOLTAGE, has_unit_of

    text, limits, shunt = arguments.signal, _range(arguments.range), _shunt(arguments)
    is_current = has_unit_of(text, CURRENT)
    at = typed(text, CURRENT if is_current else VOLTAGE, "--signal").value
    signal = _span(arguments.span or (LOOP if is_current or shunt else _no_span(text)))
    with placed("--shunt"):
        if shunt is not None and not is_current:
            return read_across_shunt(signal, at, shunt, limits)
        if (signal.dimension == CURRENT) is not is_current:
            problem = f"is a {'current' if is_current else 'voltage'}, and {signal.name} is not"
            accepted = "the span of this signal, or the --shunt across which the voltage was metered"
            raise Refused(Refusal(problem, accepted, "--signal", text))
        return read_signal(signal, at, limits, shunt)


def _no_span(text: str) -> str:
    from ventwright.quantity import VOLTAGE
    from ventwright.tables.signal import signals

    accepted = ", ".join(known.name for known in signals() if known.dimension == VOLTAGE)
    raise Refused(
        Refusal(f"is missing: {text} is another share of every span of voltage", accepted, "--span")
    )


def _span(text: str) -> StandardSignal:
    from ventwright.tables.signal import signal

    return signal(text, "--span")


def _range(text: str | None) -> Range | None:
    """Read "0 F to 100 F": two quantities of one kind, whichever kind it is."""
    from ventwright.plan.sensor.signal import Range
    from ventwright.quantity import DIMENSIONS, has_unit_of

    if text is None:
        return None
    start, to, end = text.partition(" to ")
    known = next((one for one in DIMENSIONS if has_unit_of(start, one) and has_unit_of(end, one)), None)
    if not to or known is None:
        problem = "is no range of one quantity with its units"
        raise Refused(Refusal(problem, RANGE, "--range", text))
    ends = [typed(part, known, "--range").value for part in (start, end)]
    if ends[0] == ends[1]:
        raise Refused(Refusal("is a range without width", "two different ends", "--range", text))
    return Range(known, *ends)


def _shunt(arguments: argparse.Namespace) -> Shunt | None:
    from ventwright.plan.sensor.signal import Shunt
    from ventwright.quantity import RESISTANCE

    if arguments.shunt is None:
        if arguments.input is not None:
            raise Refused(Refusal("loads a shunt, and there is none", "a --shunt beside it", "--input"))
        return None
    resistor = typed(arguments.shunt, RESISTANCE, "--shunt")
    across = quantity(arguments.input, RESISTANCE, "--input")
    if resistor.value == 0.0 or (across is not None and across.value == 0.0):
        option = "--shunt" if resistor.value == 0.0 else "--input"
        raise Refused(Refusal("shorts the signal", '"500 ohm" or another above 0', option, "0 ohm"))
    share = (resistor.uncertainty or 0.0) / resistor.value
    return Shunt(resistor.value, share, across.value if across else None)


def _print(found: SignalReading, system: System) -> None:
    from ventwright.cli import show
    from ventwright.quantity import FRACTION
    from ventwright.quantity import show as with_unit

    rows = [
        ("signal", f"{_as_signal(found.signal)} on {found.span}"),
        ("share of span", with_unit(found.share_of_span, FRACTION, system, found.share_of_span_u or None)),
        ("state", "0 %, or a broken wire" if found.may_be_broken_wire else found.state.value),
    ]
    if found.value is not None:
        rows.insert(1, ("stands for", found.value.show(system)))
    if found.shunt_voltage is not None:
        rows.append(("across the shunt", _as_signal(found.shunt_voltage)))
    if found.fault_low and found.measuring_low and found.measuring_high and found.fault_high:
        low, high = _as_signal(found.measuring_low), _as_signal(found.measuring_high)
        rows.append(("measures", f"{low} to {high}"))
        rows.append(
            ("fault", f"{_as_signal(found.fault_low)} and less, {_as_signal(found.fault_high)} and more")
        )
        rows.append(("source", "; ".join(part for part in (found.source, found.doubt) if part)))
    show.pairs(rows)
    for note in found.notes:
        show.line(note.show(system))


def _as_signal(amount: Amount) -> str:
    from ventwright.plan.sensor.signal import shown

    band = f" ± {shown(2 * amount.uncertainty, amount.dimension)}" if amount.uncertainty else ""
    return shown(amount.value, amount.dimension) + band
