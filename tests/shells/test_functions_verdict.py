"""A step of the functional tests that failed fails the job; one that nobody did is not proved."""

from __future__ import annotations

from typing import Any

import pytest
from tests.invented import facts, readings

from ventwright.cli import CANNOT_TELL, FAILS
from ventwright.cli.verdict import exit_code
from ventwright.evidence import Verdict
from ventwright.plan import make_plan
from ventwright.readings import Readings
from ventwright.verdict import Check, Verdicts, judge
from ventwright.verdict.functions import step_checks, with_functions
from ventwright.verdict.prove import prove

KNOWN = facts(weather={"outdoor_air": "58 F", "return_air": "74 F"})
PLAN = make_plan(KNOWN)


def step(named: str, **answer: Any) -> dict[str, Any]:
    """Enter what was seen at one step."""
    return {"what": "test step", "step": named, **answer}


def judged(seen: Readings) -> Verdicts:
    """Every verdict of the invented job."""
    return with_functions(KNOWN, PLAN, seen, judge(KNOWN, PLAN, seen))


def of_step(verdicts: Verdicts, named: str) -> Check:
    """Find the check of one step."""
    return next(one for one in verdicts.checks() if one.id == f"step.{named}")


@pytest.mark.parametrize(
    ("seen", "outcome", "code"), [("no", Verdict.FAILS, FAILS), ("yes", Verdict.PASSES, CANNOT_TELL)]
)
def test_what_was_seen_counts(seen: str, outcome: Verdict, code: int) -> None:
    """Free cooling that ran a compressor fails the job; one that did not leaves what else is not proved."""
    found = judged(readings(step("free_cooling.no_compressor", seen=seen)))
    assert of_step(found, "free_cooling.no_compressor").verdict is outcome
    assert exit_code(found) == code


def test_what_was_simulated_says_so() -> None:
    """A pass by simulation proves the logic and not the air, also among the checks of the job."""
    change = {
        "what": "temporary change",
        "id": "h1",
        "kind": "setting",
        "label": "Outdoor air too warm above",
        "point": "high limit",
        "was": "75 F",
        "changed_to": "52 F",
    }
    entry = step("high_limit.compressor", seen="yes", simulated=True, changes=["h1"])
    found = of_step(judged(readings(change, entry)), "high_limit.compressor")
    assert found.verdict is Verdict.PASSES
    assert "proved by simulation" in found.sentence.show("us")


def test_what_nobody_did_is_one_line_and_no_failure() -> None:
    """The steps that are left are counted, whether or not the unit was put into software for it."""
    left = []
    for seen in (readings(), readings(step("free_cooling.no_compressor", seen="yes"))):
        (last,) = [one for one in judged(seen).steps if one.id == "functions.not_done"]
        assert last.verdict is Verdict.CANNOT_TELL
        left.append(last.sentence.show("us"))
    whole = step_checks(prove(KNOWN, PLAN, readings(), judge(KNOWN, PLAN, readings())))[-1].sentence.show(
        "us"
    )
    count = int(whole.split()[0])
    assert (
        left
        == [
            f"{count} of {count} steps were not done",
            f"{count - 1} of {count} steps were not done",
        ]
        == [whole, left[1]]
    )


def test_a_step_that_is_a_check_of_its_own_is_counted_once() -> None:
    """Airflow, sensors, settings and the ledger stand among the checks already."""
    found = judged(readings(step("stroke.opens", seen="yes")))
    named = [one.id for one in found.checks()]
    assert len(named) == len(set(named))
    assert not {"step.sensors.side_by_side", "step.restored.nothing_left"} & set(named)
