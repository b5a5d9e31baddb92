"""`ventwright diagnose` on the invented demo: from a complaint to the cause, in text, JSON and exit codes."""

from __future__ import annotations

import json
from dataclasses import replace
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import pytest
from tests.invented import facts, left, readings

from ventwright import cli
from ventwright.cli import CANNOT_TELL, DONE, FAILS
from ventwright.plan import Choice, make_plan
from ventwright.readings import Repaired
from ventwright.store import load
from ventwright.tables.fault_prior import fault_prior
from ventwright.tables.measurement import measurements
from ventwright.verdict.diagnose import diagnose, diagnosing
from ventwright.verdict.diagnose.from_job import believed, readings_of, situation_of

DEMO: Final = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"

SLIPPED = "outdoor_air_damper_coupling_slipped"
REVERSED = "outdoor_air_damper_actuator_reversed"
AS_FOUND = [
    ("complaint", "stuffy"),
    ("share.cool_1", "3 %"),
    ("run.cool_1", "damper signal = 100 %; outdoor blades = 2 %; compressors = 0; heating = off"),
]


def without_readings(path: Path) -> Path:
    """Copy the demo as far as its facts: nobody has read anything."""
    text = DEMO.read_text(encoding="utf-8")
    path.write_text(text[: text.index("\nreadings:")] + "\n", encoding="utf-8")
    return path


def read(path: Path, entries: list[tuple[str, str]]) -> None:
    """Enter what was found."""
    for measurement, found in entries:
        arguments = ["read", str(path), "finding", "--measurement", measurement, "--found", found, "--json"]
        assert cli.main(arguments) in {DONE, FAILS, CANNOT_TELL}


def document(capsys: pytest.CaptureFixture[str], path: Path) -> tuple[int, dict[str, Any]]:
    """Exit code and JSON of one call."""
    capsys.readouterr()
    code = cli.main(["diagnose", str(path), "--json"])
    return code, json.loads(capsys.readouterr().out)


