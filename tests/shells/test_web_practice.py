"""The practice roof as pages: a job by choice and by code, what its instruments show, what changes it, how it ended."""

from __future__ import annotations

import re
from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest
from tests.web_client import Client, words

from ventwright.job import read_job, work
from ventwright.readings import Readings
from ventwright.readings.practice.code import PracticeCode
from ventwright.readings.practice.end import Ended, how_it_ended
from ventwright.readings.practice.hidden import hidden_unit
from ventwright.web.pages import practice
from ventwright.web.work import Steps

pytestmark = pytest.mark.usefixtures("either_database")

STUCK = PracticeCode(0, 1, 1234)
"""One fault in the open on a cool day; which one, the tests look up."""


@pytest.fixture
def client(tmp_path: Path) -> Client:
    return Client(tmp_path)


def opened(client: Client, code: PracticeCode = STUCK, once: str = "a" * 32) -> str:
    answer = client.post("/practice", {"once": once, "code": str(code)})
    assert answer.status_code == 200, answer.text
    return once


def field(page: str, name: str) -> str:
    """Return what stands in a field of a page."""
    found = re.search(rf'id="{re.escape(name)}"[^>]* value="([^"]*)"', page)
    assert found, name
    return found[1]


def entries(client: Client, job: str) -> list[dict[str, Any]]:
    held: list[dict[str, Any]] = (client.document(job).get("readings") or {}).get("entries") or []
    return held


def repair(client: Client, job: str, fault: str, once: str) -> None:
    answer = client.post(f"/jobs/{job}/find/repaired", {"once": once * 32, "of": fault})
    assert answer.status_code == 200


def test_the_list_of_jobs_leads_to_the_practice_roof(client: Client) -> None:
    assert 'href="/practice"' in client.get("/").text
    shown = words(client.get("/practice").text)
    assert "One fault, in the open" in shown
    assert "Frosty morning" in shown


def test_a_job_by_choice_carries_a_code_and_says_that_it_is_practice(client: Client) -> None:
    answer = client.post(
        "/practice", {"once": "b" * 32, "difficulty": "one behind another", "weather": "hot"}
    )
    document = client.document("b" * 32)
    assert re.fullmatch(r"\w{4}-\w{4}", document["practice"])
    assert document["practice"] in words(answer.text)
    assert "One fault behind another" in words(answer.text)
    for page in ("", "/facts", "/plan", "/find", "/balance", "/prove", "/record"):
        assert "Practice, no real unit" in words(client.get(f"/jobs/{'b' * 32}{page}").text), page
    assert "Practice roof, no real unit" in words(client.get("/").text)


def test_the_same_form_twice_opens_one_job_and_a_code_always_the_same_roof(client: Client) -> None:
    opened(client)
    opened(client)
    assert client.get("/").text.count("/jobs/" + "a" * 32) == 1
    other = opened(client, once="c" * 32)
    assert client.document(other)["facts"] == client.document("a" * 32)["facts"]


def test_a_code_goes_before_what_was_chosen(client: Client) -> None:
    client.post(
        "/practice",
        {"once": "d" * 32, "difficulty": "one or two", "weather": "hot", "code": str(STUCK).lower()},
    )
    assert client.document("d" * 32)["practice"] == str(STUCK)


def test_a_wrong_code_is_refused_with_what_was_typed_still_there(client: Client) -> None:
    answer = client.post(
        "/practice", {"once": "e" * 32, "difficulty": "one or two", "weather": "hot", "code": "3C7H"}
    )
    assert answer.status_code == 422
    assert field(answer.text, "code") == "3C7H"
    assert '"3C7H" has 4 signs, and a code has eight; accepted: all eight, such as 3FMJ-FN3P.' in words(
        answer.text
    )
    assert 'value="hot" checked' in answer.text


def test_what_is_not_offered_is_refused(client: Client) -> None:
    answer = client.post("/practice", {"once": "e" * 32, "difficulty": "deadly", "weather": "hot"})
    assert answer.status_code == 422
    assert "is not offered" in words(answer.text)


