"""Current and voltage signals against printed limits, tables and worked examples.

Sources:
- NAMUR NE 43, as pages about it print it: "Understanding the NAMUR NE43 standard for 4-20 mA signals" (measuring 3.8 to
  20.5 mA, fault below 3.6 and above 21 mA), "4-20mA signal below 4mA: NE43 fail-safe levels" (3.6, 3.8, 20.5, 21.0 mA);
  operation manual of isolating barriers, 5.3 (the same limits, and "the same applies to the voltage signal").
- "4-20 mA scaling and calculation", worked examples 1 and 2 and the reverse example.
- "4-20 mA calculator", the example of a temperature transmitter: 20 °C on 0 to 100 °C is 7.2 mA.
- "Formula to calculate 4-20 mA from percentage": 40 % is 10.4 mA.
- "How to convert mA to voltage" (2012), tables for 250 and 500 ohm in whole mA.
"""

from __future__ import annotations

import pytest

from ventwright.physics import signal as physics
from ventwright.physics.signal import State
from ventwright.plan.sensor.signal import Range, Shunt, limits_of, read_across_shunt, read_signal, signal_for
from ventwright.quantity import FRACTION, PRESSURE, TEMPERATURE
from ventwright.tables.signal import fault_limits, signal

LOOP = signal("4-20 mA")

STATES = [
    (0.0, State.FAULT_LOW),  # broken wire
    (3.5, State.FAULT_LOW),
    (3.6, State.FAULT_LOW),
    (3.7, State.NOT_RELIABLE),
    (3.8, State.MEASURING),
    (4.0, State.MEASURING),
    (12.0, State.MEASURING),
    (20.5, State.MEASURING),
    (20.8, State.NOT_RELIABLE),
    (21.0, State.FAULT_HIGH),
    (21.2, State.FAULT_HIGH),
]
"""mA and what NE 43 says of it."""

TO_VOLTS = {
    250: {4: 1.0, 5: 1.25, 8: 2.0, 12: 3.0, 17: 4.25, 20: 5.0},
    500: {4: 2.0, 5: 2.5, 8: 4.0, 12: 6.0, 17: 8.5, 20: 10.0},
}
"""Ohms: mA: V."""


@pytest.mark.parametrize(("milliamperes", "expected"), STATES)
def test_states_of_a_loop(milliamperes: float, expected: State) -> None:
    """The printed limits themselves are the edges: a fault includes them, so does the measuring range."""
    assert read_signal(LOOP, milliamperes / 1e3).state is expected


@pytest.mark.parametrize(("milliamperes", "expected"), STATES)
@pytest.mark.parametrize(("shunt", "span"), [(250.0, "1-5 V"), (500.0, "2-10 V")])
def test_states_behind_a_shunt(milliamperes: float, expected: State, shunt: float, span: str) -> None:
    """By Ohm's law a voltage input sees the same limits: 1.8, 1.9, 10.25 and 10.5 V across 500 ohm."""
    assert read_signal(signal(span), physics.shunt_voltage(milliamperes / 1e3, shunt)).state is expected


def test_limits_across_500_ohm() -> None:
    """3.6, 3.8, 20.5 and 21 mA times 500 ohm."""
    limits = limits_of(signal("2-10 V"), fault_limits())
    assert limits is not None
    ends = (limits.fault_low, limits.measuring_low, limits.measuring_high, limits.fault_high)
    assert ends == pytest.approx((1.8, 1.9, 10.25, 10.5), abs=1e-12)


@pytest.mark.parametrize(
    ("ohms", "milliamperes", "volts"), [(o, m, v) for o, row in TO_VOLTS.items() for m, v in row.items()]
)
def test_milliamperes_to_volts(ohms: float, milliamperes: float, volts: float) -> None:
    """The printed rows, there and back."""
    assert physics.shunt_voltage(milliamperes / 1e3, ohms) == pytest.approx(volts, abs=1e-12)
    assert physics.shunt_current(volts, ohms) == pytest.approx(milliamperes / 1e3, abs=1e-12)


@pytest.mark.parametrize(
    ("milliamperes", "start", "end", "expected"),
    [(12.0, 0.0, 100.0, 50.0), (12.0, -50.0, 50.0, 0.0), (7.2, 0.0, 100.0, 20.0)],
)
def test_worked_examples(milliamperes: float, start: float, end: float, expected: float) -> None:
    """12 mA is 50 bar of 0 to 100 and 0 mbar of -50 to 50; 7.2 mA is 20 °C of 0 to 100."""
    quantity = Range(TEMPERATURE if end == 100.0 else PRESSURE, start, end)
    read = read_signal(LOOP, milliamperes / 1e3, quantity)
    assert read.value is not None
    assert read.value.value == pytest.approx(expected, abs=1e-9)
    back = signal_for(LOOP, expected, quantity)
    assert back.signal.value == pytest.approx(milliamperes / 1e3, abs=1e-12)


def test_40_per_cent_is_10_4_milliamperes() -> None:
    """The formula's own example, and the same share of 2-10 V: 5.2 V by Ohm's law across 500 ohm."""
    quantity = Range(FRACTION, 0.0, 1.0)
    assert signal_for(LOOP, 0.4, quantity).signal.value == pytest.approx(10.4e-3, abs=1e-12)
    assert signal_for(signal("2-10 V"), 0.4, quantity).signal.value == pytest.approx(
        10.4e-3 * 500.0, abs=1e-12
    )


def test_half_of_the_span_across_500_ohm() -> None:
    """The table's 12 mA and 6 V: 50 % either way."""
    across = read_across_shunt(LOOP, 6.0, Shunt(500.0))
    assert across.signal.value == pytest.approx(12e-3, abs=1e-12)
    assert across.share_of_span == pytest.approx(0.5)
    assert read_signal(signal("2-10 V"), 6.0).share_of_span == pytest.approx(0.5)


def test_an_input_loads_the_shunt() -> None:
    """500 and 100 000 ohm in parallel are 497.51 ohm, half a per cent less (two resistances in parallel)."""
    loaded = physics.loaded_shunt(500.0, 100e3)
    assert loaded == pytest.approx(497.51, abs=0.01)
    assert physics.shunt_voltage(0.012, 500.0, 100e3) == pytest.approx(6.0 * 0.99502, abs=1e-4)


def test_a_shunt_of_one_per_cent() -> None:
    """1 % of 10 V is 0.1 V, that is 1.25 % of the 8 V span at the top, as ± (95 %)."""
    top = read_across_shunt(LOOP, 10.0, Shunt(500.0, relative_u=0.005))
    assert 2.0 * top.share_of_span_u == pytest.approx(0.0125, abs=1e-12)


def test_a_signal_from_zero_cannot_tell_a_broken_wire() -> None:
    """0 V is 0 % and no wire at all; on 2-10 V it is a fault, and nothing else is 0 %."""
    for span in ("0-10 V", "0-5 V"):
        assert read_signal(signal(span), 0.0).may_be_broken_wire
        assert not read_signal(signal(span), 1.0).may_be_broken_wire
    for span in ("2-10 V", "1-5 V"):
        assert read_signal(signal(span), 0.0).state is State.FAULT_LOW
        assert not read_signal(signal(span), signal(span).span.start).may_be_broken_wire
