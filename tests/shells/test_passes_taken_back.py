"""Passes that another entry takes back: a repair, a substitute on the sensor, a change that nobody entered, time that went by."""

from __future__ import annotations

from typing import Any

import pytest
from tests.functional_jobs import proof_of, seen
from tests.invented import facts, left, mixed, readings, supply
from tests.shells.test_record_content import job, outcome, subject_of

from ventwright.evidence import Verdict
from ventwright.plan import make_plan
from ventwright.record import build_card
from ventwright.record.card_code import card_text
from ventwright.tables.acceptance import acceptance
from ventwright.tables.procedure import step_named
from ventwright.verdict import Check, Verdicts, judge
from ventwright.verdict.diagnose.from_job import believed
from ventwright.verdict.functions import with_functions

KNOWN = facts(weather={"outdoor_air": "34 F", "return_air": "74 F"})
PLAN = make_plan(KNOWN)
RESISTOR: dict[str, Any] = {
    "what": "temporary change", "id": "c", "kind": "resistor", "sensor": "outdoor air", "point": "outdoor sensor",
    "was": "sensor on", "changed_to": "13.2k resistor", "imitates": "66 F",
}  # fmt: skip
LEAD_OFF = {key: value for key, value in RESISTOR.items() if key != "imitates"} | {"kind": "lead", "changed_to": "lead off"}  # fmt: skip
LOOKED: dict[str, Any] = {"what": "tick", "item": "nothing_left"}
STUCK: dict[str, Any] = {"what": "repaired", "of": "damper_stuck"}


def judged(*entries: dict[str, Any]) -> Verdicts:
    """Every verdict of an invented job."""
    given = readings(*entries)
    return with_functions(KNOWN, PLAN, given, judge(KNOWN, PLAN, given))


def why(check: Check | None) -> str:
    """Name of what keeps a check from being told; empty where it is told."""
    assert check is not None
    return "" if check.shortfall is None else check.shortfall.name


def beside(shown: str, probe: str) -> dict[str, Any]:
    """The outdoor sensor beside a probe of ± 0.5 °F."""
    return {
        "what": "sensor check", "sensor": "outdoor air", "shown": shown, "probe": probe, "instrument": "probe",
    }  # fmt: skip


def test_a_repair_takes_back_what_was_read_before_it() -> None:
    """A damper that was stuck while the air was read: airflow and share are read again, and then they count."""
    read = (supply(), left(), mixed())
    assert judged(*read).speeds[0].verdict is Verdict.PASSES

    after = judged(*read, STUCK).speeds[0]
    assert (after.verdict, why(after.flow), why(after.fraction)) == (
        Verdict.CANNOT_TELL, "step.before_repair", "step.before_repair",
    )  # fmt: skip
    assert judged(*read, STUCK, mixed()).speeds[0].verdict is Verdict.PASSES


def test_readings_of_before_a_repair_do_not_pull_the_estimate() -> None:
    """They were of another damper: what is found after the repair is what is found by the readings after it alone."""
    old = mixed(mixed_air=["71 F"] * 8)
    alone = judged(supply(), left(), STUCK, mixed()).speeds[0].flow
    beside_old = judged(supply(), left(), old, STUCK, mixed()).speeds[0].flow
    assert alone is not None
    assert beside_old is not None
    assert alone.verdict is Verdict.PASSES
    assert beside_old.sentence.show("us") == alone.sentence.show("us")


def test_a_repair_takes_back_only_what_it_may_have_masked() -> None:
    """A stuck damper says nothing of a setting that was read back, nor of a sensor; a wrong curve does of the sensor."""
    read = (left("No compressor below", "50 F"), beside("34.0 F", "34.1 F"))
    before, after = judged(*read), judged(*read, STUCK)
    assert before.settings == after.settings
    assert before.sensors == after.sensors
    assert why(judged(*read, STUCK | {"of": "sensor_wrong_curve"}).sensors[0]) == "step.before_repair"


@pytest.mark.parametrize(("shown", "probe"), [("66.0 F", "66.1 F"), ("66.0 F", "58.0 F")])
def test_a_resistor_is_not_the_sensor(shown: str, probe: str) -> None:
    """While a resistor stands in for a sensor, nothing that the controller shows passes or fails it."""
    assert why(judged(RESISTOR, beside(shown, probe)).sensors[0]) == "sensor.not_live"


