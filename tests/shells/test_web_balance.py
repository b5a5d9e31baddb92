"""The balance in the app: one move first, at most four numbers a screen, nothing typed twice, nothing lost."""

from __future__ import annotations

import json
import re
from asyncio import run
from collections.abc import Mapping
from html import unescape
from pathlib import Path
from typing import Any

import pytest
from tests.web_client import Client, once, words

from ventwright.store.change import Change
from ventwright.store.history import Pen
from ventwright.web.balance_blocks import Odds, odds
from ventwright.web.reading_kinds import KINDS, points, written_points

pytestmark = pytest.mark.usefixtures("either_database")

COLD = {
    "outdoor_air": "36.1",
    "outdoor_air.unit": "°F",
    "return_air": "72.8",
    "return_air.unit": "°F",
    "mixed_air.unit": "°F",
}
AT_36 = "?damper=36+%25"
POINTS = "57.3, 57.0, 57.5, 57.1, 57.2, 57.4, 57.2, 57.3"
"""Mixed air at low speed on that morning: 42 % of the way from return to outdoor air."""


@pytest.fixture
def client(tmp_path: Path) -> Client:
    """The app with nothing in it."""
    return Client(tmp_path)


@pytest.fixture
def at(client: Client) -> str:
    """Address of the demo job's balance."""
    return f"/jobs/{client.with_demo()}/balance"


def fresh(client: Client, **facts: Any) -> str:
    """Keep a copy of the demo in which nothing was read, with facts put otherwise; return its balance's address."""
    document = client.document(client.with_demo())
    document = {**document, "id": "fresh", "readings": {}, "record": {}, "verdict": {}}
    document["facts"] = {**document["facts"], **facts}
    return f"/jobs/{run(client.jobs.create(document, device='test'))}/balance"


def entries(client: Client, address: str) -> list[dict[str, Any]]:
    """Return the readings of the job, as typed."""
    found: list[dict[str, Any]] = client.document(address.split("/")[2])["readings"]["entries"]
    return found


def sent(client: Client, address: str, given: Mapping[str, str]) -> str:
    """Fill in the form at an address and send it; return the page that answers."""
    page = client.get(address).text
    target = re.findall(r'<form method="post" action="([^"]+)"', page)[-1]
    answer = client.post(unescape(target), {"once": once(page), **given})
    assert answer.status_code == 200, words(answer.text)
    return answer.text


def read_at_36(client: Client, at: str, mixed: str = POINTS) -> str:
    """Read the three temperatures at low speed and 36 %."""
    return sent(client, f"{at}/low/read{AT_36}", {**COLD, "mixed_air": mixed, "instrument": "probe"})


def numbers_typed(page: str) -> list[str]:
    """Names of the fields of a page into which a number is typed, whether it has to be or not."""
    main = page[page.index("<main") : page.index("</main>")]
    return re.findall(r'<input id="[^"]+" name="([^"]+)"[^>]* data-pad', main)


def test_the_overview_offers_one_move(client: Client, at: str) -> None:
    """One primary action; each speed with its verdict, chance, signal, range; the picture with its table."""
    page = client.get(at).text
    said = words(page)

    assert page.count('class="button first"') == 1
    assert f'<a class="button first" href="{at}/low/set?damper=36%20%25">' in page
    assert "Set the low speed to 36 % (4.88 V) and read" in said
    assert "Passes over 99 in 100 that it brings in what is needed" in said
    assert "Cannot tell 9 in 10 that it brings in what is needed" in said
    assert "36 % (4.88 V) · provisional probably 991 cfm to 1234 cfm" in said
    assert "Why, low speed Hold the damper at 36 % at low speed and read" in said
    assert "keep hands out of blades, belts and linkage" in said
    assert "<title" in page.split("<svg")[-1]
    assert '<th scope="row">low</th><td>37 %</td>' in page


