"""The office by hand: a kit of one's own, one setting of it broken and mended, and its connector drawn as it is typed."""

from __future__ import annotations

from playwright.sync_api import BrowserContext
from tests.browser.looking import Watched
from tests.browser.person import Person
from tests.browser.served import Served

WHOLE = "Whole with this"
NEW = "turquoise"
"""A colour that no wire of the kit has."""


def test_a_kit_edited_broken_and_mended(served: Served, context: BrowserContext, screen: str) -> None:
    """What is wrong is said while it is typed, what is typed stays, and the kit is kept only when it is whole."""
    watched, name = Watched(context), f"kit on the {screen}"
    person = Person(watched.tab, served.address)
    person.open("/office")
    person.taps_on("Kits")
    person.tab.locator("main a[href$='/two-speed-dry-bulb']").click()
    person.tab.wait_for_url("**/two-speed-dry-bulb")
    person.types("Make one of your own of it, called", name)
    person.taps_on("Copy")
    kit = person.path
    person.taps_on("Outdoor air too warm above")
    found, least = person.tab.locator("#found"), person.tab.locator("#least")

    least.fill("90 F")
    found.get_by_text("is no range").wait_for()
    person.taps_first()
    person.tab.locator("#refused").get_by_text("is no range").wait_for()
    assert least.input_value().startswith("90")
    assert "90 F" not in served.client.get(f"{kit}/text").text
    watched.complaints = [one for one in watched.complaints if "422" not in one]
    assert watched.amiss() == []

    least.fill("55 F")
    found.get_by_text(WHOLE).wait_for()
    person.taps_first()
    assert person.path == kit
    assert "55 °F to 80 °F" in person.words
    assert "least: 55 F" in served.client.get(f"{kit}/text").text

    _draws_a_connector(person, kit)
    assert watched.amiss() == []


def _draws_a_connector(person: Person, kit: str) -> None:
    """A wire's colour is in the drawing before anything is kept; a cavity that there is not is said."""
    person.open(f"{kit}/connector/1")
    tab, drawn = person.tab, person.tab.locator("#drawn")
    rows = tab.locator("main table.typing tbody tr")
    assert NEW not in drawn.inner_text()
    rows.first.locator("[name$='.colour']").fill(NEW)
    drawn.get_by_text(NEW).first.wait_for()
    blank = rows.last.locator("[name$='.cavity']")
    assert blank.input_value() == ""
    blank.fill("999")
    tab.locator("#found").get_by_text("accepted").first.wait_for()
    blank.fill("")
    tab.locator("#found").get_by_text(WHOLE).wait_for()
    person.taps_first()
    assert person.path == kit
    assert NEW in person.words
