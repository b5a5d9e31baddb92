"""The harness in the app: step by step, power asked about at every change, an unknown plug named with the meter."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from html import unescape
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import pytest
from tests.invented import facts, readings
from tests.web_client import Client, mark_of, words

from ventwright.errors import Refused
from ventwright.evidence import Verdict
from ventwright.job import read_job, subject_of, work
from ventwright.plan import make_plan
from ventwright.record.landing_drawing import draw_landing
from ventwright.record.prepared import prepared_sections
from ventwright.record.wiring_drawing import draw_wiring
from ventwright.tables.shelf import names
from ventwright.web.power_state import ASKED, ITEMS, Power, power_state
from ventwright.web.wire_steps import WireStep, metered, wire_steps

pytestmark = pytest.mark.usefixtures("either_database")

TICKED: dict[Power, dict[str, str]] = {
    "off": {name: "yes" for name, _ in ASKED["off"]},
    "on": {name: "yes" for name, _ in ASKED["on"]},
}
SHAPE = {
    "columns": "3", "rows": "3", "end": "socket", "numbered_from": "mating face", "connector_name": "odd socket", "board_name": "old board",
}  # fmt: skip


@pytest.fixture
def client(tmp_path: Path) -> Client:
    """The app with nothing in it."""
    return Client(tmp_path)


@pytest.fixture
def at(client: Client) -> str:
    """Address of the demo job's wiring."""
    return f"/jobs/{client.with_demo()}/wire"


def switch(client: Client, at: str, power: Power) -> None:
    """Tick that power is off and dead, or on."""
    assert client.post(f"{at}/power-{power}", {**TICKED[power], "then": "/wire"}).status_code == 200


def ticks(client: Client, at: str) -> list[dict[str, Any]]:
    """Every tick of the job, in order."""
    entries = client.document(at.split("/")[2])["readings"]["entries"]
    return [one for one in entries if one["what"] == "tick"]


def steps() -> tuple[WireStep, ...]:
    """The steps of an invented job with a board of the shelf."""
    wiring = make_plan(facts(unit={"sheet": "ten-ton-two-speed-gas"})).wiring
    assert wiring is not None
    return wire_steps(wiring, readings())


def test_the_overview_says_whether_it_is_whole_and_what_comes_next(client: Client, at: str) -> None:
    """State, adapters with whether they are at hand, the first step."""
    shown = words(client.get(at).text)
    assert "whole Two-stage control board" in shown
    assert "Nine-way socket with loose wires ✓ at hand" in shown
    assert "Go on: step 1 of 28" in shown


def test_a_step_asks_about_power_before_the_hand_goes_in(client: Client, at: str) -> None:
    """No button to tick it with, the caution, and the way to the question; then the button."""
    page = client.get(f"{at}/steps/5").text
    assert "Switch off, lock, tag, try and test" in words(page)
    assert "Landed" not in words(page)
    assert f'href="{at}/power-off?then=/wire/steps/5"' in page
    client.post(f"{at}/power-off", {**TICKED["off"], "then": "/wire/steps/5"})
    assert "Landed" in words(client.get(f"{at}/steps/5").text)
    client.post(f"{at}/power-on", {**TICKED["on"], "then": "/wire"})
    assert "First: power off?" in words(client.get(f"{at}/steps/5").text)


def test_power_is_off_only_with_every_part_ticked(client: Client, at: str) -> None:
    """What is missing is named, what was ticked stays ticked, nothing is entered."""
    before = len(ticks(client, at))
    answer = client.post(
        f"{at}/power-off", {"off": "yes", "locked": "yes", "tried": "yes", "then": "/wire/steps/5"}
    )
    assert answer.status_code == 422
    assert (
        "Proved dead: tester tried on a live source, every point read, tester tried again: is not ticked;"
        in answer.text
    )
    assert answer.text.count("checked") == 3
    assert len(ticks(client, at)) == before
    client.post(f"{at}/power-off", {**TICKED["off"], "then": "https://elsewhere.example/"})
    assert ticks(client, at)[-1]["item"] == ITEMS["off"]