def test_the_same_in_si(client: Client, at: str) -> None:
    """Every airflow changes; the signal does not."""
    client.set("units", "si")
    said = words(client.get(at).text)

    assert "36 % (4.88 V) · provisional probably 468 L/s to 582 L/s" in said
    assert "cfm" not in said.replace("°F · cfm", "")


@pytest.mark.parametrize(
    ("probability", "said"),
    [
        (0.9979, Odds(99, 100, "over")),
        (0.989, Odds(19, 20, "over")),
        (0.9499, Odds(9, 10)),
        (0.9, Odds(9, 10)),
        (0.899, Odds(8, 10)),
        (0.05, Odds(1, 10, "under")),
        (0.001, Odds(1, 100, "under")),
    ],
)
def test_a_chance_is_never_said_higher_than_it_is(probability: float, said: Odds) -> None:
    """Rounded down, and "under" where it is small."""
    assert odds(probability) == said
    assert said.side == "under" or said.times / said.of <= probability


def test_set_asks_before_it_goes_on(client: Client, at: str) -> None:
    """Without the tick nothing goes on; with it, what is held by hand is on the list to put back, once."""
    page = client.get(f"{at}/low/set{AT_36}").text
    given = {"once": once(page), "damper": "36 %", "held.fan": "yes", "held.damper": "yes"}

    refused = client.post(f"{at}/low/set{AT_36}", given)
    assert refused.status_code == 422
    assert (
        "Hands and panels: is not confirmed; accepted: a tick, once everybody is clear of fan and damper."
        in words(refused.text)
    )

    before = len(entries(client, at))
    for _ in range(2):
        waiting = client.post(f"{at}/low/set{AT_36}", {**given, "clear": "yes"})
        assert waiting.url.path == f"{at}/low/wait"
    new = entries(client, at)[before:]
    assert [(one["point"], one["changed_to"]) for one in new] == [
        ("fan speed", "held at low speed by hand"),
        ("damper signal", "held at 36 % by hand"),
    ]
    assert "held.fan" not in client.get(f"{at}/low/set{AT_36}").text
    assert 'data-timer="300"' in waiting.text
    assert f'href="{at}/low/read?damper=36%20%25"' in waiting.text


def test_another_signal_is_read_or_refused(client: Client, at: str) -> None:
    """Per cent or volts; what the kit does not have is refused in one sentence, and nothing can be sent with it."""
    assert "45 %" in words(client.get(f"{at}/low/set?damper=5.6&damper.unit=V").text)

    refused = client.get(f"{at}/low/set?damper=11&damper.unit=V")
    assert refused.status_code == 422
    assert (
        'Another signal: "11 V" is outside the kit\'s range of signal; accepted: 2 V to 10 V, or 0 % to 100 %.'
        in words(refused.text)
    )
    assert "It stands there" not in refused.text


def test_a_reading_is_at_most_four_numbers(client: Client, at: str) -> None:
    """On every screen of every kind of reading; of the usual one three have to be typed."""
    counted = {}
    for kind in KINDS.values():
        for screen in range(len(kind.screens)):
            page = client.get(f"{at}/low/read/{kind.name}{AT_36}&screen={screen}").text
            counted[kind.name, screen] = len(numbers_typed(page))

    assert max(counted.values()) == 4
    assert counted["mixed-air", 0] == 4
    assert (
        len(re.findall(r"<input [^>]*data-pad[^>]* required", client.get(f"{at}/low/read{AT_36}").text)) == 3
    )


