"""What the record and the card say of an invented job: what was proved, what was not, and nothing that nobody knows."""

from __future__ import annotations

import html
import io
import json
import re
from collections.abc import Iterator
from datetime import UTC, date, datetime
from hashlib import sha256
from typing import Any

import pytest
from pypdf import PdfReader
from tests.invented import PROBE, facts, left, mixed, supply

from ventwright import job as job_module
from ventwright.errors import Refused
from ventwright.facts import Facts
from ventwright.job import Job, job_json, record_of, work
from ventwright.quantity import System
from ventwright.record import build_card, build_report
from ventwright.record.acceptance import outcome_of, spoken
from ventwright.record.content import Card, Section, Table
from ventwright.record.subject import Subject
from ventwright.tables.acceptance import acceptance

MADE = datetime(2026, 11, 26, 12, 0, tzinfo=UTC)
RETEST_BY = "2026-12-18"

VISIT = {
    "id": "first",
    "started": "2026-11-25T08:30-08:00",
    "technician": "A. Nobody",
    "certificate": "CERT-0-INVENTED",
}
OWN_PROBE = PROBE | {"serial": "SER-1-INVENTED"}


def job(*entries: dict[str, Any], given: Facts | None = None, **other: Any) -> Job:
    """An invented job with entries a minute apart, ids made."""
    made = [
        {"id": f"e{number}", "at": f"2026-11-25T{9 + number // 60:02d}:{number % 60:02d}-08:00"} | entry
        for number, entry in enumerate(entries)
    ]
    return Job.model_validate(
        {
            "id": "t-1",
            "invented": True,
            "facts": given or facts(instruments=[OWN_PROBE]),
            "readings": {"visits": [VISIT], "entries": made},
            "record": {"retest_by": RETEST_BY},
        }
        | other
    )


def subject_of(one: Job, system: System | None = None) -> Subject:
    """What the record of a job is written from, without writing it."""
    caught: list[Subject] = []
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(job_module, "write_record", lambda subject, **_: caught.append(subject))
        record_of(work(one), made=MADE, system=system)
    return caught[0]


def section(subject: Subject, title: str) -> Section:
    """A section of the record by its title."""
    return next(one for one in build_report(subject).sections if one.title == title)


def table(subject: Subject, title: str, caption: str) -> tuple[tuple[str, ...], ...]:
    """The rows of a table of the record."""
    blocks = section(subject, title).blocks
    return next(one.rows for one in blocks if isinstance(one, Table) and one.caption == caption)


def words_of(page: bytes) -> str:
    """The text of an HTML page, on one line."""
    shown = re.sub(r"<style>.*?</style>|<[^>]*>", " ", page.decode(), flags=re.DOTALL)
    return " ".join(html.unescape(shown).split())


def pages_of(pdf: bytes) -> list[str]:
    """The text of each page of a PDF, on one line."""
    return [" ".join(page.extract_text().split()) for page in PdfReader(io.BytesIO(pdf)).pages]


def job_in(pdf: bytes) -> bytes:
    """The job document that a PDF carries."""
    (content,) = PdfReader(io.BytesIO(pdf)).attachments["job.json"]
    return content


def notices(card: Card) -> str:
    """The notices of a card."""
    return " ".join(notice.text for notice in card.notices)


def change(**other: Any) -> dict[str, Any]:
    """A temporary change."""
    return {
        "what": "temporary change",
        "point": "outdoor sensor",
        "was": "sensor on",
        "changed_to": "12k resistor",
    } | other


def tick(item: str, found: str = "in order", **other: Any) -> dict[str, Any]:
    """Something looked at."""
    return {"what": "tick", "item": item, "found": found} | other


@pytest.fixture(scope="module")
def whole() -> dict[str, bytes]:
    """The four files of a job with something of everything."""
    entries = (
        mixed(),
        supply(),
        left(),
        change(id="c1"),
        {"what": "restored", "change": "c1", "read_back": "58.4 F"},
        {
            "what": "sensor check",
            "sensor": "mixed air",
            "shown": "66.9 F",
            "probe": "69.7 F",
            "instrument": "probe",
        },
        tick("blades move freely"),
    )
    return record_of(work(job(*entries, verdict={"deficiencies": DEFICIENCIES}, record=SIGNED)), made=MADE)


