"""The office: kits and boards in forms, standards with their sources, a site's units side by side, calibration due."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Iterator
from datetime import date, timedelta
from html import unescape
from pathlib import Path

import pytest
from tests.web_client import DEMO, Client, mark_of, words

from ventwright.document import read_document
from ventwright.entry import validated
from ventwright.plan.pick_list import calibration_holds
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import names
from ventwright.web.own_part import SHELVES, changed, kind_of, read_own
from ventwright.web.pages.office import _shelf_text
from ventwright.web.pages.yours import calibration

pytestmark = pytest.mark.usefixtures("either_database")

OWN = "our-kit.yaml"
KIT = f"/office/kits/{OWN}"


@pytest.fixture
def client(tmp_path: Path) -> Iterator[Client]:
    """The app with the invented demo job."""
    made = Client(tmp_path)
    made.with_demo()
    yield made
    made.jobs.close()


@pytest.fixture
def with_kit(client: Client) -> Client:
    """The app with a kit of one's own, copied off the shelf."""
    answer = client.post("/office/kits/two-speed-dry-bulb/copy", {"once": "a", "name": "Our kit"})
    assert answer.status_code == 200
    assert answer.url.path == KIT
    return client


def own_text(client: Client, name: str = OWN) -> str:
    """The text of a file of one's own."""
    return asyncio.run(client.jobs.own_files())[name].decode()


def typed(page: str) -> dict[str, str]:
    """Everything that stands in the fields of a page's form, as a browser would send it."""
    form = page[page.index("data-live") : page.index("</form>", page.index("data-live"))]
    found = {}
    for tag in re.findall(r"<input[^>]*>", form):
        held = dict(re.findall(r'(name|value|type)="([^"]*)"', tag))
        if held.get("type") in {"radio", "checkbox"} and " checked" not in tag:
            continue
        found[unescape(held["name"])] = unescape(held.get("value", ""))
    for name, options in re.findall(r'<select[^>]*name="([^"]*)"[^>]*>(.*?)</select>', form, re.DOTALL):
        chosen = re.search(r'<option(?: value="([^"]*)")? selected>([^<]*)', options)
        found[name] = unescape(chosen[1] or chosen[2]) if chosen else ""
    for name, text in re.findall(r'<textarea[^>]*name="([^"]*)"[^>]*>(.*?)</textarea>', form, re.DOTALL):
        found[name] = unescape(text)
    return found


def test_every_file_of_the_shelf_is_shown(client: Client) -> None:
    """Its form, its connectors by their faces, and its text."""
    for shelf in SHELVES.values():
        page = words(client.get(f"/office/{shelf.folder}").text)
        for name in names(shelf.folder):
            assert name in page
            assert client.get(f"/office/{shelf.folder}/{name}").status_code == 200
            assert "kind:" in client.get(f"/office/{shelf.folder}/{name}/text").text
    page = words(client.get("/office/kits/two-speed-dry-bulb").text)
    assert "Outdoor air too warm above" in page
    assert "Seen into its mating face." in page


def test_what_is_not_there_is_not_there(client: Client) -> None:
    """And nothing of the shelf can be edited."""
    for path in ("/office/cats", "/office/kits/none", "/office/kits/none.yaml", "/office/kits/two-speed-dry-bulb/head", f"{KIT}/head"):  # fmt: skip
        assert client.get(path).status_code == 404


def test_a_copy_is_a_kit_of_ones_own(with_kit: Client) -> None:
    """Under its own id; its remarks stay, and a job may name it."""
    text = own_text(with_kit)
    assert "id: our-kit\n" in text
    assert text.startswith("# An invented kit")
    assert not read_own(SHELVES["kits"], OWN, text).refusals
    page = with_kit.get("/office/kits").text
    assert "whole" in words(page)
    again = with_kit.post("/office/kits/two-speed-dry-bulb/copy", {"once": "b", "name": "our kit"})
    assert again.status_code == 422
    assert 'name: "our-kit.yaml" is a file of yours already; accepted: another name.' in unescape(again.text)