def test_a_reading_is_judged_at_once(client: Client) -> None:
    """The result shows verdict, curve and the next move, with a way to take it back."""
    at = fresh(client)
    sent(client, f"{at}/low/read/supply-air", {"airflow": "2650", "band": "10", "method": "flow plate"})
    page = read_at_36(client, at)
    entry = entries(client, at)[-1]

    assert entry["mixed_air"] == [f"{one} °F" for one in POINTS.split(", ")]
    assert (entry["what"], entry["speed"], entry["damper_signal"], entry["instrument"]) == (
        "mixed air",
        "low",
        "36 %",
        "probe",
    )
    assert entry["visit"] == "visit-1"
    assert page.count("<svg") == 2  # the mark of the head, and the curve of this speed
    assert "Take it back" in page
    assert re.search(
        r"Cannot tell Low speed brings in \d+ cfm ± \d+ cfm, .* was not read back for low speed\.",
        words(page),
    )
    assert "What would settle it: Read the setting back from the controller and enter it." in words(page)

    undo = re.search(r'name="changes" value="(\w+)"', page)
    assert undo
    client.post(
        f"{at.removesuffix('/balance')}/take-back", {"changes": undo[1], "once": "b" * 32, "back": at}
    )
    assert [one["what"] for one in entries(client, at)] == ["supply air"]


def test_what_has_not_changed_is_not_typed_again(client: Client) -> None:
    """Outdoor and return air stand in their fields with their age, and the probe is the one used last."""
    at = fresh(client)
    assert 'value="36.1"' not in client.get(f"{at}/high/read").text
    read_at_36(client, at)
    page = client.get(f"{at}/high/read?damper=21+%25").text

    assert re.search(r'name="outdoor_air" value="36\.1"', page)
    assert re.search(r'name="return_air" value="72\.8"', page)
    assert words(page).count("read just now") == 2
    assert "Read with: Hand-held thermistor probe, ± 0.5 F" in words(page)
    assert re.search(r'name="mixed_air" value=""', page)


def test_the_facts_weather_is_offered_to_tap(client: Client) -> None:
    """Before anything was read, what the facts say of today's air is one tap away, and not entered unseen."""
    page = client.get(f"{fresh(client)}/low/read").text

    assert '<button type="button" data-fill="outdoor_air">58 F</button>' in page
    assert re.search(r'name="outdoor_air" value=""', page)


def test_the_same_form_twice_is_one_reading(client: Client) -> None:
    """Also where the first of the two opens the day's visit."""
    at = fresh(client)
    page = client.get(f"{at}/low/read{AT_36}").text
    given = {"once": once(page), **COLD, "mixed_air": "57.3", "instrument": "probe"}
    for _ in range(2):
        assert client.post(f"{at}/low/read{AT_36}", given).status_code == 200

    assert len(entries(client, at)) == 1
    assert len(client.document(at.split("/")[2])["readings"]["visits"]) == 1


def test_a_refused_reading_keeps_what_was_typed(client: Client, at: str) -> None:
    """Each mistake in its own sentence, beside its field and in the list."""
    before = entries(client, at)
    answer = client.post(
        f"{at}/low/read/mixed-air{AT_36}",
        {
            **COLD,
            "outdoor_air": "358",
            "return_air": "",
            "mixed_air": "57.3, 64,1",
            "instrument": "probe",
            "once": "c" * 32,
        },
    )
    said = words(answer.text)

    assert answer.status_code == 422
    assert (
        'Outdoor air: "358 °F" is not possible for a temperature here; accepted: at least -130 °F (-90 °C) and at most 248 °F (120 °C).'
        in said
    )
    assert 'Return air: is missing; accepted: "72 F" or "22 °C".' in said
    assert (
        'Mixed air, one or more points: "64,1 °F" holds a number that is not written as it is read here; accepted: digits with a '
        'decimal point, a comma only between thousands, such as "1.5" or "12,000".'
    ) in said
    assert re.search(r'name="outdoor_air" value="358"', answer.text)
    assert re.search(r'name="mixed_air" value="57\.3, 64,1"', answer.text)
    assert "low speed, 36 % (4.88 V)" in said
    assert entries(client, at) == before


