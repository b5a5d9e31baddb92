"""Classes of the damper signal by which shares of outdoor air are added up: fine ones by day, and the four that they make."""

from __future__ import annotations

from ventwright.tables.fault_rule import Figures
from ventwright.verdict.trend_findings.log_steps import SHARE_STEP

PER_DAY = 64
"""Keys of one day: fine class of signal, and which of outdoor and return air is warmer."""
SIGNAL_CLASS = 5_000
"""Width of the fine classes of the damper signal above shut: 5 %. [steps]"""
SHUT, LOW, MIDDLE, HIGH = range(4)
"""The four classes; shut is the first of the fine ones too."""


def merge_of(figures: Figures) -> tuple[int, ...]:
    """Which of the four classes each fine class of signal belongs to."""
    ends = (figures.classes.low, figures.classes.middle)
    fine = [0.0, *((number + 1) * SIGNAL_CLASS * SHARE_STEP for number in range(PER_DAY // 2 - 1))]
    return tuple(
        SHUT if not place else LOW + sum(end > limit + 1e-9 for limit in ends)
        for place, end in enumerate(fine)
    )
