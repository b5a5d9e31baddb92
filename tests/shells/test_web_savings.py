"""What it saves, in the app: reckoned while the pages go on, the air before the money, weather taken in, the owner's page."""

from __future__ import annotations

import asyncio
import io
import pickle
from collections.abc import Iterator
from pathlib import Path

import pytest
from httpx import Response
from PIL import Image
from tests.conftest import OUTSIDE_DATA
from tests.either import Places
from tests.measured_year import year_file
from tests.web_client import DEMO, Client, mark_of, once, words

from ventwright.job import Worked, read_job, work
from ventwright.store.sharing import answered, share
from ventwright.web import savings_reckoned
from ventwright.web.desk import Desk, Put
from ventwright.web.savings_reckoned import OF, Reckoned, reckoning
from ventwright.web.work import Here, Steps

pytestmark = pytest.mark.usefixtures("either_database")

PAGE = f"/jobs/{DEMO}/savings"

MANY = 150
"""Looks at a page, between which a part of the work is done, until all of it is."""

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
        patch.setattr(savings_reckoned, "DRAWS", 2)
        yield


def few_hours(client: Client) -> None:
    """Put the demo job in, with few hours to go through."""
    client.with_demo()
    put(client, "facts.running", {"weekdays": "8-11", "electricity_price": 0.2})


@pytest.fixture(scope="module")
def reckoned(
    either_database: Places,  # noqa: ARG001 - so that it is made anew on each of the two
    tmp_path_factory: pytest.TempPathFactory,
) -> Iterator[Client]:
    """The demo job with its invented year, reckoned once on each kind of store."""
    client = Client(tmp_path_factory.mktemp("savings"))
    few_hours(client)
    first, *_, last = client.get_all([PAGE] * MANY)
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
    assert "The numbers as a table" in reckoned.get(f"{PAGE}/high-limit").text
    text = reckoned.get(PAGE).text
    drawn = text.count('<figure class="plot')
    assert drawn == 2
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


def test_a_year_that_is_sent_is_kept_and_reckoned_with(client: Client) -> None:
    form = {"once": once(client.get(f"{PAGE}/weather").text)}
    sent = client.post(f"{PAGE}/weather", form, files={"file": ("roof.CSV", year_file(), "text/csv")})
    assert sent.status_code == 200
    assert client.document(DEMO)["facts"]["site"]["weather_file"] == "roof.csv"
    assert 'value="roof.csv" checked' in client.get(f"{PAGE}/weather").text
    put(client, "facts.site.note", "another revision")  # what the answer began ended with the loop it ran in
    said = words(client.get_all([PAGE] * MANY)[-1].text)
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
        (
            "year.csv",
            b"",
            "year.csv: is empty; accepted: an EPW or TMY3 CSV file, or hours measured in a CSV with a first row like: time, outdoor air [°F].",
        ),
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


def endless() -> Steps[None]:
    """Work that only ends when it is stopped."""
    while True:
        yield 0, 1


def test_a_year_of_an_older_revision_is_stopped() -> None:
    """Nobody asks for it any more once the job has been changed; that of another job goes on."""

    async def begun() -> list[bool]:
        doing = Here()
        older, other, newer = (
            doing.begin(key, endless, instead_of=key[:-1])
            for key in ("savings a 1", "savings b 1", "savings a 2")
        )
        await asyncio.sleep(0)
        stopped = [one.stopped for one in (older, other, newer)]
        for one in (other, newer):
            one.stop()
        await asyncio.gather(older.task, other.task, newer.task, return_exceptions=True)
        return stopped

    assert asyncio.run(begun()) == [True, False, False]


def test_stopping_goes_back_to_the_record(client: Client) -> None:
    answer = client.post(f"{PAGE}/stop")
    assert answer.status_code == 200
    assert answer.url.path == f"/jobs/{DEMO}/record"


def test_a_job_without_facts_says_what_is_needed(client: Client) -> None:
    job = client.new(tag="R-9", serves="shop")
    for path in (f"/jobs/{job}/savings", f"/jobs/{job}/savings/owner"):
        assert "as soon as a few facts are there" in words(client.get(path).text)


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
    assert parts == sorted(parts)
    assert parts[0] == (0, OF)
    assert parts[-1] == (OF - 1, OF)
    travelled: Reckoned = pickle.loads(pickle.dumps(found))  # noqa: S301 - made on the line itself
    assert travelled == found
    assert travelled.year is not None
    assert travelled.year.found is not None
    assert travelled.year.found.short_of_air