def test_the_traverse_works_without_script(client: Client, at: str) -> None:
    """Outdoor and return air come along unseen; the points are a list; a refused point leaves the list where it is."""
    page = client.post(f"{at}/low/traverse{AT_36}", {**COLD, "once": "d" * 32, "instrument": "probe"}).text
    assert '<input type="hidden" name="outdoor_air" value="36.1">' in page
    layers = re.search(r"data-layers='([^']+)'", page)
    assert layers
    assert json.loads(layers[1]) == {
        "°C": 6.12,
        "°F": 11.01,
    }  # 30 % of the 36.7 °F between outdoor and return air
    given = {**COLD, "walked": "yes", "instrument": "probe", "once": once(page)}

    refused = client.post(f"{at}/low/read/mixed-air{AT_36}", {**given, "mixed_air": "57.3, 57x"})
    assert refused.status_code == 422
    assert "data-traverse" in refused.text
    assert 'value="57.3, 57x"' in refused.text
    assert '<input type="hidden" name="return_air" value="72.8">' in refused.text

    client.post(f"{at}/low/read/mixed-air{AT_36}", {**given, "mixed_air": "57.3, 57.0, 57.5"})
    assert entries(client, at)[-1]["mixed_air"] == ["57.3 °F", "57.0 °F", "57.5 °F"]
    assert entries(client, at)[-1]["outdoor_air"] == "36.1 °F"


@pytest.mark.parametrize(
    ("typed", "read"),
    [
        ("64.1, 63.7, 64.4", ["64.1 °F", "63.7 °F", "64.4 °F"]),
        ("64.1,63.7", ["64.1 °F", "63.7 °F"]),
        ("64.1; 17.6 °C\n63.7 F", ["64.1 °F", "17.6 °C", "63.7 F"]),
        ("64,1", ["64,1 °F"]),
        ("64, 63", ["64 °F", "63 °F"]),
        ("", []),
    ],
)
def test_points_are_parted_only_where_they_are_surely_apart(typed: str, read: list[str]) -> None:
    """A decimal comma is no second point: it stays for the document to refuse."""
    assert points(typed, "°F") == read


def test_points_go_back_into_one_field() -> None:
    """With their unit where they have the same one, else each with its own."""
    assert written_points(["64.1 F", "63.7 F"]) == ("64.1, 63.7", "°F")
    assert written_points(["64.1 F", "17.6 °C"]) == ("64.1 F, 17.6 °C", "")


