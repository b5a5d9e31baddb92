"""The demo's second story: a forgotten resistor hides a return damper that does not close, from complaint to record.

The job's readings were worked out with the unit in software, one of its variations that the tool itself does not try,
and rounded as a person would; every answer here is the program's own.
"""

from __future__ import annotations

import json
from functools import cache
from importlib.resources import files
from pathlib import Path

import pytest

from ventwright import cli
from ventwright.cli import CANNOT_TELL, DONE, FAILS
from ventwright.cli.demo_complaint import show_complaint
from ventwright.cli.verdict import exit_code
from ventwright.job import Job, Worked, record_of, work
from ventwright.store import load
from ventwright.verdict import LineState
from ventwright.verdict.diagnose import Diagnosis, diagnose
from ventwright.verdict.forgotten import all_forgetting
from ventwright.verdict.prove import prove

SHIPPED = Path(str(files("ventwright.cli"))) / "demo_job" / "tern-yard-u-4.yaml"
RESISTOR = "substitute_resistor_left_on_outdoor_sensor"
RETURN_DAMPER = "return_air_damper_not_closing"


@cache
def whole() -> Job:
    """The job as it is shipped."""
    return load(SHIPPED).job


def until(entry: str) -> Worked:
    """Work out the job as it stood right after an entry."""
    entries = whole().readings.entries
    number = next(number for number, one in enumerate(entries) if one.id == entry)
    readings = whole().readings.model_copy(update={"entries": entries[: number + 1]})
    return work(whole().model_copy(update={"readings": readings}))


@cache
def thought(entry: str) -> Diagnosis:
    """Say what was believed right after an entry."""
    stood = until(entry)
    return diagnose(stood.job.facts, stood.plan, stood.job.readings)


def test_it_is_invented() -> None:
    """Site, unit and people exist nowhere, and each person's name says so."""
    assert whole().invented
    assert all("(invented)" in visit.technician for visit in whole().readings.visits)


def test_each_measurement_is_the_one_that_was_asked_for() -> None:
    """The last reading before each repair is what the program wanted read next."""
    asked = [thought(entry).next_measurement for entry in ("l8", "f5")]
    assert [one.id for one in asked if one is not None] == ["leads.outdoor", "blades.forced_open"]


def test_the_first_fault_is_first_before_the_repair() -> None:
    """The resistor is likely, and the second fault is not yet: it is masked."""
    found = thought("f3")
    assert found.complaint == "compressor on cool days"
    assert (found.faults[0].id, found.faults[0].probability > 0.5) == (RESISTOR, True)
    assert all(one.probability < 0.2 for one in found.faults if one.id == RETURN_DAMPER)


def test_the_second_fault_is_first_after_it() -> None:
    """Once the resistor is out, what it hid is named, and nothing of what was repaired is left."""
    found = thought("f6")
    assert (found.faults[0].id, found.faults[0].probability > 0.9) == (RETURN_DAMPER, True)
    assert RESISTOR not in [one.id for one in found.faults]
    assert found.not_fitting == ()


def test_nothing_is_wrong_in_the_end() -> None:
    """After the second repair the same readings speak for a sound unit."""
    assert thought(whole().readings.entries[-1].id).nothing_wrong > 0.9


def test_the_ledger_says_what_forgetting_costs_and_is_closed_by_a_reading() -> None:
    """The resistor's line is open for a fortnight, is not proved by the word alone, and is proved by sensor and probe."""
    states = {entry: until(entry).verdicts.ledger[0].state for entry in ("f3", "c1-back", "s1")}
    assert states == {"f3": LineState.OPEN, "c1-back": LineState.NOT_PROVED, "s1": LineState.PROVED}
    open_ = until("f3")
    cost = all_forgetting(open_.job.facts, open_.plan, open_.job.readings)["c1"].sentence.show("us")
    assert "less outdoor air" in cost
    assert "compressor stage running" in cost


def test_the_repair_opens_again_what_it_may_have_masked() -> None:
    """Free cooling is to be done again after the resistor, and so is what the earlier visit had proved with it in."""
    stood = until("r1")
    proof = prove(stood.job.facts, stood.plan, stood.job.readings, stood.verdicts)
    again = {one.step for step in proof.steps for one in step.retest}
    assert {"free_cooling.modulates", "free_cooling.full", "high_limit.damper"} <= again


def test_the_function_that_failed_fails_the_job_until_it_is_done_again() -> None:
    """The mixed air of free cooling is too warm: the job fails by it, and no longer after the repair and another reading."""
    failed = until("t4").verdicts
    assert [one.id for one in failed.steps if one.verdict.value == "fails"] == ["step.free_cooling.modulates"]
    assert exit_code(failed) == FAILS
    assert exit_code(until("r2").verdicts) == CANNOT_TELL
    in_the_end = {one.id: one.verdict.value for one in work(whole()).verdicts.steps}
    assert in_the_end["step.free_cooling.modulates"] == "passes"
    assert in_the_end["step.high_limit.damper"] == in_the_end["functions.not_done"] == "cannot_tell"


def test_the_record_tells_it() -> None:
    """No line is open, the repairs and the failed reading stand in it, and nothing says that the job is unfinished."""
    worked = work(whole())
    page = record_of(worked, made=worked.job.readings.entries[-1].at)["record.html"].decode()
    assert "NOT FINISHED" not in page
    assert "proved back 2026-10-20 09:46" in page
    for fault in (
        "a test resistor was left in the outdoor-air sensor&#39;s place",
        "return-air damper does not close",
    ):
        assert f"repaired: {fault}" in page


def test_the_story_is_told_in_order(capsys: pytest.CaptureFixture[str]) -> None:
    """Complaint, likely fault, ledger, repair and what it masked, second fault, repair, sound unit, verdicts."""
    show_complaint(load(SHIPPED), "us")
    said = " ".join(capsys.readouterr().out.split())
    told = (
        "complaint: compressor on cool days",
        "Asked for: outdoor-air sensor looked at and metered: where it stands, what its leads end at, its ohms.",
        "likely: a test resistor was left in the outdoor-air sensor's place",
        "Forgetting c1 would cost",
        "repaired: a test resistor was left in the outdoor-air sensor's place",
        "Free cooling engages",
        "Asked for: outdoor and return blades, by eye; fan on, damper told to open fully",
        "likely: return-air damper does not close",
        "repaired: return-air damper does not close",
        "most likely nothing is wrong",
        "0 FAILS",
    )
    places = [said.index(one) for one in told]
    assert places == sorted(places)


def test_a_card_of_then_is_taken(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With its own last card the command answers like without one where the damper is not in question."""
    card = tmp_path / "card.txt"
    card.write_text(CARD, encoding="utf-8")
    assert cli.main(["diagnose", str(SHIPPED), "--card", str(card), "--json"]) == DONE
    assert json.loads(capsys.readouterr().out)["nothing_wrong"] > 0.9


CARD = """Ventwright card 1
unit U-4
site Tern Yard (invented)
left 2025-10-14
set Fresh-air opening, fan fast = 33 %
set Fresh-air opening, fan slow = 40 %
air high = 662 cfm ± 40 cfm, 17 % at 33 %, passes
air low = 649 cfm ± 40 cfm, 25.2 % at 40 %, passes
"""
