"""A page that has grown old: what it takes out or changes is what it showed, or nothing."""

from __future__ import annotations

from pathlib import Path

import pytest
from tests.web_client import Client, mark_of, words

from ventwright.errors import Refused
from ventwright.web.form import Form
from ventwright.web.seen_item import changed_item, seen_mark, taken_out

pytestmark = pytest.mark.usefixtures("either_database")

DEMO = "demo-larkspur-row-r-2"
CHANGED = "the list has changed since this page was shown"


@pytest.fixture
def client(tmp_path: Path) -> Client:
    client = Client(tmp_path)
    client.with_demo()
    return client


def space(name: str, once: str) -> dict[str, str]:
    """Return the form of a space."""
    return {"once": once * 32, "name": name, "use": "Retail / Sales", "floor_area": "900", "floor_area.unit": "ft2"}  # fmt: skip


def names(client: Client) -> list[str]:
    """Return the spaces of the demo."""
    return [one["name"] for one in client.document(DEMO)["facts"]["spaces"]]


def test_an_old_page_takes_out_the_space_that_it_showed(client: Client) -> None:
    """One above it went meanwhile: the number is another space's by now, and that one stays."""
    at = f"/jobs/{DEMO}/facts/spaces"
    for number, name in enumerate(("North", "South", "East"), start=1):
        client.post(f"{at}/new", space(name, str(number)))
    before = names(client)
    where = before.index("North") + 1
    old = client.get(f"{at}/{where + 1}").text  # shows South
    client.post(f"{at}/{where}", {"once": "a" * 32, "do": "take out", "mark": mark_of(client.get(f"{at}/{where}").text)})  # fmt: skip
    client.post(f"{at}/{where + 1}", {"once": "b" * 32, "do": "take out", "mark": mark_of(old)})
    assert names(client) == [one for one in before if one not in {"North", "South"}]


def test_an_old_page_that_is_sent_again_takes_out_nothing(client: Client) -> None:
    """A second tap finds the space gone, and says so in a sentence; the next one in the list stays."""
    at = f"/jobs/{DEMO}/facts/spaces"
    for number, name in enumerate(("North", "South"), start=1):
        client.post(f"{at}/new", space(name, str(number)))
    where = names(client).index("North") + 1
    sent = {"once": "a" * 32, "do": "take out", "mark": mark_of(client.get(f"{at}/{where}").text)}
    client.post(f"{at}/{where}", sent)
    left = names(client)
    again = client.post(f"{at}/{where}", sent | {"once": "b" * 32})
    assert again.status_code == 422
    assert CHANGED in words(again.text)
    assert names(client) == left
    client.post(f"{at}/{where}", {"once": "c" * 32, "do": "take out"})  # no page shows nothing
    assert names(client) == left


def test_an_old_page_changes_the_space_that_it_showed(client: Client) -> None:
    """What is typed of South never lands on East."""
    at = f"/jobs/{DEMO}/facts/spaces"
    for number, name in enumerate(("North", "South", "East"), start=1):
        client.post(f"{at}/new", space(name, str(number)))
    where = names(client).index("North") + 1
    mark = mark_of(client.get(f"{at}/{where + 1}").text)
    client.post(f"{at}/{where}", {"once": "a" * 32, "do": "take out", "mark": mark_of(client.get(f"{at}/{where}").text)})  # fmt: skip
    client.post(f"{at}/{where + 1}", space("South", "b") | {"people": "7", "mark": mark})
    people = {one["name"]: one.get("people") for one in client.document(DEMO)["facts"]["spaces"]}
    assert (people["South"], people["East"]) == (7, None)
    gone = {"once": "c" * 32, "do": "take out", "mark": mark_of(client.get(f"{at}/{where}").text)}
    client.post(f"{at}/{where}", gone)
    refused = client.post(f"{at}/{where}", space("South", "d") | {"people": "9", "mark": mark})
    assert refused.status_code == 422
    assert CHANGED in words(refused.text)
    assert 'value="9"' in refused.text  # nothing typed is lost
    assert mark_of(refused.text) == mark  # and sending it once more does not change another
    assert {one.get("people") for one in client.document(DEMO)["facts"]["spaces"] if one["name"] == "East"} == {None}  # fmt: skip


