"""Several zones in the app: the air that each gets, asked where the standard needs it, and what the plan says without."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from tests.web_client import Client, mark_of, words

from ventwright.job import read_job, work
from ventwright.quantity import AIRFLOW, read

FOUR = {"capacity": "10", "capacity.unit": "ton", "speeds": "2", "place": "Cook, IL", "outdoor": "40", "outdoor.unit": "°F"}  # fmt: skip
ROOMS = (("Office", "Office space", "2000", "10"), ("Conference", "Conference / meeting", "800", "30"))
BOTH = {"primary-1": "480 ± 5 %", "primary-1.unit": "cfm", "primary-2": "250", "primary-2.unit": "L/s"}


@pytest.fixture
def client(tmp_path: Path) -> Client:
    return Client(tmp_path)


def several(client: Client, standard: str = "62.1-2016") -> str:
    """Return a job of two zones under an edition of the standard."""
    job = client.new(**FOUR)
    for number, (name, use, area, people) in enumerate(ROOMS, start=4):
        given = {"name": name, "use": use, "floor_area": area, "floor_area.unit": "ft2", "people": people}
        client.post(f"/jobs/{job}/facts/spaces/new", {"once": str(number) * 32, **given})
    client.post(f"/jobs/{job}/facts/spaces", {"once": "6" * 32, "system": "multiple zones"})
    answer = client.post(f"/jobs/{job}/facts/air", {"once": "7" * 32, "standard": standard})
    assert answer.status_code == 200, words(answer.text)
    return job


def enter(client: Client, job: str, once: str = "8", **given: str) -> str:
    """Enter what the page of the spaces asks and return the words that come."""
    answer = client.post(f"/jobs/{job}/facts/spaces", {"once": once * 32, "system": "multiple zones", **given})  # fmt: skip
    return words(answer.text)


def zones(client: Client, job: str) -> list[dict[str, Any]]:
    held: list[dict[str, Any]] = client.document(job)["facts"]["ventilation"].get("zones") or []
    return held


def test_the_plan_says_what_is_missing_and_leads_there(client: Client) -> None:
    """Under 62.1-2016 no plan comes without it: plan, facts and job name each zone and lead to the page that asks."""
    job = several(client)
    for at in ("/plan", "/facts", ""):
        page = client.get(f"/jobs/{job}{at}").text
        assert (
            '"Office" has no primary airflow, and 62.1-2016 (zone table) needs that of every zone'
            in words(page)
        )
        assert f'href="/jobs/{job}/facts/spaces"><b>Spaces</b>' in page
    shown = words(client.get(f"/jobs/{job}/plan").text)
    assert "facts.ventilation.zones" not in shown
    assert "least_primary_air" not in shown
    shown = words(client.get(f"/jobs/{job}/facts/spaces").text)
    assert "Least primary air, Office" in shown
    assert "Least primary air, Conference" in shown


def test_it_is_asked_only_where_it_is_needed(client: Client) -> None:
    """The editions that count zones the simplified way, and California's, need none; one zone needs none."""
    job = several(client)
    for once, standard in (("b", "62.1-2019"), ("c", "Title 24-2016")):
        client.post(f"/jobs/{job}/facts/air", {"once": once * 32, "standard": standard})
        assert "Least primary air" not in words(client.get(f"/jobs/{job}/facts/spaces").text)
    client.post(f"/jobs/{job}/facts/air", {"once": "d" * 32, "standard": "62.1-2016"})
    enter(client, job, "e", system="single zone")
    assert "Least primary air" not in words(client.get(f"/jobs/{job}/facts/spaces").text)


def test_each_zone_is_kept_as_typed_and_the_plan_is_the_job_files(client: Client) -> None:
    """480 cfm ± 5 % and 250 L/s, in one field each; the same airflow as of a document written by hand."""
    job = several(client)
    assert "Saved." in enter(client, job, **BOTH)
    assert zones(client, job) == [
        {"name": "Office", "least_primary_air": "480 cfm ± 5 %"},
        {"name": "Conference", "least_primary_air": "250 L/s"},
    ]
    ventilation = work(read_job(client.document(job))).plan.ventilation
    # cooling, Voz / Vpz: 170 cfm of 480, 198 cfm of 529.7 -> 0.374 and so the table's 0.7; heating, Ez 0.8: 0.467, 0.6
    uncorrected = read("368 cfm", AIRFLOW).value  # 62.1-2016, eq. 6-1 and Table 6.2.5.2
    assert [one.intake for one in ventilation.code_sum] == pytest.approx([uncorrected / 0.7, uncorrected / 0.6], rel=1e-3)  # fmt: skip
    assert "Outdoor air required" in words(client.get(f"/jobs/{job}/plan").text)
    page = client.get(f"/jobs/{job}/facts/spaces").text
    assert 'value="480 cfm ± 5 %"' in page
    enter(client, job, "9", **(BOTH | {"primary-1": "500"}))
    assert zones(client, job)[0]["least_primary_air"] == "500 cfm"