@pytest.mark.parametrize("name", ["", "!!!", "  "])
def test_a_name_that_is_none_is_refused(client: Client, name: str) -> None:
    """Nothing is kept."""
    answer = client.post("/office/kits/two-speed-dry-bulb/copy", {"once": "a", "name": name})
    assert answer.status_code == 422
    assert "is no name for a file" in words(answer.text)
    assert asyncio.run(client.jobs.own_files()) == {}


def test_a_form_kept_as_it_came_changes_nothing(with_kit: Client) -> None:
    """Every part of a kit, read and kept untouched, leaves the same kit; remarks stay too."""
    before = own_text(with_kit)
    whole = read_own(SHELVES["kits"], OWN, before).part
    for part in ("head/1", "sensors/1", "setting/1", "setting/8", "connector/1"):
        answer = with_kit.post(f"{KIT}/{part}", typed(with_kit.get(f"{KIT}/{part}").text))
        assert answer.status_code == 200, words(answer.text)
        assert answer.url.path == KIT
    after = own_text(with_kit)
    assert read_own(SHELVES["kits"], OWN, after).part == whole
    assert [line for line in before.splitlines() if line.startswith("#")] == [
        line for line in after.splitlines() if line.startswith("#")
    ]


def test_a_board_in_forms_too(client: Client) -> None:
    """Its terminals and its connectors."""
    for name, parts in (
        ("plain-two-stage", ["head/1", "terminals/1"]),
        ("nine-way-heat-pump", ["connector/1"]),
    ):
        client.post(f"/office/boards/{name}/copy", {"once": "a", "name": f"our {name}"})
        path = f"/office/boards/our-{name}.yaml"
        whole = read_own(SHELVES["boards"], name, own_text(client, f"our-{name}.yaml")).part
        for part in parts:
            answer = client.post(f"{path}/{part}", typed(client.get(f"{path}/{part}").text))
            assert answer.url.path == path, words(answer.text)
        assert read_own(SHELVES["boards"], name, own_text(client, f"our-{name}.yaml")).part == whole


def test_a_kit_edited_broken_and_mended(with_kit: Client) -> None:
    """What is wrong is said at its field while nothing is lost; mended, it is kept."""
    form = typed(with_kit.get(f"{KIT}/setting/3").text)
    assert form["label"] == "Outdoor air too warm above"
    before = own_text(with_kit)
    broken = with_kit.post(f"{KIT}/setting/3", form | {"least": "90 F", "step": "2 cfm"})
    assert broken.status_code == 422
    assert 'value="90 F"' in broken.text
    assert 'value="2 cfm"' in broken.text
    assert 'href="#step"' in broken.text
    assert own_text(with_kit) == before
    still = with_kit.post(f"{KIT}/setting/3", form | {"least": "90 F"})
    assert "is no range" in words(still.text)
    mended = with_kit.post(f"{KIT}/setting/3", form | {"least": "55 F", "note": ""})
    assert mended.url.path == KIT
    assert "55 °F to 80 °F" in words(mended.text)
    assert "least: 55 F" in own_text(with_kit)


def test_looking_keeps_nothing(with_kit: Client) -> None:
    """What the script asks while one types."""
    before = own_text(with_kit)
    form = typed(with_kit.get(f"{KIT}/setting/3").text)
    page = with_kit.post(f"{KIT}/setting/3", form | {"least": "56 F", "do": "look"})
    assert page.status_code == 200
    assert "Whole with this" in words(page.text)
    assert 'value="56 F"' in page.text
    assert own_text(with_kit) == before


def test_ranges_are_shown_in_the_units_chosen(with_kit: Client) -> None:
    """Whatever the file gives them in; the kit's own stand beside, since that is what its controller shows."""
    us = words(with_kit.get("/office/kits/two-speed-dry-bulb").text)
    assert "48 °F to 80 °F, in steps of 1 °F" in us
    with_kit.set("units", "si")
    for page in ("/office/kits/two-speed-dry-bulb", KIT):
        assert "8.9 °C to 26.7 °C (48 °F to 80 °F, in steps of 1 °F on the controller)" in words(
            with_kit.get(page).text
        )
    assert "out of the box 17.2 °C" in words(with_kit.get("/office/kits/two-speed-dry-bulb").text)


