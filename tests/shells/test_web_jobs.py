"""The app's first pages: four facts open a job, nothing is lost, files come in and go out."""

from __future__ import annotations

import asyncio
import io
import json
from importlib.resources import files
from pathlib import Path

import pytest
from ruamel.yaml import YAML
from tests.web_client import DEMO, Client, once, words

pytestmark = pytest.mark.usefixtures("either_database")

FOUR = {"capacity": "10", "capacity.unit": "ton", "speeds": "2", "place": "Cook, IL", "outdoor": "40", "outdoor.unit": "°F"}  # fmt: skip


@pytest.fixture
def client(tmp_path: Path) -> Client:
    return Client(tmp_path)


def test_an_empty_store_says_how_to_begin(client: Client) -> None:
    answer = client.get("/")
    assert answer.status_code == 200
    assert "No job yet. Four facts are enough to begin" in words(answer.text)


METRIC = {
    "capacity": "50",
    "capacity.unit": "kW",
    "speeds": "2",
    "place": "7",
    "outdoor": "-8",
    "outdoor.unit": "°C",
}


def test_a_first_job_in_si_turns_the_screens_to_si(client: Client) -> None:
    """Nobody who types kW and °C is answered in cfm; the job's paper is in SI too."""
    job = client.new(**METRIC)
    shown = words(client.get(f"/jobs/{job}").text)
    assert " L/s (guess)" in shown
    assert "cfm (guess)" not in shown
    assert client.document(job)["units"] == "si"


def test_units_that_somebody_chose_stand(client: Client) -> None:
    """Also where one number was typed in others."""
    client.post("/units", {"units": "us", "back": "/"})
    job = client.new(**METRIC)
    assert "cfm (guess)" in words(client.get(f"/jobs/{job}").text)
    assert client.document(job)["units"] == "us"


def test_a_first_job_brought_in_si_is_shown_in_si(client: Client) -> None:
    """What the file says of its units is what its person reads."""
    text = files("ventwright.cli").joinpath("demo_job", "alder-bench-hp-1.yaml").read_text(encoding="utf-8")
    job = client.post("/bring", {"text": text}).url.path
    assert " L/s" in words(client.get(job).text)


def test_four_facts_give_what_can_be_set_proved_and_taken_up(client: Client) -> None:
    job = client.new(**FOUR)
    shown = words(client.get(f"/jobs/{job}").text)
    assert "Outdoor air required 872 cfm (guess)" in shown
    assert "What can be set 8 settings" in shown
    assert "What can be proved today" in shown
    assert "What to take up" in shown
    facts = client.document(job)["facts"]
    assert facts["unit"]["cooling_capacity"] == "10 ton"
    assert facts["site"]["county"].startswith("Cook")
    assert facts["weather"] == {"outdoor_air": "40 °F"}


def test_none_of_the_four_facts_is_needed(client: Client) -> None:
    job = client.new()
    shown = words(client.get(f"/jobs/{job}").text)
    assert "To plan, this is needed" in shown
    assert "Gives no supply airflow" in shown
    for stage in (
        "facts",
        "plan",
        "set",
        "balance",
        "prove",
        "restore",
        "find",
        "record",
        "leave",
        "entries",
    ):
        answer = client.get(f"/jobs/{job}/{stage}")
        assert answer.status_code == 200, stage


def test_what_was_lacking_can_be_entered_later(client: Client) -> None:
    job = client.new()
    answer = client.post(f"/jobs/{job}/facts/unit", {"once": "b" * 32, "tag": "R-9", "cooling_capacity": "5", "cooling_capacity.unit": "ton"})  # fmt: skip
    assert answer.status_code == 200
    assert "gives no supply airflow" not in words(client.get(f"/jobs/{job}").text)


def test_a_place_that_is_none_is_refused_with_what_was_typed_kept(client: Client) -> None:
    answer = client.post("/new", {**FOUR, "once": "c" * 32, "place": "Nowhere"})
    assert answer.status_code == 422
    assert 'value="Nowhere"' in answer.text
    assert 'value="10"' in answer.text
    assert "Not entered yet. What you typed is still here." in words(answer.text)


def test_a_capacity_in_words_is_refused(client: Client) -> None:
    answer = client.post("/new", {"once": "c" * 32, "capacity": "ten", "capacity.unit": "ton"})
    assert answer.status_code == 422
    assert "is not a heat rate" in words(answer.text)