def test_one_of_two_leaves_the_other_to_be_asked(client: Client) -> None:
    job = several(client)
    enter(client, job, **{"primary-2": "250", "primary-2.unit": "L/s"})
    shown = words(client.get(f"/jobs/{job}/plan").text)
    assert '"Office" has no primary airflow' in shown
    assert '"Conference" has no primary airflow' not in shown
    enter(client, job, "9", **{"primary-1": "480", "primary-1.unit": "cfm"})
    assert "Outdoor air required" in words(client.get(f"/jobs/{job}/plan").text)


@pytest.mark.parametrize(("typed", "said"), [("0", "is no primary airflow"), ("lots", "is not an airflow")])
def test_a_slip_is_refused_at_its_zone(client: Client, typed: str, said: str) -> None:
    job = several(client)
    answer = client.post(f"/jobs/{job}/facts/spaces", {"once": "8" * 32, "system": "multiple zones", **BOTH, "primary-2": typed})  # fmt: skip
    assert answer.status_code == 422
    assert f'Least primary air, Conference: "{typed}' in words(answer.text)
    assert said in words(answer.text)
    assert 'value="480 ± 5 %"' in answer.text
    assert zones(client, job) == []


def test_beyond_the_table_the_other_way_can_be_taken(client: Client) -> None:
    """A zone of which more than 55 % is outdoor air: the table ends, and appendix A is a choice on the same page."""
    job = several(client)
    little = BOTH | {"primary-2": "120"}
    enter(client, job, **little)
    shown = words(client.get(f"/jobs/{job}/plan").text)
    assert "Is the largest" not in shown
    assert (
        "is the largest share of outdoor air in a zone's primary air, beyond the table of 62.1-2016" in shown
    )
    assert "method: appendix A" in shown
    enter(client, job, "9", method="appendix A", **little)
    assert "Outdoor air required" in words(client.get(f"/jobs/{job}/plan").text)


def test_a_zone_follows_its_space(client: Client) -> None:
    """Called otherwise, put into a zone with another, or taken out: no zone without a space is left to stop the plan."""
    job = several(client)
    enter(client, job, **(BOTH | {"primary-1": "1200"}))
    at, room = f"/jobs/{job}/facts/spaces/2", dict(zip(("name", "use", "floor_area", "people"), ROOMS[1], strict=True))  # fmt: skip
    room |= {"floor_area.unit": "ft2"}
    client.post(at, {"once": "b" * 32, **room, "name": "Board room", "zone": ""})
    assert [one["name"] for one in zones(client, job)] == ["Office", "Board room"]
    client.post(at, {"once": "c" * 32, **room, "name": "Board room", "zone": "Office"})
    assert [one["name"] for one in zones(client, job)] == ["Office"]
    client.post(at, {"once": "d" * 32, **room, "name": "Board room", "zone": ""})
    mark = mark_of(client.get(f"/jobs/{job}/facts/spaces/1").text)
    client.post(f"/jobs/{job}/facts/spaces/1", {"once": "e" * 32, "do": "take out", "mark": mark})
    assert zones(client, job) == []
    assert '"Board room" has no primary airflow' in words(client.get(f"/jobs/{job}/plan").text)


def test_one_zone_after_all_still_plans(client: Client) -> None:
    """What was typed of the zones stays for whoever goes back to several; one zone has no use for it."""
    job = several(client)
    enter(client, job, **BOTH)
    enter(client, job, "9", system="single zone")
    assert "Outdoor air required" in words(client.get(f"/jobs/{job}/plan").text)
    assert [one["name"] for one in zones(client, job)] == ["Office", "Conference"]
