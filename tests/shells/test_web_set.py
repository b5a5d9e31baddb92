"""Settings in the app: one a screen, as planned in one tap, the next by itself, nothing entered wrongly or lost."""

from __future__ import annotations

import json
import re
from html import unescape
from pathlib import Path

import pytest
from tests.web_client import Client, words

from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find, names
from ventwright.web.setting_field import as_kit_shows, range_data, range_words

pytestmark = pytest.mark.usefixtures("either_database")


@pytest.fixture
def client(tmp_path: Path) -> Client:
    """The app with nothing in it."""
    return Client(tmp_path)


@pytest.fixture
def at(client: Client) -> str:
    """Address of the demo job."""
    return f"/jobs/{client.with_demo()}"


def left(client: Client, at: str, label: str) -> list[str]:
    """Every value of a setting that was read back, in order."""
    entries = client.document(at.split("/")[2])["readings"]["entries"]
    return [one["value"] for one in entries if one["what"] == "setting" and one["label"] == label]


def test_as_planned_is_one_tap_and_the_next_setting_comes_by_itself(client: Client, at: str) -> None:
    """The value is entered as the controller shows it, once for a double tap, with its visit and time."""
    for _ in range(2):
        answer = client.post(f"{at}/set/4", {"once": "d" * 32, "do": "as planned", "offset": "-480"})
    assert answer.url.path == f"{at}/set/5"
    assert left(client, at, "Warm cut-off gap") == ["2 F", "2 °F"]
    entry = client.document(at.split("/")[2])["readings"]["entries"][-1]
    assert entry["at"].endswith("-08:00")
    assert entry["visit"]


def test_the_last_setting_leads_to_the_summary(client: Client, at: str) -> None:
    """After the eighth of eight there is nothing more to set."""
    answer = client.post(f"{at}/set/8", {"do": "as planned"})
    assert answer.url.path == f"{at}/set"
    assert "every setting is read back" in words(answer.text)


def test_another_value_is_judged_and_says_what_is_wrong(client: Client, at: str) -> None:
    """A limit left two degrees off fails, on its page and in the list."""
    client.post(f"{at}/set/3", {"value": "73", "value.unit": "°F", "do": "typed"})
    assert "Fails left at 73.0 °F, and the plan is 75.0 °F" in words(client.get(f"{at}/set/3").text)
    page = client.get(f"{at}/set").text
    assert "✕ fails" in words(page)
    assert "every setting is read back; one is not as planned" in words(page)
    first = page.index("button first")
    assert f"{at}/set/3" in page[first : first + 120]


def test_celsius_for_a_kit_in_fahrenheit_passes_within_its_step(client: Client, at: str) -> None:
    """What was typed is kept, and read in SI."""
    client.post(f"{at}/set/3", {"value": "23.9", "value.unit": "°C", "do": "typed"})
    assert left(client, at, "Outdoor air too warm above")[-1] == "23.9 °C"
    client.post("/units", {"units": "si", "back": "/"})
    shown = words(client.get(f"{at}/set/3").text)
    assert "23.9 °C (75 °F)" in shown
    assert "Passes" in shown


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"value": "95", "value.unit": "°F"},
         'As left: read back from the controller: "95 °F" is outside the range of "Outdoor air too warm above"; accepted: 48 F to 80 F.'),
        ({"value": "warm"},
         'As left: read back from the controller: "warm" is not a temperature; accepted: "72 F" or "22 °C".'),
        ({"found": "10", "found.unit": "°F"},
         'As found: "10 °F" is outside the range of "Outdoor air too warm above"; accepted: 48 F to 80 F.'),
        ({},
         "As left: read back from the controller: nothing was given; accepted: what the controller shows, 48 °F to 80 °F, in steps of 1 °F."),
        ({"value": "70", "value.unit": "°F", "do": "as planned"},
         'As left: read back from the controller: "70 °F" is typed, and the button says 75 °F; accepted: one of the two: empty the field, or save what is typed.'),
    ],
)  # fmt: skip
def test_what_cannot_be_is_refused_and_stays_typed(
    client: Client, at: str, typed: dict[str, str], sentence: str
) -> None:
    """One sentence, nothing entered, everything typed still there."""
    before = len(client.document(at.split("/")[2])["readings"]["entries"])
    answer = client.post(f"{at}/set/3", {"do": "typed"} | typed)
    assert answer.status_code == 422
    assert sentence in unescape(answer.text)
    for value in (typed.get("value"), typed.get("found")):
        assert value is None or f'value="{value}"' in answer.text
    assert len(client.document(at.split("/")[2])["readings"]["entries"]) == before


