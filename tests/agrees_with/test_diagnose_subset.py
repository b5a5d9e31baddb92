"""A seeded part of the benchmark of fault finding, small enough for every run of the tests.

The goals are the project's own (docs/diagnose_benchmark.md holds all of them over a thousand units). The information of
a measurement is checked against the binary symmetric channel: 1 - H(p) bits (Shannon 1948; value for p = 0.11 as in
Cover and Thomas, Elements of Information Theory, from memory).
"""

from __future__ import annotations

from dataclasses import replace

import pytest
from benchmarks.diagnose.play import Played, play
from benchmarks.diagnose.score import calibration
from benchmarks.diagnose.truth import draw_situation, draw_truth

from ventwright.plan.software_fault import made
from ventwright.plan.software_reading import NOTHING
from ventwright.tables.fault_prior import fault_prior
from ventwright.tables.measurement import Measurement, Part, measurements
from ventwright.verdict.diagnose.belief import first_belief
from ventwright.verdict.diagnose.likelihood import bin_width, likelihood, outcomes
from ventwright.verdict.diagnose.next_reading import Joint, Prospect, information, next_of
from ventwright.verdict.diagnose.roof import Roof
from ventwright.verdict.diagnose.signature import Case, signatures

MOST_FIRST, MOST_LATER = 3_000, 1_500
"""Steady states that the first answer and a later one may take: at 0.5 ms each, with all that is read off them, a second and
a half and less than one."""


@pytest.fixture(scope="module")
def visits() -> list[Played]:
    """Four units of one roof, by seed."""
    situation = draw_situation(SEED, 0)
    known = signatures(situation)
    return [play(draw_truth(situation, SEED, number, outside=False), known, {}) for number in range(4)]


SEED = 21


def test_faults_are_found_in_five_measurements(visits: list[Played]) -> None:
    """Every fault with a consequence is first, sooner than at random; no sound unit is accused."""
    faulty = [one for one in visits if one.scored]
    assert faulty
    assert all(one.rank == 1 for one in faulty)
    assert not any(one.accused for one in visits if not one.faults)
    assert sum(one.minutes["ours"] for one in faulty) < sum(one.minutes["random"] for one in faulty)


def test_cost_of_an_answer(visits: list[Played]) -> None:
    """The first answer and every later one stay within what a slow phone can do while somebody waits."""
    first, *later = visits[0].evaluations
    assert 0 < first < MOST_FIRST
    assert all(cost < MOST_LATER for cost in later)


def test_air_is_shared_by_sensors() -> None:
    """What a unit with a wrong sensor has one read is the same, whether its air was worked out before or not."""
    situation = draw_situation(SEED, 1)
    rows = [row for row in fault_prior().faults if row.acts.startswith("sensor") and row.sensor == "mixed"]
    assert rows
    used = Roof(situation)
    for place in ("fan", "cool_1", "forced_open"):
        used.read(situation.unit, "unit", (), place)
        before = used.evaluations
        for row in rows:
            faults = made(row, (0.8, 0.3), situation.unit, situation.settings)
            fresh = Roof(situation).read(situation.unit, "unit", faults, place)
            assert used.read(situation.unit, "unit", faults, place) == fresh
        assert place == "cool_1" or used.evaluations == before


def test_same_seed_same_unit() -> None:
    """A seed and a number give the same unit with the same errors of reading, and another number gives another."""
    situation = draw_situation(SEED, 0)
    one, again, other = (draw_truth(situation, SEED, number, outside=False) for number in (3, 3, 2))
    offered = situation.offered()
    assert (one.faults, one.unit) == (again.faults, again.unit)
    assert [one.read(each) for each in offered] == [again.read(each) for each in offered]
    assert one.unit != other.unit


@pytest.mark.parametrize(("right", "bits"), [(1.0, 1.0), (0.89, 0.5), (0.5, 0.0)])
def test_information_of_a_noisy_yes_or_no(right: float, bits: float) -> None:
    """Two hypotheses, as likely before, and a word that is seen right with a probability: 1 - H(p) bits."""
    yes, no = ("yes",), ("no",)
    joint: Joint = {
        (): {yes: 0.5 * right, no: 0.5 * (1.0 - right)},
        (1,): {no: 0.5 * right, yes: 0.5 * (1.0 - right)},
    }
    found = information(joint)
    assert found == pytest.approx(bits, abs=1e-3)  # H(0.11) = 0.49992 bit


@pytest.mark.parametrize(
    "one", [one for one in measurements().offered if one.parts[0].u is not None], ids=lambda one: one.id
)
def test_outcomes_of_a_number_are_a_distribution(one: Measurement) -> None:
    """Bins hold all but what is kept for mistakes, and the bin of what is expected is the likeliest or its neighbour."""
    part = one.parts[0]
    expected = 0.4
    found = outcomes(part, expected, part.u or 1.0, bin_width(part, 10.0))
    # 2.5 standard deviations either way are cut off at the outer bins, which take what lies beyond
    assert sum(chance for _, chance in found) == pytest.approx(1.0 - measurements().outlier, abs=1e-9)


def test_a_reading_that_is_wrong_does_not_rule_anything_out() -> None:
    """A number far off still has the likelihood of a plain mistake: its share over the range it may lie in."""
    part = Part("hood", 0.07)
    assert likelihood(part, 0.0, 1.0, 0.07) == pytest.approx(measurements().outlier / 1.4, rel=1e-6)


def test_a_number_where_there_is_none_to_read_is_a_mistake() -> None:
    """An open circuit shows nothing: a number that is shown all the same is as likely as any plain mistake."""
    part = Part("mixed sensor", 0.9)
    assert likelihood(part, NOTHING, 2.0, 0.9) == pytest.approx(measurements().outlier / 60.0, rel=1e-6)


@pytest.mark.parametrize(
    ("sound", "expected"), [(0.46, "sensors"), (0.34, "sensor.mixed")], ids=["sound", "pointed at"]
)
def test_one_sensor_alone_is_for_the_one_that_is_pointed_at(sound: float, expected: str) -> None:
    """Of all sensors one is looked at alone only once it is likelier to be wrong than nothing is."""
    known = signatures(draw_situation(SEED, 0))
    place = {row.id: number for number, row in enumerate(known.hypotheses.rows)}
    biased, stuck = (
        place[name] for name in ("mixed_air_temperature_sensor_biased", "outdoor_air_damper_stuck")
    )
    weights = {Case((), 0): sound, Case((biased,), 0): 0.4, Case((stuck,), 0): 0.6 - sound}
    belief = replace(first_belief(known), weights=weights)
    offered = {one.id: one for one in known.offered}
    worth = [Prospect(offered["sensor.mixed"], 0.5, 0.5, 8.5), Prospect(offered["sensors"], 0.5, 0.5, 12.5)]
    found = next_of(belief, worth)
    assert found is not None
    assert found.measurement.id == expected


def test_calibration_counts_what_was_so() -> None:
    """Three of four statements of 0.75 that were so are calibrated, and the error counts units, not statements."""
    visits = [Played((), (), statements=[(0.75, True)]) for _ in range(3)]
    visits.append(Played((), (), statements=[(0.75, False)]))
    (tenth,) = calibration(visits)
    assert (tenth.low, tenth.statements, tenth.units) == (0.7, 4, 4)
    assert tenth.said == tenth.was == 0.75
    assert tenth.u == pytest.approx((4 * 0.75 * 0.25) ** 0.5 / 4)  # binomial standard error
    assert tenth.good
    assert not tenth.judged
