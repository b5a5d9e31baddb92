"""What it saves, in the app: reckoned while the pages go on, the air before the money, weather taken in, the owner's page."""

from __future__ import annotations

import asyncio
import io
import pickle
from collections.abc import Iterator
from pathlib import Path

import pytest
from PIL import Image
from tests.web_client import DEMO, Client, once, words

from ventwright.job import Worked, read_job, work
from ventwright.tables.invented_year import invented_year
from ventwright.web.desk import Desk, Put
from ventwright.web.pages import savings
from ventwright.web.savings_reckoned import PARTS, Reckoned, reckoning
from ventwright.web.work import Here

PAGE = f"/jobs/{DEMO}/savings"
SHUT = {"id": "shut1", "at": "2026-11-20T10:00-08:00", "what": "repaired", "of": "outdoor_air_damper_stuck"}


def put(client: Client, place: str, value: object) -> None:
    """Change one place of the demo job."""
    desk = Desk(client.jobs, Here(), "test")

    async def entered() -> None:
        await desk.enter(await desk.open(DEMO), [Put(place, value)])

    asyncio.run(entered())


@pytest.fixture(scope="module", autouse=True)
def _few_draws() -> Iterator[None]:
    """Enough to make a range, and quick."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setattr(savings, "DRAWS", 2)
        yield


def few_hours(client: Client) -> None:
    """Put the demo job in, with few hours to go through."""
    client.with_demo()
    put(client, "facts.running", {"weekdays": "8-11", "electricity_price": 0.2})


@pytest.fixture(scope="module")
def reckoned(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Client]:
    """The demo job with its invented year, reckoned once."""
    client = Client(tmp_path_factory.mktemp("savings"))
    few_hours(client)
    first, *_, last = client.get_all([PAGE] * (PARTS + 4))
    assert "Every hour of the year is gone through" in words(first.text)
    assert "A year" in words(last.text)
    yield client
    client.jobs.close()


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Client]:
    """The demo job, with nothing reckoned."""
    made = Client(tmp_path)
    few_hours(made)
    yield made
    made.jobs.close()


def test_the_air_comes_before_the_money(reckoned: Client) -> None:
    said = words(reckoned.get(PAGE).text)
    places = [
        said.index(one)
        for one in (
            "The air people breathe",
            "A year",
            "of electricity saved by free cooling",
            "What faults and wrong settings cost",
            "Which high limit",
            "When to come back",
        )
    ]
    assert places == sorted(places)


def test_invented_weather_is_marked_on_both_pages(reckoned: Client) -> None:
    for path in (PAGE, f"{PAGE}/owner"):
        assert "Invented weather. It shows how this works" in words(reckoned.get(path).text)


def test_each_picture_has_its_numbers_behind_it(reckoned: Client) -> None:
    text = reckoned.get(PAGE).text
    drawn = text.count('<figure class="plot')
    assert drawn == 3
    assert text.count("The numbers as a table") == drawn


def test_both_systems_of_units_come_from_one_reckoning(reckoned: Client) -> None:
    reckoned.set("units", "si")
    metric = words(reckoned.get(PAGE).text)
    reckoned.set("units", "us")
    usual = words(reckoned.get(PAGE).text)
    assert "L/s" in metric
    assert "°F" not in metric
    assert "cfm" in usual
    assert "°F" in usual


def test_a_fault_that_takes_air_from_people_is_never_praised(reckoned: Client) -> None:
    """What may look cheap is named with what is due, and its hours short of air stand beside it."""
    said = words(reckoned.get(PAGE).text)
    assert "Repairing one, such as a damper stuck shut, may raise the bill; it is due all the same." in said
    assert "short of air" in said


def test_the_owner_reads_the_air_before_one_range(reckoned: Client) -> None:
    said = words(reckoned.get(f"{PAGE}/owner").text)
    assert said.index("The air people breathe") < said.index("free cooling as it is left saves".capitalize())
    assert said.count("in a year, 9 times in 10") == 1
    assert "What was found" in said
    assert "What is still open" in said


def test_no_word_about_a_change_is_said_where_nothing_was_changed(reckoned: Client) -> None:
    for path in (PAGE, f"{PAGE}/owner", f"{PAGE}/weather"):
        assert '<p id="said" class="said" role="status" aria-live="polite"></p>' in reckoned.get(path).text


def test_record_and_job_lead_there(reckoned: Client) -> None:
    for path in (f"/jobs/{DEMO}", f"/jobs/{DEMO}/record"):
        assert f'href="{PAGE}"' in reckoned.get(path).text


def test_the_owner_sees_the_first_photo_as_found_and_the_last_as_left(client: Client) -> None:
    put(client, "facts.site.weather_file", "gone.csv")  # nothing to reckon: quick
    for number, state in enumerate(("as found", "as found", "as left", "as left")):
        held = io.BytesIO()
        Image.new("RGB", (40, 30), (60 * number, 0, 0)).save(held, "JPEG")
        sent = {"once": f"{number}" * 32, "state": state, "caption": f"blades {number}"}
        files = {"chosen": ("a.jpg", held.getvalue(), "image/jpeg")}
        assert client.post(f"/jobs/{DEMO}/photos", sent, files=files).status_code == 200
    page = client.get_all([f"{PAGE}/owner"] * 4)[-1].text
    shots = page[page.index('class="shots two"') :]
    assert [number for number in range(4) if f"blades {number}" in shots] == [0, 3]
    assert page.count("large.jpg") == 2


def year_file() -> bytes:
    """An invented year as measured hours."""
    year = invented_year("3C")
    rows = [
        f"2025-{month:02}-{day:02} {hour - 1:02}:00, {dry}, {100 * (humid or 0.5):.0f}"
        for (month, day, hour), dry, humid in zip(
            year.stamps, year.dry_bulb, year.relative_humidity, strict=True
        )
    ]
    head = ["# place: roof of nowhere", "# elevation: 60 ft", "# latitude: 37.6", ""]
    return "\n".join([*head[:3], "time, outdoor air [°C], relative humidity [%]", *rows]).encode()


def test_a_year_that_is_sent_is_kept_and_reckoned_with(client: Client) -> None:
    form = {"once": once(client.get(f"{PAGE}/weather").text)}
    sent = client.post(f"{PAGE}/weather", form, files={"file": ("roof.CSV", year_file(), "text/csv")})
    assert sent.status_code == 200
    assert client.document(DEMO)["facts"]["site"]["weather_file"] == "roof.csv"
    assert 'value="roof.csv" checked' in client.get(f"{PAGE}/weather").text
    put(client, "facts.site.note", "another revision")  # what the answer began ended with the loop it ran in
    said = words(client.get_all([PAGE] * (PARTS + 4))[-1].text)
    assert "roof of nowhere" in said
    assert "Invented weather" not in said
    client.post(f"{PAGE}/weather", {"once": "c" * 32, "name": ""})
    assert "weather_file" not in client.document(DEMO)["facts"]["site"]


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        (
            "year.pdf",
            b"x",
            '"year.pdf" is no year of weather; accepted: a file whose name ends in .epw or .csv.',
        ),
        ("year.csv", b"", "year.csv: is empty; accepted: an EPW or TMY3 CSV file."),
        ("year.epw", b"PK\x03\x04", "year.epw: is a zip archive; accepted: the .epw or .csv file inside it."),
        (
            "../year.csv",
            b"x",
            '"../year.csv" is no name for an equipment or weather file; accepted: a name without folders that ends in .yaml, .yml, .json, .epw, .csv.',
        ),
    ],
)
def test_what_is_no_year_is_refused_and_not_kept(
    client: Client, name: str, content: bytes, sentence: str
) -> None:
    form = {"once": "d" * 32}
    answer = client.post(f"{PAGE}/weather", form, files={"file": (name, content, "text/plain")})
    assert answer.status_code == 422
    assert sentence in words(answer.text)
    assert asyncio.run(client.jobs.own_files(DEMO)) == {}


def test_a_year_that_is_not_here_is_refused(client: Client) -> None:
    answer = client.post(f"{PAGE}/weather", {"once": "e" * 32, "name": "gone.epw"})
    assert answer.status_code == 422
    assert '"gone.epw" is not kept with this job; accepted: a file that is, or a new one.' in words(
        answer.text
    )


def test_a_year_that_cannot_be_read_leaves_the_published_range(client: Client) -> None:
    put(client, "facts.site.weather_file", "gone.epw")
    said = words(client.get_all([PAGE] * 4)[-1].text)
    assert "The year cannot be reckoned." in said
    assert '"gone.epw" cannot be read' in said
    assert "Published, not reckoned for this unit" in said


def test_a_job_without_weather_has_the_published_range(tmp_path: Path) -> None:
    """No invented year stands in for a real unit."""
    client = Client(tmp_path)
    few_hours(client)
    put(client, "invented", value=None)
    said = words(client.get_all([PAGE] * 4)[-1].text)
    assert "Published, not reckoned for this unit" in said
    assert "Invented weather" not in said
    client.jobs.close()


def test_a_unit_that_never_runs_is_said(client: Client) -> None:
    put(client, "facts.running", {"weekdays": "closed"})
    said = words(client.get_all([PAGE] * 5)[-1].text)
    assert "leaves the unit off all year" in said


def test_stopping_goes_back_to_the_record(client: Client) -> None:
    answer = client.post(f"{PAGE}/stop")
    assert answer.status_code == 200
    assert answer.url.path == f"/jobs/{DEMO}/record"


def test_a_job_without_facts_says_what_is_needed(client: Client) -> None:
    job = client.new(tag="R-9", serves="shop")
    for path in (f"/jobs/{job}/savings", f"/jobs/{job}/savings/owner"):
        assert "Enter the facts" in words(client.get(path).text)


def worked_with_shut_damper(client: Client) -> Worked:
    """The demo job, on which a damper stuck shut was put right."""
    document = client.document(DEMO)
    document["readings"]["entries"].append(SHUT)
    return work(read_job(document), Path())


def test_what_comes_back_travels_between_processes(client: Client) -> None:
    """And it says, before the repair, that the bill may rise."""
    steps = reckoning(worked_with_shut_damper(client), Path(), 2)
    parts = []
    while True:
        try:
            parts.append(next(steps))
        except StopIteration as ended:
            found = ended.value
            break
    assert parts == [(done, PARTS) for done in range(PARTS)]
    travelled: Reckoned = pickle.loads(pickle.dumps(found))  # noqa: S301 - made on the line itself
    assert travelled == found
    assert travelled.year is not None
    assert travelled.year.found is not None
    assert travelled.year.found.short_of_air
