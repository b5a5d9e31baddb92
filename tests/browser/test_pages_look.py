"""Every page, on a phone and on a laptop: no sideways scroll, no complaint of the browser, nothing that keeps anybody out."""

from __future__ import annotations

import re
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext
from tests.browser.crawling import ROUTES, crawl
from tests.browser.looking import Watched, keep_picture
from tests.browser.served import Served

STYLE = Path(__file__).parents[2] / "src" / "ventwright" / "web" / "static" / "app.css"

NOT_OURS_TO_LOOK_AT = {"/jobs/{job}/record/page"}
"""The printed record has a look of its own, tested with the record."""

BESIDE = ("/balance/high/set", "/balance/high/wait", "/balance/high/traverse", "/balance/high/read", "/prove/sensors", "/wire/seen", "/wire/seen/shape", "/disagree")  # fmt: skip
"""Pages that nothing may lead to at one moment, and a person may still have open."""

AFTER_AN_ENTRY = {
    "/jobs/{job}/balance/{speed}/wait", "/jobs/{job}/balance/{speed}/leave", "/jobs/{job}/balance/{speed}/result",
    "/jobs/{job}/balance/{speed}/traverse", "/jobs/{job}/balance/{speed}/read", "/jobs/{job}/leave/tag", "/jobs/{job}/disagree",
    "/jobs/{job}/wire/seen/shape", "/jobs/{job}/wire/seen/{kind}", "/jobs/{job}/wire/seen/pin/{pin:int}",
    "/jobs/{job}/prove/sensors", "/yours/instrument/{id}", "/jobs/{job}/photos/{photo}", "/jobs/{job}/practice",
    "/jobs/{job}/practice/end", "/jobs/{job}/savings/owner", "/jobs/{job}/savings/weather", "/jobs/{job}/savings/high-limit",
    "/jobs/{job}/trends/choose", "/jobs/{job}/trends/columns", "/jobs/{job}/trends/report", "/office/{kind}/{name}/{part}", "/office/{kind}/{name}/{part}/{number:int}",
}  # fmt: skip
"""Pages to which an entry leads, or a step that is not the next one."""


@pytest.mark.parametrize("kind", ["done", "opened", "empty"])
def test_every_page_of_a_job(served: Served, context: BrowserContext, screen: str, kind: str) -> None:
    """All that can be reached of a job in three states."""
    start = f"/jobs/{served.job_that_is(kind)}"
    found = crawl(served.client, start, each=1)
    paths = [
        page.path for route, pages in found.items() if route not in NOT_OURS_TO_LOOK_AT for page in pages
    ]
    more = [start + one for one in BESIDE] if kind == "opened" else []
    watched, amiss = Watched(context), {}
    for path in [*paths, *more]:
        watched.open(served.address + path)
        found_here = watched.amiss(by_rules=screen == "phone")
        if found_here:
            amiss[path.removeprefix(start) or "/"] = found_here
        if kind != "empty":
            keep_picture(watched.tab, f"{kind}-{screen}{_named(path.removeprefix(start))}")
    assert amiss == {}


def _named(path: str) -> str:
    return re.sub(r"[^a-z0-9]+", "-", path.lower()).rstrip("-")


def test_every_page_that_belongs_to_no_job(served: Served, context: BrowserContext, screen: str) -> None:
    """The list, a new job, one's own defaults, what the office keeps, a page that is not there."""
    found_by_route = crawl(served.client, "/", each=1)
    paths = [
        page.path for pages in found_by_route.values() for page in pages if not page.path.startswith("/jobs/")
    ]
    watched, amiss = Watched(context), {}
    for path in [*paths, "/?q=nothing", "/nowhere"]:
        watched.open(served.address + path)
        found = [one for one in watched.amiss() if "404" not in one]
        if found:
            amiss[path] = found
        keep_picture(watched.tab, f"all-{screen}{_named(path)}")
    assert amiss == {}


