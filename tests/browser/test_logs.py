"""Logs of a year on both screens: handed in, judged, shown; each page of it as every other page has to be."""

from __future__ import annotations

from pathlib import Path

from playwright.sync_api import BrowserContext, expect
from tests.browser.looking import Watched, keep_picture
from tests.browser.served import Served
from tests.logged_unit import write

BUSY = 90_000
"""For judging a log on a machine that is busy with other tests. [ms]"""


def test_a_stuck_damper_from_the_file_to_the_next_measurement(
    served: Served, context: BrowserContext, screen: str, tmp_path: Path
) -> None:
    """No page scrolls sideways or keeps anybody out; the first finding leads on to troubleshooting."""
    watched, address = Watched(context), f"{served.address}/jobs/{served.job_that_is('done')}/trends"
    tab, amiss = watched.tab, {}
    watched.open(f"{address}/choose")
    amiss["choose"] = watched.amiss()
    tab.set_input_files("#logs", write(tmp_path / "unit.csv", stuck=True))
    tab.get_by_role("button", name="Look at them").click()
    expect(tab.get_by_role("link", name="Read and print it")).to_be_visible(timeout=BUSY)
    for page in ("", "/columns", "/report"):
        watched.open(address + page)
        found = watched.amiss()
        # the report is a sheet to print, with a look of its own
        amiss[page] = found if page != "/report" else [one for one in found if "scroll" in one]
        keep_picture(tab, f"logs-{screen}{page.replace('/', '-')}")
    assert {page: found for page, found in amiss.items() if found} == {}
    watched.open(address)
    tab.get_by_role("link", name="Measure next").or_(
        tab.get_by_role("link", name="Troubleshoot")
    ).first.click()
    expect(tab.locator("main form, main .first").first).to_be_visible()
