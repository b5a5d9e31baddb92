"""A gloved thumb, a keyboard alone, a slow eye: what the pages do for each."""

from __future__ import annotations

import re

import pytest
from playwright.sync_api import Browser, BrowserContext, Page, expect
from tests.browser.conftest import LAPTOP, PHONE
from tests.browser.served import Served


def read_page(served: Served, phone: BrowserContext) -> Page:
    """A page with three numbers on it."""
    tab, job = phone.new_page(), served.job_that_is("done")
    tab.goto(f"{served.address}/jobs/{job}/balance/high/read?damper=21%20%25")
    return tab


def press(tab: Page, *keys: str) -> None:
    """Press keys of the digit pad."""
    for key in keys:
        tab.locator(".pad button", has_text=re.compile(f"^{re.escape(key)}$")).tap()


def test_digits_by_thumb(served: Served, phone: BrowserContext) -> None:
    """Digits, point, sign, rubbing out, a little more; then the next field, past its unit."""
    tab = read_page(served, phone)
    tab.locator("#return_air").tap()
    expect(tab.locator(".pad")).to_be_visible()
    press(tab, "7", "2", ".", "5", "±")
    assert tab.input_value("#return_air") == "-72.5"
    press(tab, "±", "⌫", "9", "▲")
    assert tab.input_value("#return_air") == "73.0"
    press(tab, "→")
    expect(tab.locator("#mixed_air")).to_be_focused()
    press(tab, "6", "3")
    assert tab.input_value("#mixed_air") == "63"


def test_the_sign_key_writes_a_band_where_nothing_is_below_zero(
    served: Served, phone: BrowserContext
) -> None:
    """A signal in volts and how closely it was read, by thumb alone: 6.2 ± 0.1."""
    tab, job = phone.new_page(), served.job_that_is("done")
    tab.goto(f"{served.address}/jobs/{job}/balance/high/set")
    tab.locator("summary", has_text="Another signal").tap()
    tab.locator("#damper").tap()
    expect(tab.locator(".pad").get_by_label("Plus or minus")).to_be_visible()
    press(tab, "6", ".", "2", "±", "0", ".", "1", "±")
    assert tab.input_value("#damper") == "6.2 ± 0.1"
    tab.locator("select[name='damper.unit']").select_option("V")
    tab.get_by_role("button", name="Show this signal").click()
    expect(tab.locator(".signal")).to_have_text(re.compile(r"52\.5\s%\s·\s6\.20\sV"))


def test_every_key_is_large_and_the_field_stays_in_sight(served: Served, phone: BrowserContext) -> None:
    """56 px at least, 8 px between, and the field above the pad."""
    tab = read_page(served, phone)
    tab.locator("#mixed_air").tap()
    boxes = [one.bounding_box() for one in tab.locator(".pad button").all()]
    assert all(box and box["height"] >= 56 and box["width"] >= 56 for box in boxes)
    pad, field = tab.locator(".pad").bounding_box(), tab.locator("#mixed_air").bounding_box()
    assert pad
    assert field
    assert field["y"] > 0
    assert field["y"] + field["height"] <= pad["y"]


def test_the_phones_own_keyboard_is_one_key_away(served: Served, phone: BrowserContext) -> None:
    """With its microphone: the pad goes, the field takes text."""
    tab = read_page(served, phone)
    tab.locator("#mixed_air").tap()
    assert tab.locator("#mixed_air").evaluate("(one) => one.inputMode") == "none"
    press(tab, "⌨")
    expect(tab.locator(".pad")).to_have_count(0)
    assert tab.locator("#mixed_air").evaluate("(one) => one.inputMode") == "text"
    expect(tab.locator("#mixed_air")).to_be_focused()


def test_a_timer_runs_by_the_clock(served: Served, phone: BrowserContext) -> None:
    """Through a reload and a screen that slept; it says when it is over."""
    tab, job = phone.new_page(), served.job_that_is("opened")
    tab.clock.install()
    tab.goto(f"{served.address}/jobs/{job}/balance/high/set")
    tab.locator("label.choice", has_text="Everybody is clear").click()
    tab.locator("main .first").click()
    tab.wait_for_url("**/wait*")
    tab.clock.run_for(60_000)
    expect(tab.locator(".timer")).to_have_text(re.compile(r"4:0\d|3:5\d"))
    tab.reload()
    expect(tab.locator(".timer")).to_have_text(re.compile(r"4:0\d|3:5\d"))
    tab.clock.fast_forward(240_000)
    tab.reload()
    expect(tab.locator(".timer")).to_have_text("Waited long enough")