def test_a_setting_added_and_taken_out(with_kit: Client) -> None:
    """A new one comes behind the last."""
    number = len(validated(Kit, read_document(own_text(with_kit), OWN)[0]).settings_file)
    new = {"label": "Fresh air with few people", "means": "damper signal at low occupancy", "least": "0 %", "most": "60 %", "default": "10 %"}  # fmt: skip
    assert with_kit.post(f"{KIT}/setting/0", new).url.path == KIT
    kit = validated(Kit, read_document(own_text(with_kit), OWN)[0])
    assert kit.settings_file[number].label == "Fresh air with few people"
    assert with_kit.get(f"{KIT}/setting/{number + 3}").status_code == 404
    mark = mark_of(with_kit.get(f"{KIT}/setting/{number + 1}").text)
    with_kit.post(f"{KIT}/setting/{number + 1}", {"do": "take out", "mark": mark})
    assert len(validated(Kit, read_document(own_text(with_kit), OWN)[0]).settings_file) == number


def test_a_connector_is_drawn_as_it_is_typed(with_kit: Client) -> None:
    """A circuit more is a pin more; one twice is refused in its own row."""
    page = with_kit.get(f"{KIT}/connector/1").text
    form = typed(page)
    rows = [name for name in form if re.fullmatch(r"row\.\d+\.cavity", name)]
    blank = next(name for name in rows if not form[name])
    row = blank.rsplit(".", 1)[0]
    twice = form | {blank: form[rows[0]], f"{row}.function": "fault", f"{row}.role": "source"}
    answer = with_kit.post(f"{KIT}/connector/1", twice | {"do": "look"})
    assert answer.status_code == 200  # looked at, not refused
    assert f"row {row.split('.')[1]}, pin" in words(answer.text)
    assert "is used twice" in words(answer.text)
    assert with_kit.post(f"{KIT}/connector/1", twice).status_code == 422
    assert f'href="#{row}.cavity"' in answer.text
    far = with_kit.post(f"{KIT}/connector/1", twice | {blank: "999", "do": "look"})
    assert "is no cavity of this connector" in words(far.text)
    wrong = with_kit.post(
        f"{KIT}/connector/1", form | {blank: "x", f"{row}.function": "", f"{row}.role": "sink"}
    )
    assert f'href="#{row}.' in wrong.text


def test_a_blank_row_takes_a_circuit_out(with_kit: Client) -> None:
    """All its fields emptied."""
    form = typed(with_kit.get(f"{KIT}/connector/1").text)
    kit = validated(Kit, read_document(own_text(with_kit), OWN)[0])
    assert kit.harness is not None
    count = len(kit.harness.connectors[0].circuits)
    emptied = form | {
        name: "" for name in form if name.startswith(f"row.{count}.") and not name.endswith(".was")
    }
    assert with_kit.post(f"{KIT}/connector/1", emptied).url.path == KIT
    after = validated(Kit, read_document(own_text(with_kit), OWN)[0])
    assert after.harness is not None
    assert len(after.harness.connectors[0].circuits) == count - 1


def test_the_whole_file_as_text_says_the_line_of_every_mistake(with_kit: Client) -> None:
    """Two mistakes, both told with their lines; nothing is kept, and nothing typed is lost."""
    text = own_text(with_kit)
    line = next(
        number for number, one in enumerate(text.splitlines(), start=1) if one.startswith("fan_speeds")
    )
    broken = text.replace("fan_speeds: 2", "fan_speeds: many").replace(
        "integrated: true", "integrated: perhaps"
    )
    answer = with_kit.post(f"{KIT}/text", {"text": broken})
    assert answer.status_code == 422
    found = words(answer.text)
    assert f"line {line}" in found
    assert found.count("accepted:") == 2
    assert "fan_speeds: many" in unescape(answer.text)
    assert own_text(with_kit) == text
    no_yaml = with_kit.post(f"{KIT}/text", {"text": "kind: kit\n  id: ["})
    assert no_yaml.status_code == 422
    looked = with_kit.post(f"{KIT}/text", {"text": broken, "do": "look"})
    assert looked.status_code == 200
    assert words(looked.text).count("accepted:") == 2
    mended = with_kit.post(
        f"{KIT}/text", {"text": text.replace("\n", "\r\n").replace("fan_speeds: 2", "fan_speeds: 3")}
    )
    assert mended.url.path == KIT
    assert "fan_speeds: 3" in own_text(with_kit)