def test_a_row_of_a_typed_list_is_taken_out_by_what_it_says(client: Client) -> None:
    """Hours of compressors have no names; equal ones are one as good as another."""
    place = f"/jobs/{DEMO}/lists/compressors"
    for number, outdoor in enumerate(("68", "75", "82")):
        client.post(place, {"once": str(number) * 32, "outdoor_air": outdoor, "outdoor_air.unit": "°F", "share_running": "35", "share_running.unit": "%"})  # fmt: skip
    old = client.get(place).text
    client.post(place, {"once": "6" * 32, "do": "take out", "mark": mark_of(old, 1)})
    client.post(place, {"once": "7" * 32, "do": "take out", "mark": mark_of(old, 2)})
    left = client.document(DEMO)["facts"]["running"]["compressor_seen"]
    assert [one["outdoor_air"] for one in left] == ["82 °F"]
    again = client.post(place, {"once": "8" * 32, "do": "take out", "mark": mark_of(old, 2)})
    assert again.status_code == 422
    assert CHANGED in words(again.text)
    assert len(client.document(DEMO)["facts"]["running"]["compressor_seen"]) == 1


def test_a_load_and_its_transformer_are_told_apart(client: Client) -> None:
    """A new load never lands on one that another device has entered meanwhile."""
    at = f"/jobs/{DEMO}/wire/power/load"
    held = len(client.document(DEMO)["facts"]["power"]["loads"])
    fresh = mark_of(client.get(f"{at}/{held + 1}").text)
    load = {"name": "smoke relay", "apparent_power": "3", "apparent_power.unit": "VA", "mark": fresh}
    client.post(f"{at}/{held + 1}", load | {"once": "1" * 32})
    client.post(f"{at}/{held + 1}", load | {"once": "2" * 32, "name": "second relay"})
    loads = [one["name"] for one in client.document(DEMO)["facts"]["power"]["loads"]]
    assert loads[held:] == ["smoke relay", "second relay"]
    old = mark_of(client.get(f"{at}/{held + 2}").text)
    client.post(f"{at}/{held + 1}", {"once": "3" * 32, "do": "take out", "mark": mark_of(client.get(f"{at}/{held + 1}").text)})  # fmt: skip
    client.post(f"{at}/{held + 1}", {"once": "4" * 32, "do": "take out", "mark": old})
    assert len(client.document(DEMO)["facts"]["power"]["loads"]) == held


def test_a_setting_read_back_lands_on_the_setting_that_was_shown(client: Client) -> None:
    """The kit became another meanwhile: under the same number stands something else."""
    mark = mark_of(client.get(f"/jobs/{DEMO}/set/1").text)
    other = mark_of(client.get(f"/jobs/{DEMO}/set/2").text)
    before = len(client.document(DEMO)["readings"]["entries"])
    value = {"value": "21", "value.unit": "%", "do": "typed"}
    refused = client.post(f"/jobs/{DEMO}/set/1", value | {"once": "1" * 32, "mark": other})
    assert refused.status_code == 422
    assert CHANGED in words(refused.text)
    assert len(client.document(DEMO)["readings"]["entries"]) == before
    chosen = client.post(f"/jobs/{DEMO}/plan/settings/1", {"once": "2" * 32, "value": "20", "value.unit": "%", "reason": "drawn so", "mark": other})  # fmt: skip
    assert (chosen.status_code, CHANGED in words(chosen.text)) == (422, True)
    client.post(f"/jobs/{DEMO}/set/1", value | {"once": "3" * 32, "mark": mark})
    assert len(client.document(DEMO)["readings"]["entries"]) == before + 1


def test_of_two_that_are_called_the_same_none_is_guessed() -> None:
    """By all that it says, else by its name where only one is called so, else not at all."""
    items = [{"name": "Office", "area": 1}, {"name": "Office", "area": 2}, {"name": "Hall"}]

    def sent(item: object) -> Form:
        return Form({"mark": seen_mark(item)})

    assert changed_item(items, sent(items[1]), 1) == 2
    assert changed_item(items, sent({"name": "Hall", "area": 9}), 1) == 3
    with pytest.raises(Refused, match=CHANGED):
        changed_item(items, sent({"name": "Office", "area": 3}), 1)
    with pytest.raises(Refused, match=CHANGED):
        taken_out(items, sent({"name": "Hall", "area": 9}))
    assert changed_item([1, 2], Form({"mark": "new"}), 2) == 3
    assert changed_item([1, 2], Form({}), 2) == 2


def test_of_readings_that_say_the_same_the_one_that_was_tapped_goes() -> None:
    """The last reading between two contacts counts: 26 V, 0 V, 26 V are not 0 V, 26 V once the third is taken out."""
    read = [{"reads": "26 V"}, {"reads": "0 V"}, {"reads": "26 V"}]
    mark = seen_mark(read[0])
    assert taken_out(read, Form({"mark": mark, "number": "3"})) == 3
    assert taken_out(read, Form({"mark": mark, "number": "1"})) == 1
    assert taken_out(read[1:], Form({"mark": mark, "number": "3"})) == 2
    assert taken_out(read, Form({"mark": mark})) == 1
