"""A person at the pages: taps what can be read on them and types what is asked, and counts both."""

from __future__ import annotations

import re

from playwright.sync_api import Locator, Page

PLACED = "(old) => !old.isConnected && !document.documentElement.hasAttribute('aria-busy')"

OPEN_FIELDS = "main form:not([method=get]) :is(input:not([type=hidden], [type=file], [type=radio], [type=checkbox]), textarea)"
"""Fields into which something can be typed; those behind a fold are not asked."""


class Person:
    """Counts fields that were filled in and taps that were made."""

    def __init__(self, tab: Page, address: str) -> None:
        self.tab, self.address = tab, address
        self.fields = self.taps = 0

    def open(self, path: str = "/") -> None:
        """Open the app, or a deep link into it."""
        self.tab.goto(self.address + path)

    def types(self, label: str, text: str) -> None:
        """Type into the field of a label."""
        self._labelled(label).fill(text)
        self.fields += 1

    def picks(self, label: str, answer: str) -> None:
        """Pick from a list that opens."""
        self._labelled(label).select_option(answer)
        self.fields += 1
        self.taps += 2

    def _labelled(self, label: str) -> Locator:
        return self.tab.locator("main").get_by_label(re.compile(f"^{re.escape(label)}")).first

    def chooses(self, label: str) -> None:
        """Tap one of several answers."""
        self.tab.locator("main label.choice", has_text=label).first.click()
        self.fields += 1
        self.taps += 1

    def taps_on(self, name: str) -> None:
        """Tap a button or a link by its words, and wait for the page that follows."""
        main = self.tab.locator("main")
        self._tapped(main.get_by_role("button", name=name).or_(main.get_by_role("link", name=name)).first)

    def taps_to(self, path: str) -> None:
        """Tap the link that leads to an address, whatever else is called the same."""
        self._tapped(self.tab.locator(f"main a[href='{path}']"))

    def taps_first(self) -> None:
        """Tap the first action of the page."""
        self._tapped(self.tab.locator("main .first").first)

    def _tapped(self, one: Locator) -> None:
        before = self.tab.locator("main").element_handle()
        one.click()
        self.taps += 1
        self.tab.wait_for_function(PLACED, arg=before)

    def draws_in(self, selector: str) -> None:
        """Draw a line by finger."""
        canvas = self.tab.locator(selector)
        canvas.scroll_into_view_if_needed()
        box = canvas.bounding_box()
        assert box is not None
        mouse = self.tab.mouse
        mouse.move(box["x"] + 30, box["y"] + 80)
        mouse.down()
        mouse.move(box["x"] + 120, box["y"] + 40, steps=5)
        mouse.move(box["x"] + 220, box["y"] + 90, steps=5)
        mouse.up()

    @property
    def asked(self) -> int:
        """How many things the page asks without a fold being opened."""
        shown = [one for one in self.tab.locator(OPEN_FIELDS).all() if one.is_visible()]
        groups = [one for one in self.tab.locator("main form fieldset").all() if one.is_visible()]
        lists = [
            one for one in self.tab.locator("main form select:not([name$='.unit'])").all() if one.is_visible()
        ]
        return len(shown) + len(groups) + len(lists)

    @property
    def needed(self) -> int:
        """How many of them keep the form from being sent."""
        return self.tab.locator("main form [required]").count()

    @property
    def heading(self) -> str:
        """The page's first heading."""
        return self.tab.locator("main h1").inner_text()

    @property
    def words(self) -> str:
        """What the page says."""
        return self.tab.locator("main").inner_text().replace("\u00a0", " ")

    @property
    def path(self) -> str:
        """Where the person is."""
        return re.sub(r"\?.*", "", self.tab.url.removeprefix(self.address))

    @property
    def job(self) -> str:
        """Address of the job in which the person is."""
        return "/".join(self.path.split("/")[:3])
