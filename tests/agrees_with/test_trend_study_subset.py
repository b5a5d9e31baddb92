"""A few months of the study of simulated units: no false finding on sound ones, stuck dampers found soon.

The unit in software is the one that the tests of ``physics/rooftop`` hold against handbooks and a general simulator; its
dampers, sensors and weather are drawn from a seed that the rules know nothing of.
"""

from __future__ import annotations

import pytest
from benchmarks.trend_study.roof import DAY, START, drawn, logged, part, places
from benchmarks.trend_study.study import DAMPER, judge, stuck_unit

SEED = 5


@pytest.mark.parametrize(("number", "first_day"), [(0, 20), (2, 110), (4, 200), (5, 290)])
def test_a_sound_month_shows_no_fault(number: int, first_day: int) -> None:
    """Thirty days in each season, with sensors that err and one mixed-air sensor in layers."""
    log = logged(drawn(SEED, number, places(None)), SEED, first_day, 30)
    assert judge(log).findings == ()


@pytest.mark.parametrize("number", [2, 3, 5])
def test_a_stuck_damper_is_found_soon(number: int) -> None:
    """Within three days on which it shows by twice its expanded uncertainty for an hour, and by no wrong name."""
    found = stuck_unit(1, number, places(None), after=7)
    assert found.fault in DAMPER
    assert found.telling_days <= 3
    assert found.wrong == ()


def test_a_log_can_be_cut() -> None:
    """A part of a log holds the rows of its time and no others."""
    log = logged(drawn(SEED, 1, places(None)), SEED, 0, 3)
    middle = part(log, START + DAY, START + 2 * DAY)
    assert middle.first == START + DAY
    assert middle.last == START + 2 * DAY - 900