def test_power_is_asked_again_after_two_hours_and_after_every_change() -> None:
    """The latest tick counts, as long as it is fresh."""
    entry = {"what": "tick", "item": ITEMS["off"], "found": "in order"}
    seen = readings(entry)
    at_nine = seen.entries[0].at
    assert power_state(seen, at_nine + timedelta(minutes=119)).stands == "off"
    assert power_state(seen, at_nine + timedelta(minutes=121)).stands is None
    both = readings(entry, {"what": "tick", "item": ITEMS["on"], "found": "in order"})
    assert power_state(both, at_nine + timedelta(minutes=5)).stands == "on"
    assert power_state(readings(), datetime.now(UTC)).stands is None


def test_a_landed_wire_is_ticked_once_and_the_next_step_comes(client: Client, at: str) -> None:
    """A double tap enters one tick; the list shows it done."""
    switch(client, at, "off")
    before = len(ticks(client, at))
    for _ in range(2):
        answer = client.post(f"{at}/steps/5", {"once": "f" * 32, "found": "in order", "note": "ferrule on"})
    assert answer.url.path == f"{at}/steps/6"
    assert len(ticks(client, at)) == before + 1
    assert ticks(client, at)[-1]["item"] == "landed: 24 V common, plug to the unit 2 to the terminals C"
    assert "5. 24 V common ✓ in order" in words(client.get(f"{at}/steps").text)
    assert "ferrule on" in words(client.get(f"{at}/steps").text)


def test_without_the_right_power_nothing_is_entered(client: Client, at: str) -> None:
    """The sentence says which tick is wanted."""
    before = len(ticks(client, at))
    answer = client.post(f"{at}/steps/5", {"found": "in order"})
    assert answer.status_code == 422
    sentence = (
        "power: is not ticked to be off; accepted: a tick that it is off, made within the last two hours."
    )
    assert sentence in unescape(answer.text)
    assert len(ticks(client, at)) == before


def number_of(part: str, function: str) -> int:
    """Number of a step in the demo, whose harness is that of the invented job."""
    return next(n for n, one in enumerate(steps(), 1) if one.part == part and one.title == function)


@pytest.mark.parametrize(
    ("typed", "found"), [("25.4", "in order"), ("12", "not in order"), ("28", "not looked at")]
)
def test_a_meter_reading_is_held_against_what_is_expected(
    client: Client, at: str, typed: str, found: str
) -> None:
    """In order, not in order, and too close to the limit for this meter, each with its next move."""
    switch(client, at, "on")
    number = number_of("meter, power on", "24 V supply")
    client.post(f"{at}/steps/{number}", {"reads": typed, "reads.unit": "V", "found": "in order"})
    assert ticks(client, at)[-1]["found"] == found
    assert ticks(client, at)[-1]["note"] == f"read: {typed} V; expected: 20 to 28 V"
    shown = words(client.get(f"{at}/steps/{number}").text)
    move = {
        "in order": "",
        "not in order": "Find out why before power",
        "not looked at": "read again with a closer one",
    }
    assert move[found] in shown


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        (
            {},
            "The meter shows: nothing was given; accepted: what the meter shows; 2 ohm at most is expected.",
        ),
        ({"reads": "24 V"}, 'The meter shows: "24 V" is a voltage, and a resistance is wanted; accepted:'),
        ({"reads": "shut"}, 'The meter shows: "shut" is not a resistance; accepted:'),
    ],
)
def test_what_is_no_reading_is_refused_and_stays_typed(
    client: Client, at: str, typed: dict[str, str], sentence: str
) -> None:
    """One sentence, what was typed still there, the note too."""
    switch(client, at, "off")
    number = number_of("meter, power off", "every wire")
    answer = client.post(f"{at}/steps/{number}", {**typed, "found": "in order", "note": "kept"})
    assert answer.status_code == 422
    assert sentence in unescape(answer.text)
    assert 'value="kept"' in answer.text
    assert all(f'value="{one}"' in answer.text for one in typed.values())


def test_a_person_who_says_not_in_order_is_believed(client: Client, at: str) -> None:
    """Even where the number would pass."""
    switch(client, at, "off")
    number = number_of("meter, power off", "every wire")
    client.post(f"{at}/steps/{number}", {"reads": "0.3", "reads.unit": "ohm", "found": "not in order"})
    assert ticks(client, at)[-1]["found"] == "not in order"