def test_nothing_read(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """With no reading the first probabilities stand, and there is something to read next."""
    code, found = document(capsys, without_readings(tmp_path / "job.yaml"))
    assert code == CANNOT_TELL
    assert found["nothing_wrong"] == pytest.approx(fault_prior().none, abs=1e-6)
    assert found["readings"] == 0
    assert found["next_measurement"]["expected_information_bits"] > 0.1
    assert not found["unexplained"]


def test_from_a_complaint_to_the_cause(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Told to open and no air: linkage or actuator; the shaft does not follow and the blades move by hand: the coupling."""
    path = without_readings(tmp_path / "job.yaml")
    read(path, AS_FOUND)
    code, found = document(capsys, path)
    first = {one["id"]: one["probability"] for one in found["faults"]}
    assert code in {FAILS, CANNOT_TELL}
    assert found["complaint"] == "stuffy"
    assert sum(first[one] for one in (SLIPPED, "outdoor_air_damper_stuck", REVERSED)) > 0.7
    assert found["next_measurement"]["minutes"] > 0.0
    assert found["next_measurement"]["caution"]
    read(path, [("stroke", "actuator opens, shaft does not follow"), ("free_blades", "free")])
    code, found = document(capsys, path)
    assert code == FAILS
    top = found["faults"][0]
    assert (top["id"], top["probability"] > 0.9) == (SLIPPED, True)
    free = next(piece for piece in top["evidence"] if piece["measurement"] == "free_blades")
    assert free["log_likelihood_ratio"] > 0.0
    assert (free["seen"], free["expected_with"]) == ("free", "free")
    capsys.readouterr()
    assert cli.main(["diagnose", str(path), "--evidence"]) == FAILS
    shown = " ".join(capsys.readouterr().out.split())
    assert (
        "coupling between actuator and damper shaft slipped: what speaks for it (+) and against it (-)"
        in shown
    )
    assert "Read next" in shown


def test_readings_that_nothing_explains(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A sound display, all outdoor air with shut blades, no voltage and a working compressor: none of these explains it."""
    path = without_readings(tmp_path / "job.yaml")
    strange = [
        ("share.cool_1", "95 %"),
        ("run.cool_1", "damper signal = 42 %; outdoor blades = 0 %; compressors = 2; heating = on"),
        ("power.fan", "control voltage = 9 V; fan power = 140 %"),
        ("blades.forced_open", "outdoor blades = 0 %; return blades = 100 %"),
    ]
    read(path, strange)
    code, found = document(capsys, path)
    assert code == CANNOT_TELL
    assert found["unexplained"]
    assert found["sentence"].startswith("none of the faults that are thought of explains these readings")
    assert found["not_fitting"]


def test_an_answer_in_slices() -> None:
    """The answer comes in slices that are told one by one, never go back, and end in what comes of it without a stop."""
    given = facts(weather={"outdoor_air": "57 F", "return_air": "73 F"})
    plan = make_plan(given)
    entered = readings({"what": "test step", "step": "free_cooling.no_compressor", "seen": "no"})
    work, told = diagnosing(given, plan, entered), []
    while True:
        try:
            told.append(next(work))
        except StopIteration as end:
            found = end.value
            break
    assert len(told) > 40
    assert [one.done for one in told] == sorted(one.done for one in told)
    assert told[-1].done <= told[-1].total
    assert replace(found, evaluations=0) == replace(diagnose(given, plan, entered), evaluations=0)


def test_failed_steps_and_repairs_count() -> None:
    """A step that was read is a measurement of the list; what was read before a repair no longer counts."""
    step = {"what": "test step", "step": "free_cooling.no_compressor", "seen": "no"}
    simulated = {"what": "test step", "step": "free_cooling.engages", "read_value": "30 %", "simulated": True}
    given = facts(weather={"outdoor_air": "58 F", "return_air": "74 F"})
    plan = make_plan(given)
    entered = readings(step, simulated)
    situation = situation_of(given, plan, entered)
    found = readings_of(given, plan, entered, situation)
    assert [(one.measurement.id, one.values) for one in found] == [
        ("run.cool_1", (None, None, "1", None)),
        ("run.as_if_cool", (pytest.approx(0.3), None, None, None)),
    ]
    repaired = readings(step, {"what": "repaired", "of": "damper_stuck"}, simulated)
    left = believed(given, plan, repaired).readings
    assert [one.measurement.id for one in left] == ["run.as_if_cool"]


def test_a_voltage_at_the_damper_is_a_share_of_its_stroke() -> None:
    """Ten volts of a signal from 2 V to 10 V are a damper told to open fully."""
    given = facts(weather={"outdoor_air": "58 F", "return_air": "74 F"})
    plan = make_plan(given)
    entered = readings({"what": "test step", "step": "free_cooling.engages", "read_value": "10.0 V"})
    (found,) = readings_of(given, plan, entered, situation_of(given, plan, entered))
    assert found.values[0] == pytest.approx(1.0)


def test_what_was_known_before_a_repair_is_carried_over() -> None:
    """Blades that were seen to move freely before a sensor was put right are not suspected of sticking after it."""
    given = facts(weather={"outdoor_air": "58 F", "return_air": "74 F"})
    plan = make_plan(given)
    free = {"what": "fault finding", "measurement": "free_blades", "found": [{"value": "free"}]}
    open_ = {"what": "fault finding", "measurement": "leads.outdoor", "found": [{"value": "open"}]}

    def stuck(repaired: str) -> float:
        after = believed(given, plan, readings(free, open_, {"what": "repaired", "of": repaired}))
        place = after.signatures.hypotheses.place("outdoor_air_damper_stuck")
        assert place is not None
        assert after.readings == ()
        return after.of_faults()[place]

    known = stuck("outdoor_air_temperature_sensor_open_circuit")
    # a step does not say which fault is gone: nothing is carried over
    assert known < 0.3 * stuck("sensors.side_by_side")


def test_the_demo_as_it_stands(capsys: pytest.CaptureFixture[str]) -> None:
    """Readings of other kinds count: the sensor checks and settings of the demo stand in the evidence."""
    code, found = document(capsys, DEMO)
    assert code in {DONE, FAILS, CANNOT_TELL}
    taken = {piece["measurement"] for one in found["faults"] for piece in one["evidence"]}
    assert {"settings", "sensors"} <= taken


def test_data_name_one_another() -> None:
    """Every fault is shown by measurements that are offered, and its complaints are on the list."""
    offered = {one.id for one in measurements().offered}
    complaints = {one.id for one in measurements().complaints}
    for row in fault_prior().faults:
        assert set(row.proof) <= offered
        assert row.proof
        assert set(row.complaints) <= complaints
    assert sum(fault_prior().shares) == pytest.approx(1.0)
    for one in measurements().offered:
        assert all(part.reads in measurements().entered for part in one.parts)


HIGH_LIMIT, SET_POINT = "Outdoor air too warm above", "Mixed-air target"
NO_FREE_COOLING = {
    "what": "fault finding",
    "measurement": "run.cool_1",
    "found": [
        {"reads": "damper signal", "value": "38 %"},
        {"reads": "outdoor blades", "value": "38 %"},
        {"reads": "compressors", "value": "1"},
        {"reads": "heating", "value": "off"},
    ],
}
COMPLAINT = {
    "what": "fault finding",
    "measurement": "complaint",
    "found": [{"value": "compressor on cool days"}],
}


@pytest.mark.parametrize(
    "beside", [(), (COMPLAINT,), (COMPLAINT, NO_FREE_COOLING)], ids=["alone", "said", "seen"]
)
@pytest.mark.parametrize("target", ["53 F", "58 F"])
@pytest.mark.parametrize(("limit", "side", "other"), [("75 F", "high", "low"), ("65 F", "low", "high")])
def test_a_high_limit_is_called_by_the_side_it_was_read_on(
    limit: str, side: str, other: str, target: str, beside: tuple[dict[str, Any], ...]
) -> None:
    """Planned at 70 °F and read beside it: never called the other way round, whatever else was read or said."""
    known = facts(weather={"outdoor_air": "58 F", "return_air": "74 F"})
    plan = make_plan(known, choices=[Choice(label=HIGH_LIMIT, value="70 F", reason="asked for")])
    read_back = [left(HIGH_LIMIT, limit), left(SET_POINT, target)]
    found = diagnose(known, plan, readings(*read_back, *beside))
    likely = {one.id: one.probability for one in found.faults}
    assert likely[f"high_limit_set_too_{side}"] > 0.3
    assert likely.get(f"high_limit_set_too_{other}", 0.0) < 0.01
    if target == "58 F":
        assert likely.get("mixed_air_set_point_too_high", 0.0) > 0.4


@pytest.mark.parametrize(("target", "side", "other"), [("58 F", "high", "low"), ("48 F", "low", "high")])
def test_a_set_point_is_called_by_the_side_it_was_read_on(target: str, side: str, other: str) -> None:
    """The mixed-air set point, beside a high limit that is off as well."""
    known = facts(weather={"outdoor_air": "58 F", "return_air": "74 F"})
    plan = make_plan(known, choices=[Choice(label=HIGH_LIMIT, value="70 F", reason="asked for")])
    found = diagnose(known, plan, readings(left(HIGH_LIMIT, "75 F"), left(SET_POINT, target)))
    likely = {one.id: one.probability for one in found.faults}
    assert likely[f"mixed_air_set_point_too_{side}"] > 0.4
    assert likely.get(f"mixed_air_set_point_too_{other}", 0.0) < 0.01


def test_a_person_reads_words_and_no_ids(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Faults, pairs of them, evidence and what hardly fits are said in words; ids are for --json and for what is typed."""
    path = without_readings(tmp_path / "job.yaml")
    read(path, [*AS_FOUND, ("settings", "high limit low")])
    capsys.readouterr()
    cli.main(["diagnose", str(path), "--evidence"])
    shown = capsys.readouterr().out
    before, _, typed = shown.partition("Enter what it gave: ")
    assert "Two at once" in before
    for id_ in [
        *(row.id for row in fault_prior().faults),
        *(one.id for one in measurements().offered if "." in one.id),
    ]:
        assert id_ not in before, id_
    assert " and " in before[before.index("Two at once") :]
    assert typed.startswith("`ventwright read JOB finding --measurement ")


def test_a_repair_is_entered_in_the_words_of_the_diagnosis(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The words stand for the id; what is shown of it is words again."""
    path = without_readings(tmp_path / "job.yaml")
    said = "Coupling between actuator and damper shaft slipped"
    assert cli.main(["read", str(path), "repaired", "--of", said, "--json"]) in {DONE, FAILS, CANNOT_TELL}
    capsys.readouterr()
    (repair,) = load(path).job.readings.standing(Repaired)
    assert repair.of == SLIPPED
    assert repair.subject("us") == "repaired: coupling between actuator and damper shaft slipped"
    step = ["read", str(path), "repaired", "--of", "Free cooling, engages", "--json"]
    assert cli.main(step) in {DONE, FAILS, CANNOT_TELL}
    capsys.readouterr()
    kept = load(path)
    repair = kept.job.readings.standing(Repaired)[-1]
    assert (repair.of, repair.subject("us")) == ("free_cooling.engages", "repaired: free cooling, engages")