def test_every_other_kind_is_entered(client: Client) -> None:
    """Behind the fan, outdoor airflow, supply airflow, carbon dioxide, humidity in two screens, probes side by side."""
    instruments = [
        {"id": "probe", "kind": "temperature", "accuracy": "± 0.5 F"},
        {"id": "second", "kind": "temperature", "accuracy": "± 0.5 F"},
        {"id": "gas", "kind": "carbon dioxide", "accuracy": "± 30 ppm"},
        {"id": "damp", "kind": "humidity", "accuracy": "± 2 %"},
    ]
    at = fresh(client, instruments=instruments)
    kind = f"{at}/low/read"

    sent(
        client,
        f"{kind}/behind-fan{AT_36}",
        {**COLD, "mixed_air": "58.6", "fan_heat": "1.2", "fan_heat.unit": "°F", "instrument": "probe"},
    )
    assert (entries(client, at)[-1]["behind_fan"], entries(client, at)[-1]["fan_heat"]) == (True, "1.2 °F")

    sent(
        client,
        f"{kind}/outdoor-airflow{AT_36}",
        {"airflow": "1120", "airflow.unit": "cfm", "band": "15", "band.unit": "%", "method": "flow hood"},
    )
    assert entries(client, at)[-1]["airflow"] == "1120 cfm ± 15 %"

    sent(client, f"{kind}/supply-air", {"airflow": "2650", "airflow.unit": "cfm", "method": "traverse"})
    assert entries(client, at)[-1] | {"id": "", "at": "", "visit": ""} == {
        "what": "supply air", "speed": "low", "airflow": "2650 cfm", "method": "traverse", "id": "", "at": "", "visit": "",
    }  # fmt: skip

    gas = {
        f"{one}_concentration": value
        for one, value in (("outdoor", "430"), ("return", "900"), ("mixed", "700"))
    }
    sent(client, f"{kind}/carbon-dioxide{AT_36}", {**gas, "instrument": "gas"})
    assert entries(client, at)[-1]["mixed_concentration"] == "700 ppm"

    first = {
        "outdoor_dry_bulb": "36",
        "outdoor_relative_humidity": "70",
        "return_dry_bulb": "73",
        "return_relative_humidity": "40",
    }
    second = sent(client, f"{kind}/humidity{AT_36}", {**first, "instrument": "damp", "thermometer": "probe"})
    assert numbers_typed(second) == ["mixed_dry_bulb", "mixed_relative_humidity"]
    hidden = dict(re.findall(r'<input type="hidden" name="(\w+)" value="([^"]*)">', second))
    answer = client.post(
        f"{kind}/humidity{AT_36}", {**hidden, "mixed_dry_bulb": "57", "mixed_relative_humidity": "140", "instrument": "damp", "thermometer": "probe"}
    )  # fmt: skip
    assert '"140 %" is not possible for a fraction here; accepted: at least 0 % and at most 100 %.' in words(
        answer.text
    )
    assert numbers_typed(answer.text) == ["mixed_dry_bulb", "mixed_relative_humidity"]
    client.post(
        f"{kind}/humidity{AT_36}", {**hidden, "mixed_dry_bulb": "57", "mixed_relative_humidity": "55", "instrument": "damp", "thermometer": "probe"}
    )  # fmt: skip
    assert entries(client, at)[-1]["outdoor_relative_humidity"] == "70 %"
    assert entries(client, at)[-1]["thermometer"] == "probe"

    page = client.get(f"{kind}/side-by-side").text
    alone = client.post(
        f"{kind}/side-by-side",
        {"once": once(page), "shows.probe": "70.1", "shows.probe.unit": "°F", "shows.second": ""},
    )
    assert alone.status_code == 422
    assert "is no pair of probes; accepted: two or more probes" in words(alone.text)
    sent(client, f"{kind}/side-by-side", {"shows.probe": "70.1", "shows.second": "70.4"})
    assert entries(client, at)[-1]["probes"] == [
        {"instrument": "probe", "shows": "70.1 °F"},
        {"instrument": "second", "shows": "70.4 °F"},
    ]


def test_a_reading_is_corrected_as_of_when_it_was_read(client: Client, at: str) -> None:
    """The form holds the old reading; the new one keeps time and visit; the old one stays, marked."""
    listed = at.replace("/balance", "/balance-list")
    page = client.get(f"{listed}/m2").text
    assert re.search(r'name="mixed_air" value="67\.3, 66\.9, 67\.4, 67\.1, 67\.3, 66\.9, 67\.2, 67\.1"', page)
    assert re.search(r'name="damper_signal" value="37"', page)
    given = {
        "once": once(page), "speed": "low", "damper_signal": "38", "damper_signal.unit": "%", "outdoor_air": "58.2", "outdoor_air.unit": "°F",
        "return_air": "73.9", "return_air.unit": "°F", "mixed_air": "67.3, 66.9", "mixed_air.unit": "°F", "instrument": "probe",
    }  # fmt: skip

    refused = client.post(f"{listed}/m2", {**given, "damper_signal": "138"})
    assert refused.status_code == 422
    assert 'Damper signal held: "138 %" is more than full stroke; accepted: at most 100 %.' in words(
        refused.text
    )

    client.post(f"{listed}/m2", given)
    entry = entries(client, at)[-1]
    assert (entry["corrects"], entry["at"], entry["visit"]) == ("m2", "2026-11-18T10:45-08:00", "first-fit")
    assert (entry["damper_signal"], entry["mixed_air"]) == ("38 %", ["67.3 °F", "66.9 °F"])
    assert len(client.document(at.split("/")[2])["readings"]["visits"]) == 2
    assert "corrected" in words(client.get(listed).text)
    assert client.get(f"{listed}/m2").status_code == 404