def test_the_same_form_sent_twice_opens_one_job(client: Client) -> None:
    for _ in range(2):
        client.post("/new", {**FOUR, "once": "d" * 32})
    assert len(asyncio.run(client.jobs.jobs())) == 1


def test_a_job_goes_out_as_a_file_and_comes_back_as_it_was(client: Client, tmp_path: Path) -> None:
    job = client.with_demo()
    content = client.get(f"/jobs/{job}/job.json").content
    folder = tmp_path / "other"
    folder.mkdir()
    other = Client(folder)
    answer = other.post("/bring", {"once": "e" * 32}, files={"file": ("job.json", content)})
    assert answer.url.path == f"/jobs/{DEMO}"
    assert other.document(job) == client.document(job)


def test_a_job_that_is_here_already_is_asked_about(client: Client) -> None:
    job = client.with_demo()
    text = client.get(f"/jobs/{job}/job.json").text
    changed = json.loads(text)
    changed["readings"]["entries"].append(
        {
            "what": "tick",
            "id": "t9",
            "at": "2026-11-25T08:00-08:00",
            "item": "hatch shut",
            "found": "in order",
        }
    )
    asked = client.post("/bring", {"once": "f" * 32, "text": json.dumps(changed)})
    assert "This job is here already." in words(asked.text)
    client.post("/bring", {"once": "f" * 32, "text": json.dumps(changed), "how": "merge"})
    assert client.document(job)["readings"]["entries"][-1]["id"] == "t9"
    assert len(client.document(job)["readings"]["entries"]) == len(changed["readings"]["entries"])


def test_a_long_job_is_put_together_whole(client: Client) -> None:
    """A text that goes along to the question and back is not cut off on the way: its last reading is there."""
    job = client.with_demo()
    changed = json.loads(client.get(f"/jobs/{job}/job.json").text)
    tick = {"what": "tick", "at": "2026-11-25T08:00-08:00", "item": "hatch shut", "note": "so " * 7000}
    changed["readings"]["entries"] += [tick | {"id": f"t{number}"} for number in range(12)]
    out = io.StringIO()
    YAML(typ="safe").dump(changed, out)
    text = out.getvalue()
    assert len(text) > 250_000
    asked = client.post("/bring", files={"file": ("job.yaml", text.encode())})
    assert "This job is here already." in words(asked.text)
    merged = client.post("/bring", files={"text": (None, text), "how": (None, "merge")})
    assert merged.status_code == 200, words(merged.text)
    assert client.document(job)["readings"]["entries"][-1]["id"] == "t11"


@pytest.mark.parametrize("text", ["", "no: job", "{", "- 1", "\x00"])
def test_what_is_no_job_is_refused_in_a_sentence(client: Client, text: str) -> None:
    answer = client.post("/bring", {"once": "a" * 32, "text": text})
    assert answer.status_code == 422
    assert "accepted:" in words(answer.text)


def test_the_next_unit_takes_over_what_the_site_shares(client: Client) -> None:
    job = client.with_demo()
    answer = client.post(f"/jobs/{job}/copy", {"once": "a" * 32, "tag": "R-3"})
    copied = client.document(answer.url.path.split("/")[2])
    assert copied["facts"]["unit"]["tag"] == "R-3"
    assert copied["facts"]["site"] == client.document(job)["facts"]["site"]
    assert "readings" not in copied
    assert copied["facts"]["ventilation"] == {
        "standard": "62.1-2019"
    }  # 1116 cfm on the drawings are those of R-2
    assert client.post(f"/jobs/{job}/copy", {"once": "b" * 32, "tag": ""}).status_code == 422


def test_the_archive_and_back(client: Client) -> None:
    job = client.with_demo()
    client.post(f"/jobs/{job}/archive", {"once": "a" * 32})
    assert "Larkspur Row" not in words(client.get("/").text)
    assert "Larkspur Row" in words(client.get("/?archive=yes").text)
    client.post(f"/jobs/{job}/archive", {"once": "b" * 32})
    assert "Larkspur Row" in words(client.get("/").text)


def test_a_search_that_finds_nothing_says_so(client: Client) -> None:
    client.with_demo()
    assert "Larkspur Row" in words(client.get("/?q=lark").text)
    assert "No job has this in its tag or site." in words(client.get("/?q=zzz").text)


