"""A year of weather on a phone: chosen, refused, mended, stopped, and reckoned to its end."""

from __future__ import annotations

import re
import time
from pathlib import Path

import pytest
from playwright.sync_api import BrowserContext, Page, expect
from tests.browser.served import Served
from tests.conftest import OUTSIDE_DATA

EPW = OUTSIDE_DATA / "weather" / "USA_CA_San.Francisco.Intl.AP.724940_TMY3.epw"

WHOLE_YEAR = 240_000
"""On a machine that is busy with other tests. [ms]"""

BUSY = 60_000
"""For one page on such a machine. [ms]"""

pytestmark = pytest.mark.outside_data


def choose(tab: Page, address: str, path: Path) -> None:
    """Hand over a file, as a person does."""
    tab.goto(f"{address}/weather")
    tab.set_input_files("#file", path)
    tab.get_by_role("button", name="Reckon with it").tap()


def test_a_real_year_from_the_choice_of_a_file_to_the_figure(
    served: Served, phone: BrowserContext, tmp_path: Path
) -> None:
    """A wrong file is refused in one sentence; a damaged header is mended, and said; no page scrolls sideways."""
    tab, address = phone.new_page(), f"{served.address}/jobs/{served.job_that_is('done')}/savings"
    wrong = tmp_path / "wrong.epw"
    wrong.write_text("LOCATION, a place\n", encoding="utf-8")
    choose(tab, address, wrong)
    expect(tab.locator("#refused")).to_contain_text(
        "wrong.epw: has a LOCATION line of 2 parts", timeout=60_000
    )
    lines = EPW.read_text(encoding="latin-1").splitlines()
    damaged = tmp_path / "damaged.epw"
    kept = [one for one in lines if not one.startswith("DATA PERIODS")]
    damaged.write_text("\n".join(kept), encoding="latin-1")
    choose(tab, address, damaged)
    expect(tab.locator("main")).to_contain_text("San Francisco Intl Ap", timeout=WHOLE_YEAR)
    tab.get_by_text("What the range comes from").tap()
    expect(tab.locator("main")).to_contain_text("its DATA PERIODS line is missing")
    for page in ("", "/high-limit", "/owner"):
        tab.goto(address + page)
        assert tab.evaluate("document.documentElement.scrollWidth") == 360


def test_stopping_is_answered_at_once(served: Served, phone: BrowserContext) -> None:
    """The page behind it comes while a year is half reckoned, and looking again begins anew."""
    tab, address = phone.new_page(), f"{served.address}/jobs/{served.job_that_is('done')}/savings"
    choose(tab, address, EPW)
    expect(tab.locator("h1")).to_have_text("Reckoning a year", timeout=BUSY)
    begun = time.monotonic()
    answer = served.client.post(f"{address}/stop", follow_redirects=False)
    assert time.monotonic() - begun < 2.0  # half a second on a machine that does nothing else
    assert answer.status_code == 303
    tab.get_by_role("button", name="Stop").tap()
    expect(tab).to_have_url(re.compile("/record$"), timeout=BUSY)
