"""A unit whose truth is known, read with erring instruments: at most one pass in twenty may be wrong, and one fail.

The reference is the truth that the readings were drawn from. "±" is 95 % coverage of a normally distributed
error (JCGM 100:2008, 6.2); a probe's offset is one draw a visit, part of it changing between cold and warm air.
"""

from __future__ import annotations

import random

import pytest
from tests.invented import facts, left, mixed, readings, supply

from ventwright.evidence import Verdict
from ventwright.plan import make_plan
from ventwright.verdict import judge

KNOWN = facts(unit={"fan_speeds": [{"name": "high", "supply_air": "4000 cfm"}]})
PLAN = make_plan(KNOWN)
UNITS = 450
"""Some 35 ms each. Of 60 passes without a wrong one at most 4.9 % are wrong with 95 % confidence (1 - 0.05^(1/60)), and of
200 fails at most 1.5 %; the benchmark of the balance counts far more."""
REQUIRED_CFM, SUPPLY_CFM = 1116.0, 4000.0


def _read(chance: random.Random) -> tuple[Verdict, bool]:
    """One unit: its verdict, and whether its true outdoor airflow is within 10 % of what is required."""
    share = chance.uniform(0.20, 0.36)
    true_supply = SUPPLY_CFM * chance.uniform(0.9, 1.1)
    returned, outdoor = 74.0, 74.0 - chance.uniform(15, 60)
    offset, tilt = chance.gauss(0, 0.25 * 0.91**0.5), 0.25 * 0.3
    lanes = [chance.gauss(0, 0.3) for _ in range(8)]

    def probe(truth: float) -> float:
        return truth + offset + chance.gauss(0, tilt) + chance.gauss(0, 0.05)

    true_mixed = returned - share * (returned - outdoor)
    entry = mixed(
        outdoor_air=f"{probe(outdoor):.3f} F",
        return_air=f"{probe(returned):.3f} F",
        mixed_air=[f"{probe(true_mixed) + lane:.3f} F" for lane in lanes],
    )
    shown_supply = true_supply * (1 + chance.gauss(0, 0.02))
    verdicts = judge(KNOWN, PLAN, readings(supply(f"{shown_supply:.1f} cfm ± 4 %"), entry, left()))
    return verdicts.speeds[0].verdict, abs(share * true_supply - REQUIRED_CFM) <= 0.1 * REQUIRED_CFM


@pytest.fixture(scope="module")
def outcomes() -> list[tuple[Verdict, bool]]:
    """Many units, the same on every run."""
    chance = random.Random(20261125)  # noqa: S311 - repeatable, not secret
    return [_read(chance) for _ in range(UNITS)]


def test_few_passes_are_wrong(outcomes: list[tuple[Verdict, bool]]) -> None:
    """Of the units that pass at most 5 % are not within 10 % of the required airflow."""
    passed = [true for verdict, true in outcomes if verdict is Verdict.PASSES]

    assert len(passed) >= 60, "too few passes to say anything"
    assert passed.count(False) <= 0.05 * len(passed)


def test_few_fails_are_wrong(outcomes: list[tuple[Verdict, bool]]) -> None:
    """Of the units that fail at most 5 % are within 10 % after all."""
    failed = [true for verdict, true in outcomes if verdict is Verdict.FAILS]

    assert len(failed) >= 200, "too few fails to say anything"
    assert failed.count(True) <= 0.05 * len(failed)
