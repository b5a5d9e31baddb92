"""A year later, as pages: a few numbers against the unit as it was left, with the verdicts of the command line."""

from __future__ import annotations

import asyncio
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from typing import Any

import pytest
from tests.web_client import DEMO, Client, words

from ventwright.job import read_job, work
from ventwright.store.exchange import read_copy
from ventwright.web.year_later import before, last_check

pytestmark = pytest.mark.usefixtures("either_database")

AT = f"/jobs/{DEMO}/recheck"
SIGNAL = {"value": "21", "value.unit": "%"}
LIMIT = {"value": "75", "value.unit": "°F"}
SENSOR = {"sensor": "outdoor air", "shown": "28.4", "shown.unit": "°F", "probe": "28.2", "probe.unit": "°F", "instrument": "probe"}  # fmt: skip
COLD = {"outdoor_air": "28.2", "outdoor_air.unit": "°F", "return_air": "73.1", "return_air.unit": "°F", "mixed_air.unit": "°F", "instrument": "probe"}  # fmt: skip
AS_LEFT = {**COLD, "mixed_air": "60.5, 60.8, 60.6, 60.7"}
"""27.8 % outdoor air between 28.2 and 73.1 °F, by the mixing rule of two streams."""
SHUT = {**COLD, "mixed_air": "69.0, 69.3, 69.1, 69.2"}


@pytest.fixture
def client(tmp_path: Path) -> Client:
    client = Client(tmp_path)
    client.with_demo()
    return client


def enter(client: Client, number: str, given: dict[str, str], once: str, speed: str = "") -> str:
    """Enter one number and return the words of the page that comes."""
    answer = client.post(f"{AT}/{number}{speed}", {"once": once * 32, **given})
    assert answer.status_code == 200, words(answer.text)
    assert answer.url.path == AT
    return words(answer.text)


def everything(client: Client, **otherwise: dict[str, str]) -> str:
    """Enter all numbers and return what the page says then."""
    given = {"signal": SIGNAL, "high-limit": LIMIT, "sensor": SENSOR, "air": AS_LEFT} | {
        name.replace("_", "-"): value for name, value in otherwise.items()
    }
    page = ""
    for number, (name, texts) in enumerate(given.items(), start=1):
        page = enter(client, name, texts, str(number))
    return page


def entries(client: Client) -> list[dict[str, Any]]:
    """Return the readings of the demo."""
    held: list[dict[str, Any]] = client.document(DEMO)["readings"]["entries"]
    return held


def test_the_job_and_its_record_lead_there(client: Client) -> None:
    """Where somebody looks for it after the record; before anything is read it says so, and what to read first."""
    for page in (f"/jobs/{DEMO}", f"/jobs/{DEMO}/record"):
        assert f'href="{AT}"' in client.get(page).text
    shown = words(client.get(AT).text)
    assert "Nothing was read today." in shown
    assert "Begin: Damper signal at minimum" in shown
    assert shown.count("not read") == 4
    assert "Left at 21 %" in shown
    assert "Left at 75.0 °F" in shown


def test_five_numbers_that_did_not_move(client: Client) -> None:
    """Nothing to do for a year; each page offers the next number that was not read."""
    assert "Read: High limit of free cooling" in enter(client, "signal", SIGNAL, "1")
    assert "Read: A sensor beside a probe" in enter(client, "high-limit", LIMIT, "2")
    assert "Read: Outdoor, return and mixed air" in enter(client, "sensor", SENSOR, "3")
    shown = enter(client, "air", AS_LEFT, "4")
    assert "As left all that was read" in shown
    assert "Next: Nothing drifted: enter today's readings, and check again in a year." in shown
    assert "Say when to look again" in shown


def test_what_is_read_is_entered_on_one_visit(client: Client) -> None:
    """Readings like any others, each once, on a visit that says what it is for."""
    count = len(entries(client))
    everything(client)
    enter(client, "air", AS_LEFT, "4")  # sent twice
    new = entries(client)[count:]
    assert [one["what"] for one in new] == ["setting", "setting", "sensor check", "mixed air"]
    visit = client.document(DEMO)["readings"]["visits"][-1]
    assert visit["purpose"] == "a year later"
    assert {one["visit"] for one in new} == {visit["id"]}
    assert new[-1]["damper_signal"] == "21 %"
    assert new[-1]["mixed_air"][0] == "60.5 °F"