def test_open_fails_where_a_wire_should_be_whole() -> None:
    """And a reading with its own ± near the limit cannot be told."""
    whole = next(one for one in steps() if one.title == "every wire")
    assert metered(whole, "open", facts(), "reads")[0] is Verdict.FAILS
    assert metered(whole, "0.3 ohm", facts(), "reads")[0] is Verdict.PASSES
    assert metered(whole, "1.9 ohm ± 0.5 ohm", facts(), "reads")[0] is Verdict.CANNOT_TELL
    with pytest.raises(Refused):
        metered(whole, "-1 ohm", facts(), "reads")


def test_nothing_is_landed_while_parts_do_not_go_together() -> None:
    """A board that does not fit has no steps."""
    wiring = make_plan(
        facts(
            unit={"sheet": "ten-ton-two-speed-gas"}, harness={"board": "variable-fan-two-sockets"}, truck=[]
        )
    ).wiring
    assert wiring is not None
    assert wire_steps(wiring, readings()) == ()


def test_the_drawing_marks_the_wire_of_the_present_step() -> None:
    """Heavy from end to end, and only that one."""
    wiring = make_plan(facts(unit={"sheet": "ten-ton-two-speed-gas"})).wiring
    assert wiring is not None
    plain, marked = draw_wiring(wiring, "kit"), draw_wiring(wiring, "kit", wiring.landings[2])
    assert plain.count('stroke-width="4"') == 0
    assert marked.count('stroke-width="4"') == len(wiring.landings[2].way)
    assert marked.count('font-weight="bold"') > plain.count('font-weight="bold"')


def test_one_wire_is_drawn_downwards_as_wide_as_a_phone() -> None:
    """Both ends and every adapter between them, each cavity with its mark; one that lands nowhere says so."""
    wiring = make_plan(facts(unit={"sheet": "ten-ton-two-speed-gas"})).wiring
    assert wiring is not None
    for one in wiring.landings:
        root = ET.fromstring(draw_landing(one, "kit", wiring.board_name))  # noqa: S314 - our own
        written = [mark.text for mark in root.iter("{http://www.w3.org/2000/svg}text")]
        assert float(root.get("width", "")) <= 330
        assert {one.kit_cavity, one.function} <= set(written)
        assert sum(mark == "in" for mark in written) == len(one.way)
        assert (one.board_cavity in written) is bool(one.board_end)
        assert any("lands nowhere" in (mark or "") for mark in written) is not bool(one.board_end)


def test_board_and_adapters_are_chosen_off_the_shelf(client: Client, at: str) -> None:
    """The state follows: without the adapter that is needed it says what is missing."""
    form = {"board": "twelve-way-with-jumper-plug", "looked": "yes", "truck": ["nine-way-lead"]}
    client.post(f"{at}/parts", form)
    held = client.document(at.split("/")[2])["facts"]
    assert held["harness"] == {"board": "twelve-way-with-jumper-plug"}
    assert held["truck"] == ["nine-way-lead"]
    shown = words(client.get(at).text)
    assert "adapter missing" in shown
    assert "not at hand" in shown
    for page in ("", "/drawing", "/steps", "/steps/1", "/parts"):
        told = words(client.get(f"{at}{page}").text)
        assert not [one for one in (*names("adapters"), *names("boards")) if one in told], page
    subject = subject_of(work(read_job(client.document(at.split("/")[2]))))
    printed = str(tuple(prepared_sections(subject)))
    assert "is not at hand" in printed
    assert not [one for one in (*names("adapters"), *names("boards")) if one in printed]
    client.post(f"{at}/parts", {"board": "by the data sheet"})
    held = client.document(at.split("/")[2])["facts"]
    assert "harness" not in held
    assert "truck" not in held


def test_ticked_adapters_are_not_dropped_without_a_word(client: Client, at: str) -> None:
    """Whoever ticks what he has and not that he looked is asked, and his ticks stand there still."""
    form = {"board": "twelve-way-with-jumper-plug", "truck": ["nine-way-lead"]}
    answer = client.post(f"{at}/parts", form)
    assert answer.status_code == 422
    said = 'Adapters at hand: 1 ticked, and not that these are all there is; accepted: "I have looked" ticked too, or no adapter.'
    assert said in words(answer.text)
    assert 'value="nine-way-lead" checked' in answer.text


