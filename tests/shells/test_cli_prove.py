"""`ventwright prove` and the entries it asks for: text, JSON, exit codes, record; the demo job and copies of it."""

from __future__ import annotations

import json
import re
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import pytest

from ventwright import cli
from ventwright.cli import CANNOT_TELL, DONE, FAILS, REFUSED

DEMO: Final = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"

OF_LIMIT: Final = ("--kind", "setting", "--label", "Outdoor air too warm above", "--point", "high limit")

FAILING_SENSOR: Final = "shown: 66.9 F, probe: 69.7 F"
"""The demo's mixed-air sensor, which is 2.8 °F off."""


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """The demo with a mixed-air sensor that agrees, to add entries to."""
    path = tmp_path / "job.yaml"
    text = DEMO.read_text(encoding="utf-8").replace(FAILING_SENSOR, "shown: 69.8 F, probe: 69.7 F")
    path.write_text(text, encoding="utf-8")
    return path


def called(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    """Exit code and everything printed by one call, on one line."""
    code = cli.main([*arguments])
    return code, " ".join(capsys.readouterr().out.split())


def document(capsys: pytest.CaptureFixture[str], job: Path) -> tuple[int, dict[str, Any]]:
    """Exit code and the JSON of one call."""
    code = cli.main(["prove", str(job), "--json"])
    return code, json.loads(capsys.readouterr().out)


def step(found: dict[str, Any], id_: str) -> dict[str, Any]:
    """One step of the JSON."""
    one: dict[str, Any] = next(one for one in found["steps"] if one["id"] == id_)
    return one


def test_the_next_steps_with_their_cautions(capsys: pytest.CaptureFixture[str]) -> None:
    """Three steps at a time: cautions first, power and fan, what to do, expect and put back, the source, and how to enter it."""
    code, text = called(capsys, "prove", str(DEMO))
    assert code == FAILS  # the demo's mixed-air sensor
    assert "(invented example)" in text
    assert text.index("Switch off, lock, tag") < text.index("look at blades, linkage")
    assert "disconnect off, fan off" in text
    assert "open damper section" in text
    assert "ventwright read JOB test-step --step inspection.linkage --seen yes" in text
    assert "free_cooling.engages" not in text
    assert "--all shows them" in text
    assert "low limit, gives way: mixed air colder than its low limit: below 45.0 °F" in text


def test_where_the_facts_know_no_air_it_is_that_of_the_last_visit(
    job: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    """The guide enters it with the visit."""
    text = re.sub(r"^  weather:\n(    .*\n)+", "", job.read_text(encoding="utf-8"), flags=re.MULTILINE)
    job.write_text(re.sub(r", outdoor_air: (58|36) F}", "}", text), encoding="utf-8")
    unknown = "no air of today is given"
    assert unknown in called(capsys, "prove", str(job))[1]
    cli.main(["read", str(job), "visit", "--technician", "J. Fitter (invented)", "--outdoor", "58 F"])
    capsys.readouterr()
    assert unknown not in called(capsys, "prove", str(job))[1]


def test_all_steps_and_the_other_units(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Every step with its numbers, in either system."""
    code, text = called(capsys, "prove", str(job), "--all", "--units", "si")
    assert code == CANNOT_TELL
    assert "free_cooling.engages" in text
    assert "mixed air: 15." in text
    assert "damper voltage: 10.00 V (9.76 V to 10.00 V)" in text


def test_the_json_has_every_step(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """Each with id, state, expected and verdict; SI in the keys; the simulated ones say how and what to put back."""
    code, found = document(capsys, job)
    assert code == CANNOT_TELL
    assert found["invented"] is True
    for one in found["steps"]:
        assert {"id", "state", "expected", "verdict", "cautions", "disconnect", "fan", "source"} <= one.keys()
        assert one["cautions"]
    engages = step(found, "free_cooling.engages")
    assert engages["state"] == "by today's air"
    judged = next(one for one in engages["expected"] if one["answer"])
    assert judged["what"] == "damper signal"
    assert judged["value"] == pytest.approx(1.0)
    mixed = next(one for one in engages["expected"] if one["what"] == "mixed air")
    assert mixed["at_least_C"] < mixed["value_C"] < mixed["at_most_C"]
    limit = step(found, "high_limit.damper")
    assert limit["state"] == "simulated"
    assert limit["simulate"]["setting"] == "Outdoor air too warm above"
    assert "back at" in limit["simulate"]["restore"]
    assert found["next"][0] == "inspection.instruments"
    assert step(found, "minimum_position.high")["verdict"] == "passes"


def test_a_step_is_entered_and_counts(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A change, the step under it, its restoring: proved by simulation, on the record too."""
    _, found = document(capsys, job)
    judged = next(one for one in step(found, "high_limit.damper")["expected"] if one["answer"])
    signal = f"{100 * judged['value']:.0f} %"
    for words in (
        ["visit", "--technician", "N. N.", "--outdoor", "58 F"],
        ["change", "--id", "h1", *OF_LIMIT, "--was", "75 F", "--to", "52 F"],
        [
            "test-step",
            "--step",
            "high_limit.damper",
            "--value",
            signal,
            "--speed",
            "low",
            "--simulated",
            "--changes",
            "h1",
        ],
        ["test-step", "--step", "stroke.opens", "--seen", "yes"],
    ):
        cli.main(["read", str(job), *words])
    capsys.readouterr()
    _, found = document(capsys, job)
    one = step(found, "high_limit.damper")
    assert (one["verdict"], one["by_simulation"]) == ("passes", True)
    assert "proved by simulation" in one["check"]["sentence"]
    assert step(found, "restored.nothing_left")["verdict"] == "fails"
    assert cli.main(["record", str(job), "--out", str(job.parent)]) in {DONE, FAILS, CANNOT_TELL}
    page = (job.parent / "record.html").read_text(encoding="utf-8")
    assert "Functional tests" in page
    assert "passes, proved by simulation" in page
    assert "Not done, and so not proved: inspection: instruments" in page


def test_a_repair_shows_what_to_do_again(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """After a repair the steps that it may have masked are listed with the reason, in text, JSON and record."""
    for words in (
        ["test-step", "--at", "2026-11-25T08:00-08:00", "--step", "stroke.opens", "--seen", "yes"],
        ["repaired", "--at", "2026-11-25T08:30-08:00", "--of", "outdoor_air_damper_stuck"],
    ):
        cli.main(["read", str(job), *words])
    capsys.readouterr()
    _, text = called(capsys, "prove", str(job))
    assert "To do again after a repair" in text
    _, found = document(capsys, job)
    assert {"stroke.opens", "minimum_position.high"} <= {one["step"] for one in found["retest"]}
    assert step(found, "minimum_position.high")["verdict"] == "cannot_tell"
    cli.main(["record", str(job), "--out", str(job.parent)])
    assert "To do again" in (job.parent / "record.html").read_text(encoding="utf-8")


def test_a_step_of_another_kind_of_unit_is_refused(job: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A gas unit has no defrost: the entry is refused by its option, and the job stays as it was."""
    before = job.read_bytes()
    assert cli.main(["read", str(job), "test-step", "--step", "heating.defrost", "--seen", "yes"]) == REFUSED
    assert '--step: "heating.defrost" is not a step that applies to this unit' in capsys.readouterr().err
    assert job.read_bytes() == before