def test_as_left_is_what_was_read_before_the_check(client: Client) -> None:
    """What is read today never becomes the thing it is held against."""
    for given in ("63", "64"):
        enter(client, "high-limit", {"value": given, "value.unit": "°F"}, given[1])
    job = read_job(client.document(DEMO))
    left = before(job.readings, last_check(job.readings))
    assert left.settings_left()["outdoor air too warm above"].value == "75 F"
    assert "64.0 °F, left at 75.0 °F" in words(client.get(AT).text)


def test_a_damper_that_no_longer_follows(client: Client) -> None:
    """The same signal brings in far less: look at the blades."""
    shown = everything(client, air=SHUT)
    assert "✕ Drifted 1 of 4" in shown
    assert "Next: Look at the blades while the signal moves" in shown
    assert f'href="/jobs/{DEMO}/find"' in client.get(AT).text


def test_a_setting_that_drifted_is_set_back(client: Client) -> None:
    """The way to the setting; read back there, it is as left again."""
    shown = everything(client, high_limit={"value": "63", "value.unit": "°F"})
    assert "63.0 °F, left at 75.0 °F" in shown
    assert "Next: Set the high limit back as left" in shown
    assert "Set it back" in shown
    labels = [one.label for one in work(read_job(client.document(DEMO))).plan.settings]
    number = labels.index("Outdoor air too warm above") + 1
    client.post(f"/jobs/{DEMO}/set/{number}", {"once": "9" * 32, "do": "as planned"})
    assert "As left all that was read" in words(client.get(AT).text)


def test_one_sensor_does_not_hide_another(client: Client) -> None:
    """The outdoor sensor drifted; a return sensor that is right, read after it, takes nothing of that away."""
    everything(client, sensor=SENSOR | {"shown": "33.9"})
    right = SENSOR | {"sensor": "return air", "shown": "74.0", "probe": "73.1"}
    shown = enter(client, "sensor", right, "7")
    assert "Outdoor air sensor beside a probe ✕ drifted" in shown
    assert "Return air sensor beside a probe ✓ as left" in shown
    assert "Next: Put this sensor right first" in shown


def test_what_was_left_is_one_tap(client: Client) -> None:
    """With gloves on: the button says what it shows; something else typed beside it is refused, and stays."""
    page = client.get(f"{AT}/high-limit").text
    assert "It shows 75 °F" in words(page)
    refused = client.post(
        f"{AT}/high-limit", {"once": "1" * 32, "do": "as left", "value": "70", "value.unit": "°F"}
    )
    assert refused.status_code == 422
    assert "is typed, and the button says 75 °F" in words(refused.text)
    assert 'value="70"' in refused.text
    enter(client, "high-limit", {"do": "as left"}, "2")
    assert entries(client)[-1]["value"] == "75 °F"


@pytest.mark.parametrize(
    ("number", "given", "sentence"),
    [
        ("signal", {"value": "", "value.unit": "%"}, "nothing was given; accepted: what the controller shows, 0 %"),
        ("high-limit", {"value": "99", "value.unit": "°F"}, "accepted: 48 F to 80 F"),
        ("sensor", SENSOR | {"shown": "warm"}, 'The controller shows: "warm" is not a temperature'),
        ("air", COLD | {"mixed_air": ""}, "Mixed air, one or more points"),
        ("air", AS_LEFT | {"outdoor_air": "9999"}, "Outdoor air"),
    ],
)  # fmt: skip
def test_bad_input_is_refused_in_a_sentence(
    client: Client, number: str, given: dict[str, str], sentence: str
) -> None:
    """What is wrong, where, what would be accepted; what was typed is still there, and nothing is entered."""
    count = len(entries(client))
    answer = client.post(f"{AT}/{number}", {"once": "1" * 32, **given})
    assert answer.status_code == 422
    assert sentence in words(answer.text)
    assert all(f'value="{text}"' in answer.text for name, text in given.items() if text and name in {"value", "shown", "outdoor_air"})  # fmt: skip
    assert len(entries(client)) == count


def test_either_system_of_units(client: Client) -> None:
    """Numbers typed in one and shown in the other."""
    client.set("units", "si")
    shown = enter(client, "high-limit", {"value": "63", "value.unit": "°F"}, "1")
    assert "17.2 °C, left at 23.9 °C" in shown
    assert "°F" not in shown.partition("The numbers")[2].replace("63 °F", "")
    assert "Left off the probe by: outdoor air 0.1 K" in shown