def done_page(client: Client, path: str) -> str:
    """Look at a page until the year behind it is reckoned."""
    return client.get_all([path] * MANY)[-1].text


def send_weather(client: Client, name: str, content: bytes, number: str = "f") -> Response:
    """Send a year of weather."""
    form = {"once": number * 32}
    return client.post(f"{PAGE}/weather", form, files={"file": (name, content, "text/plain")})


@pytest.mark.outside_data
def test_a_real_year_and_one_with_a_damaged_header(client: Client) -> None:
    """The damaged one is mended where that is safe, and the page says so; TMY3 goes by another ending too."""
    path = OUTSIDE_DATA / "weather" / "USA_CA_San.Francisco.Intl.AP.724940_TMY3.epw"
    lines = path.read_text(encoding="latin-1").splitlines()
    damaged = "\n".join(one for one in lines if not one.startswith("DATA PERIODS"))
    assert send_weather(client, "damaged.epw", damaged.encode("latin-1")).status_code == 200
    put(client, "facts.site.note", "another revision")  # what the answer began ended with the loop it ran in
    said = words(done_page(client, PAGE))
    assert "San Francisco Intl Ap" in said
    assert "The weather file was mended: its DATA PERIODS line is missing" in said
    tmy3 = (OUTSIDE_DATA / "weather" / "VT-Burlington_International_Ap.tmy3").read_bytes()
    assert send_weather(client, "burlington.tmy3", tmy3, "1").status_code == 200
    assert client.document(DEMO)["facts"]["site"]["weather_file"] == "burlington.csv"


def test_the_record_tells_of_the_year_that_the_job_names(client: Client) -> None:
    """On the page to print and in the files; without one it says what is published."""
    record = f"/jobs/{DEMO}/record"
    before = words(client.get(f"{record}/page").text)
    assert "Published, not reckoned for this unit" in before
    asyncio.run(client.jobs.put_file("roof.csv", year_file(), DEMO))
    put(client, "facts.site.weather_file", "roof.csv")
    after = words(client.get(f"{record}/page").text)
    assert "Published, not reckoned" not in after
    assert after.index("The air people breathe") < after.index("Free cooling as it is left")
    assert "Saved in a year against no free cooling" in after
    answer = client.get(f"{record}/record.json")
    assert answer.status_code == 200
    assert answer.headers["content-disposition"] == 'attachment; filename="record.json"'


def test_each_control_has_its_own_hours(reckoned: Client) -> None:
    """The one that costs least is shown first; any other on asking."""
    first = words(reckoned.get(f"{PAGE}/high-limit").text)
    assert "Sensors good to ± 2.0 °F, enthalpy to ± 3.0 Btu/lb." in first
    other = reckoned.get(f"{PAGE}/high-limit?control=fixed+dry+bulb").text
    assert "<h2>Fixed dry bulb</h2>" in other
    assert "<h2>" in reckoned.get(f"{PAGE}/high-limit?control=none+such").text
    assert f'href="{PAGE}/high-limit"' in reckoned.get(PAGE).text


def test_which_high_limit_waits_for_facts_and_for_weather(client: Client) -> None:
    put(client, "facts.site.weather_file", "gone.epw")
    answer = client.get_all([f"{PAGE}/high-limit"] * MANY)[-1]
    assert answer.headers["location"].startswith(PAGE)
    job = client.new(tag="R-9", serves="shop")
    assert "as soon as a few facts are there" in words(client.get(f"/jobs/{job}/savings/high-limit").text)


# how it runs


def test_how_it_runs_is_asked_and_kept(client: Client) -> None:
    """Opening times, gains, prices; what cannot be read is said at its field, and nothing typed is lost."""
    place = f"/jobs/{DEMO}/facts/running"
    form = {
        "once": "2" * 32,
        "weekdays": "9-20",
        "saturday": "closed",
        "internal_gains": "12",
        "internal_gains.unit": "kW",
    }
    assert client.post(place, form).status_code == 200
    held = client.document(DEMO)["facts"]["running"]
    assert (held["weekdays"], held["internal_gains"]) == ("9-20", "12 kW")
    wrong = client.post(place, form | {"once": "3" * 32, "weekdays": "20-9"})
    assert wrong.status_code == 422
    assert 'whole hours such as "7-19", "all day" or "closed"' in words(wrong.text)
    assert 'value="20-9"' in wrong.text
    energy = {
        "once": "4" * 32,
        "electricity_price": "0.21",
        "sensor_accuracy": "1",
        "sensor_accuracy.unit": "°F",
    }
    assert client.post(f"/jobs/{DEMO}/facts/energy", energy).status_code == 200
    assert client.document(DEMO)["facts"]["running"]["electricity_price"] == 0.21
    said = words(client.get(f"/jobs/{DEMO}/facts").text)
    assert "weekdays 9-20, 12 kW from people and things" in said
    assert "$0.21 for 1 kWh" in said


