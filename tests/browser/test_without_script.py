"""Without any script: links and forms do all but timers and drawing."""

from __future__ import annotations

from collections.abc import Iterator

import pytest
from playwright.sync_api import Browser, BrowserContext
from tests.browser.conftest import SCREENS
from tests.browser.served import Served


@pytest.fixture
def plain(browser: Browser, screen: str) -> Iterator[BrowserContext]:
    """A browser in which no script runs."""
    one = browser.new_context(**SCREENS[screen], java_script_enabled=False)
    yield one
    one.close()


def test_a_job_is_opened_and_facts_are_entered(served: Served, plain: BrowserContext) -> None:
    """Four facts, then one more; what is wrong comes back with what was typed."""
    tab = plain.new_page()
    tab.goto(f"{served.address}/new")
    tab.fill("#capacity", "10")
    tab.locator("label.choice", has_text="Two").click()
    tab.fill("#place", "Nowhere at all")
    tab.locator("main button.first").click()
    assert "accepted" in tab.locator("#refused").inner_text()
    assert tab.input_value("#place") == "Nowhere at all"
    tab.fill("#place", "Cook, IL")
    tab.locator("main button.first").click()
    assert "What can be set" in tab.locator("main").inner_text()
    tab.goto(f"{tab.url.partition('?')[0]}/facts/unit")
    tab.fill("#tag", "R-7")
    tab.locator("main button.first").click()
    assert "Saved." in tab.locator("main").inner_text()


def test_a_reading_gives_a_verdict(served: Served, plain: BrowserContext) -> None:
    """The damper is set, the air is read, the page judges."""
    tab, job = plain.new_page(), served.job_that_is("done")
    tab.goto(f"{served.address}/jobs/{job}/balance/high/read?damper=21%20%25")
    tab.fill("#outdoor_air", "36.5")
    tab.fill("#return_air", "72.9")
    tab.fill("#mixed_air", "62.1, 62.9, 63.0, 62.5, 62.4, 62.8, 62.7, 62.6")
    tab.get_by_role("button", name="Enter and see").click()
    assert tab.url.partition("?")[0].endswith("/balance/high/result")
    assert tab.locator(".verdict").first.is_visible()


def test_a_step_is_entered_and_judged(served: Served, plain: BrowserContext) -> None:
    """Through the question whether power and fan are as they have to be."""
    tab, job = plain.new_page(), served.job_that_is("done")
    tab.goto(f"{served.address}/jobs/{job}/prove/inspection.instruments")
    tab.locator("main .first").click()
    tab.locator("label.choice", has_text="Yes, as expected").click()
    tab.get_by_role("button", name="Enter").click()
    assert "Passes" in tab.locator(".verdict").first.inner_text()


def test_settings_and_signature(served: Served, plain: BrowserContext) -> None:
    """A setting is read back by one tap; a name signs where no finger can draw."""
    tab, job = plain.new_page(), served.job_that_is("opened")
    tab.goto(f"{served.address}/jobs/{job}/set/1")
    tab.get_by_role("button", name="It shows").click()
    assert "Saved." in tab.locator("main").inner_text()
    tab.goto(f"{served.address}/jobs/{job}/record/sign")
    tab.fill("#name", "A. Roofer")
    tab.locator("main button.first").click()
    assert "A. Roofer" in tab.locator("main").inner_text()