def test_a_reading_is_taken_back(client: Client, at: str) -> None:
    """It stays in the list, and nothing rests on it."""
    listed = at.replace("/balance", "/balance-list")
    page = client.get(f"{listed}/m3").text
    client.post(f"{listed}/m3", {"once": once(page), "do": "take back"})

    assert entries(client, at)[-1]["corrects"] == "m3"
    assert entries(client, at)[-1]["what"] == "withdrawn"
    assert "taken back" in words(client.get(listed).text)


def test_a_reading_of_no_visit_is_corrected_and_taken_back(client: Client, at: str) -> None:
    """Entered without a visit, as a file may hold it: what stands for it has none either."""
    job = at.split("/")[2]
    entry = {
        "what": "supply air",
        "at": "2026-11-18T12:00-08:00",
        "speed": "low",
        "airflow": "2600 cfm ± 5 %",
        "method": "traverse",
    }
    for named in ("s8", "s9"):
        run(client.jobs.add(_appended(client, job, entry | {"id": named})))
    listed = at.replace("/balance", "/balance-list")
    given = {"speed": "low", "airflow": "2700", "airflow.unit": "cfm", "band": "5 %", "method": "traverse"}
    for named, sent_ in (("s8", given), ("s9", {"do": "take back"})):
        answer = client.post(
            f"{listed}/{named}", {"once": once(client.get(f"{listed}/{named}").text), **sent_}
        )
        assert answer.status_code == 200, words(answer.text)
        assert entries(client, at)[-1]["corrects"] == named
        assert "visit" not in entries(client, at)[-1]


def _appended(client: Client, job: str, entry: dict[str, Any]) -> tuple[Change, ...]:
    pen = Pen(run(client.jobs.history(job)), device="test")
    pen.append("readings.entries", entry)
    return pen.changes


def test_the_setting_is_read_back_where_it_stays(client: Client) -> None:
    """Its own label, nothing filled in beforehand, and a value that the kit does not take is refused."""
    at = fresh(client)
    page = client.get(f"{at}/low/leave{AT_36}").text
    assert "Enter it as “Fresh-air opening, fan slow”" in words(page)
    assert re.search(r'name="value" value=""', page)

    refused = client.post(f"{at}/low/leave{AT_36}", {"once": once(page), "value": "136", "value.unit": "%"})
    assert refused.status_code == 422
    assert 'value="136"' in refused.text
    client.post(f"{at}/low/leave{AT_36}", {"once": once(page), "value": "36", "value.unit": "%"})
    assert entries(client, at)[-1]["label"] == "Fresh-air opening, fan slow"
    assert "As left 36 % (4.88 V)" in words(client.get(at).text)


def test_what_was_read_is_left_there_before_it_is_read_again(client: Client) -> None:
    """Read where it is to stand, while the kit was left elsewhere: a second reading alone would say no more."""
    at = fresh(client)
    sent(client, f"{at}/low/read/supply-air", {"airflow": "2650", "band": "10", "method": "traverse"})
    sent(client, f"{at}/low/leave?damper=60+%25", {"value": "60", "value.unit": "%"})
    page = read_at_36(client, at)
    assert "low speed was read at 36 %, and its minimum was left at 60 %" in words(page)
    assert f'<a class="button first" href="{at}/low/leave?damper=36%20%25">' in page


def test_contradicting_readings_are_said_with_what_settles_them(client: Client) -> None:
    """The finding comes before everything else, and the move is to repeat that reading."""
    at = fresh(client)
    for signal, mixed in (("20", "65.5"), ("36", "57.3"), ("37", "70.5")):
        page = sent(
            client, f"{at}/low/read?damper={signal}+%25", {**COLD, "mixed_air": mixed, "instrument": "probe"}
        )
    said = words(page)

    assert "Something does not fit:" in said
    assert re.search(
        r"What settles it: Repeat the reading at (36|37) % first: if it comes out as before, repeat the others.",
        said,
    )
    assert page.index("Something does not fit") < page.index('class="button first"')