DEFICIENCIES = [
    {
        "id": "d1",
        "what": "mixed-air sensor in the lane of the outdoor air",
        "severity": "fault",
        "who_acts": "contractor",
        "due": "2026-12-15",
    },
    {
        "id": "d2",
        "what": "hood screen torn",
        "severity": "remark",
        "who_acts": "owner",
        "closed_on": "2026-12-01",
        "retest": "new screen seen",
    },
]
SIGNED = {
    "signatures": [
        {"name": "A. Nobody", "role": "technician", "on": "2026-11-25", "certificate": "CERT-0-INVENTED"}
    ],
    "next_check": "on a cold morning",
    "retest_by": RETEST_BY,
}


# what is not proved


def test_what_nobody_read_is_said_in_record_and_card() -> None:
    """A fan speed without a reading is "not proved" in the record, with what would settle it; the card says what to set today."""
    subject = subject_of(job(mixed(), supply(), left()))
    page = words_of(record_page(subject))
    assert "Not proved nothing was read at low speed. To settle it: hold the damper at its minimum" in page
    (low,) = [line for line in build_card(subject).airflow if line.label == "Fan low"]
    assert low.value == "not read"
    assert re.fullmatch(r"set \d+ % \([\d.]+ V\): probably \d+ cfm to \d+ cfm, provisional", low.comment)


def record_page(subject: Subject) -> bytes:
    """The HTML page of a record."""
    from ventwright.record.html import report_html

    return report_html(build_report(subject), made=MADE).encode()


def test_what_was_read_and_not_proved_is_provisional_on_the_card() -> None:
    """A supply airflow from the design never carries a pass, and the card does not pretend it does."""
    (high, *_) = build_card(subject_of(job(mixed(), left()))).airflow
    assert "; provisional, not proved; set 21 % (3.68 V): probably " in high.comment
    assert high.comment.endswith(", provisional")
    (high, *_) = build_card(subject_of(job(mixed(), supply("4000 cfm ± 2 %"), left()))).airflow
    assert high.comment.endswith("; proved")
    (high, *_) = build_card(subject_of(job(mixed(), supply("2000 cfm ± 2 %"), left()))).airflow
    assert "; FAILS; set " in high.comment
    assert high.comment.endswith(", provisional")


def test_a_failure_stands_on_the_card_and_first_in_the_record() -> None:
    """Who opens the panel reads what fails; who opens the record reads it before anything else."""
    wrong = {
        "what": "sensor check",
        "sensor": "return air",
        "shown": "84 F",
        "probe": "74 F",
        "instrument": "probe",
    }
    subject = subject_of(job(wrong))
    assert "return air sensor against the probe" in notices(build_card(subject))
    page = words_of(record_page(subject))
    assert page.index("Fails return air sensor against the probe") < page.index("Not proved")


def test_a_setting_that_was_not_read_back_is_said_so() -> None:
    """A planned value is not sold for one that was seen."""
    subject = subject_of(job(left(value="21 %")))
    lines = {line.label: line for line in build_card(subject).settings}
    assert lines["Fresh-air opening, fan fast"].value == "21 %"
    assert "NOT read back" not in lines["Fresh-air opening, fan fast"].comment
    assert lines["Mixed-air target"].comment == "mixed-air set point, planned, NOT read back"
    rows = {row[0]: row for row in table(subject, "Settings", "Settings")}
    assert rows["Fresh-air opening, fan fast"][4] == "21 %"
    assert rows["Mixed-air target"][4] == "not read back"


# the acceptance sheet


def sheet(subject: Subject) -> tuple[tuple[str, ...], ...]:
    """The steps of the acceptance sheet."""
    return table(subject, "Acceptance, step by step", "Steps in the order of the published procedure")


def outcome(one: Job, step: str) -> tuple[str, str]:
    """How a step of the sheet came out, and by what."""
    subject = subject_of(one)
    found = next(outcome_of(row, subject) for row in acceptance().steps if row.id == step)
    return spoken(found, subject), found.by


def test_the_steps_stand_in_the_order_of_the_procedure() -> None:
    """Calibrated instruments first, then the numbered steps of the test in their order, and at last the mark on the damper.

    The numbers are those of the published steps: mechanical code appendix E, 805.5, steps 1 to 6.
    """
    shown = [row[0] for row in sheet(subject_of(job()))]
    assert shown[0] == "Instruments calibrated within a year"
    assert shown[-1] == "Minimum position marked on the damper"
    numbers = [found[1] for text in shown if (found := re.match(r"Step (\d+):", text))]
    assert numbers == ["1", "2", "3", "4", "5", "6"]


