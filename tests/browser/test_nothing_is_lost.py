"""What was typed outlives a reload, the back button, a double tap, a second tab and a roof without a network."""

from __future__ import annotations

import re

from playwright.sync_api import BrowserContext, Page, expect
from tests.browser.crawling import read
from tests.browser.served import Served

READ = "/balance/high/read?damper=21%20%25"


def typed_on(tab: Page) -> list[str]:
    """What stands in the three fields of a reading."""
    return [tab.input_value(f"#{name}") for name in ("outdoor_air", "return_air", "mixed_air")]


def type_a_reading(tab: Page, address: str) -> None:
    """Type three temperatures and send nothing."""
    tab.goto(address)
    tab.fill("#outdoor_air", "36.5")
    tab.fill("#return_air", "72.9")
    tab.fill("#mixed_air", "62.1, 62.9, 63.0")


def readings_of(served: Served, job: str) -> int:
    """How many readings of the mixed air the job holds."""
    document = served.client.get(f"/jobs/{job}/job.json").text
    return len(re.findall(r'"what": "mixed air"', document))


def test_a_reload_keeps_what_was_typed(served: Served, phone: BrowserContext) -> None:
    """The page says so, and offers to drop it."""
    tab = phone.new_page()
    type_a_reading(tab, f"{served.address}/jobs/{served.job_that_is('done')}{READ}")
    tab.reload()
    assert typed_on(tab) == ["36.5", "72.9", "62.1, 62.9, 63.0"]
    expect(tab.get_by_text("Typed before, and not entered yet.")).to_be_visible()
    tab.get_by_role("button", name="Drop it").click()
    assert typed_on(tab)[2] == ""


def test_the_back_button_keeps_what_was_typed(served: Served, phone: BrowserContext) -> None:
    """Away by a link, and back; then forward again to where one was."""
    tab, job = phone.new_page(), served.job_that_is("done")
    type_a_reading(tab, f"{served.address}/jobs/{job}{READ}")
    tab.locator("main .back a").first.click()
    tab.wait_for_url("**/other*")
    tab.go_back()
    tab.wait_for_selector("#mixed_air")
    assert typed_on(tab) == ["36.5", "72.9", "62.1, 62.9, 63.0"]
    tab.go_forward()
    tab.wait_for_url("**/other*")


def test_what_was_entered_is_no_draft_any_more(served: Served, phone: BrowserContext) -> None:
    """The form of the next reading is empty, or holds what is known."""
    tab, job = phone.new_page(), served.job_that_is("done")
    address = f"{served.address}/jobs/{job}{READ}"
    type_a_reading(tab, address)
    tab.get_by_role("button", name="Enter and see").click()
    tab.wait_for_url("**/result*")
    tab.goto(address)
    assert typed_on(tab)[2] == ""


def test_a_double_tap_enters_once(served: Served, phone: BrowserContext) -> None:
    """Two taps before the answer is there."""
    tab, job = phone.new_page(), served.job_that_is("done")
    before = readings_of(served, job)
    type_a_reading(tab, f"{served.address}/jobs/{job}{READ}")
    tab.get_by_role("button", name="Enter and see").dblclick()
    tab.wait_for_url("**/result*")
    assert readings_of(served, job) == before + 1


def test_a_form_sent_again_from_an_old_page_enters_once(served: Served) -> None:
    """Back to the form as it was, and sent once more as it was."""
    job = served.job_that_is("done")
    before = readings_of(served, job)
    page = read(READ, served.client.get(f"/jobs/{job}{READ}").text)
    form = next(one for one in page.forms if "mixed_air" in one.sends())
    given = form.sends() | {"outdoor_air": "36", "return_air": "72", "mixed_air": "62, 63, 63"}
    for _ in range(2):
        assert served.client.post(f"/jobs/{job}{READ}", data=given).status_code == 200
    assert readings_of(served, job) == before + 1


def test_two_tabs_on_one_job(served: Served, phone: BrowserContext) -> None:
    """Both were opened before either entered anything: both entries are there."""
    job = served.job_that_is("opened")
    first, second = phone.new_page(), phone.new_page()
    first.goto(f"{served.address}/jobs/{job}/facts/unit")
    second.goto(f"{served.address}/jobs/{job}/facts/today")
    first.fill("#tag", "R-8")
    second.fill("#return_air", "71")
    for tab in (first, second):
        tab.locator("main button.first").click()
        tab.wait_for_selector(".undo")
    facts = served.client.get(f"/jobs/{job}/job.json").json()["facts"]
    assert facts["unit"]["tag"] == "R-8"
    assert facts["weather"]["return_air"] == "71 °F"


def test_a_change_is_taken_back_by_one_tap(served: Served, phone: BrowserContext) -> None:
    """Beside the word that it is saved."""
    job, tab = served.job_that_is("opened"), phone.new_page()
    tab.goto(f"{served.address}/jobs/{job}/facts/unit")
    tab.fill("#tag", "R-8")
    tab.locator("main button.first").click()
    tab.get_by_role("button", name="Take it back").click()
    expect(tab.locator("form.undo span")).to_have_text("Taken back. Tag on the unit: R-8")
    assert served.client.get(f"/jobs/{job}/job.json").json()["facts"]["unit"]["tag"] != "R-8"
    tab.get_by_role("button", name="Enter it again").click()
    expect(tab.locator("form.undo span")).to_have_text("✓ Entered again. Tag on the unit: R-8")
    assert served.client.get(f"/jobs/{job}/job.json").json()["facts"]["unit"]["tag"] == "R-8"


def test_without_a_network_what_was_typed_waits(served: Served, phone: BrowserContext) -> None:
    """It is said in words, outlives a look elsewhere, and is sent as soon as there is a network and a tap."""
    tab, job = phone.new_page(), served.job_that_is("done")
    before = readings_of(served, job)
    type_a_reading(tab, f"{served.address}/jobs/{job}{READ}")
    phone.set_offline(True)
    tab.get_by_role("button", name="Enter and see").click()
    expect(tab.locator("#said")).to_contain_text("What you typed is kept on this device")
    assert typed_on(tab) == ["36.5", "72.9", "62.1, 62.9, 63.0"]
    assert readings_of(served, job) == before
    phone.set_offline(False)
    tab.reload()
    assert typed_on(tab) == ["36.5", "72.9", "62.1, 62.9, 63.0"]
    tab.get_by_role("button", name="Enter and see").click()
    tab.wait_for_url("**/result*")
    assert readings_of(served, job) == before + 1


def test_a_server_that_is_gone_is_said_in_words(served: Served, phone: BrowserContext) -> None:
    """The laptop went to sleep in the van."""
    tab, job = phone.new_page(), served.job_that_is("done")
    tab.goto(f"{served.address}/jobs/{job}/facts/unit")
    tab.route("**/*", lambda route: route.abort())
    tab.fill("#serves", "stock room")
    tab.locator("main button.first").click()
    expect(tab.locator("#said")).to_contain_text("No answer.")
    assert tab.input_value("#serves") == "stock room"