def test_a_damper_that_does_not_follow_is_looked_at_first(client: Client) -> None:
    """No signal is offered: the move is to find out why, with power off."""
    at = fresh(client)
    for signal in ("5", "50", "95"):
        page = sent(
            client,
            f"{at}/low/read?damper={signal}+%25",
            {**COLD, "mixed_air": "66.0, 66.1, 65.9", "instrument": "probe"},
        )
    said = words(page)

    assert (
        "The share of outdoor air stays the same whatever the signal: the damper does not follow it." in said
    )
    assert "What settles it: Power off, hands clear:" in said
    assert f'<a class="button first" href="{at.removesuffix("/balance")}/find">' in page


def test_a_speed_goes_from_nothing_to_proved(client: Client) -> None:
    """Supply airflow, one reading, the setting read back: the result passes, and the other speed is next."""
    at = fresh(client)
    sent(client, f"{at}/low/read/supply-air", {"airflow": "2650", "band": "4", "method": "traverse"})
    read = read_at_36(client, at)
    assert f'<a class="button first" href="{at}/low/leave?damper=36%20%25">' in read
    page = sent(client, f"{at}/low/leave{AT_36}", {"value": "36", "value.unit": "%"})

    assert "Passes over 99 in 100 that it brings in what is needed" in words(page)
    assert "Enter the supply airflow at high speed" in words(page)


def test_the_best_time_to_come_back_is_said(client: Client) -> None:
    """From the forecast, where there is one."""
    weather = {
        "outdoor_air": "70 F", "return_air": "74 F",
        "forecast": [{"at": "2026-12-02T06:00-08:00", "outdoor_air": "30 F"}],
    }  # fmt: skip
    at = fresh(client, weather=weather)

    assert (
        "Best time to read it again: First in the forecast: 2026-12-02 06:00-08:00, 30.0 °F outdoors."
        in words(client.get(at).text)
    )


def test_crossed_probes_are_said(client: Client) -> None:
    """Mixed air beyond its streams."""
    page = read_at_36(client, fresh(client), mixed="30.0, 30.1")

    assert "Something does not fit: Mixed air lies beyond outdoor air" in words(page)
    assert "Mixed air does not lie between outdoor air at 36.1 °F and return air at 72.8 °F" in words(page)


def test_nothing_listed_to_read_with(client: Client) -> None:
    """The first move is to list a probe; a reading can be entered all the same."""
    at = fresh(client, instruments=[])

    assert "List the probe that you read with" in words(client.get(at).text)
    assert f'href="{at.removesuffix("/balance")}/facts/instruments"' in client.get(at).text
    assert "No instrument for this is listed" in words(client.get(f"{at}/low/read").text)
    sent(client, f"{at}/low/read{AT_36}", {**COLD, "mixed_air": "57.3"})
    assert "instrument" not in entries(client, at)[-1]


def test_a_speed_that_moves_too_little_air(client: Client) -> None:
    """It is said, and the way out with it."""
    unit = {**client.document(client.with_demo())["facts"]["unit"]}
    unit["fan_speeds"] = [
        {"name": "hi/gh", "supply_air": "4000 cfm"},
        {"name": "low", "supply_air": "1000 cfm"},
    ]
    at = f"/jobs/{_second(client, unit)}/balance"
    said = words(client.get(at).text)

    assert "Cannot tell This speed moves less air than has to come in." in said
    assert "raise this speed until it can carry it" in said
    assert client.get(f"{at}/hi%E2%88%95gh/set").status_code == 200
    assert "Set the hi/gh speed to" in said


def _second(client: Client, unit: dict[str, Any]) -> str:
    document = {
        **client.document("demo-larkspur-row-r-2"),
        "id": "second",
        "readings": {},
        "record": {},
        "verdict": {},
    }
    document["facts"] = {**document["facts"], "unit": unit}
    return run(client.jobs.create(document, device="test"))