def test_the_first_screen_names_every_mistake_at_once(client: Client) -> None:
    given = {"once": "a" * 32, "capacity": "ten", "capacity.unit": "kW", "place": "Nowhere", "outdoor": "1e9", "outdoor.unit": "°C"}  # fmt: skip
    answer = client.post("/new", given)
    assert answer.status_code == 422
    said = words(answer.text)
    assert 'Cooling capacity: "ten" is not a heat rate' in said
    assert 'Place: "Nowhere" is no county' in said
    assert 'Outdoor temperature now: "1e9 °C" is not possible' in said, "the unit beside the number is heard"


def test_an_entry_is_taken_back(client: Client) -> None:
    job = client.new(**FOUR)
    answer = client.post(f"/jobs/{job}/facts/unit", {"once": "b" * 32, "tag": "R-9", "cooling_capacity": "10", "cooling_capacity.unit": "ton"})  # fmt: skip
    changes = answer.url.params["undo"]
    assert client.document(job)["facts"]["unit"]["tag"] == "R-9"
    client.post(f"/jobs/{job}/take-back", {"once": "c" * 32, "changes": changes})
    assert client.document(job)["facts"]["unit"]["tag"] == "Unit without a tag"


def test_what_was_taken_back_by_mistake_is_entered_again(client: Client) -> None:
    """A finger on the wrong button loses nothing: beside what was taken back stands the way to enter it again."""
    job = client.new(**FOUR)
    answer = client.post(f"/jobs/{job}/facts/unit", {"once": "b" * 32, "tag": "R-9", "cooling_capacity": "10", "cooling_capacity.unit": "ton"})  # fmt: skip
    changes = answer.url.params["undo"]
    back = client.post(
        f"/jobs/{job}/take-back", {"once": "c" * 32, "changes": changes, "back": answer.url.path}
    )
    assert "Taken back. Tag on the unit: R-9 Enter it again" in words(back.text)
    assert back.url.path == f"/jobs/{job}/facts/unit"
    given = {"once": "d" * 32, "changes": back.url.params["again"], "do": "again", "back": back.url.path}
    entered = client.post(f"/jobs/{job}/take-back", given)
    assert client.document(job)["facts"]["unit"]["tag"] == "R-9"
    assert "Entered again. Tag on the unit: R-9 Take it back" in words(entered.text)
    assert entered.url.path == f"/jobs/{job}/facts/unit"
    client.post(f"/jobs/{job}/take-back", {**given, "once": "e" * 32})  # twice is once
    assert client.document(job)["facts"]["unit"]["tag"] == "R-9"
    client.post(
        f"/jobs/{job}/take-back", {"once": "f" * 32, "changes": entered.url.params["undo"]}
    )  # and it can be taken back once more
    assert client.document(job)["facts"]["unit"]["tag"] == "Unit without a tag"


def test_what_is_taken_back_is_said_and_shown_on_its_own_page(client: Client) -> None:
    """After a setting is read back the next one comes: taking it back names it and leads to it, and so does redo."""
    job = client.with_demo()
    saved = client.post(
        f"/jobs/{job}/set/1", {"once": "a" * 32, "value": "31", "value.unit": "%", "do": "typed"}
    )
    assert saved.url.path == f"/jobs/{job}/set/2"
    assert 'Saved. Setting "Fresh-air opening, fan fast" left at 31 % Take it back' in words(saved.text)
    given = {"changes": saved.url.params["undo"], "back": saved.url.path}
    back = client.post(f"/jobs/{job}/take-back", {**given, "once": "b" * 32})
    assert back.url.path == f"/jobs/{job}/set/1"
    assert 'Taken back. Setting "Fresh-air opening, fan fast" left at 31 % Enter it again' in words(back.text)
    again = client.post(f"/jobs/{job}/take-back", {**given, "once": "c" * 32, "do": "again"})
    assert again.url.path == f"/jobs/{job}/set/1"
    assert "Entered again. Setting" in words(again.text)