@pytest.mark.parametrize(("by", "words"), [(RETEST_BY, RETEST_BY), (None, "____________")])
def test_every_step_passes_fails_or_has_a_day(by: str | None, words: str) -> None:
    """There is no fourth outcome; what is not proved has the day of the re-test, or a line to write it on."""
    outcomes = {row[1] for row in sheet(subject_of(job(change(), record={"retest_by": by})))}
    assert outcomes <= {"pass", "FAIL", f"not yet proved, retest by {words}"}
    assert {"FAIL", f"not yet proved, retest by {words}"} <= outcomes


def test_every_step_names_its_source() -> None:
    """Who signs can look up what each step comes from, and how sure that is."""
    assert all(
        re.search(r"\((read|open data|from memory)[^)]*\)$", row[3]) for row in sheet(subject_of(job()))
    )


def test_certificate_serial_calibration_and_disclaimer() -> None:
    """What an inspector asks for stands on the sheet, and that it is nobody's form."""
    page = words_of(record_page(subject_of(job(mixed()))))
    assert "Certification A. Nobody: CERT-0-INVENTED" in page
    assert "probe (serial SER-1-INVENTED, calibrated 2026-03-01, ± 0.5 °F)" in page
    assert (
        "This sheet does not replace the jurisdiction's own form, nor a certified tester where one is required."
        in page
    )


def test_a_visit_without_a_certificate_says_so() -> None:
    """A missing number is missing, not blank."""
    visits = [{key: value for key, value in VISIT.items() if key != "certificate"}]
    page = words_of(record_page(subject_of(job(readings={"visits": visits}))))
    assert "Certification A. Nobody: no number given" in page


@pytest.mark.parametrize(
    ("calibrated", "expected"),
    [
        ("2026-11-25", ("pass", "probe")),
        ("2025-11-25", ("pass", "probe")),  # a year to the day
        ("2025-11-24", ("FAIL", "older than a year: probe")),
        (None, (f"not yet proved, retest by {RETEST_BY}", "no calibration date: probe")),
        (
            "2026-11-26",
            (f"not yet proved, retest by {RETEST_BY}", "calibrated only after it was used: probe"),
        ),
    ],
)
def test_calibration_counts_on_the_day_of_the_reading(
    calibrated: str | None, expected: tuple[str, str]
) -> None:
    """Within the past year when it was used: not older, and not calibrated afterwards."""
    given = facts(instruments=[OWN_PROBE | {"calibrated": calibrated}])
    assert outcome(job(mixed(), given=given), "instruments") == expected


def test_an_old_calibration_fails_though_another_has_no_date() -> None:
    """What is known to be wrong is not hidden behind what is not known."""
    given = facts(
        instruments=[
            OWN_PROBE | {"calibrated": "2020-01-01"},
            OWN_PROBE | {"id": "other", "calibrated": None},
        ]
    )
    found = outcome(job(mixed(), mixed(instrument="other"), given=given), "instruments")
    assert found == ("FAIL", "older than a year: probe")


def test_only_instruments_that_were_used_count() -> None:
    """A probe that stayed in the bag may be as old as it likes; without a reading nothing is proved."""
    given = facts(instruments=[OWN_PROBE, OWN_PROBE | {"id": "old", "calibrated": "2010-01-01"}])
    assert outcome(job(mixed(), given=given), "instruments") == ("pass", "probe")
    assert outcome(job(given=given), "instruments")[1] == "no reading names an instrument"


def test_a_step_for_the_eyes_is_decided_by_the_latest_tick() -> None:
    """By its id or its words, whatever the case; the last look counts, and a look that was none proves nothing."""
    step = next(one for one in acceptance().steps if one.decided_by == "tick")
    open_ = f"not yet proved, retest by {RETEST_BY}"
    seen = ("pass", "seen 2026-11-25: in order")
    assert outcome(job(), step.id) == (open_, f"nobody ticked {step.id}")
    assert outcome(job(tick(step.id)), step.id) == seen
    assert outcome(job(tick(step.text.upper())), step.id) == seen
    assert outcome(job(tick(step.id), tick(step.id, "not in order")), step.id)[0] == "FAIL"
    assert outcome(job(tick(step.id, "not in order"), tick(step.id)), step.id) == seen
    assert outcome(job(tick(step.id, "not looked at")), step.id)[0] == open_
    taken_back = {"what": "withdrawn", "corrects": "t"}
    assert outcome(job(tick(step.id, id="t"), taken_back), step.id)[0] == open_