def test_what_was_saved_is_said_by_the_names_of_the_shelf(client: Client, at: str) -> None:
    form = {"board": "nine-way-heat-pump", "looked": "yes", "truck": ["nine-way-lead"]}
    saved = words(client.post(f"{at}/parts", form).text)
    assert (
        "Saved. The unit's control board: Heat-pump board with a nine-way economizer socket; Adapters at hand: Nine-way lead, ends alike"
        in saved
    )


def described(client: Client, at: str) -> None:
    """A connector that is in no file, with four wires."""
    client.post(f"{at}/seen/shape", SHAPE)
    for pin, colour in ((1, "red"), (2, "blue"), (3, "yellow"), (6, "violet")):
        client.post(f"{at}/seen/pin/{pin}", {"colour": colour})


def test_an_unknown_plug_is_described_pin_by_pin(client: Client, at: str) -> None:
    """Its picture leads to each pin; a colour is entered, the next pin comes, a second thought replaces it."""
    answer = client.post(f"{at}/parts", {"board": "not in the list"})
    assert answer.url.path == f"{at}/seen"
    described(client, at)
    page = client.get(f"{at}/seen").text
    assert page.count(f'href="{at}/seen/pin/') >= 9
    answer = client.post(f"{at}/seen/pin/3", {"colour": "yellow", "stripe": "white", "marked": "Y1"})
    assert answer.url.path == f"{at}/seen/pin/4"
    held = client.document(at.split("/")[2])["facts"]["harness"]["seen_board"]["connector"]
    assert {"cavity": 3, "colour": "yellow with white", "marked": "Y1"} in held["wires"]
    assert len(held["wires"]) == 4
    client.post(f"{at}/seen/pin/6", {"do": "no wire"})
    held = client.document(at.split("/")[2])["facts"]["harness"]["seen_board"]["connector"]
    assert len(held["wires"]) == 3
    assert client.get(f"{at}/seen/pin/10").status_code == 404


def test_guided_readings_name_the_circuits(client: Client, at: str) -> None:
    """Supply and common first; the next page then reads to the common by itself, with the letter to be joined."""
    described(client, at)
    assert "put it back and run" in words(client.get(at).text).lower()
    assert "First: power on?" in words(client.get(f"{at}/seen/volts").text)
    switch(client, at, "on")
    client.post(
        f"{at}/seen/volts",
        {"to": "cabinet", "pin-1": "26.1", "pin-1.unit": "V", "pin-2": "0", "pin-2.unit": "V"},
    )
    client.post(f"{at}/seen/volts", {"to": "1", "pin-2": "26.0", "pin-2.unit": "V"})
    shown = words(client.get(f"{at}/seen").text)
    assert "1, red: 24 V supply ✓ metered" in shown
    assert "2, blue: 24 V common ✓ metered" in shown
    assert '<option value="2" selected>' in client.get(f"{at}/seen/volts").text
    client.post(
        f"{at}/seen/volts", {"to": "2", "pin-3": "0.1", "pin-3.unit": "V", "pin-6": "0", "pin-6.unit": "V"}
    )
    assert '<option value="Y1" selected>' in client.get(f"{at}/seen/volts").text
    client.post(f"{at}/seen/volts", {"to": "2", "call": "Y1", "pin-3": "25.8", "pin-3.unit": "V"})
    client.post(f"{at}/seen/pair", {"one": "3", "other": "6"})
    shown = words(client.get(f"{at}/seen").text)
    assert "3, yellow: cooling stage 1 call ✓ metered" in shown
    assert "6, violet: cooling stage 1 to compressor ✓ metered" in shown
    number = len(client.document(at.split("/")[2])["facts"]["harness"]["seen_board"]["connector"]["readings"])
    client.post(
        f"{at}/seen/take-out", {"list": "readings", "mark": mark_of(client.get(f"{at}/seen").text, number)}
    )
    left = client.document(at.split("/")[2])["facts"]["harness"]["seen_board"]["connector"]["readings"]
    assert len(left) == number - 1


def test_a_wire_from_r_stays_to_be_put_back_until_it_is_ticked_off(client: Client, at: str) -> None:
    """It is a change for a test: open in the ledger, or closed by the same form."""
    described(client, at)
    switch(client, at, "on")
    reading = {"to": "2", "call": "Y1", "pin-3": "25.8", "pin-3.unit": "V"}
    job = at.split("/")[2]
    client.post(f"{at}/seen/volts", {**reading, "off_again": "yes"})
    closed = work(read_job(client.document(job))).verdicts
    assert not [line for line in closed.not_closed if "letter Y1" in line.point]
    for _ in range(2):
        client.post(f"{at}/seen/volts", {**reading, "once": "b" * 32, "call": "Y2"})
    left_open = work(read_job(client.document(job))).verdicts
    assert [line.point for line in left_open.not_closed if "letter" in line.point] == [
        "letter Y2 at the thermostat"
    ]


