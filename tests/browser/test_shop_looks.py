"""A shop in a browser: from the printed link to an owner who reads, and every page of it looked at on both screens."""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from playwright.sync_api import BrowserContext
from tests.browser.conftest import FOUND
from tests.browser.looking import Watched, keep_picture
from tests.browser.served import Served

PASSWORD = "window kettle marble forty"  # noqa: S105 - in no use but here


@pytest.fixture(scope="module")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """A shop's server, with a reviewer and a job."""
    if FOUND is None:
        pytest.skip("needs chromium")
    one = Served(tmp_path_factory.mktemp("shop"), "--shop")
    one.start()
    link = re.search(r"(/invitation/[\w-]+)", one.said().replace("\n", ""))
    assert link
    given = {"name": "Rosa Marsh", "login": "rosa", "password": PASSWORD, "again": PASSWORD}
    assert one.client.post(link[1], data=given).status_code == 200
    yield one
    one.stop()
    assert "Traceback" not in one.said(), one.said()


def looked_at(watched: Watched, place: str, screen: str) -> dict[str, list[str]]:
    """Look at the page that is open."""
    keep_picture(watched.tab, f"shop-{screen}-{place}")
    found = [one for one in watched.amiss() if "401" not in one and "422" not in one]
    return {place: found} if found else {}


def test_every_page_of_a_shop(served: Served, context: BrowserContext, screen: str) -> None:
    """Signed in by hand; nothing sideways, nothing too small, nothing that keeps anybody out."""
    job = served.with_demo()
    watched, amiss = Watched(context), dict[str, list[str]]()
    tab = watched.tab
    watched.open(f"{served.address}/fleet?by=site")
    amiss |= looked_at(watched, "sign-in", screen)
    for password in ("not this one", PASSWORD):
        tab.fill("#login", "rosa")
        tab.fill("#password", password)
        tab.click("main button.first")
        tab.wait_for_selector("#refused" if password != PASSWORD else "nav.orders")
        amiss |= looked_at(watched, "refused" if password != PASSWORD else "fleet", screen)
    tab.goto(f"{served.address}/people")
    tab.fill("#label", "Vic")
    tab.click("main button.first")
    invitation = tab.inner_text(".secret")
    amiss |= looked_at(watched, "people", screen)
    tab.goto(f"{served.address}/jobs/{job}/people")
    tab.fill("#label", "Owner of the building")
    tab.click("text=Make a link")
    link = tab.inner_text(".secret")
    amiss |= looked_at(watched, "job-people", screen)
    tab.goto(f"{served.address}/account")
    tab.fill("#label", "office program")
    tab.click("text=Make a token for a program")
    tab.wait_for_selector(".secret")
    amiss |= looked_at(watched, "account", screen)
    person = re.search(r'href="(/people/\w{32})"', served.client.get("/people").text)
    assert person
    for place, path in (("person", person[1]), ("trail", "/trail"), ("jobs", "/"), ("job", f"/jobs/{job}")):
        watched.open(served.address + path)
        amiss |= looked_at(watched, place, screen)
    tab.goto(f"{served.address}/account")
    tab.click("text=Sign out")
    tab.wait_for_selector("#password")
    for place, address in (("invitation", invitation), ("owner", link), ("owner-job", f"{link}/{job}")):
        watched.open(address)
        amiss |= looked_at(watched, place, screen)
    watched.open(f"{served.address}/jobs/{job}")
    assert tab.inner_text("h1") == "Sign in"
    assert amiss == {}


def test_what_was_typed_when_the_session_had_ended_is_not_lost(
    served: Served, context: BrowserContext
) -> None:
    """The form comes back filled in after signing in again."""
    job = served.with_demo()
    tab = context.new_page()
    tab.goto(f"{served.address}/jobs/{job}/facts/unit")
    for _ in range(2):
        tab.fill("#login", "rosa")
        tab.fill("#password", PASSWORD)
        tab.click("main button.first")
        tab.wait_for_selector("#serves")
        if tab.input_value("#serves") == "the great hall":
            return
        tab.fill("#serves", "the great hall")
        context.clear_cookies()
        tab.click("main button.first")
        tab.wait_for_selector("#password")
        assert tab.evaluate("Object.values(localStorage).join()").count("the great hall") == 1
        assert PASSWORD not in tab.evaluate("Object.values(localStorage).join()")
        tab.goto(f"{served.address}/jobs/{job}/facts/unit")
    raise AssertionError(tab.input_value("#serves"))