def test_the_high_limit_is_decided_by_what_was_read_back() -> None:
    """As planned it passes, otherwise it fails, unread it is open."""
    label = "Outdoor air too warm above"
    assert (
        outcome(job(left(label, "75 F")), "high-limit-set")[0] == "pass"
    )  # 90.1-2019, Table 6.5.1.1.3, zone 3C
    assert outcome(job(left(label, "63 F")), "high-limit-set")[0] == "FAIL"
    assert outcome(job(), "high-limit-set")[0].startswith("not yet proved")


def test_the_sheet_passes_outdoor_air_only_at_every_speed() -> None:
    """One speed proved and one not read is not yet proved."""
    by_air = next(one.id for one in acceptance().steps if one.decided_by == "outdoor_air")
    found = outcome(job(mixed(), supply("4000 cfm ± 2 %"), left()), by_air)
    assert found == (f"not yet proved, retest by {RETEST_BY}", "outdoor air, low")


# what was changed for a test

NONE_LEFT = "No resistor, jumper or override was left in."


def test_an_open_change_is_not_put_back_anywhere() -> None:
    """The record says NOT PUT BACK, the sheet FAIL, the card that something is left behind, and never that nothing is."""
    one = job(change())
    subject = subject_of(one)
    rows = table(subject, "Changed for tests, and looked at", "Changed for tests")
    assert rows == (("outdoor sensor", "sensor on", "12k resistor", "NOT PUT BACK", "not put back"),)
    by_all = next(step.id for step in acceptance().steps if step.decided_by == "nothing_left")
    assert outcome(one, by_all)[0] == "FAIL"
    assert NONE_LEFT not in notices(build_card(subject))
    assert "no resistor, jumper or override left behind" in notices(build_card(subject))
    assert "not restored: outdoor sensor (12k resistor)" in words_of(record_page(subject))


def test_a_change_that_was_put_back_says_when_and_how_it_is_known() -> None:
    """Time and reading stand beside the change; the card may then say that nothing was left."""
    back = {"what": "restored", "change": "c1", "read_back": "58.4 F"}
    subject = subject_of(job(change(id="c1"), back))
    (row,) = table(subject, "Changed for tests, and looked at", "Changed for tests")
    assert row[3:] == ("proved back 2026-11-25 09:01", "seen: 58.4 F")
    assert NONE_LEFT in notices(build_card(subject))


def test_where_nothing_was_entered_nothing_is_said_to_be_put_back() -> None:
    """Nobody has shown that nothing is left behind before anybody was there."""
    by_all = next(step.id for step in acceptance().steps if step.decided_by == "nothing_left")
    assert outcome(job(), by_all) == (f"not yet proved, retest by {RETEST_BY}", "nothing was entered")
    assert outcome(job(mixed()), by_all) == (f"not yet proved, retest by {RETEST_BY}", "nothing left")
    assert NONE_LEFT not in notices(build_card(subject_of(job())))


def test_a_change_worded_anew_keeps_its_proof() -> None:
    """Correcting a word of a change that was put back does not make it one that was not."""
    back = {"what": "restored", "change": "c1", "read_back": "58.4 F"}
    subject = subject_of(job(change(id="c1"), back, change(corrects="c1", was="sensor")))
    (row,) = table(subject, "Changed for tests, and looked at", "Changed for tests")
    assert row[1:] == ("sensor", "12k resistor", "proved back 2026-11-25 09:01", "seen: 58.4 F")


# the rest of what stands there


def test_deficiencies_stand_with_who_acts_and_whether_they_are_closed(whole: dict[str, bytes]) -> None:
    """What stays wrong, how serious, who acts, until when; what was closed says so with its re-test."""
    page = words_of(whole["record.html"])
    assert "mixed-air sensor in the lane of the outdoor air fault contractor 2026-12-15 open" in page
    assert "hood screen torn remark owner – closed 2026-12-01: new screen seen" in page


def test_signatures_and_room_for_more(whole: dict[str, bytes]) -> None:
    """Who signed stands there with the certificate; a pen finds room for others."""
    page = words_of(whole["record.html"])
    assert "A. Nobody technician 2026-11-25 CERT-0-INVENTED –" in page
    assert "For handwriting on the printed sheet: Name, Role, Date, Signature." in page