def test_one_speed_of_a_job_from_four_facts(client: Client) -> None:
    """One block, no supply airflow measured, nothing held at a speed, and a need that is a guess."""
    job = client.new(
        speeds="1",
        capacity="10",
        **{"capacity.unit": "ton"},
        place="3C",
        outdoor="58",
        **{"outdoor.unit": "°F"},
    )
    page = client.get(f"/jobs/{job}/balance").text
    said = words(page)

    assert len(re.findall("<section", page)) == 1
    assert "a design value, not measured" in said
    assert page.count('class="button first"') == 1
    assert "held.fan" not in client.get(f"/jobs/{job}/balance/high/set").text


def test_units_change_and_the_signal_stays(client: Client, at: str) -> None:
    """The signal that is read at is part of the address to which the switch of units comes back."""
    page = client.get(f"{at}/low/read?damper=45+%25&said=saved").text

    assert f'<input type="hidden" name="back" value="{at}/low/read?damper=45+%25">' in page
    client.set("units", "si")
    page = client.get(f"{at}/low/read?damper=45+%25").text
    assert "low speed, 45 %" in words(page)
    assert re.search(r'<select name="outdoor_air\.unit"[^>]*><option selected>°C', page)


@pytest.mark.parametrize("path", ["/middle/set", "/low/read/guess", "/middle/result", "-list/nothing"])
def test_what_is_not_there(client: Client, at: str, path: str) -> None:
    """Speeds, kinds and readings that this job does not have."""
    assert client.get(f"{at}{path}").status_code == 404


def test_without_a_plan_the_page_says_what_is_missing(client: Client) -> None:
    """And not more than that."""
    at = fresh(client, kit="nowhere.yaml")

    for path in (
        "",
        "/low/set",
        "/low/read",
        "/low/wait",
        "/low/result",
        "/low/other",
        "/low/leave",
        "-list",
    ):
        answer = client.get(f"{at}{path}")
        assert answer.status_code == 200
        assert "This can be worked out as soon as a few facts are there:" in words(answer.text)


def test_where_one_opening_serves_two_speeds_no_other_signal_is_advised(client: Client) -> None:
    """The kit has one minimum: high speed was sent to a signal of its own, left there, and low speed sent it back."""
    probe = {"id": "probe", "kind": "temperature", "name": "Probe", "accuracy": "± 0.3 °C"}
    client.set("instruments", [probe])
    job = client.new(capacity="42", **{"capacity.unit": "kW"}, speeds="2", place="6B")
    client.post(f"/jobs/{job}/facts/kit", {"once": "b" * 32, "kit": "heat-pump-differential"})
    use = {"name": "Hall", "use": "Retail / Sales", "floor_area": "300", "floor_area.unit": "m2"}
    client.post(f"/jobs/{job}/facts/spaces/new", {"once": "c" * 32, **use})
    at = f"/jobs/{job}/balance"
    shown = words(client.get(at).text)
    assert "One opening has to do for several" in shown or "one opening has to do for several" in shown
    signals = re.findall(r"Set the (high|low) speed to (\d+ %) and read", shown)
    assert {speed for speed, _ in signals} == {"high", "low"}
    assert len({signal for _, signal in signals}) == 1, shown
    read = {
        **COLD,
        "mixed_air": POINTS,
        "instrument": "probe",
        "damper_signal": signals[0][1].split()[0],
        "damper_signal.unit": "%",
    }
    answer = client.post(
        f"{at}/high/read?damper={signals[0][1].replace(' ', '+').replace('%', '%25')}",
        {"once": "d" * 32, **read},
    )
    assert answer.status_code == 200, words(answer.text)
    air = {"airflow": "4400", "airflow.unit": "cfm", "method": "traverse", "band": "3", "band.unit": "%"}
    client.post(f"{at}/high/read/supply-air", {"once": "e" * 32, **air})
    client.post(f"/jobs/{job}/set/1", {"once": "f" * 32, "do": "as planned"})
    after = words(client.get(at).text)
    assert "Fails High speed brings in" in after, "how much, not how unlikely"
    for left in re.findall(r"Leave the high speed at (\d+ %)", words(client.get(at).text)):
        assert left == signals[0][1]
