"""The plan in the app: the air needed first, what to settle before all, every reason one tap away."""

from __future__ import annotations

from asyncio import run
from html import unescape
from pathlib import Path

import pytest
from tests.web_client import Client, words

from ventwright.plan import Guess
from ventwright.tables.weather_layout import DAYS
from ventwright.web.guessed import asked_at
from ventwright.web.pages.plan_provable import chance_words
from ventwright.words import Words

pytestmark = pytest.mark.usefixtures("either_database")

WEATHER = Path(__file__).parents[1] / "data" / "weather"


def year_of_one_day() -> bytes:
    """A year in which every day is San Francisco's first of January."""
    lines = (WEATHER / "san_francisco_first_day.epw").read_text(encoding="utf-8").splitlines()
    day = [line.split(",") for line in lines[8:]]
    body = [
        ",".join([cells[0], str(month), str(date), *cells[3:]])
        for month, days in enumerate(DAYS, start=1)
        for date in range(1, days + 1)
        for cells in day
    ]
    return "\n".join([*lines[:8], *body]).encode()


@pytest.fixture
def client(tmp_path: Path) -> Client:
    """The app with nothing in it."""
    return Client(tmp_path)


@pytest.fixture
def at(client: Client) -> str:
    """Address of the demo job."""
    return f"/jobs/{client.with_demo()}"


def test_the_air_required_stands_first_with_its_sum_behind_a_tap(client: Client, at: str) -> None:
    """Number, where it is from, and the spaces behind it."""
    page = client.get(f"{at}/plan").text
    shown = words(page)
    assert shown.index("1116 cfm") < shown.index("Settings to enter") < shown.index("Fan speeds")
    assert "The sum behind it" in shown
    assert "72 (guess)" in shown
    assert page.count("<svg xmlns") == 2  # required and delivered, today's air


def test_units_switch_without_touching_what_was_entered(client: Client, at: str) -> None:
    """The same plan in litres a second."""
    before = client.document(at.split("/")[2])
    client.post("/units", {"units": "si", "back": f"{at}/plan"})
    shown = words(client.get(f"{at}/plan").text)
    assert "527 L/s" in shown
    assert "cfm" not in shown.replace("°C · L/s", "")
    assert client.document(at.split("/")[2]) == before


def test_a_conflict_comes_before_everything_with_the_way_to_settle_it(client: Client, at: str) -> None:
    """A chosen limit above the code is the first thing on the page."""
    client.post(
        f"{at}/plan/settings/3", {"value": "80", "value.unit": "°F", "reason": "the owner likes it warm"}
    )
    page = client.get(f"{at}/plan").text
    shown = words(page)
    assert shown.index("Settle first") < shown.index("Outdoor air required")
    assert f'href="{at}/plan/settings"' in page
    assert "not met" in shown


def test_a_requirement_says_where_it_stands_and_how_sure_that_is(client: Client, at: str) -> None:
    """Edition, section, how confirmed, and the doubt."""
    shown = words(client.get(f"{at}/plan").text)
    assert "ASHRAE 90.1-2019, Table 6.5.1.1.3" in shown
    assert "from memory, check before relying on it" in shown
    assert "taken from an open data set or tool" in shown


def test_every_guess_leads_to_the_fact_that_replaces_it(client: Client, at: str) -> None:
    """The demo's people lead to the spaces, its wire to the control power."""
    page = client.get(f"{at}/plan").text
    assert f'href="{at}/facts/spaces"' in page
    assert f'href="{at}/wire/power"' in page
    places = {
        "spaces.Sales floor.people": "/facts/spaces", "unit.fan_speeds.low": "/facts/speeds", "unit.lowest_cooling_ambient": "/facts/unit",
        "site.energy_code": "/facts/site", "site.ventilation_standard": "/facts/air", "power.unit transformer.rating": "/wire/power",
        "weather.return_air": "/facts/today", "something else": "/facts",
    }  # fmt: skip
    for what, place in places.items():
        assert asked_at(Guess(what, Words(""))) == place
    for place in set(places.values()):
        assert client.get(f"{at}{place}").status_code == 200