def test_the_digest_is_that_of_the_attached_job(whole: dict[str, bytes]) -> None:
    """Page, PDF and data print the SHA-256 of exactly the bytes that both PDFs carry."""
    attached = job_in(whole["record.pdf"])
    assert job_in(whole["card.pdf"]) == attached
    digest = sha256(attached).hexdigest()
    assert f"SHA-256 of the attached document: {digest}." in words_of(whole["record.html"])
    assert digest in "".join("".join(pages_of(whole["record.pdf"])).split())  # a line may end within it
    assert json.loads(whole["record.json"])["sha256_of_job"] == digest


def test_invented_is_said_on_every_page(whole: dict[str, bytes]) -> None:
    """No sheet of an example can be taken for a real one, whichever falls out of the folder."""
    pages = pages_of(whole["record.pdf"])
    assert len(pages) > 3
    assert [number for number, page in enumerate(pages, 1) if "invented example" not in page] == []
    assert "Invented example." in "".join(pages_of(whole["card.pdf"]))
    assert "invented example" in words_of(whole["record.html"])


def test_a_real_job_is_not_called_invented() -> None:
    """The word stands nowhere else."""
    subject = subject_of(job(mixed(), invented=False))
    assert "invented example" not in words_of(record_page(subject)).lower()
    assert "nvented example" not in notices(build_card(subject))


def test_the_same_job_makes_the_same_files(whole: dict[str, bytes]) -> None:
    """With the same time of making not a byte differs, so that two copies can be compared."""
    again = Job.model_validate(json.loads(job_in(whole["record.pdf"])))
    assert record_of(work(again), made=MADE) == whole


def test_a_time_without_offset_is_refused() -> None:
    """A record says when it was made in a time that means something elsewhere too."""
    with pytest.raises(Refused) as caught:
        record_of(work(job()), made=datetime(2026, 11, 26, 12, 0))  # noqa: DTZ001 - just what is refused
    assert "has no offset from UTC" in str(caught.value)


def test_each_probe_of_a_reading_is_named() -> None:
    """One for all, one for each in the order of the streams, or that nobody named one."""
    given = facts(instruments=[OWN_PROBE, OWN_PROBE | {"id": "long"}])
    entries = (mixed(), mixed(mixed_instrument="long"), mixed(instrument=None))
    rows = table(subject_of(job(*entries, given=given)), "Airflow", "Temperatures read")
    assert [row[-1] for row in rows] == ["probe", "probe, probe, long", "not named"]


def test_the_card_is_dated_by_the_latest_visit() -> None:
    """Visits merged from another device may stand in any order."""
    visits = [VISIT | {"id": "b", "started": "2026-12-09T08:00-08:00"}, VISIT]
    card = build_card(subject_of(job(readings={"visits": visits})))
    assert "as left 2026-12-09" in card.subtitle


def test_settings_are_shown_in_the_units_of_the_record() -> None:
    """Planned, met and left stand side by side in one system; what is of another controller stays as it was entered."""
    as_found = {"settings": {"Mixed-air target": "55 F", "Blue dial": "4 F"}}
    given = facts(instruments=[OWN_PROBE], as_found=as_found)
    subject = subject_of(job(left("mixed-air target", "53 F"), given=given), "si")
    row = next(row for row in table(subject, "Settings", "Settings") if row[0] == "Mixed-air target")
    assert row[2:5] == ("11.7 °C", "12.8 °C", "11.7 °C")  # 53 °F and 55 °F
    page = words_of(record_page(subject))
    assert "Mixed-air target 12.8 °C" in page
    assert "Blue dial 4 F" in page
    assert "Accuracy (95 %)" in page
    assert "± 0.3 K" in page  # 0.5 °F
    (line,) = [line for line in build_card(subject).settings if line.label == "Mixed-air target"]
    assert line.value == "11.7 °C"


# little, much, and odd


def test_a_job_with_nothing_in_it_still_makes_all_four_files() -> None:
    """No readings, no instruments, no visits, nothing as found: everything is said to be open, and nothing is claimed."""
    empty = Job(id="empty", facts=facts(instruments=[]))
    files = record_of(work(empty), made=MADE)
    assert sorted(files) == ["card.pdf", "record.html", "record.json", "record.pdf"]
    page = words_of(files["record.html"])
    for words in (
        "Visits none entered",
        "Nothing was entered as found.",
        "No sensor was held against a probe.",
        "No temporary change was entered.",
        "No deficiency was entered.",
        "Next check not set",
        "Certification no visit entered Instruments none entered",
    ):
        assert words in page
    assert {row[1] for row in sheet(subject_of(empty))} == {"not yet proved, retest by ____________"}
    card = "".join(pages_of(files["card.pdf"]))
    assert NONE_LEFT not in card
    assert "no visit entered" in card
    assert json.loads(job_in(files["card.pdf"]))["id"] == "empty"


