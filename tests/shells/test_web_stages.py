"""Facts, tests, what must go back, leaving, troubleshooting and the record, as pages."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.web_client import Client, mark_of, words

from ventwright.job import read_job, work

pytestmark = pytest.mark.usefixtures("either_database")

FOUR = {"capacity": "10", "capacity.unit": "ton", "speeds": "2", "place": "Cook, IL", "outdoor": "40", "outdoor.unit": "°F"}  # fmt: skip


@pytest.fixture
def client(tmp_path: Path) -> Client:
    return Client(tmp_path)


def with_probe(client: Client) -> None:
    client.set(
        "instruments", [{"id": "probe", "kind": "temperature", "name": "Probe", "accuracy": "± 0.5 F"}]
    )


def test_a_space_is_entered_changed_and_taken_out(client: Client) -> None:
    job = client.new(**FOUR)
    given = {
        "once": "b" * 32,
        "name": "Shop",
        "use": "Retail / Sales",
        "floor_area": "3000",
        "floor_area.unit": "ft2",
    }
    answer = client.post(f"/jobs/{job}/facts/spaces/new", given)
    assert answer.status_code == 200
    assert client.document(job)["facts"]["spaces"] == [
        {"name": "Shop", "use": "Retail / Sales", "floor_area": "3000 ft2"}
    ]
    client.post(f"/jobs/{job}/facts/spaces/1", given | {"once": "c" * 32, "people": "40"})
    assert client.document(job)["facts"]["spaces"][0]["people"] == 40
    mark = mark_of(client.get(f"/jobs/{job}/facts/spaces/1").text)
    client.post(f"/jobs/{job}/facts/spaces/1", given | {"once": "d" * 32, "do": "take out", "mark": mark})
    assert not client.document(job)["facts"].get("spaces")
    assert client.get(f"/jobs/{job}/facts/spaces/1").status_code == 404


def test_unlike_rooms_are_one_zone_or_several(client: Client) -> None:
    """Three rooms are taken as one zone, and it says so; said to be several, each may name its own, and more air is needed."""
    job = client.new(**FOUR)
    rooms = (("Shop", "Retail / Sales", "3000"), ("Office", "Office / Office space", "900"), ("Class", "Education / Classroom, age 9 and up", "800"))  # fmt: skip
    assert "These spaces are" not in words(client.get(f"/jobs/{job}/facts/spaces").text)
    for number, (name, use, area) in enumerate(rooms, start=1):
        given = {
            "once": str(number) * 32,
            "name": name,
            "use": use,
            "floor_area": area,
            "floor_area.unit": "ft2",
        }
        answer = client.post(f"/jobs/{job}/facts/spaces/new", given)
        assert answer.status_code == 200, words(answer.text)
    page = words(client.get(f"/jobs/{job}/facts/spaces").text)
    assert "3 spaces are taken as one zone" in page
    assert "These spaces are" in page
    assert "Zone Spaces with one supply control" not in words(client.get(f"/jobs/{job}/facts/spaces/2").text)
    one = work(read_job(client.document(job))).plan.ventilation.required
    client.post(f"/jobs/{job}/facts/spaces", {"once": "7" * 32, "system": "multiple zones"})
    several = work(read_job(client.document(job))).plan.ventilation.required
    assert several > one
    assert "taken as one zone" not in words(client.get(f"/jobs/{job}/facts/spaces").text)
    office = {"once": "8" * 32, "name": "Office", "use": rooms[1][1], "floor_area": "900", "floor_area.unit": "ft2", "zone": "Front"}  # fmt: skip
    client.post(f"/jobs/{job}/facts/spaces/2", office)
    assert client.document(job)["facts"]["spaces"][1]["zone"] == "Front"
    assert "Shop, Office, Class; 3 zones" in words(client.get(f"/jobs/{job}/facts").text)


def test_a_use_that_is_none_is_refused_beside_its_field(client: Client) -> None:
    job = client.new(**FOUR)
    given = {
        "once": "b" * 32,
        "name": "Shop",
        "use": "Retial",
        "floor_area": "3000",
        "floor_area.unit": "ft2",
    }
    answer = client.post(f"/jobs/{job}/facts/spaces/new", given)
    assert answer.status_code == 422
    assert 'value="Retial"' in answer.text
    assert 'value="3000"' in answer.text
    assert '"Retial" is no category of 62.1-2019' in words(answer.text)


def test_uses_are_offered_by_the_words_people_use(client: Client) -> None:
    """As one types, and to tap beside the word that was refused."""
    job = client.new(**FOUR)
    assert "Retail / Sales" in client.get(f"/jobs/{job}/facts/uses?q=shop").json()
    given = {"once": "b" * 32, "name": "Shop", "use": "shop", "floor_area": "80", "floor_area.unit": "m2"}
    refused = client.post(f"/jobs/{job}/facts/spaces/new", given)
    assert refused.status_code == 422
    assert 'data-fill="use">Retail / Sales</button>' in refused.text


def test_a_value_in_the_other_units_is_kept_as_it_was_typed(client: Client) -> None:
    job = client.new(**FOUR)
    client.post(f"/jobs/{job}/facts/today", {"once": "b" * 32, "outdoor_air": "4.5", "outdoor_air.unit": "°C", "return_air": "72 F"})  # fmt: skip
    assert client.document(job)["facts"]["weather"] == {"outdoor_air": "4.5 °C", "return_air": "72 F"}
    client.post(f"/jobs/{job}/facts/today", {"once": "c" * 32, "outdoor_air": "", "return_air": ""})
    assert "weather" not in client.document(job)["facts"]


def test_a_place_gives_zone_and_elevation_without_typing_them(client: Client) -> None:
    job = client.new()
    client.post(f"/jobs/{job}/facts/unit", {"once": "a" * 32, "tag": "R-1", "cooling_capacity": "10 ton"})
    client.post(f"/jobs/{job}/facts/place", {"once": "b" * 32, "place": "Denver, Colorado"})
    shown = words(client.get(f"/jobs/{job}/facts/site").text)
    assert "Climate zone 5B" in shown
    assert "Elevation 5" in shown
    answer = client.post(f"/jobs/{job}/facts/place", {"once": "c" * 32, "place": "Atlantis"})
    assert answer.status_code == 422
    assert 'value="Atlantis"' in answer.text


def test_the_height_of_a_climate_zone_is_typed(client: Client) -> None:
    """A zone alone says nothing of the height: sea level is shown as the guess that it is, until somebody types it."""
    job = client.new(**FOUR | {"place": "5B"})
    assert "Elevation 0 ft (guess)" in words(client.get(f"/jobs/{job}/facts/site").text)
    client.post(f"/jobs/{job}/facts/site", {"once": "b" * 32, "elevation": "1900", "elevation.unit": "m"})
    assert "Elevation 6234 ft Energy code" in words(client.get(f"/jobs/{job}/facts/site").text)


def test_a_place_that_is_none_is_refused(client: Client) -> None:
    job = client.new(**FOUR)
    answer = client.post(f"/jobs/{job}/facts/place", {"once": "c" * 32, "place": "Atlantis"})
    assert answer.status_code == 422
    assert 'value="Atlantis"' in answer.text


def test_a_step_asks_first_whether_power_and_fan_stand_as_they_must(client: Client) -> None:
    job = client.with_demo()
    asked = words(client.get(f"/jobs/{job}/prove/inspection.instruments").text)
    assert "Before a hand goes in" in asked
    shown = words(client.get(f"/jobs/{job}/prove/inspection.instruments?ready=1").text)
    assert "Look at the calibration date of every instrument to be used." in shown


def test_a_step_is_answered_and_judged_at_once(client: Client) -> None:
    job = client.with_demo()
    answer = client.post(f"/jobs/{job}/prove/inspection.instruments", {"once": "b" * 32, "seen": "yes"})
    assert "Passes" in words(answer.text)
    assert client.document(job)["readings"]["entries"][-1]["step"] == "inspection.instruments"
    nothing = client.post(f"/jobs/{job}/prove/inspection.instruments", {"once": "c" * 32})
    assert nothing.status_code == 422
    assert "accepted: yes, no" in words(nothing.text)


def test_a_step_that_failed_leads_to_the_search_for_the_cause(client: Client) -> None:
    job = client.with_demo()
    lead = f"/jobs/{job}/find"
    for seen, leads in (("no", True), ("yes", False)):
        given = {"once": seen[0] * 32, "seen": seen}
        page = client.post(f"/jobs/{job}/prove/inspection.linkage", given).text
        assert (f'class="button" href="{lead}"' in page) is leads


def test_a_number_that_is_none_is_refused_with_the_step_shown_again(client: Client) -> None:
    job = client.with_demo()
    answer = client.post(f"/jobs/{job}/prove/free_cooling.engages", {"once": "b" * 32, "read_value": "lots", "read_value.unit": "%"})  # fmt: skip
    assert answer.status_code == 422
    assert 'value="lots"' in answer.text


def test_a_minimum_is_entered_with_its_fan_speed(client: Client) -> None:
    job = client.with_demo()
    step = f"/jobs/{job}/prove/minimum_position.stays?ready=1"
    assert "At which fan speed" in words(client.get(step).text)
    typed = {"read_value": "21", "read_value.unit": "%", "speed": "high", "once": "b" * 32}
    assert client.post(step, typed).status_code == 200
    assert client.document(job)["readings"]["entries"][-1]["speed"] == "high"
    refused = client.post(step, typed | {"speed": "nowhere", "once": "c" * 32})
    assert refused.status_code == 422
    assert "nowhere" in words(refused.text)


def test_a_step_that_does_not_apply_is_not_there(client: Client) -> None:
    job = client.with_demo()
    assert client.get(f"/jobs/{job}/prove/demand_control.off").status_code == 404


def test_a_change_stays_on_the_list_until_its_return_is_read(client: Client) -> None:
    job = client.with_demo()
    label = "Outdoor air too warm above"
    given = {
        "once": "b" * 32,
        "kind": "setting",
        "point": label,
        "label": label,
        "was": "75 F",
        "changed_to": "52 F",
    }
    answer = client.post(f"/jobs/{job}/restore/new", given)
    assert "1 not put back" in words(answer.text)
    assert "1 not put back" in words(client.get(f"/jobs/{job}").text)
    line = client.document(job)["readings"]["entries"][-1]["id"]
    assert "Not finished" in words(client.get(f"/jobs/{job}/record").text)
    wrong = client.post(f"/jobs/{job}/restore/{line}", {"once": "c" * 32, "value": "900 F"})
    assert wrong.status_code == 422
    right = client.post(f"/jobs/{job}/restore/{line}", {"once": "d" * 32, "value": "75 F"})
    assert right.status_code == 200
    assert "Nothing is left behind." in words(client.get(f"/jobs/{job}/restore").text)


def test_leaving_says_who_was_told_and_writes_a_tag(client: Client) -> None:
    job = client.with_demo()
    shut = client.post(f"/jobs/{job}/leave", {"once": "b" * 32, "damper": "shut"})
    assert shut.status_code == 422
    assert "people breathe meanwhile" in words(shut.text)
    left = client.post(f"/jobs/{job}/leave", {"once": "c" * 32, "damper": "at ventilation", "told": "the owner, by phone"})  # fmt: skip
    assert "Told: the owner, by phone" in words(left.text)
    assert client.get(f"/jobs/{job}/leave/tag.pdf").content.startswith(b"%PDF")


def test_a_sensor_is_checked_beside_a_probe(client: Client) -> None:
    with_probe(client)
    job = client.new(**FOUR)
    given = {"once": "b" * 32, "sensor": "outdoor air", "shown": "41", "shown.unit": "°F", "probe": "40", "probe.unit": "°F", "instrument": "probe"}  # fmt: skip
    answer = client.post(f"/jobs/{job}/prove/sensors", given)
    assert answer.status_code == 200
    assert client.document(job)["readings"]["entries"][-1]["shown"] == "41 °F"


def test_an_entry_is_taken_out_and_stays_in_the_list(client: Client) -> None:
    job = client.with_demo()
    count = len(client.document(job)["readings"]["entries"])
    answer = client.post(f"/jobs/{job}/entries", {"once": "b" * 32, "id": "m3"})
    assert "taken out or replaced" in words(answer.text)
    assert len(client.document(job)["readings"]["entries"]) == count + 1


def test_the_complaint_is_asked_first(client: Client) -> None:
    job = client.with_demo()
    assert "What do people inside say?" in words(client.get(f"/jobs/{job}/find").text)
    answer = client.post(f"/jobs/{job}/find/complaint", {"once": "b" * 32, "complaint": "none"})
    assert answer.status_code == 200
    assert client.document(job)["readings"]["entries"][-1]["measurement"] == "complaint"


def test_a_measurement_that_is_none_is_refused_at_its_part(client: Client) -> None:
    job = client.with_demo()
    page = client.get(f"/jobs/{job}/find/measure/share.cool_1")
    assert page.status_code == 200
    answer = client.post(f"/jobs/{job}/find/measure/share.cool_1", {"once": "b" * 32})
    assert answer.status_code == 422
    assert client.get(f"/jobs/{job}/find/measure/nothing").status_code == 404


def test_a_signature_by_finger_stands_in_the_record(client: Client) -> None:
    job = client.with_demo()
    drawn = "M10 50 L40 20 L70 60"
    client.post(f"/jobs/{job}/record/sign", {"once": "b" * 32, "name": "O. Wner (invented)", "role": "owner", "drawn": drawn})  # fmt: skip
    assert client.document(job)["record"]["signatures"][-1]["drawn"] == drawn
    assert "O. Wner (invented), owner" in client.get(f"/jobs/{job}/record/page").text
    wrong = client.post(f"/jobs/{job}/record/sign", {"once": "c" * 32, "name": "O. Wner", "role": "owner", "drawn": "<script>"})  # fmt: skip
    assert wrong.status_code == 422
    assert "is no drawn signature" in words(wrong.text)


def test_what_stays_wrong_and_when_to_look_again(client: Client) -> None:
    job = client.with_demo()
    client.post(f"/jobs/{job}/record/remark", {"once": "b" * 32, "what": "hood screen torn", "severity": "remark", "who_acts": "owner"})  # fmt: skip
    client.post(
        f"/jobs/{job}/record/again", {"once": "c" * 32, "retest_by": "2027-01-15", "next_check": "in a year"}
    )
    shown = words(client.get(f"/jobs/{job}/record").text)
    assert "hood screen torn" in shown
    assert "2027-01-15" in shown
    assert (
        client.post(f"/jobs/{job}/record/again", {"once": "d" * 32, "retest_by": "soon"}).status_code == 422
    )


def test_the_files_of_the_record(client: Client) -> None:
    job = client.with_demo()
    assert client.get(f"/jobs/{job}/record/record.pdf").content.startswith(b"%PDF")
    assert client.get(f"/jobs/{job}/record/card.pdf").content.startswith(b"%PDF")
    assert client.get(f"/jobs/{job}/record/record.json").json()
    assert client.get(f"/jobs/{job}/record/nothing.pdf").status_code == 404
    printed = client.get(f"/jobs/{job}/record/page")
    assert "script-src" not in printed.headers["content-security-policy"]
    assert "<script" not in printed.text
