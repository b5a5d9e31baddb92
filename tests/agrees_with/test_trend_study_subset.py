"""A few months of the study of simulated units: no false finding on sound ones, stuck dampers found soon.

The unit in software is the one that the tests of ``physics/rooftop`` hold against handbooks and a general simulator; its
dampers, sensors and weather are drawn from a seed that the rules know nothing of.
"""

from __future__ import annotations

from array import array
from dataclasses import replace

import pytest
from benchmarks.trend_study.bound import bound
from benchmarks.trend_study.cut import part
from benchmarks.trend_study.roof import DAY, FROZEN, START, drawn, logged, places, run_and_reset
from benchmarks.trend_study.study import DAMPER, judge, stuck_log, stuck_unit

from ventwright.readings.trend import UnitLog
from ventwright.tables.invented_year import invented_year

SEED = 5


@pytest.mark.parametrize(("number", "first_day"), [(0, 20), (2, 110), (4, 200), (5, 290)])
def test_a_sound_month_shows_no_fault(number: int, first_day: int) -> None:
    """Thirty days in each season, with sensors that err and one mixed-air sensor in layers."""
    log = logged(drawn(SEED, number, places(None)), SEED, first_day, 30)
    assert judge(log).findings == ()


@pytest.mark.parametrize("number", [2, 3, 5])
def test_a_stuck_damper_is_found_soon(number: int) -> None:
    """Within three days on which it shows by twice its expanded uncertainty for an hour, and by no wrong name."""
    found = stuck_unit(stuck_log(1, number, places(None), after=7))
    assert found.fault in DAMPER
    assert found.telling_days <= 3
    assert found.wrong == ()


def test_a_log_can_be_cut() -> None:
    """A part of a log holds the rows of its time and no others."""
    log = logged(drawn(SEED, 1, places(None)), SEED, 0, 3)
    middle = part(log, START + DAY, START + 2 * DAY)
    assert middle.first == START + DAY
    assert middle.last == START + 2 * DAY - 900


def test_a_unit_that_froze_is_reset() -> None:
    """Roof 16 of seed 2 once froze on its tenth day and stood for the rest of its year, up to a room of 60 °C."""
    roof = replace(drawn(2, 16, places(None)), weather=invented_year("6A"))
    steps = list(run_and_reset(roof, 0, 16))
    froze = [step.time for step in steps if step.memory.freeze.stage == FROZEN]
    assert 9 * DAY < froze[0] < froze[-1] < 10.5 * DAY
    later = [step for step in steps if step.time > 10.5 * DAY and step.calls.occupied]
    assert all(step.state.fan_running for step in later[8:])
    assert max(step.indoor.dry_bulb for step in steps) < 40.0
    assert [step.time for step in steps] == [900.0 * number for number in range(16 * 96)]


def test_the_bound_of_a_day_is_what_the_damper_moves() -> None:
    """A damper that stands where it is told to moves nothing; one that stands shut while told to open does, for hours."""
    roof = drawn(SEED, 1, places(None))
    log = logged(roof, SEED, 100, 1)
    open_all_day = replace(log.series["outdoor_damper_signal"], values=array("q", [100_000] * 96))
    told = UnitLog(log.unit, {**log.series, "outdoor_damper_signal": open_all_day}, log.zone)
    sound, shut = bound(roof, told, 1.0), bound(roof, told, 0.0)
    assert sound.valid == shut.valid > 3600
    assert (sound.effect < 0.1, sound.beyond, sound.tells) == (True, 0, False)
    assert shut.effect > shut.asked
    assert shut.tells