def test_units_switch_and_what_was_entered_stays(served: Served, phone: BrowserContext) -> None:
    """The document holds what was typed; the pages show the other units."""
    tab, job = phone.new_page(), served.job_that_is("opened")
    before = served.client.get(f"/jobs/{job}/job.json").json()["facts"]
    tab.goto(f"{served.address}/jobs/{job}/plan")
    assert "cfm" in tab.locator("main").inner_text()
    tab.get_by_role("button", name="Show metric units instead").click()
    expect(tab.locator("main")).to_contain_text("L/s")
    assert tab.url.endswith(f"/jobs/{job}/plan")
    assert served.client.get(f"/jobs/{job}/job.json").json()["facts"] == before
    tab.goto(f"{served.address}/jobs/{job}/facts/unit")
    assert tab.input_value("#cooling_capacity") == "10"
    assert tab.locator("[name='cooling_capacity.unit']").input_value() == "ton"
    tab.get_by_role("button", name="Show US units instead").click()
    expect(tab.get_by_role("button", name="Show metric units instead")).to_be_visible()


@pytest.fixture
def laptop(browser: Browser) -> BrowserContext:
    """A laptop whose mouse is broken, and whose owner wants nothing to move."""
    return browser.new_context(**LAPTOP, reduced_motion="reduce")


FOCUSED = """() => {
  const one = document.activeElement, box = one.getBoundingClientRect(), style = getComputedStyle(one);
  return { what: one.tagName + " " + (one.name || one.textContent.trim().slice(0, 30)), top: box.top + scrollY, left: box.left,
    ring: style.outlineStyle !== "none" && parseFloat(style.outlineWidth) >= 2, seen: box.bottom > 0 && box.top < innerHeight, main: !!one.closest("main") };
}"""


def test_tab_reaches_everything_in_order(served: Served, laptop: BrowserContext) -> None:
    """Down the page, each with a ring round it, none hidden, ending at the last."""
    tab, job = laptop.new_page(), served.job_that_is("opened")
    tab.goto(f"{served.address}/jobs/{job}/facts/air")
    reached = []
    for _ in range(60):
        tab.keyboard.press("Tab")
        one = tab.evaluate(FOCUSED)
        if one["what"].startswith("BODY"):
            break
        reached.append(one)
    assert "Skip to the page" in reached[0]["what"]
    assert [one["what"] for one in reached if not one["ring"] or not one["seen"]] == []
    tops = [one["top"] for one in reached if one["main"]]
    assert tops == sorted(tops)
    named = {one["what"].partition(" ")[2] for one in reached}
    assert {"standard", "cooling", "heating", "source", "Save"} <= named
    laptop.close()


def test_a_job_by_keyboard_alone(served: Served, laptop: BrowserContext) -> None:
    """Focus is on the new page after each step, and on what is wrong where something is."""
    tab = laptop.new_page()
    tab.goto(f"{served.address}/new")
    tab.focus("#capacity")
    tab.keyboard.type("lots")
    tab.keyboard.press("Enter")
    tab.wait_for_selector("#refused")
    assert tab.evaluate("document.activeElement.id") == "refused"
    tab.keyboard.press("Tab")
    tab.keyboard.press("Enter")
    assert tab.evaluate("location.hash") == "#capacity"
    tab.focus("#capacity")
    tab.keyboard.press("Control+A")
    tab.keyboard.type("10")
    tab.keyboard.press("Enter")
    tab.wait_for_url("**/jobs/*")
    assert tab.evaluate("document.activeElement.id") == "main"
    laptop.close()


def test_nothing_moves_for_who_asks_for_that(served: Served, laptop: BrowserContext) -> None:
    """No animation, no transition, no smooth scrolling."""
    tab, job = laptop.new_page(), served.job_that_is("opened")
    tab.goto(f"{served.address}/jobs/{job}?said=saved")
    moving = tab.evaluate(
        "() => [...document.querySelectorAll('*')].filter((one) => { const style = getComputedStyle(one);"
        " return style.animationName !== 'none' || parseFloat(style.transitionDuration) > 0 || style.scrollBehavior === 'smooth'; }).length"
    )
    assert moving == 0
    laptop.close()


def test_the_record_prints(served: Served, browser: Browser) -> None:
    """On paper: the record's own page, dark ink on white whatever the screen prefers, and nothing cut at the side."""
    job = served.job_that_is("done")
    context = browser.new_context(viewport={"width": 794, "height": 1123}, color_scheme="dark")
    tab = context.new_page()
    tab.goto(f"{served.address}/jobs/{job}/record/page")
    tab.emulate_media(media="print")
    assert tab.evaluate("document.documentElement.scrollWidth <= innerWidth")
    ink = tab.evaluate("getComputedStyle(document.body).color")
    assert max(int(one) for one in re.findall(r"\d+", ink)[:3]) < 90
    assert tab.pdf(format="Letter").startswith(b"%PDF")
    context.close()


def test_a_page_prints_without_its_controls(served: Served, browser: Browser) -> None:
    """The plan on paper: what is read stays, what is tapped goes."""
    job = served.job_that_is("opened")
    context = browser.new_context(**PHONE)
    tab = context.new_page()
    tab.goto(f"{served.address}/jobs/{job}/plan")
    tab.emulate_media(media="print")
    assert tab.locator("main h1").is_visible()
    assert not tab.locator("#head").is_visible()
    assert not tab.locator("main .first").first.is_visible()
    context.close()
