"""Two players on a few practice roofs, through the entries that the pages make (benchmarks/practice.py plays 200)."""

from __future__ import annotations

import pytest
from benchmarks.practice import Count, drawn, ignoring, to_the_end

from ventwright.job import read_job, work
from ventwright.readings.practice.code import PracticeCode
from ventwright.readings.practice.end import how_it_ended
from ventwright.readings.practice.hidden import hidden_unit
from ventwright.readings.practice.unit_in_state import state_of
from ventwright.tables.measurement import measurements
from ventwright.web.practice_job import hands, played

GAMES, SEED = 6, 3


@pytest.fixture(scope="module")
def counts() -> dict[str, Count]:
    """Play each roof twice; the second player has as many minutes as the first."""
    made = {"takes the advice": Count(), "ignores it": Count()}
    for code in drawn(GAMES, SEED):
        advised = to_the_end(played(code))
        made["takes the advice"].add(advised)
        made["ignores it"].add(ignoring(code, advised.minutes))
    return made


def test_who_takes_the_advice_finds_everything_nearly_always(counts: dict[str, Count]) -> None:
    advised = counts["takes the advice"]
    assert advised.games == GAMES
    assert advised.whole >= GAMES - 1


def test_who_ignores_it_does_worse(counts: dict[str, Count]) -> None:
    assert counts["ignores it"].put_right < counts["takes the advice"].put_right


def test_at_the_hardest_one_fault_hides_another() -> None:
    """What the second alone would show is for the most part not to be seen beside the first."""
    for seed in (5, 50, 500):
        hidden = hidden_unit(PracticeCode(2, 1, seed))
        first, second = hidden.faults
        assert second.behind == first.row.id
        assert not first.behind


@pytest.mark.parametrize("difficulty", [0, 1, 2])
def test_what_is_hidden_shows_in_the_weather_that_was_chosen(difficulty: int) -> None:
    for seed in (1, 77):
        for weather in range(4):
            hidden = hidden_unit(PracticeCode(difficulty, weather, seed))
            states = {one.state.id: one.state for one in measurements().offered if one.state is not None}
            assert hidden.faults
            for fault in hidden.faults:
                stands = hidden.sound.with_faults(fault.acts)
                able = [
                    state_of(one) for one in states.values() if one.cooling <= hidden.sound.meant.compressors
                ]
                assert any(stands.record(one) != hidden.sound.record(one) for one in able), fault.row.id


def test_an_easy_roof_has_one_fault_and_the_hardest_two() -> None:
    assert {len(hidden_unit(PracticeCode(0, 1, seed)).faults) for seed in range(8)} == {1}
    assert {len(hidden_unit(PracticeCode(1, 1, seed)).faults) for seed in range(12)} == {1, 2}
    assert {len(hidden_unit(PracticeCode(2, 1, seed)).faults) for seed in range(8)} == {2}


def test_settings_read_back_put_a_wrong_setting_right() -> None:
    """A fault of setting needs no word of repair: who sets it as planned has repaired it."""
    codes = (PracticeCode(1, 1, seed) for seed in range(400))
    code = next(
        one for one in codes if any(fault.row.place == "set_point" for fault in hidden_unit(one).faults)
    )
    at_unit, hidden = hands(code), hidden_unit(code)
    planned = next(one for one in hidden.plan.settings if one.means.value == "mixed-air set point")
    before = how_it_ended(hidden, at_unit.look().job.readings)
    at_unit.enter(what="setting", label=planned.label, value=planned.value.show("us"))
    after = how_it_ended(hidden, work(read_job(at_unit.document)).job.readings)
    assert len(after.missed) == len(before.missed) - 1