def test_a_setting_chosen_otherwise_keeps_its_reason_and_can_go_back(client: Client, at: str) -> None:
    """A choice is entered once, changed in place, and taken out again."""
    job = at.split("/")[2]
    form = {"once": "c" * 32, "value": "70", "value.unit": "°F", "reason": "tenant complains above"}
    for _ in range(2):  # a double tap
        answer = client.post(f"{at}/plan/settings/3", form)
        assert answer.status_code == 200
    chosen = client.document(job)["plan"]["choices"]
    assert [one["label"] for one in chosen].count("Outdoor air too warm above") == 1
    assert chosen[-1] == {
        "label": "Outdoor air too warm above",
        "value": "70 °F",
        "reason": "tenant complains above",
    }
    shown = words(client.get(f"{at}/plan/settings").text)
    assert "chosen: tenant complains above; the plan would be 75.0 °F" in shown
    client.post(
        f"{at}/plan/settings/3", {"value": "71", "value.unit": "°F", "reason": "tenant complains above"}
    )
    assert client.document(job)["plan"]["choices"][-1]["value"] == "71 °F"
    client.post(f"{at}/plan/settings/3", {"do": "as planned"})
    assert len(client.document(job)["plan"]["choices"]) == 1


def test_a_choice_that_the_kit_does_not_take_is_refused_and_stays_typed(client: Client, at: str) -> None:
    """The kit's range in the sentence, the reason still in its field."""
    answer = client.post(f"{at}/plan/settings/3", {"value": "95", "value.unit": "°F", "reason": "why not"})
    assert answer.status_code == 422
    page = unescape(answer.text)
    assert (
        'Value: "95 °F" is outside the range of "Outdoor air too warm above"; accepted: 48 F to 80 F.' in page
    )
    assert 'value="95"' in page
    assert ">why not</textarea>" in page
    answer = client.post(f"{at}/plan/settings/3", {"value": "70", "value.unit": "°F", "reason": ""})
    assert answer.status_code == 422
    assert client.get(f"{at}/plan/settings/99").status_code == 404


def test_what_can_be_proved_comes_with_readings_and_what_it_takes(client: Client, at: str) -> None:
    """Caution first; a chance is said in tenths."""
    shown = words(client.get(f"{at}/plan/provable").text)
    assert shown.index("Ladder tied") < shown.index("9 of 9 checks")
    assert "it passes 8 in 10 times where all is right" in shown
    assert "one probe for all three: Hand-held thermistor probe" in shown
    assert chance_words(0.999) == "more than 9 in 10"
    assert chance_words(0.01) == "less than 1 in 10"
    assert chance_words(0.62) == "6 in 10"


def test_a_year_of_weather_brings_the_calendar_and_a_missing_one_a_sentence(client: Client, at: str) -> None:
    """The file lies beside the job; what is wrong with it is said, and the rest still stands."""
    document = client.document(at.split("/")[2])
    document["facts"]["site"]["weather_file"] = "here.epw"
    job = run(client.jobs.create({**document, "id": "e" * 32}, device="test"))
    assert "The year of weather cannot be read." in words(client.get(f"/jobs/{job}/plan/provable").text)
    run(client.jobs.put_file("here.epw", year_of_one_day(), job))
    page = client.get(f"/jobs/{job}/plan/provable").text
    assert "A map of months and hours." in page
    assert "January" in words(page)


def test_what_to_take_up_can_be_ticked_on_the_phone(client: Client, at: str) -> None:
    """Each thing has a box that is kept on the device."""
    page = client.get(f"{at}/plan/take").text
    assert page.count("data-kept=") == 8
    assert "Clamp meter" in words(page)


def test_without_weather_the_page_leads_to_where_weather_is_given(client: Client) -> None:
    """A year is chosen with the savings, a forecast is a list of its own; the site and today's air ask for neither."""
    job = client.new(capacity="10", **{"capacity.unit": "ton"}, speeds="2", place="Cook, IL")
    page = client.get(f"/jobs/{job}/plan/provable").text
    assert f'href="/jobs/{job}/savings/weather"' in page
    assert (
        f'href="/jobs/{job}/facts/site"'
        not in page.partition("<h2>When to come</h2>")[2].partition("<h2>")[0]
    )
    assert client.get(f"/jobs/{job}/lists/forecast").status_code == 200


@pytest.mark.parametrize(
    "path", ["/plan", "/plan/settings", "/plan/settings/1", "/plan/provable", "/plan/take"]
)
def test_without_facts_each_page_says_what_is_missing(client: Client, path: str) -> None:
    """One thing needed, and the way to it."""
    page = client.get(f"/jobs/{client.new()}{path}")
    assert page.status_code == 200
    assert "facts" in page.text


def test_a_forecast_refused_for_want_of_todays_air_is_still_there(client: Client) -> None:
    """Today's air may be taken out on another page while a forecast is typed: it is said, and the form stays."""
    job = client.new(capacity="10", **{"capacity.unit": "ton"}, speeds="2", place="Cook, IL")
    given = {"once": "a" * 32, "outdoor_air": "41", "outdoor_air.unit": "°F"}
    answer = client.post(f"/jobs/{job}/lists/forecast", given)
    assert answer.status_code == 422
    assert "Today's air is asked first." in words(answer.text)
    assert 'value="41"' in answer.text