def test_readings_that_cannot_be_are_refused_all_or_none(client: Client, at: str) -> None:
    """Each beside its own field; the good one waits for the others."""
    described(client, at)
    switch(client, at, "on")
    answer = client.post(
        f"{at}/seen/volts",
        {"to": "2", "pin-1": "26", "pin-1.unit": "V", "pin-2": "3", "pin-2.unit": "V", "pin-3": "some"},
    )
    assert answer.status_code == 422
    page = unescape(answer.text)
    assert 'Pin 2, blue: "3 V" is the point that all are read to; accepted: a reading at another pin.' in page
    assert 'Pin 3, yellow: "some" is not a voltage;' in page
    assert 'value="26"' in page
    held = client.document(at.split("/")[2])["facts"]["harness"]["seen_board"]["connector"]
    assert "readings" not in held
    answer = client.post(f"{at}/seen/volts", {"to": "2"})
    assert "readings: nothing was given; accepted: one reading or more" in unescape(answer.text)


def test_control_power_from_nothing_to_a_verdict(client: Client) -> None:
    """Transformer, loads and two voltages; the tap and the verdict follow."""
    job = client.new(capacity="10 ton", place="5A", outdoor="58 F")
    at = f"/jobs/{job}/wire"
    assert "Enter the transformer" in words(client.get(f"{at}/power").text)
    client.post(f"{at}/power/transformer/1", {"name": "unit transformer", "rating": "40", "rating.unit": "VA", "supply": "208",
                                              "supply.unit": "V", "tap": "208", "tap.unit": "V", "taps": "208 V, 240 V"})  # fmt: skip
    for number, (name, power) in enumerate((("control board", "12"), ("damper actuator", "8")), start=1):
        client.post(
            f"{at}/power/load/{number}", {"name": name, "apparent_power": power, "apparent_power.unit": "VA"}
        )
    assert "cannot tell" in words(client.get(f"{at}/power").text).lower()
    assert "First: power on?" in words(client.get(f"{at}/power/meter/1").text)
    switch(client, at, "on")
    client.post(
        f"{at}/power/meter/1", {"idle": "26.3", "idle.unit": "V", "loaded": "25.0", "loaded.unit": "V"}
    )
    held = client.document(job)["facts"]["power"]["transformers"][0]
    assert held["metered"]["idle"] == "26.3 V"
    assert held["taps"] == ["208 V", "240 V"]
    shown = words(client.get(f"{at}/power").text)
    assert "Passes the control power holds" in shown
    assert "26.30 V" in shown
    mark = mark_of(client.get(f"{at}/power/load/2").text)
    client.post(f"{at}/power/load/2", {"do": "take out", "mark": mark})
    assert len(client.document(job)["facts"]["power"]["loads"]) == 1


def test_a_load_without_its_power_is_refused_and_stays_typed(client: Client, at: str) -> None:
    """The sentence says what is wanted; nothing was entered."""
    answer = client.post(f"{at}/power/load/5", {"name": "smoke relay", "apparent_power": "lots"})
    assert answer.status_code == 422
    assert 'Draws while it runs or holds: "lots" is not an apparent power;' in unescape(answer.text)
    assert 'value="smoke relay"' in answer.text
    assert len(client.document(at.split("/")[2])["facts"]["power"]["loads"]) == 4
    assert client.get(f"{at}/power/load/9").status_code == 404
    assert client.get(f"{at}/power/fuse/1").status_code == 404


@pytest.mark.parametrize(
    "path", ["", "/steps", "/drawing", "/parts", "/seen", "/power", "/power/transformer/1", "/power-off"]
)
def test_each_page_stands_before_anything_is_known(client: Client, path: str) -> None:
    """Without a board and without facts."""
    bare, opened = client.new(), client.new(capacity="10 ton", place="5A")
    for job in (bare, opened):
        assert client.get(f"/jobs/{job}/wire{path}").status_code == 200
