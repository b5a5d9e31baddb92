"""The minimum damper signal against reference results of the Modelica Buildings library for ASHRAE Guideline 36.

The library's validation run of the single-zone economizer limits (tests/data/sequences): a ramp of fan speed at one
need, then a ramp of the need at one fan speed.
"""

from __future__ import annotations

from pathlib import Path
from typing import Final

import pytest

from ventwright.physics.rooftop.minimum_position import MinimumPosition, minimum_signal

FILE: Final = Path(__file__).parents[1] / "data" / "sequences" / "minimum_position.txt"

SET: Final = MinimumPosition(
    at_fastest=0.8,
    at_slowest=0.9,
    fastest=0.9,
    slowest=0.1,
    low_at_fastest=0.3,
    low_at_slowest=0.4,
    least_need=1.0,
    design_need=2.0,
)
"""Parameters of the validation model."""

SINGLE_PRECISION: Final = 2e-7
"""The reference results were written as 32-bit numbers: half a last digit of each input and of the output."""


def column(name: str) -> list[float]:
    """Return the 101 points of a variable; two values are the ends of a straight line."""
    line = next(row for row in FILE.read_text(encoding="utf-8").splitlines() if row.startswith(f"{name}="))
    values = [float(value) for value in line.partition("=[")[2].rstrip("]").split(",")]
    if len(values) == 2:
        first, last = values
        return [first + (last - first) * step / 100 for step in range(101)]
    return values


@pytest.mark.parametrize("block", ["damLim", "damLim1"], ids=["fan speed ramps", "need ramps"])
def test_every_point_of_both_ramps(block: str) -> None:
    """All 101 points of each ramp, to the digits of the reference results."""
    speeds = column(f"{block}.uSupFan_actual")
    needs = column(f"{block}.VOutMinSet_flow")
    signals = column(f"{block}.yOutDam_min")
    assert len(signals) == 101
    assert max(signals) - min(signals) > 0.09  # a ramp that stands still would prove nothing
    for speed, need, signal in zip(speeds, needs, signals, strict=True):
        assert minimum_signal(SET, speed, need) == pytest.approx(signal, abs=SINGLE_PRECISION)


def test_between_the_corners() -> None:
    """Straight lines by hand: speed midway 0.35 and 0.85, need midway 0.60 (same positions, speeds 0.1 to 1)."""
    corners = MinimumPosition(0.8, 0.9, 1.0, 0.1, 0.3, 0.4, 0.1416, 0.2832)  # 300 and 600 cfm
    assert minimum_signal(corners, 0.55, 0.1416) == pytest.approx(0.35)
    assert minimum_signal(corners, 0.55) == pytest.approx(0.85)
    assert minimum_signal(corners, 0.55, 0.2124) == pytest.approx(0.60)


@pytest.mark.parametrize(("speed", "signal"), [(0.05, 0.9), (1.0, 0.8)])
def test_level_beyond_the_ends(speed: float, signal: float) -> None:
    """The library's lines are limited below and above: no extrapolation."""
    assert minimum_signal(SET, speed) == signal


def test_a_fan_of_one_speed() -> None:
    """One signal at every speed where slowest and fastest are one."""
    assert minimum_signal(MinimumPosition(0.2, 0.2), 1.0) == 0.2