def test_a_file_that_a_job_uses_stays(with_kit: Client) -> None:
    """Chosen in a job by its name; taken away only when no job names it."""
    document = with_kit.document(DEMO)
    document |= {"id": "demo-own", "facts": {**document["facts"], "kit": OWN}}
    asyncio.run(with_kit.jobs.create(document, device="test"))
    assert "R-2, Larkspur Row" in words(with_kit.get(KIT).text)
    assert with_kit.get("/jobs/demo-own/plan").status_code == 200
    assert "is used by a job" in words(with_kit.post(f"{KIT}/take-away", {"once": "c"}).text)
    assert OWN in asyncio.run(with_kit.jobs.own_files())


def test_ones_own_kit_and_board_are_chosen_in_a_job(with_kit: Client) -> None:
    """They stand beside those of the shelf, by what they are called."""
    with_kit.post("/office/boards/plain-two-stage/copy", {"once": "a", "name": "our board"})
    assert "Two-speed dry-bulb economizer kit (our-kit.yaml)" in with_kit.get(f"/jobs/{DEMO}/facts/kit").text
    answer = with_kit.post(f"/jobs/{DEMO}/facts/kit", {"once": "9" * 32, "kit": OWN})
    assert answer.status_code == 200, words(answer.text)
    assert with_kit.document(DEMO)["facts"]["kit"] == OWN
    assert "(our-board.yaml)" in with_kit.get(f"/jobs/{DEMO}/wire/parts").text
    answer = with_kit.post(f"/jobs/{DEMO}/wire/parts", {"once": "8" * 32, "board": "our-board.yaml"})
    assert answer.status_code == 200, words(answer.text)
    assert with_kit.document(DEMO)["facts"]["harness"]["board"] == "our-board.yaml"
    assert with_kit.get(f"/jobs/{DEMO}/wire").status_code == 200
    edited = typed(with_kit.get(f"{KIT}/setting/3").text) | {"least": "55 F"}
    assert with_kit.post(f"{KIT}/setting/3", edited).url.path == KIT
    assert "55" in words(with_kit.get(f"/jobs/{DEMO}/plan/settings").text)


def test_a_file_that_nobody_uses_goes(with_kit: Client) -> None:
    """For good."""
    assert with_kit.post(f"{KIT}/take-away", {"once": "c"}).url.path == "/office/kits"
    assert asyncio.run(with_kit.jobs.own_files()) == {}


def test_a_file_that_was_brought_broken_says_what_to_mend(client: Client) -> None:
    """It is listed, and its text can be mended."""
    asyncio.run(client.jobs.put_file("bad.yaml", b"kind: kit\nid: bad\nname: Bad kit\n"))
    assert "to mend" in words(client.get("/office/kits").text)
    page = client.get("/office/kits/bad.yaml")
    assert page.status_code == 200
    assert "To mend before a job can use it" in words(page.text)
    assert client.get("/office/kits/bad.yaml/head").status_code == 404
    text = client.get("/office/kits/bad.yaml/text")
    assert "is missing" in words(text.text)
    asyncio.run(client.jobs.put_file("odd.yaml", b"kind: kit\nsettings: 5\nharness: [1]\nid: odd\n"))
    assert client.get("/office/kits/odd.yaml").status_code == 200
    assert client.post("/office/kits/odd.yaml/copy", {"once": "a", "name": "odder"}).status_code == 200


def test_json_stays_json() -> None:
    """A file keeps the form it came in."""
    text = '{"kind": "kit", "id": "x", "settings": [{"label": "one"}]}'
    after = changed(text, {"settings[1].label": "two", "settings[2].label": "three", "id": None}, "x.json")
    assert read_document(after, "x.json")[0] == {
        "kind": "kit",
        "settings": [{"label": "two"}, {"label": "three"}],
    }