def test_a_long_state_of_an_adapter_stays_on_the_screen(served: Served, phone: BrowserContext) -> None:
    """An adapter of which nobody said whether it is at hand, and what was saved a moment ago above it."""
    job, watched = served.job_that_is("opened"), Watched(phone)
    watched.open(f"{served.address}/jobs/{job}/wire/parts")
    watched.tab.locator("label.choice", has_text="Heat-pump board with").click()
    watched.tab.locator("main button.first").click()
    watched.tab.wait_for_selector(".undo")
    watched.open(f"{served.address}/jobs/{job}/facts/kit")
    watched.tab.locator("label.choice", has_text="Heat-pump kit").click()
    watched.tab.locator("main button.first").click()
    watched.tab.wait_for_selector(".undo")
    watched.open(f"{served.address}/jobs/{job}/wire")
    assert "nobody said whether it is at hand" in watched.tab.locator("main").inner_text()
    assert watched.tab.evaluate("document.documentElement.scrollWidth") <= 360


def test_refusals_look_as_they_should_too(served: Served, context: BrowserContext) -> None:
    """A form that comes back with its mistakes, and texts that nobody would type so long."""
    job = served.job_that_is("opened")
    watched = Watched(context)
    watched.open(f"{served.address}/jobs/{job}/facts/unit")
    tab = watched.tab
    tab.fill("#tag", "W" * 200)
    tab.fill("#cooling_capacity", "ten or so")
    tab.click("main button.first")
    tab.wait_for_selector("#refused")
    amiss = [one for one in watched.amiss() if "422" not in one]
    tab.fill("#cooling_capacity", "10")
    tab.click("main button.first")
    tab.wait_for_selector(".undo")
    for path in ("", "/plan", "/record"):
        watched.open(f"{served.address}/jobs/{job}{path}")
        amiss += watched.amiss()
    watched.open(served.address)
    assert amiss + watched.amiss() == []


def test_the_crawl_reaches_the_pages_that_there_are(served: Served) -> None:
    """A page that no link leads to in any of three jobs is a page that nobody finds."""
    reached = {
        route for kind in ("done", "opened", "empty") for route in crawl(served.client, f"/jobs/{served.job_that_is(kind)}", each=1)
    }  # fmt: skip
    reached |= set(crawl(served.client, "/", each=1))
    asks = {one.path for one in ROUTES if "GET" in (one.methods or ())}
    not_pages = {
        one
        for one in asks
        if one.endswith((".json", ".pdf", ".jpg", "/uses", "/places", "/phone", "{name}", ".webmanifest"))
    }
    assert asks - reached - not_pages - AFTER_AN_ENTRY == set()


def _luminance(colour: str) -> float:
    """Relative luminance of a colour; WCAG 2.2, definition of relative luminance."""
    digits = colour.lstrip("#")
    digits = "".join(one * 2 for one in digits) if len(digits) == 3 else digits
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (one / 12.92 if one <= 0.04045 else ((one + 0.055) / 1.055) ** 2.4 for one in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast of two colours; WCAG 2.2, definition of contrast ratio."""
    light, dark = sorted((_luminance(one), _luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


def test_contrast_by_the_definition() -> None:
    """Black on white is 21:1, by the definition itself; #767676 on white is the grey that just meets 4.5:1 (WebAIM)."""
    assert contrast("#000", "#fff") == pytest.approx(21)
    assert contrast("#767676", "#ffffff") == pytest.approx(4.54, abs=0.005)


PAIRS = [
    ("ink", "paper"), ("soft", "paper"), ("accent", "paper"), ("on-accent", "accent"), ("good", "paper"), ("bad", "paper"),
    ("doubt", "paper"), ("on-caution", "caution"), ("ink", "fill"), ("paper", "ink"), ("paper", "bad"),
]  # fmt: skip


@pytest.mark.parametrize("pair", PAIRS, ids="-on-".join)
@pytest.mark.parametrize("scheme", [0, 1], ids=["light", "dark"])
def test_text_is_read_in_the_sun(pair: tuple[str, str], scheme: int) -> None:
    """7:1 for every pair of colours in which text is set (WCAG 2.2, criterion 1.4.6)."""
    roots = re.findall(r":root \{(.*?)\}", STYLE.read_text(), re.DOTALL)
    assert len(roots) == 2
    colours = dict(re.findall(r"--([\w-]+): (#\w+)", roots[scheme]))
    ink, paper = (colours[one] for one in pair)
    assert contrast(ink, paper) >= 7.0, f"{pair}: {contrast(ink, paper):.2f}"