@pytest.mark.parametrize(
    ("at", "given", "said", "page"),
    [
        ("facts/site", {"elevation": "1900", "elevation.unit": "m"}, "Height above sea level: 1900 m", "facts/site"),
        ("facts/spaces/new", {"name": "Store", "use": "Retail / Sales", "floor_area": "60", "floor_area.unit": "m2"}, "Spaces: Store", "facts/spaces"),
        ("facts/kit", {"kit": "single-speed-enthalpy"}, "Economizer kit: Single-speed enthalpy economizer kit", "facts/kit"),
        ("facts/speeds", {"supply_air-2": "1150", "supply_air-2.unit": "L/s"}, "Supply airflow at low speed: 1150 L/s", "facts/speeds"),
        ("record/remark", {"what": "hood seal torn", "severity": "remark", "who_acts": "owner"}, "Remark: hood seal torn", "record"),
    ],
)  # fmt: skip
def test_a_change_is_named_in_the_words_of_its_page(
    client: Client, at: str, given: dict[str, str], said: str, page: str
) -> None:
    job = client.new(**FOUR)
    saved = client.post(f"/jobs/{job}/{at}", {"once": "a" * 32, **given})
    assert f"Saved. {said}" in words(saved.text)
    changes = {"changes": saved.url.params["undo"], "back": f"/jobs/{job}"}
    back = client.post(f"/jobs/{job}/take-back", {**changes, "once": "b" * 32})
    assert back.url.path == f"/jobs/{job}/{page}"
    assert f"Taken back. {said}" in words(back.text)


def test_a_guess_is_counted_where_its_fact_is_asked(client: Client) -> None:
    """The ventilation standard is asked with the air required, and not on the page of the site."""
    job = client.new(**FOUR)
    client.post(
        f"/jobs/{job}/facts/site",
        {"once": "a" * 32, "energy_code": "90.1-2019", "elevation": "700", "elevation.unit": "ft"},
    )
    shown = words(client.get(f"/jobs/{job}/facts").text)
    assert "Site … " not in shown
    assert "Outdoor air required … 1 guessed" in shown


def test_a_heat_pump_gives_more_than_it_takes(client: Client) -> None:
    job = client.new(**FOUR)
    given = {"once": "a" * 32, "heating_efficiency": "290", "heating_efficiency.unit": "%"}
    assert client.post(f"/jobs/{job}/facts/energy", given).status_code == 200
    assert client.document(job)["facts"]["running"]["heating_efficiency"] == "290 %"
    refused = client.post(
        f"/jobs/{job}/facts/energy", {**given, "once": "b" * 32, "heating_efficiency": "2900"}
    )
    assert '"2900 %" is not possible' in words(refused.text)


def test_an_airflow_of_a_slipped_finger_breaks_no_page(client: Client) -> None:
    """It was entered, and from then on no page of the balance could be drawn."""
    job = client.new(**FOUR)
    given = {"once": "a" * 32, "airflow": "1e9", "airflow.unit": "L/s", "method": "traverse"}
    refused = client.post(f"/jobs/{job}/balance/high/read/supply-air", given)
    assert refused.status_code == 422
    assert 'Airflow: "1e9 L/s" is not possible for an airflow here' in words(refused.text)
    assert client.get(f"/jobs/{job}/balance").status_code == 200


def test_units_switch_without_changing_what_was_entered(client: Client) -> None:
    job = client.with_demo()
    before = client.document(job)
    client.post("/units", {"units": "si", "back": f"/jobs/{job}"})
    shown = words(client.get(f"/jobs/{job}").text)
    assert "527 L/s" in shown
    assert "cfm" not in shown
    assert client.document(job) == before


def test_the_way_back_never_leads_elsewhere(client: Client) -> None:
    for back in ("//elsewhere.example/", "https://elsewhere.example/", "javascript:0"):
        assert client.post("/units", {"units": "us", "back": back}).url.host == "localhost"


def test_a_job_that_is_not_here_is_said_to_be_elsewhere(client: Client) -> None:
    answer = client.get("/jobs/nothing")
    assert answer.status_code == 404
    assert "This job is not kept here." in words(answer.text)


def test_a_page_that_is_not_here(client: Client) -> None:
    answer = client.get("/nothing")
    assert answer.status_code == 404
    assert "There is no such page here." in words(answer.text)


def test_an_instrument_is_entered_once_and_goes_along(client: Client) -> None:
    wrong = client.post("/yours/instrument", {"once": "a" * 32, "kind": "temperature", "name": "probe", "accuracy": "3 %"})  # fmt: skip
    assert wrong.status_code == 422
    assert "and the instrument is for temperature" in words(wrong.text)
    client.post("/yours/instrument", {"once": "a" * 32, "kind": "temperature", "name": "Long probe", "accuracy": "0.5 °F"})  # fmt: skip
    job = client.new(**FOUR)
    (held,) = client.document(job)["facts"]["instruments"]
    assert (held["name"], held["id"]) == (
        "Long probe",
        "long-probe-aaaa",
    )  # what the record prints is to be recognised
    assert once(client.get("/new").text) != once(client.get("/new").text)