def test_the_kind_of_every_file_is_told() -> None:
    """From its text alone."""
    for shelf in SHELVES.values():
        for name in names(shelf.folder):
            assert kind_of(_shelf_text(shelf, name)) == shelf.kind


# standards


def test_editions_say_how_their_rows_were_confirmed(client: Client) -> None:
    """And what the words mean."""
    page = words(client.get("/standards").text)
    for edition in ("90.1-2019", "IECC-2021", "62.1-2019", "Title 24-2022"):
        assert edition in page
    assert "two sources disagree" in page


def test_rows_are_found_with_their_sources(client: Client) -> None:
    """In either unit system."""
    page = words(client.get("/standards/62.1-2019?q=sales").text)
    assert "Retail / Sales" in page
    assert "7.5 cfm/person" in page
    assert "Table 6-1" in page
    client.post("/units", {"units": "si"})
    assert "L/s" in words(client.get("/standards/62.1-2019?q=sales").text)
    assert "No row has all these words" in words(client.get("/standards/62.1-2019?q=zeppelin").text)
    assert client.get("/standards/none").status_code == 404


def test_what_is_disputed_can_be_asked_for(client: Client) -> None:
    """Both sides stand there."""
    page = words(client.get("/standards/90.1-2019?only=disputed").text)
    assert page.startswith("← Codes and standards 90.1-2019")
    assert "1 of 45 rows" in page
    assert "differential dry bulb" in page
    assert "forbids it" in page


def test_a_title_with_a_space_is_an_address(client: Client) -> None:
    """California's code."""
    assert client.get("/standards/Title%2024-2022").status_code == 200


# sites


def test_units_of_a_site_stand_side_by_side(client: Client) -> None:
    """In the order in which people count, with what is due and what is not proved."""
    client.post(f"/jobs/{DEMO}/copy", {"once": "1" * 32, "tag": "R-10", "serves": "stock room"})
    client.post(f"/jobs/{DEMO}/copy", {"once": "2" * 32, "tag": "R-3"})
    assert "Larkspur Row 3 units" in words(client.get("/sites").text)
    page = client.get("/site?name=Larkspur+Row")
    text = words(page.text)
    assert text.index("R-2") < text.index("R-3") < text.index("R-10")
    assert "2026-12-18" in text
    assert "Fixed mixed-air sensor reads" in text
    assert "cannot tell" in text
    assert "Next unit on this site" in text
    assert "stock room" in text


def test_a_unit_that_lacks_facts_says_so(client: Client) -> None:
    """Instead of standing there as if nothing were wrong."""
    document = {
        "schema_version": 1,
        "id": "bare",
        "facts": {"site": {"name": "Larkspur Row"}, "unit": {"tag": "R-9"}},
    }
    asyncio.run(client.jobs.create(document, device="test"))
    assert "Facts are missing:" in words(client.get("/site?name=Larkspur+Row").text)


def test_no_site_and_another_one(client: Client, tmp_path: Path) -> None:
    """An empty list says how one comes about; a name that is none is not there."""
    assert client.get("/site?name=Nowhere").status_code == 404
    empty = Client(tmp_path / "other")
    assert "No job yet." in words(empty.get("/sites").text)
    empty.jobs.close()


# yours


@pytest.mark.parametrize(
    ("days", "mark"),
    [(0, "done"), (calibration_holds().days, "done"), (calibration_holds().days + 1, "wrong")],
)
def test_calibration_is_due_after_the_plans_year(days: int, mark: str) -> None:
    """By the same rule as the pick list's."""
    today = date(2026, 11, 18)
    calibrated = (today - timedelta(days=days)).isoformat()
    assert calibration({"calibrated": calibrated}, today)[0] == mark


def test_yours_says_when_calibration_is_due(client: Client) -> None:
    """Beside each instrument."""
    client.set("instruments", [
        {"id": "a", "kind": "temperature", "accuracy": "0.5 F", "calibrated": "2001-02-03"},
        {"id": "b", "kind": "electrical", "accuracy": "1 %"},
    ])  # fmt: skip
    page = words(client.get("/yours").text)
    assert "calibration due since 2002-02-03" in page
    assert "no calibration date: acceptance wants one within a year" in page
