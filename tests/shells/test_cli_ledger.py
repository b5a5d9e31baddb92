"""`ventwright ledger`, `leave` and what the record says of open lines: text, JSON, files, exit codes."""

from __future__ import annotations

import io
import json
from dataclasses import replace
from datetime import UTC, date, datetime
from importlib.resources import files
from pathlib import Path
from typing import Any, Final

import pytest
from pypdf import PdfReader

from ventwright import cli
from ventwright.cli import CANNOT_TELL, DONE, FAILS
from ventwright.evidence import Verdict
from ventwright.facts.harness import Harness
from ventwright.facts.power import Power
from ventwright.job import subject_of, work
from ventwright.plan import WiringState
from ventwright.plan.concerns import Concern, Weight
from ventwright.plan.power import plan_power
from ventwright.plan.requirement import Compliance
from ventwright.plan.wiring.from_facts import plan_wiring
from ventwright.readings import LeftSafe, Tick
from ventwright.record.subject import Subject
from ventwright.record.tag import Tag, build_tag, tag_files, tag_text
from ventwright.store import load
from ventwright.words import Words

DEMO: Final = Path(str(files("ventwright.cli"))) / "demo_job" / "larkspur-row-r-2.yaml"

RESISTOR: Final = (
    *("change", "--id", "c2", "--kind", "resistor", "--sensor", "outdoor air", "--point", "outdoor sensor"),
    *("--was", "sensor on", "--to", "13.2k resistor", "--imitates", "66 F"),
)
SETTING: Final = (
    *("change", "--id", "c3", "--kind", "setting", "--label", "Outdoor air too warm above", "--point", "high limit"),
    *("--was", "75 F", "--to", "55 F"),
)  # fmt: skip


@pytest.fixture
def job(tmp_path: Path) -> Path:
    """A copy of the demo job."""
    path = tmp_path / "job.yaml"
    path.write_bytes(DEMO.read_bytes())
    return path


def called(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str]:
    """Exit code and everything printed by one call, on one line."""
    capsys.readouterr()
    code = cli.main(list(arguments))
    return code, " ".join(capsys.readouterr().out.split())


def document(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, dict[str, Any]]:
    """Exit code and the JSON of one call."""
    capsys.readouterr()
    code = cli.main([*arguments, "--json"])
    return code, json.loads(capsys.readouterr().out)