def test_as_found_is_entered_beside_as_left_or_alone(client: Client, at: str) -> None:
    """It goes to the facts under the kit's label, and the page stays where only it was given."""
    answer = client.post(f"{at}/set/7", {"found": "40", "found.unit": "°F", "do": "typed"})
    assert answer.url.path == f"{at}/set/7"
    held = client.document(at.split("/")[2])["facts"]["as_found"]["settings"]
    assert held["No compressor below"] == "40 °F"
    assert held["Outdoor air too warm above"] == "63 F"
    answer = client.post(f"{at}/set/5", {"found": "55", "found.unit": "°F", "do": "as planned"})
    assert answer.url.path == f"{at}/set/6"
    assert "found 55 °F → left 53 °F" in words(client.get(f"{at}/set").text)


def test_enter_in_a_field_saves_what_is_typed_and_not_what_is_planned(client: Client, at: str) -> None:
    """The first button of the form, which the enter key presses, is the one for typed values."""
    page = client.get(f"{at}/set/3").text
    form = page[page.index('action="' + at + "/set/3") :]
    first = re.search(r"<button[^>]*>", form)
    assert first is not None
    assert 'value="typed"' in first[0]


def test_the_caution_stands_where_the_hand_reaches_the_controller(client: Client, at: str) -> None:
    """Live parts share its box."""
    assert "The 24 V circuits share the box with line voltage" in words(client.get(f"{at}/set/1").text)


@pytest.mark.parametrize("kit", names("kits"))
def test_every_setting_of_every_kit_can_be_entered_as_the_kit_shows_it(kit: str) -> None:
    """Default and ends go to the kit's own text and back, exactly; the range is the same in both units."""
    for setting in find("kits", kit, Kit).settings:
        for value in (setting.least, setting.default, setting.most):
            assert setting.read(as_kit_shows(setting, value.value)).value == pytest.approx(
                value.value, abs=1e-9
            )
        assert range_words(setting)
        if not setting.dimension.words:
            for name, (least, most, _) in json.loads(range_data(setting)).items():
                ends = [setting.read(f"{end} {name}").value for end in (least, most)]
                assert ends == pytest.approx([setting.least.value, setting.most.value], abs=1e-5)


def test_settings_are_shown_in_the_units_chosen(client: Client) -> None:
    """Range, as found and as left too: in the units of the screens, with what the controller shows beside."""
    job = client.with_demo()
    client.set("units", "si")
    shown = words(client.get(f"/jobs/{job}/set").text)
    assert "found 17.2 °C (63 F) → left 23.9 °C (75 F) , planned 23.9 °C (75 °F)" in shown
    kit = "The kit takes 8.9 °C to 26.7 °C (48 °F to 80 °F, in steps of 1 °F on the controller)"
    assert kit in words(client.get(f"/jobs/{job}/set/3").text)
    assert kit in words(client.get(f"/jobs/{job}/plan/settings/3").text)


def test_without_facts_the_page_says_what_is_missing(client: Client) -> None:
    """And there is no ninth setting of eight."""
    job = client.new()
    assert client.get(f"/jobs/{job}/set").status_code == 200
    demo = client.with_demo()
    assert client.get(f"/jobs/{demo}/set/9").status_code == 404
    assert client.get(f"/jobs/{demo}/set/0").status_code == 404
