"""A run on the practice roof by taps alone: from the choice to what was there, taking the advice each time."""

from __future__ import annotations

import re

from playwright.sync_api import BrowserContext
from tests.browser.looking import Watched
from tests.browser.person import Person
from tests.browser.served import Served

from ventwright.readings.practice.code import read_code
from ventwright.readings.practice.hidden import hidden_unit

CODE = "37TD-74X9"
"""A roof whose one fault two readings show; which, the person at the pages is not told."""

CLEARLY = 6
"""Tenths of a chance from which a fault is put right without another reading."""

MOST = 8
"""Readings after which somebody who takes the advice on that roof should long have known."""

WAIT = 90_000
"""Milliseconds in which what may be wrong is worked out, on a machine that is busy with other tests."""


def test_a_run_that_takes_the_advice(served: Served, context: BrowserContext) -> None:
    """Told nothing beforehand, the person ends with the fault put right and nothing repaired for nothing."""
    watched = Watched(context)
    person = Person(watched.tab, served.address)
    person.open()
    person.taps_to("/practice")
    person.types("Or a code that somebody gave you", CODE)
    person.taps_first()
    assert CODE in person.words
    (fault,) = hidden_unit(read_code(CODE)).faults
    assert fault.row.words not in person.words.lower()
    person.taps_first()
    _says_what_people_say(person)
    for _ in range(MOST):
        if _likely(person):
            break
        _reads(person)
    person.tab.locator("main .why summary").first.click()
    person.taps_on("I have put this right")
    person.open(f"{person.job}/practice")
    person.taps_on("End it and see what was there")
    assert "Everything that was there was put right." in person.words
    assert fault.row.words in person.words.lower()
    assert "Repaired, and not there" not in person.words
    assert "every piece of advice" in person.words  # being played, or played for somebody before
    assert watched.amiss() == []


def _says_what_people_say(person: Person) -> None:
    """Nobody complains on this roof: the answer that stands there."""
    assert "On this practice roof:" in person.words
    person.taps_first()


def _likely(person: Person) -> bool:
    """Wait for what may be wrong; whether the first of it is clearly likelier than not."""
    chance = person.tab.locator("main .chance").first
    chance.wait_for(timeout=WAIT)
    tenths = re.fullmatch(r"(\d) in 10", chance.inner_text())
    return "in 100" in chance.inner_text() or (tenths is not None and int(tenths[1]) >= CLEARLY)


def _reads(person: Person) -> None:
    """Take the next reading that is advised: the instruments fill the fields, entering is left to the person."""
    person.taps_on("Read next")
    person.taps_on("Read the practice unit")
    person.taps_first()