def test_a_job_of_two_hundred_readings_makes_all_four_files() -> None:
    """Every reading stands in page and PDF, the last as well as the first; the card stays one sheet."""
    many = [mixed(note=f"n{number}", id=f"m{number}") for number in range(200)]
    files = record_of(work(job(*many)), made=MADE)
    page = words_of(files["record.html"])
    times = [f"2026-11-25 {9 + number // 60:02d}:{number % 60:02d}" for number in range(200)]
    assert [time for time in times if time not in page] == []
    printed = " ".join(pages_of(files["record.pdf"]))
    assert times[0] in printed
    assert times[-1] in printed
    assert len(pages_of(files["card.pdf"])) == 1
    assert len(json.loads(job_in(files["record.pdf"]))["readings"]["entries"]) == 200


MARKUP = "<script>alert(1)</script> & {{ 7 * 7 }} {0} %s {name}"


def everywhere(text: str) -> Job:
    """A job with one text in every place where a person may write."""
    entries = (
        mixed(conditions=text, note=text, by=text, visit="first"),
        change(point=text, was=text, changed_to=text),
        tick(text, note=text),
        {"what": "sensor check", "sensor": "return air", "shown": "74 F", "probe": "74 F", "note": text},
    )
    given = facts(
        site={"name": text, "address": text, "note": text},
        unit={"tag": text, "serves": text},
        ventilation={"drawn": {"cooling": "1116 cfm", "source": text}},
        instruments=[OWN_PROBE | {"name": text, "serial": text}],
        as_found={"by": text, "settings": {text: text}, "condition": [text]},
    )
    deficiency = DEFICIENCIES[0] | {"what": text, "who_acts": text, "retest": text}
    signature = {"name": text, "role": text, "on": "2026-11-25", "certificate": text, "statement": text}
    return job(
        *entries,
        given=given,
        id=text,
        readings={
            "visits": [VISIT | {"technician": text, "certificate": text}],
            "entries": [
                {"id": f"e{number}", "at": f"2026-11-25T09:{number:02d}-08:00"} | entry
                for number, entry in enumerate(entries)
            ],
        },
        verdict={"deficiencies": [deficiency]},
        record={"signatures": [signature], "next_check": text, "retest_by": date(2026, 12, 18)},
    )


def test_what_people_write_is_text_and_never_markup() -> None:
    """Brackets, braces and percent signs are printed as they stand, in page, PDF, card and data; no script gets in."""
    one = everywhere(MARKUP)
    files = record_of(work(one), made=MADE)
    page = files["record.html"].decode()
    assert "<script" not in page
    assert " 49 " not in words_of(files["record.html"])
    assert words_of(files["record.html"]).count(MARKUP) > 15
    assert any("<script>alert(1)</script>" in text for text in pages_of(files["record.pdf"]))
    assert any("<script>alert(1)</script>" in text for text in pages_of(files["card.pdf"]))
    assert job_in(files["record.pdf"]) == job_json(one)


LETTERS = "ü ß ñ – “quoted” ≤ 5 Ω 面 𝄞 ☃ \u200b \u202egnp.exe"
"""Of Latin alphabets, of none of the record's fonts, without width, and one that turns the direction of writing."""


def test_any_letters_can_be_printed() -> None:
    """Letters that no font here has do not stop the record; the attached job and the data have them all."""
    one = job(mixed(note=LETTERS), given=facts(site={"name": LETTERS}, instruments=[OWN_PROBE]))
    files = record_of(work(one), made=MADE)
    assert job_in(files["record.pdf"]) == job_json(one)
    assert json.loads(files["record.json"])["job"]["facts"]["site"]["name"] == LETTERS


def rows_of(subject: Subject) -> Iterator[tuple[int, tuple[str, ...]]]:
    """Every row of every table with the number of columns that its table has."""
    for one in build_report(subject).sections:
        for block in one.blocks:
            if isinstance(block, Table):
                yield from ((len(block.columns), row) for row in block.rows)


def test_every_row_fits_its_table() -> None:
    """Each row has a cell for every column, whatever was entered or left out."""
    for one in (everywhere("x" * 3), Job(id="empty", facts=facts(instruments=[]))):
        assert [row for columns, row in rows_of(subject_of(one)) if len(row) != columns] == []