def test_the_sensor_itself_counts_before_and_after_the_resistor() -> None:
    """A live check stands whatever is read under a resistor later; the one that proves its return is live."""
    live, held = beside("34.0 F", "34.1 F"), beside("66.0 F", "58.0 F")
    for entries, counts in (((live, RESISTOR, held), "e0"), ((RESISTOR, held, live), "e2")):
        (check,) = judged(*entries).sensors
        assert (check.verdict, check.readings) == (Verdict.PASSES, (counts,))


def test_what_was_simulated_was_changed() -> None:
    """A step said to be simulated, with no change entered: nothing left behind does not pass, wherever it is shown."""
    simulated = seen("high_limit.compressor", seen="yes", simulated=True)
    assert judged(LOOKED).nothing_left.verdict is Verdict.PASSES
    found = judged(LOOKED, simulated).nothing_left
    assert (found.id, why(found)) == ("nothing_left", "step.change_not_entered")


def test_a_look_of_an_earlier_visit_is_no_look() -> None:
    """Ticked, and worked on again two months later."""
    assert judged(LOOKED, left()).nothing_left.verdict is Verdict.PASSES
    again = left() | {"at": "2027-01-25T09:00-08:00"}
    assert why(judged(LOOKED, again).nothing_left) == "nothing_left.looked_at_earlier"


@pytest.mark.parametrize("typed", ["56.2 F", "56.2 F ± 0.01 F", "56.2 F ± 0 F"])
def test_nobody_reads_closer_than_his_instrument(typed: str) -> None:
    """Mixed air 0.2 °F above the least that is expected, by a probe of ± 0.5 °F, whatever is typed behind the ±."""
    entry = seen("free_cooling.modulates", read_value=typed, instrument="probe")
    (step,) = [one for one in proof_of(entry).steps if one.planned.id == "free_cooling.modulates"]
    assert step.verdict is Verdict.CANNOT_TELL
    assert why(step.check) == "step.too_near"


def test_the_sheet_passes_every_sensor_or_none() -> None:
    """One sensor of three beside a probe, and right: the others are named, and the step of the sheet is not proved."""
    every = [beside("34.0 F", "34.1 F") | {"sensor": one.at} for one in PLAN.kit.sensors]
    assert outcome(job(*every), "sensors-true")[0] == "pass"
    found, by = outcome(job(every[0]), "sensors-true")
    assert found.startswith("not yet proved")
    assert by == "not held against a probe: return air, mixed air"


def test_no_tick_outranks_a_functional_test_of_the_same() -> None:
    """Ticked as in order: the step of the sheet fails or stays open with its functional test, and passes without one."""
    tick = {"what": "tick", "item": "unit-off"}
    tested = "step, power off, unit off"
    for answer, expected, by in (
        ("no", "FAIL", tested),
        ("not looked at", "not yet proved, retest by 2026-12-18", tested),
        ("yes", "pass", "seen 2026-11-25: in order"),
    ):
        test = seen("power_off.unit_off", seen=answer)
        assert outcome(job(tick, test), "unit-off") == outcome(job(test, tick), "unit-off") == (expected, by)
    assert outcome(job(tick), "unit-off")[0] == "pass"
    assert outcome(job(seen("power_off.unit_off", seen="no")), "unit-off")[0] == "FAIL"
    failed = seen("power_off.unit_off", seen="yes")
    assert outcome(job(tick | {"found": "not in order"}, failed), "unit-off")[0] == "FAIL"


def test_every_step_of_the_sheet_names_functional_tests_that_there_are() -> None:
    """Each step that a tick decides has at least one."""
    for step in acceptance().steps:
        assert [step_named(one).id for one in step.functional] == list(step.functional)
        assert bool(step.functional) is (step.decided_by == "tick")


@pytest.mark.parametrize("change", [RESISTOR, LEAD_OFF])
def test_what_a_resistor_shows_is_no_bias_of_the_sensor(change: dict[str, Any]) -> None:
    """Neither on the card, nor in its code, nor to the search for a fault; the live check before it is."""
    held, live = beside("66.0 F", "58.0 F"), beside("34.0 F", "34.1 F")
    for entries, expected in (((change, held), []), ((live, change, held), ["Outdoor air sensor"])):
        subject = subject_of(job(*entries))
        lines = [one for one in build_card(subject).sensors if one.label == "Outdoor air sensor"]
        assert [one.label for one in lines] == expected
        assert all("0.1" in one.value for one in lines)
        assert card_text(subject).count("bias outdoor air") == len(expected)
        known = believed(KNOWN, PLAN, readings(*entries)).readings
        assert [one.id for one in known] == ["e0"] * len(expected)