def test_the_button_fills_the_fields_and_enters_nothing(client: Client) -> None:
    job = opened(client)
    page = client.post(f"/jobs/{job}/find/measure/run.cool_1", {"practice": "read"})
    assert page.status_code == 200
    assert entries(client, job) == []
    signal = field(page.text, "damper-signal")
    assert 0.0 <= float(signal) <= 100.0
    again = client.post(f"/jobs/{job}/find/measure/run.cool_1", {"practice": "read"})
    assert field(again.text, "damper-signal") == signal
    assert "Read the practice unit" in words(page.text)


def test_no_real_job_offers_to_read_a_practice_unit(client: Client) -> None:
    job = client.with_demo()
    assert "practice unit" not in words(client.get(f"/jobs/{job}/find/measure/run.cool_1").text)
    assert client.get(f"/jobs/{job}/practice").status_code == 404
    assert client.get(f"/jobs/{job}/practice/end").status_code == 404
    answer = client.post(f"/jobs/{job}/find/measure/run.cool_1", {"once": "f" * 32, "practice": "read"})
    assert answer.status_code == 422


def test_what_was_typed_beside_what_is_read_stays(client: Client) -> None:
    job = opened(client)
    sent = {"practice": "read", "instrument": "probe", "sensor_shows": "1"}
    page = client.post(f"/jobs/{job}/balance/{speed_of(client, job)}/read/mixed-air?damper=30+%25", sent)
    assert page.status_code == 200
    assert field(page.text, "mixed_air").count(",") == 7
    assert field(page.text, "sensor_shows") != "1"
    assert 'value="probe" selected' in page.text or 'value="probe" checked' in page.text


def speed_of(client: Client, job: str) -> str:
    return work(read_job(client.document(job))).plan.speeds[0].name


@pytest.mark.parametrize(
    "kind",
    [
        "mixed-air",
        "behind-fan",
        "outdoor-airflow",
        "supply-air",
        "carbon-dioxide",
        "humidity",
        "side-by-side",
    ],
)
@pytest.mark.parametrize("system", ["us", "si"])
def test_every_kind_of_reading_at_the_damper_is_filled(client: Client, kind: str, system: str) -> None:
    client.set("units", system)
    job = opened(client)
    page = client.post(
        f"/jobs/{job}/balance/{speed_of(client, job)}/read/{kind}?damper=30+%25", {"practice": "read"}
    )
    assert page.status_code == 200
    filled = re.findall(r'inputmode="decimal"[^>]*', page.text)
    assert filled
    values = re.findall(r'id="([^"]+)" name="[^"]+" value="([^"]*)" inputmode="decimal"', page.text)
    asked = {name: value for name, value in values if name not in {"band", "fan_heat", "sensor_shows"}}
    assert all(asked.values()), asked


def test_a_sensor_and_a_setting_are_read(client: Client) -> None:
    job = opened(client)
    page = client.post(f"/jobs/{job}/prove/sensors", {"practice": "read", "sensor": "return air"})
    assert abs(float(field(page.text, "shown")) - float(field(page.text, "probe"))) < 5.0
    page = client.post(f"/jobs/{job}/set/1", {"practice": "read"})
    planned = work(read_job(client.document(job))).plan.settings[0].value.show("us")
    assert f"{field(page.text, 'found')} %" == planned


def test_a_step_is_read_or_looked_at(client: Client) -> None:
    job = opened(client)
    page = client.post(f"/jobs/{job}/prove/minimum_position.stays?ready=1", {"practice": "read"})
    assert 0.0 <= float(field(page.text, "read_value")) <= 100.0
    assert "At which fan speed" not in words(page.text)
    looked = client.post(f"/jobs/{job}/prove/free_cooling.no_compressor?ready=1", {"practice": "read"})
    assert "outdoor blades about" in words(looked.text)
    nothing = client.post(f"/jobs/{job}/prove/inspection.instruments?ready=1", {"practice": "read"})
    assert "nothing of this is part of the practice unit: take it as in order" in words(nothing.text)
    assert entries(client, job) == []