def test_the_demo_has_proved_its_one_line(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Nothing is open, and nothing is reckoned."""
    code, text = called(capsys, "ledger", str(job))
    assert code == DONE
    assert "drive shows automatic" in text
    assert "NOT FINISHED" not in text


def test_an_open_line_says_what_forgetting_it_costs(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Airflow and load, marked as an estimate, and that the job is not finished."""
    called(capsys, "read", str(job), *RESISTOR)
    code, text = called(capsys, "ledger", str(job))
    assert code == FAILS
    assert "Forgetting c2 would cost: estimate, by the unit in software: on a hot afternoon" in text
    assert "more outdoor air" in text
    assert "NOT FINISHED: open lines: c2." in text


def test_the_json_holds_state_proof_and_figures(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """SI, units in the key names."""
    called(capsys, "read", str(job), *RESISTOR)
    code, found = document(capsys, "ledger", str(job))
    line = next(one for one in found["lines"] if one["id"] == "c2")
    assert (code, found["finished"], line["state"], line["why"]) == (
        FAILS,
        False,
        "open",
        "nothing_left.open",
    )
    worst = line["forgetting"]["costs"][0]
    assert worst["outdoor_air_m3_s"] > 0.0
    assert worst["load_W"] > 0.0


def test_a_word_alone_leaves_it_to_be_told(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Restored, not read again: exit code 3; read again, 0."""
    called(capsys, "read", str(job), *SETTING)
    called(capsys, "read", str(job), "restored", "--change", "c3", "--read-back", "back at 75 F")
    code, found = document(capsys, "ledger", str(job))
    assert (code, found["lines"][1]["state"]) == (CANNOT_TELL, "restored but not proved")
    called(capsys, "read", str(job), "setting", "--label", "Outdoor air too warm above", "--value", "75 F")
    assert called(capsys, "ledger", str(job))[0] == DONE


def test_the_record_says_that_it_is_not_finished(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """On the screen, first of the notices, on the card, and beside the signature that is already there."""
    called(capsys, "read", str(job), *RESISTOR)
    code, text = called(capsys, "record", str(job))
    assert code == FAILS
    assert text.endswith("NOT FINISHED: open lines: c2. No job is finished before every line is proved.")
    page = (job.parent / "job-record" / "record.html").read_text(encoding="utf-8")
    assert page.index("NOT FINISHED: open lines: outdoor sensor (open)") < page.index("Every check")
    assert (
        "The signatures here stand for no finished job: one line of the ledger is not proved closed." in page
    )
    card = PdfReader(job.parent / "job-record" / "card.pdf").pages[0].extract_text()
    assert "NOT FINISHED" in card


def test_a_finished_record_says_nothing_of_it(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """The demo's own record."""
    _, text = called(capsys, "record", str(job))
    page = (job.parent / "job-record" / "record.html").read_text(encoding="utf-8")
    assert "NOT FINISHED" not in text + page


def test_a_line_that_was_taken_back_is_shown(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Withdrawn, it is open no more; the record does not pass over it."""
    called(capsys, "read", str(job), *SETTING)
    called(capsys, "read", str(job), "withdraw", "--corrects", "c3", "--note", "it is to stay at 55 F")
    assert called(capsys, "ledger", str(job))[0] == DONE
    called(capsys, "record", str(job))
    page = (job.parent / "job-record" / "record.html").read_text(encoding="utf-8")
    assert "it is to stay at" in page


# make safe and leave


def test_leaving_enters_it_and_writes_the_tag(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Who was told, where the damper stands, what goes back before power: on screen, as text, on one page."""
    called(capsys, "read", str(job), *RESISTOR)
    called(capsys, "read", str(job), *SETTING)
    code, text = called(capsys, "leave", str(job), "--told", "Ms. Nobody, by phone", "--signal", "21 %")
    assert code == FAILS
    for said in (
        "NOT FINISHED – unit R-2",
        "2 open, 0 put back but not proved",
        "Told: Ms. Nobody, by phone",
        "Damper meanwhile: at ventilation (21 %)",
        "BEFORE POWER: mechanical cooling",
        "BEFORE POWER: outdoor sensor: now 13.2k resistor, put back sensor on",
        "With power on: high limit: now 55 F, put back 75 F",
    ):
        assert said in text
    assert "BEFORE POWER: high limit" not in text
    folder = job.parent / "job-tag"
    assert "Ms. Nobody" in (folder / "tag.txt").read_text(encoding="utf-8")
    reader = PdfReader(folder / "tag.pdf")
    assert len(reader.pages) == 1
    assert reader.attachments["job.json"]
    left = load(job).job.readings.standing(LeftSafe)
    assert [(one.told, one.damper, one.visit) for one in left] == [
        ("Ms. Nobody, by phone", "at ventilation", "cold-morning")
    ]


def test_a_visit_left_with_nothing_open_ends_well(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Exit code 0; where nobody was told the tag says so."""
    code, text = called(capsys, "leave", str(job), "--visit", "first-fit")
    assert code == DONE
    assert "Told: NOBODY YET" in text
    assert "every temporary change proved back" in text


def test_what_is_open_besides_the_ledger_stands_on_the_tag(
    capsys: pytest.CaptureFixture[str], job: Path
) -> None:
    """Every line is proved, and the tag says what keeps the job from being finished: checks, and a damper left elsewhere."""
    _, text = called(capsys, "leave", str(job), "--told", "Ms. Nobody", "--signal", "21 %")
    assert "NOT FINISHED – unit R-2" in text
    assert "Still open: FAILS: mixed air sensor against the probe" in text
    assert (
        "Still open: cannot be told yet: outdoor air at low speed against 1116 cfm ± 10 %; functional tests"
        in text
    )
    assert "this tag comes off when what is still open is settled" in text
    assert "the damper does not stand" not in text
    _, text = called(capsys, "leave", str(job), "--damper", "shut", "--why", "linkage parted")
    assert "Still open: the damper does not stand at ventilation: shut" in text
    page = PdfReader(job.parent / "job-tag" / "tag.pdf").pages[0].extract_text()
    assert "Still open" in page
    _, found = document(capsys, "leave", str(job), "--told", "Ms. Nobody")
    assert found["still_open"][0] == "FAILS: mixed air sensor against the probe"


def test_a_tag_of_a_job_with_nothing_open_is_finished(job: Path) -> None:
    """Every line proved, every check passed, the damper at ventilation: nothing says otherwise."""
    tagged(job, 0)
    kept = load(job)
    subject = subject_of(work(kept.job, kept.beside))
    (entry,) = kept.job.readings.standing(LeftSafe)
    passed = replace(
        subject.verdicts,
        speeds=(),
        sensors=tuple(one for one in subject.verdicts.sensors if one.verdict is Verdict.PASSES),
        steps=(),
    )
    done = replace(subject, verdicts=passed, deficiencies=())
    tag = build_tag(done, entry)
    assert (tag.title, tag.finished, tag.still_open, tag.steps) == ("FINISHED – unit R-2", True, (), ())
    assert tag.footer.endswith("nothing is open: this tag may come off")
    assert build_tag(subject, entry).title == "NOT FINISHED – unit R-2"
    (deficiency,) = subject.deficiencies
    danger = deficiency.model_copy(update={"what": "gas valve leaks", "severity": "danger"})
    wrong = build_tag(replace(done, deficiencies=(danger,)), entry)
    assert (wrong.finished, wrong.still_open) == (False, ("not put right: gas valve leaks",))
    closed = danger.model_copy(update={"closed_on": date(2026, 11, 26)})
    remark = danger.model_copy(update={"severity": "remark"})
    assert build_tag(replace(done, deficiencies=(closed, remark)), entry).finished


def with_nothing_open(job: Path) -> tuple[Subject, Subject, LeftSafe]:
    """Return the invented job, the same without a check or remark that is open, and how it was left."""
    tagged(job, 0)
    kept = load(job)
    subject = subject_of(work(kept.job, kept.beside))
    (entry,) = kept.job.readings.standing(LeftSafe)
    passed = replace(subject.verdicts, speeds=(), sensors=(), steps=())
    return subject, replace(subject, verdicts=passed, deficiencies=()), entry


def test_a_tag_is_not_finished_with_a_thing_out_of_order(job: Path) -> None:
    """What no check tells keeps a job open as well: a tick, until it is in order, control power, and the harness."""
    subject, done, entry = with_nothing_open(job)
    assert build_tag(done, entry).finished

    def ticked(*found: str) -> tuple[str, ...]:
        ticks = [
            Tick.model_validate({"what": "tick", "id": f"t{number}", "at": entry.at, "item": "linkage", "found": one})
            for number, one in enumerate(found)
        ]  # fmt: skip
        entries = (*subject.readings.entries, *ticks)
        seen = subject.readings.model_copy(update={"entries": entries})
        return build_tag(replace(done, readings=seen), entry).still_open

    assert ticked("not in order") == ("not in order: linkage",)
    assert ticked("not in order", "in order") == ()
    loads = [{"name": "controller", "apparent_power": "60 VA", "when": "always on"}]
    small = Power.model_validate({"transformers": [{"name": "T1", "rating": "40 VA"}], "loads": loads})
    too_much = replace(subject.plan, power=plan_power(small))
    assert build_tag(replace(done, plan=too_much), entry).still_open == ("control power FAILS",)
    harness = Harness(board="twelve-way-with-jumper-plug")
    wiring = plan_wiring(subject.facts.model_copy(update={"harness": harness}), subject.plan.kit)
    assert wiring is not None
    for state, said in ((WiringState.NOT_WHOLE, ("the kit's harness: not whole",)), (WiringState.WHOLE, ())):
        joined = replace(subject.plan, wiring=replace(wiring, state=state, restore=()))
        assert build_tag(replace(done, plan=joined), entry).still_open == said
    untold = replace(subject.plan, power=plan_power(small.model_copy(update={"loads": ()})))
    assert build_tag(replace(done, plan=untold), entry).still_open == ("control power cannot be told yet",)


def test_a_tag_is_not_finished_against_the_code(job: Path) -> None:
    """A requirement that is not met and settings that do not fit keep a job open; what is only advised does not."""
    subject, done, entry = with_nothing_open(job)
    first, *rest = subject.plan.requirements
    unmet = replace(subject.plan, requirements=(replace(first, standing=Compliance.NOT_MET), *rest))
    assert build_tag(replace(done, plan=unmet), entry).still_open == (
        f"the code asks, and is not met: {first.title}",
    )
    for weight, count in ((Weight.CONFLICT, 1), (Weight.ADVICE, 0)):
        concern = Concern("settings.invented", weight, Words("the limit stands above what the code allows"))
        against = replace(subject.plan, concerns=(concern,))
        assert len(build_tag(replace(done, plan=against), entry).still_open) == count


def test_the_jumper_plug_that_restores_cooling_stands_on_the_tag(
    capsys: pytest.CaptureFixture[str], job: Path
) -> None:
    """Where the kit took the place of a jumper plug, the plug goes back before power."""
    text = job.read_text(encoding="utf-8").replace(
        "  kit: two-speed-dry-bulb\n",
        "  kit: two-speed-dry-bulb\n  harness: {board: twelve-way-with-jumper-plug}\n",
    )
    job.write_text(text, encoding="utf-8")
    _, said = called(capsys, "leave", str(job), "--told", "Ms. Nobody")
    assert (
        "BEFORE POWER: mechanical cooling, where the kit is not in and proved: power off and locked: kit's plug out"
        in said
    )
    assert "the unit then cools mechanically as before" in said


def test_leaving_in_json(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """What was entered, what is not closed, what brings cooling back, what was written."""
    called(capsys, "read", str(job), *RESISTOR)
    why = "linkage parted"
    code, found = document(capsys, "leave", str(job), "--damper", "where it failed", "--why", why)
    assert code == FAILS
    assert (found["left"]["damper"], found["left"]["why"]) == ("where it failed", why)
    assert [one["id"] for one in found["not_closed"]] == ["c2"]
    assert found["restore_mechanical_cooling"]
    assert [Path(one).name for one in found["wrote"]] == ["tag.pdf", "tag.txt"]


def tagged(job: Path, lines: int) -> tuple[Tag, bytes]:
    """The tag of the demo with many open lines, and its PDF."""
    changes = "\n".join(
        f'    - {{what: temporary change, id: x{number}, at: "2026-11-25T08:00-08:00", point: "terminal {number} at the board", '
        f"was: open, changed_to: joined to R with a jumper that is red}}"
        for number in range(lines)
    )
    left = '    - {what: left safe, id: l, at: "2026-11-25T09:00-08:00", told: Ms. Nobody}'
    text = job.read_text(encoding="utf-8").replace("\nverdict:\n", f"\n{changes}\n{left}\n\nverdict:\n")
    job.write_text(text, encoding="utf-8")
    kept = load(job)
    subject = subject_of(work(kept.job, kept.beside))
    (entry,) = kept.job.readings.standing(LeftSafe)
    made = tag_files(subject, entry, made=datetime(2026, 11, 25, tzinfo=UTC))
    return build_tag(subject, entry), made["tag.pdf"]


def test_many_lines_stay_on_one_page_and_are_counted(job: Path) -> None:
    """Forty open lines: what does not fit is counted, the text file holds all, and the cooling comes first."""
    tag, pdf = tagged(job, 40)
    (page,) = PdfReader(io.BytesIO(pdf)).pages
    shown = page.extract_text()
    fitted = shown.count("BEFORE POWER")
    assert 5 < fitted < len(tag.steps) == 42
    assert f"AND {42 - fitted} MORE" in shown
    assert "mechanical cooling" in shown
    assert tag_text(tag).count("terminal ") == 40


def test_few_lines_are_printed_large(job: Path) -> None:
    """Nothing is counted away while there is room."""
    tag, pdf = tagged(job, 2)
    (page,) = PdfReader(io.BytesIO(pdf)).pages
    assert len(tag.steps) == 4
    assert "MORE" not in page.extract_text().replace("BEFORE", "")


def test_a_tag_says_that_ventilation_is_too_little(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """The demo's minimum was left at 21 %: a tenth of the stroke is not ventilation, whatever it is called."""
    _, text = called(capsys, "leave", str(job), "--told", "Ms. Nobody", "--signal", "10 %")
    assert "at ventilation (10 %): LESS than the minimum of 21 %" in text
    assert "people breathe meanwhile" not in text
    _, text = called(capsys, "leave", str(job), "--told", "Ms. Nobody", "--signal", "20 %")
    assert "at ventilation (20 %): people breathe meanwhile" in text


def test_a_tag_says_what_still_moves_the_damper(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Left at ventilation, with the minimum raised for a test or the manual mode on: with power it stands elsewhere."""
    raised = ("--kind", "setting", "--label", "Fresh-air opening, fan fast", "--was", "21 %", "--to", "100 %")
    called(capsys, "read", str(job), "change", "--id", "c9", "--point", "minimum, fan fast", *raised)
    _, text = called(capsys, "leave", str(job), "--told", "Ms. Nobody", "--signal", "21 %")
    assert "at ventilation (21 %): BUT minimum, fan fast is not proved back from 100 %" in text
    called(capsys, "record", str(job))
    page = (job.parent / "job-record" / "record.html").read_text(encoding="utf-8")
    assert "BUT minimum, fan fast is not proved back" in page


def test_a_lockout_that_was_lowered_says_so(capsys: pytest.CaptureFixture[str], job: Path) -> None:
    """Where the days show no figure, the sentence still says what may happen in the cold."""
    lowered = ("--kind", "setting", "--label", "No compressor below", "--was", "50 F", "--to", "10 F")
    called(capsys, "read", str(job), "change", "--id", "c9", "--point", "lockout", *lowered)
    assert "nothing keeps the compressor off" in called(capsys, "ledger", str(job))[1]
    called(
        capsys,
        "read",
        str(job),
        "change",
        "--id",
        "c9b",
        "--corrects",
        "c9",
        "--point",
        "lockout",
        *lowered[:-1],
        "60 F",
    )
    assert "nothing keeps the compressor off" not in called(capsys, "ledger", str(job))[1]
