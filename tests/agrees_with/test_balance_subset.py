"""A seeded subset of the closed-loop benchmark: random units of other families than the estimate's own.

The reference is the truth behind each visit, which only the umpire sees (`benchmarks/balance/roof.py`, `score.py`). What
the full benchmark reaches, with its counts and bounds, stands in its table; here a few units guard it.
"""

from __future__ import annotations

from dataclasses import dataclass

import pytest
from benchmarks.balance.ours import Cost, searched
from benchmarks.balance.roof import KELVIN_PER_FAHRENHEIT, SPEEDS, Stated, draw_unit, visit
from benchmarks.balance.score import Scored, scored, share_settled, upper_bound, wrong

SEED = 20261127
UNITS = 25
"""In each circumstance, with two speeds each: 50 final verdicts at most."""
MOST_EVALUATIONS = 12_000
"""Of the unit's steady state, for one answer."""


@dataclass(frozen=True, slots=True)
class Circumstance:
    """What everybody is told, and the least share of units' speeds that is to be settled truly."""

    stated: Stated
    floor: float


def _stated(difference: float, *, layers: float = 0.0, check: bool = True) -> Stated:
    """Three probes of ± 0.5 °F (k = 2), four readings a speed, the share alone; the difference in °F."""
    return Stated(
        probe_u=0.25 * KELVIN_PER_FAHRENHEIT, noise_u=0.05, layers_u=layers,
        difference=difference * KELVIN_PER_FAHRENHEIT, check_possible=check, supply_u=0.0, budget=4,
    )  # fmt: skip


CIRCUMSTANCES = {
    "good day with a check": Circumstance(_stated(40.0), 0.85),
    "mild": Circumstance(_stated(12.0), 0.45),
    "layers": Circumstance(_stated(40.0, layers=0.015), 0.25),
}


@dataclass(frozen=True, slots=True)
class Run:
    """What came out of one circumstance."""

    verdicts: list[Scored]
    costs: list[Cost]
    floor: float


@pytest.fixture(scope="module", params=CIRCUMSTANCES)
def run(request: pytest.FixtureRequest) -> Run:
    """Search every unit once."""
    circumstance = CIRCUMSTANCES[request.param]
    stated, verdicts, costs = circumstance.stated, [], []
    for index in range(UNITS):
        one = visit(draw_unit(SEED, index), stated, stated.difference, SEED, index)
        outcomes, cost = searched(one)
        verdicts += scored("d", index, one, outcomes, stated.difference / KELVIN_PER_FAHRENHEIT)
        costs.append(cost)
    return Run(verdicts, costs, circumstance.floor)


def test_few_final_verdicts_are_wrong(run: Run) -> None:
    """So few are wrong that a true rate of one in twenty would give as few or fewer at least once in twenty times."""
    final = [wrong(run.verdicts, kind) for kind in ("passes", "cannot_deliver")]
    missed, count = sum(one.wrong for one in final), sum(one.count for one in final)
    # The exact one-sided 5 % slack of the binomial distribution: reject only where the lower bound of the rate is above 5 %.
    lower_bound = 1.0 - upper_bound(count - missed, count) if count else 0.0

    assert lower_bound <= 0.05, f"{missed} of {count} are wrong"


def test_enough_is_settled_truly(run: Run) -> None:
    """The share that is settled truly does not fall below what it was found to be, with slack for so few units."""
    settled, count = share_settled(run.verdicts)

    assert count == UNITS * len(SPEEDS)
    assert settled >= run.floor * count


def test_an_answer_is_cheap(run: Run) -> None:
    """No answer takes more evaluations of the unit's steady state than were promised, and the count is no empty one."""
    assert 0 < max(cost.most for cost in run.costs) <= MOST_EVALUATIONS


def test_air_too_alike_carries_no_verdict() -> None:
    """Below the tool's least difference as read, nothing is claimed and nothing read in vain; without that rule, some is."""
    stated = _stated(8.0)
    for index in range(UNITS):
        one = visit(draw_unit(SEED, index), stated, stated.difference, SEED, index)
        outcomes, _ = searched(one)

        assert {outcome.kind for outcome in outcomes.values()} == {"cannot_tell"}
        assert one.spent == 1  # only a reading shows how far the air is apart

    claimed = 0
    for index in range(5):
        one = visit(draw_unit(SEED, index), stated, stated.difference, SEED, index)
        outcomes, _ = searched(one, minds_weather=False)
        claimed += sum(outcome.kind != "cannot_tell" for outcome in outcomes.values())
    assert claimed > 0


def test_the_budget_is_kept(run: Run) -> None:
    """At most four readings a speed and one check a visit, which counts as a reading."""
    assert all(one.spent <= 2 * 4 + 1 for one in run.verdicts)
