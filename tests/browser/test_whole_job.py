"""A unit of one's own, from nothing to a printed record, by tapping and typing alone; typed fields and taps are counted."""

from __future__ import annotations

import time
from pathlib import Path

from playwright.sync_api import BrowserContext
from tests.browser.person import Person
from tests.browser.served import Served

MOST_BEFORE_THE_FIRST_SETTING = 15
MOST_ON_A_READING = 4
MOST_FIELDS_OF_THE_NEXT_UNIT, MOST_TAPS_OF_THE_NEXT_UNIT = 5, 12
SOON = 60.0
"""Seconds within which the first screen has led to what can be set, what can be proved and what to take up."""


def test_from_nothing_to_the_printed_record(served: Served, phone: BrowserContext, tmp_path: Path) -> None:
    """The common case: dry bulb, two speeds, a kit from the list."""
    person = Person(phone.new_page(), served.address)
    person.open()
    _says_who_reads_and_with_what(person)
    _opens_a_job(person)
    _enters_what_is_served(person)
    for speed in ("high", "low"):
        _balances(person, speed)
    _reads_the_settings_back(person)
    _looks_at_the_first_steps(person)
    _puts_everything_back(person)
    _signs(person)

    record = _makes_the_record(person, tmp_path)

    assert record.read_bytes().startswith(b"%PDF-")


def _says_who_reads_and_with_what(person: Person) -> None:
    """Once for all jobs, counted here all the same."""
    person.taps_on("Yours")
    person.types("Your name", "A. Roofer")
    person.taps_on("Keep")
    for kind, accuracy in (("temperature", "0.5 °F"), ("airflow", "3 %")):
        person.taps_on("Add an instrument")
        person.picks("What it measures", kind)
        person.types("± of the maker", accuracy)
        person.taps_first()
    person.taps_on("Jobs")


def _opens_a_job(person: Person) -> None:
    """Four fields, none of them needed, and then what can be set, what can be proved and what to take up."""
    begun = time.monotonic()
    person.taps_first()
    assert person.asked == 4
    assert not person.needed
    person.types("Cooling capacity", "10")
    person.chooses("Two")
    person.types("Place", "Cook, IL")
    person.types("Outdoor temperature now", "40")
    person.taps_first()
    for words in ("What can be set", "What can be proved today", "What to take up"):
        assert words in person.words
    assert time.monotonic() - begun < SOON


def _enters_what_is_served(person: Person) -> None:
    job = person.path
    person.taps_first()
    person.taps_on("Add a space")
    person.types("What it is called", "Shop")
    person.types("What it is used for", "Retail / Sales")
    person.types("Net floor area", "3000")
    person.taps_first()
    person.open(job)


def _balances(person: Person, speed: str) -> None:
    """Set the damper, wait, read the three streams, read the supply airflow."""
    job = person.job
    person.open(f"{job}/balance/{speed}/set")
    if speed == "high":
        assert person.fields <= MOST_BEFORE_THE_FIRST_SETTING
    person.chooses("Everybody is clear")
    person.taps_first()
    assert "5:00" in person.words or "4:59" in person.words
    person.taps_first()
    assert person.asked <= MOST_ON_A_READING
    person.types("Outdoor air", "40.2")
    person.types("Return air", "72.5")
    person.types("Mixed air", "63.1, 64.0, 65.2, 64.4, 63.0, 62.8, 64.4, 63.9")
    person.taps_first()
    person.open(f"{job}/balance/{speed}/read/supply-air")
    assert person.asked <= MOST_ON_A_READING
    person.types("Airflow", "4010" if speed == "high" else "2650")
    person.picks("How it was measured", "traverse")
    person.taps_first()
    assert "Supply air" in person.words
    assert "by traverse" in person.words


def _reads_the_settings_back(person: Person) -> None:
    """Every setting by one tap: the controller shows what was planned."""
    person.open(f"{person.job}/set")
    person.taps_first()
    for _ in range(20):
        if "It shows" not in person.words:
            break
        person.taps_on("It shows")
    assert "not read back" not in person.words


def _looks_at_the_first_steps(person: Person) -> None:
    """The first test: what a look can tell."""
    person.open(f"{person.job}/prove")
    person.taps_first()
    person.taps_on("It is so")
    person.chooses("Yes, as expected")
    person.taps_first()
    assert "Passes" in person.words


def _puts_everything_back(person: Person) -> None:
    """Fan and damper were held by hand: each stands in the list until it is seen back."""
    person.open(f"{person.job}/restore")
    assert "not put back" in person.words
    for _ in range(6):
        line = person.tab.locator("main .rows a", has_text="not put back")
        if not line.count():
            break
        line.first.click()
        person.tab.wait_for_url("**/restore/*")
        person.types("What is seen there now", "automatic, and nobody holds it")
        person.taps_first()
        person.open(f"{person.job}/restore")
    assert "Nothing is left behind" in person.words


def _signs(person: Person) -> None:
    """The name stands there already; the finger is the only thing to move."""
    person.open(f"{person.job}/record")
    person.taps_on("Sign")
    assert person.tab.input_value("#name") == "A. Roofer"
    person.draws_in("canvas")
    person.taps_first()
    job = person.job
    person.tab.get_by_role("button", name="Read and print the record").click()
    person.tab.wait_for_url("**/record/page*")
    assert person.tab.locator("svg path[d^='M']").count() >= 1
    assert "A. Roofer" in person.tab.locator("body").inner_text()
    person.open(f"{job}/record")


def _makes_the_record(person: Person, folder: Path) -> Path:
    """The files are made while one waits, and come down by a tap."""
    person.open(f"{person.job}/record")
    person.taps_on("Record and card as files")
    link = person.tab.get_by_role("link", name="Record for the owner, PDF")
    link.wait_for(timeout=60_000)
    with person.tab.expect_download() as coming:
        link.click()
    path = folder / "record.pdf"
    coming.value.save_as(path)
    return path


def test_the_next_unit_on_the_site(served: Served, phone: BrowserContext) -> None:
    """What is the same on the whole roof is not typed again."""
    person = Person(phone.new_page(), served.address)
    person.open(f"/jobs/{served.job_that_is('done')}")
    person.taps_on("Next unit on this site")
    person.types("Tag on the next unit", "R-3")
    person.types("What it serves", "stock room")
    person.taps_first()
    assert person.heading.startswith("R-3")
    person.taps_first()
    person.taps_on("Add a space")
    person.types("What it is called", "Stock room")
    person.types("What it is used for", "Storage")
    person.types("Net floor area", "2000")
    person.taps_first()
    person.open(f"{person.job}/balance")
    person.taps_first()
    assert "Set the damper" in person.words
    assert person.fields <= MOST_FIELDS_OF_THE_NEXT_UNIT
    assert person.taps <= MOST_TAPS_OF_THE_NEXT_UNIT