def test_compressors_that_were_seen_are_a_list(client: Client) -> None:
    place = f"/jobs/{DEMO}/lists/compressors"
    row = {"outdoor_air": "68", "outdoor_air.unit": "°F", "share_running": "35", "share_running.unit": "%"}
    for number, outdoor in enumerate(("68", "75")):
        assert client.post(place, row | {"once": str(number) * 32, "outdoor_air": outdoor}).status_code == 200
    rows = client.document(DEMO)["facts"]["running"]["compressor_seen"]
    assert rows == [
        {"outdoor_air": "68 °F", "share_running": "35 %"},
        {"outdoor_air": "75 °F", "share_running": "35 %"},
    ]
    wrong = client.post(place, row | {"once": "5" * 32, "share_running": "much"})
    assert wrong.status_code == 422
    assert 'value="much"' in wrong.text
    client.post(place, {"once": "6" * 32, "do": "take out", "mark": mark_of(client.get(place).text)})
    assert [one["outdoor_air"] for one in client.document(DEMO)["facts"]["running"]["compressor_seen"]] == [
        "75 °F"
    ]


def test_rows_typed_on_two_devices_are_both_kept(client: Client, tmp_path: Path) -> None:
    """Each device adds an hour while it is away from the other; together there are all, and nobody has to choose."""
    place = f"/jobs/{DEMO}/lists/compressors"
    row = {"outdoor_air.unit": "°F", "share_running": "35", "share_running.unit": "%"}
    client.post(place, row | {"outdoor_air": "68"})
    (tmp_path / "other").mkdir()
    other = Client(tmp_path / "other")

    def shared() -> None:
        asyncio.run(share(other.jobs, "server", lambda told: answered(client.jobs, told)))

    shared()
    client.post(place, row | {"outdoor_air": "72"})
    other.post(place, row | {"outdoor_air": "79"})
    shared()
    for one in (client, other):
        rows = one.document(DEMO)["facts"]["running"]["compressor_seen"]
        assert {row["outdoor_air"] for row in rows} == {"68 °F", "72 °F", "79 °F"}
        assert asyncio.run(one.jobs.history(DEMO)).conflicts == ()
    other.jobs.close()


def test_a_forecast_is_typed_by_hand(client: Client) -> None:
    """In any order; each hour has the offset of the device; and it says when to come back."""
    put(client, "facts.site.weather_file", "gone.epw")  # nothing to reckon: quick
    place = f"/jobs/{DEMO}/lists/forecast"
    for number, (at, outdoor) in enumerate((("2026-12-03 07:00", "36"), ("2026-12-02 07:00", "30"))):
        row = {
            "once": str(number) * 32,
            "offset": "-480",
            "at": at,
            "outdoor_air": outdoor,
            "outdoor_air.unit": "°F",
        }
        assert client.post(place, row).status_code == 200
    forecast = client.document(DEMO)["facts"]["weather"]["forecast"]
    assert [one["at"] for one in forecast] == ["2026-12-02T07:00-08:00", "2026-12-03T07:00-08:00"]
    said = words(done_page(client, PAGE))
    assert "Come on 2026-12-02 07:00-08:00, 30.0 °F outdoors" in said
    assert "By the forecast: 2026-12-02 07:00-08:00, 30.0 °F" in said
    wrong = client.post(
        place, {"once": "7" * 32, "at": "tomorrow", "outdoor_air": "30", "outdoor_air.unit": "°F"}
    )
    assert wrong.status_code == 422
    assert 'value="tomorrow"' in wrong.text


def test_a_forecast_waits_for_the_air_of_today(tmp_path: Path) -> None:
    client = Client(tmp_path)
    job = client.new(tag="R-9", serves="shop")
    assert "Today's air is asked first." in words(client.get(f"/jobs/{job}/lists/forecast").text)
    assert client.get(f"/jobs/{job}/lists/nothing").status_code == 404
    client.jobs.close()