def test_each_fan_speed_has_its_own_numbers(client: Client) -> None:
    """The slow fan's opening is another setting."""
    page = words(client.get(f"{AT}/signal?speed=low").text)
    assert "Low speed" in page
    shown = client.post(f"{AT}/signal?speed=low", {"once": "1" * 32, "value": "60", "value.unit": "%"})
    assert shown.url.params["speed"] == "low"
    assert "drifted" in words(shown.text)
    assert "Damper signal at minimum, high speed ○ not read" in words(client.get(AT).text)


def test_next_year_begins_a_new_check(client: Client) -> None:
    """The last check stays to be seen; the unit as it was left is then what that one read last."""
    everything(client, high_limit={"value": "63", "value.unit": "°F"})
    document = client.document(DEMO)
    long_ago = (datetime.now(UTC) - timedelta(days=365)).isoformat(timespec="seconds")
    document["readings"]["visits"][-1]["started"] = long_ago
    document["id"] = "next-year"
    asyncio.run(client.jobs.create(document, device="test"))
    shown = words(client.get("/jobs/next-year/recheck").text)
    assert f"Checked last on {long_ago[:10]}" in shown
    assert "Begin a new check" in shown
    assert "It shows 63 °F" in words(client.get("/jobs/next-year/recheck/high-limit").text)
    answer = client.post("/jobs/next-year/recheck/high-limit", {"once": "7" * 32, "do": "as left"})
    assert "63.0 °F, left at 63.0 °F" in words(answer.text)
    assert [one.get("purpose") for one in client.document("next-year")["readings"]["visits"]][-2:] == ["a year later"] * 2  # fmt: skip


def test_without_anything_as_left_it_says_so(client: Client) -> None:
    """A unit that nobody finished has nothing to hold today against."""
    text = files("ventwright.cli").joinpath("demo_job", "larkspur-row-r-2.yaml").read_text()
    document = {**read_copy(text, "demo"), "id": "nothing-read"}
    document.pop("readings")
    document.pop("record", None)
    asyncio.run(client.jobs.create(document, device="test"))
    shown = words(client.get("/jobs/nothing-read/recheck").text)
    assert "there is nothing to hold today's numbers against" in shown
    assert client.get("/jobs/nothing-read/recheck/air").status_code == 200
    answer = client.post("/jobs/nothing-read/recheck/air", {"once": "1" * 32, **AS_LEFT, "damper_signal": "21", "damper_signal.unit": "%"})  # fmt: skip
    assert "no share was read as it was left" in words(answer.text).lower()


def test_a_share_read_at_another_signal_is_not_as_left(client: Client) -> None:
    """The setting was moved after the air was read: the air of the old signal says nothing of the new one."""
    assert "Left at 27.8 %" in words(client.get(f"{AT}/air").text)
    client.post(f"/jobs/{DEMO}/set/1", {"once": "9" * 32, "value": "35", "value.unit": "%", "do": "typed"})
    assert "Left at 27.8 %" not in words(client.get(f"{AT}/air").text)
    page = enter(client, "air", {**AS_LEFT, "damper_signal": "35", "damper_signal.unit": "%"}, "8")
    assert "no share was read as it was left" in page.lower()


def test_it_waits_for_the_facts(client: Client) -> None:
    """A job that cannot be planned yet has its page too."""
    job = client.new(place="Cook, IL")
    for page in (f"/jobs/{job}/recheck", f"/jobs/{job}/recheck/signal"):
        assert client.get(page).status_code == 200
    assert client.get(f"{AT}/nothing").status_code == 404
    assert client.post(f"{AT}/nothing", {"once": "1" * 32}).status_code == 404


def test_a_reading_taken_back_is_not_read(client: Client) -> None:
    """Out with Everything entered, the number is to be read again."""
    enter(client, "signal", {"value": "40", "value.unit": "%"}, "1")
    assert "drifted" in words(client.get(AT).text)
    client.post(
        f"/jobs/{DEMO}/entries", {"once": "2" * 32, "id": entries(client)[-1]["id"], "note": "typed wrong"}
    )
    shown = words(client.get(AT).text)
    assert "Damper signal at minimum, high speed ○ not read" in shown