def test_people_inside_say_what_the_code_has_them_say(client: Client) -> None:
    job = opened(client)
    assert "On this practice roof:" in words(client.get(f"/jobs/{job}/find").text)


def test_the_end_says_what_was_there_while_it_is(client: Client) -> None:
    job = opened(client)
    (fault,) = hidden_unit(STUCK).faults
    shown = words(client.get(f"/jobs/{job}/practice/end").text)
    assert "0 of 1 was put right." in shown
    assert fault.row.words in shown.lower()
    assert "still there" in shown
    assert "Somebody who takes every piece of advice is playing the same roof." in shown


def test_a_repair_changes_the_unit_and_the_end_says_so(client: Client) -> None:
    job = opened(client)
    (fault,) = hidden_unit(STUCK).faults
    repair(client, job, fault.row.id, "b")
    after = words(client.get(f"/jobs/{job}/practice/end").text)
    assert "Everything that was there was put right." in after
    assert "15 min" in after


def test_the_best_path_is_shown_once_it_is_played(client: Client, monkeypatch: pytest.MonkeyPatch) -> None:
    came = how_it_ended(hidden_unit(STUCK), Readings())

    def quickly(code: PracticeCode) -> Steps[Ended]:
        assert code == STUCK
        yield 0, 1
        return replace(came, minutes=37.0)

    monkeypatch.setattr(practice, "played", quickly)
    job = opened(client)
    pages = client.get_all([f"/jobs/{job}/practice/end"] * 4)
    assert "37 min" in words(pages[-1].text)


def test_a_repair_for_nothing_is_told(client: Client) -> None:
    job = opened(client)
    there = {one.row.id for one in hidden_unit(STUCK).faults}
    other = next(one for one in ("outdoor_air_hood_blocked", "control_transformer_weak") if one not in there)
    repair(client, job, other, "b")
    shown = words(client.get(f"/jobs/{job}/practice/end").text)
    assert "0 of 1 was put right; 1 repair was for nothing." in shown
    assert "Repaired, and not there" in shown


def test_a_change_left_in_place_stays_in_effect_and_is_told(client: Client) -> None:
    job = opened(client)
    change = {
        "once": "b" * 32, "kind": "pack", "point": "outdoor sensor", "sensor": "outdoor air", "was": "in the air", "changed_to": "pack on it",
    }  # fmt: skip
    assert client.post(f"/jobs/{job}/restore/new", change).status_code == 200
    shown = words(client.get(f"/jobs/{job}/practice/end").text)
    assert "1 change was left behind" in shown
    assert "Outdoor sensor : was in the air, now pack on it" in shown


def test_a_setting_changed_for_a_test_is_what_the_unit_has_until_it_is_put_back(client: Client) -> None:
    job = opened(client)
    first = work(read_job(client.document(job))).plan.settings[0]
    was = first.value.show("us")
    change = {
        "once": "b" * 32,
        "kind": "setting",
        "point": first.label,
        "label": first.label,
        "was": was,
        "changed_to": "55 %",
    }
    assert client.post(f"/jobs/{job}/restore/new", change).status_code == 200
    page = client.post(f"/jobs/{job}/set/1", {"practice": "read"})
    assert field(page.text, "found") == "55"
    line = entries(client, job)[-1]["id"]
    back = client.post(f"/jobs/{job}/restore/{line}", {"practice": "read"})
    assert f"{field(back.text, 'value')}".startswith(was.split()[0])
    assert client.post(f"/jobs/{job}/restore/{line}", {"once": "c" * 32, "value": was}).status_code == 200
    page = client.post(f"/jobs/{job}/set/1", {"practice": "read"})
    assert f"{field(page.text, 'found')} %" == was


def test_the_document_travels_with_its_code(client: Client) -> None:
    job = opened(client)
    document = client.get(f"/jobs/{job}/job.json").json()
    assert document["practice"] == str(STUCK)
    assert document["invented"] is True


def test_the_record_says_that_there_is_no_real_unit(client: Client) -> None:
    job = opened(client)
    assert "practice, no real unit" in words(client.get(f"/jobs/{job}/record/page").text).lower()
