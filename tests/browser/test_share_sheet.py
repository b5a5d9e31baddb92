"""The record as a file: to the phone's own share sheet where there is one, into the downloads where there is none."""

from __future__ import annotations

import pytest
from playwright.sync_api import BrowserContext, Page
from tests.browser.looking import Watched
from tests.browser.served import Served

SHEET = """
globalThis.shared = [];
navigator.canShare = ({ files }) => files ? %s : true;
navigator.share = async ({ files }) => { shared.push(...files.map((one) => [one.name, one.type, one.size])); if (%s) throw new DOMException("closed", "AbortError"); };
"""
"""A share sheet, which a browser without a screen has none of: whether it takes files, whether the person closes it."""

LINK = "Record for the owner, PDF"


def files_page(served: Served, watched: Watched) -> Page:
    """Open the page with the files of a job, and wait until they are made."""
    watched.open(f"{served.address}/jobs/{served.with_demo()}/record/files")
    watched.tab.get_by_role("link", name=LINK).wait_for(timeout=90_000)
    return watched.tab


@pytest.mark.parametrize("closed", ["false", "true"])
def test_a_phone_shares_the_file(served: Served, phone: BrowserContext, closed: str) -> None:
    """Once, whole, under its name; closing the sheet is no failure."""
    phone.add_init_script(SHEET % ("true", closed))
    watched = Watched(phone)
    tab = files_page(served, watched)
    before = tab.url
    tab.get_by_role("link", name=LINK).click()
    tab.wait_for_function("() => shared.length > 0")
    ((name, kind, size),) = tab.evaluate("shared")
    assert (name, kind) == ("record.pdf", "application/pdf")
    assert size > 10_000
    assert tab.url == before
    assert watched.complaints == []


def test_a_sheet_that_takes_no_files_leaves_the_download(served: Served, phone: BrowserContext) -> None:
    """And so does a browser without any."""
    phone.add_init_script(SHEET % ("false", "false"))
    tab = files_page(served, Watched(phone))
    with tab.expect_download() as coming:
        tab.get_by_role("link", name=LINK).click()
    assert coming.value.suggested_filename == "record.pdf"
    assert tab.evaluate("shared") == []
