"""All routes, all roles: another person's job, link, photo, sync or backup is never served.

Twice: the gate alone, with every page in its place that answers at once, so that who may is told too; and the whole app,
with every page as it is, for whoever may not: nothing of the job in the answer, nothing changed.
"""

from __future__ import annotations

import asyncio
import re
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import pytest
from starlette.applications import Starlette
from starlette.requests import Request
from starlette.responses import PlainTextResponse, Response
from starlette.routing import Route
from tests.either import Places
from tests.shells.shop_people import Browser, House

from ventwright.store.photos import Picture
from ventwright.web.app import routes
from ventwright.web.desk import Desk
from ventwright.web.guard import Guard
from ventwright.web.shop.application import made_a_shop, shop_routes
from ventwright.web.shop.who_may import TABLE, May, who_may
from ventwright.web.work import Here

pytestmark = pytest.mark.usefixtures("either_database")

ROUTES = [one for one in (*shop_routes(), *routes()) if isinstance(one, Route)]
ASKED = [(method, one.path) for one in ROUTES for method in sorted(one.methods or ()) if method != "HEAD"]

TAG, SITE = "QUILL-7731", "Quillgate Yard"
"""Of the job that is another's: in no answer to whoever may not see it."""

PICTURE = Picture(b"\xff\xd8quillgate picture\xff\xd9", b"\xff\xd8quillgate small\xff\xd9", 4, 3)

FILLED = {
    "edition": "0", "name": "record.json", "name:path": "none.mjs", "id": "probe", "section": "unit", "step": "inspection.instruments", "line": "c1",
    "measurement": "outdoor.probe", "kind": "three-temperatures", "part": "parts", "number": "signal", "number:int": "1", "pin:int": "1", "speed": "high",
    "entry": "t1", "power": "off", "size": "full", "list": "spaces", "photo": PICTURE.name,
}  # fmt: skip


class Setting:
    """A shop with two technicians, each with a job and a device, a reviewer, and owners' links."""

    def __init__(self, folder: Path) -> None:
        self.house = House(folder)
        self.reviewer = self.house.person("rosa", "reviewer")
        self.tim, self.uma = self.house.person("tim"), self.house.person("uma")
        self.tims = self.house.job(self.tim, "R-1")
        self.umas = self.house.job(self.uma, TAG, SITE)
        asyncio.run(self.house.jobs.photos.keep(self.umas, PICTURE))
        self.links = {"right": self.house.owner(self.umas), "other": self.house.owner(self.tims), "past": self.house.owner(self.umas, hours=1)}  # fmt: skip
        self.invitation = asyncio.run(self.house.shop.tokens.give("invitation", made_by="", about={"role": "technician"}))[1]  # fmt: skip

    def path(self, path: str, *, link: str) -> str:
        """Return an address of a route, of the second technician's job."""
        filled = FILLED | {"job": self.umas, "secret": link.rpartition("/")[2], "person": self.uma}
        if path.startswith("/invitation"):
            filled["secret"] = self.invitation
        return re.sub(r"{([^}]+)}", lambda part: filled[part[1]], path)


@dataclass(frozen=True)
class Role:
    """Somebody who asks, and by which owner's link where an address holds one."""

    name: str
    browser: Browser
    link: str = "past"


def roles(setting: Setting) -> Iterator[Role]:
    """Yield everybody, from nobody to the reviewer."""
    house = setting.house
    yield Role("nobody", house.browser())
    yield Role("technician, own job", house.browser("uma"))
    yield Role("technician, another's job", house.browser("tim"))
    yield Role("reviewer", house.browser("rosa"))
    yield Role("owner, right job", house.browser(), "right")
    yield Role("owner, another job", house.browser(), "other")
    yield Role("owner, past the end", house.browser(), "past")
    yield Role("device, own job", house.device(setting.uma)[1])
    yield Role("device, another's job", house.device(setting.tim)[1])
    token, browser = house.device(setting.uma)
    asyncio.run(house.shop.tokens.end(token, "device", setting.uma))
    yield Role("device, revoked", browser)
    yield Role("session, signed out", signed_out(house, "uma"))
    vera = house.person("vera", "reviewer")
    ended = house.browser("vera")
    asyncio.run(house.shop.people.end(vera))
    yield Role("reviewer, account ended", ended)


def signed_out(house: House, login: str) -> Browser:
    """Return a browser that still sends the cookie of a session that was ended."""
    browser = house.browser(login)
    kept = dict(browser.cookies)
    browser.post("/sign-out")
    for name, value in kept.items():
        browser.cookies.set(name, value)
    return browser


def may(role: str, path: str, method: str) -> bool:
    """Say who may, from what a route is about and not from the table that decides."""
    signed_in = role in {"technician, own job", "technician, another's job", "reviewer"}
    device = role in {"device, own job", "device, another's job"}
    has_job = role in {"technician, own job", "reviewer", "device, own job"}
    changes = method != "GET"
    if path.startswith(
        ("/files/", "/manifest", "/phone", "/openapi.json", "/sign-in", "/invitation/", "/owner/")
    ):
        return True  # nothing of a job without a link, at which the page itself looks
    if path == "/sync":
        return device
    if path.startswith("/api/"):
        return (signed_in or device) and ("{job}" not in path or has_job)
    if device or not signed_in:
        return False
    for_reviewers = path.startswith(("/people", "/trail")) or path.endswith("/looked")
    if for_reviewers or (changes and (path.startswith("/office/") or path == "/jobs/{job}/people")):
        return role == "reviewer"
    return has_job if "{job}" in path else True


def test_the_table_has_every_route_and_no_other() -> None:
    assert {path for _, path in ASKED} == set(TABLE)


def test_a_route_that_the_table_does_not_have_is_refused(tmp_path: Path) -> None:
    setting = Setting(tmp_path)
    gate = stand_in(setting, [Route("/forgotten", through), Route("/jobs/{job}/forgotten", through)])
    setting.house.app = gate
    for browser in (one.browser for one in roles(setting)):
        assert browser.get("/forgotten").status_code == 403
        assert browser.get(f"/jobs/{setting.umas}/forgotten").status_code == 403


async def through(_: Request) -> Response:
    """Answer at once."""
    return PlainTextResponse("through")


def stand_in(setting: Setting, more: list[Route]) -> Guard:
    """Return the gate before pages that answer at once, except those by which one signs in and out."""
    real = {"/sign-in", "/sign-out"}
    places = [one if one.path in real else Route(one.path, through, methods=sorted(one.methods or ())) for one in ROUTES]  # fmt: skip
    application = Starlette(routes=[*more, *places])
    desk = Desk(setting.house.jobs, Here(), "test")
    application.state.desk, application.state.peer, application.state.phone = desk, None, None
    made_a_shop(application, setting.house.shop, desk)
    return Guard(application, tokens=True)


def test_all_routes_for_all_roles(tmp_path: Path) -> None:
    """Whoever may comes through, and nobody else."""
    setting = Setting(tmp_path)
    everybody = list(roles(setting))
    setting.house.app = stand_in(setting, [])
    wrong = []
    for role in everybody:
        places = [(method, path) for method, path in ASKED if path not in {"/sign-in", "/sign-out"}]
        asked = [(method, setting.path(path, link=setting.links[role.link])) for method, path in places]
        for (method, path), answer in zip(places, role.browser.ask_all(asked), strict=True):
            came = answer.text == "through"
            if came is not may(role.name, path, method):
                wrong.append((role.name, method, path, answer.status_code))
            if not came:
                assert answer.status_code in {401, 403, 404}, (role.name, method, path)
    assert wrong == []


def state(house: House) -> list[object]:
    """Return everything that somebody who may not must not change."""

    async def asked() -> list[object]:
        tables = ("change", "job", "photo", "own_file", "setting", "holding", "looked", "person")
        rows = [await house.shop.statements.rows(f"select * from {one} order by 1, 2") for one in tables]  # noqa: S608 - names of our own
        tokens = await house.shop.statements.rows("select id, kind, ended from token order by id")
        return [*rows, tokens]

    return asyncio.run(asked())


@pytest.fixture(scope="module")
def closed(
    either_database: Places, tmp_path_factory: pytest.TempPathFactory
) -> tuple[Setting, dict[str, Role]]:
    """A shop in which nothing is changed by whoever asks next."""
    assert either_database is not None
    setting = Setting(tmp_path_factory.mktemp("shop"))
    everybody = {one.name: one for one in roles(setting)}
    setting.house.clock.on(hours=2)  # past the end of the third link
    return setting, everybody


@pytest.mark.parametrize("role", ["nobody", "technician, another's job", "owner, right job", "owner, another job", "owner, past the end", "device, another's job", "device, revoked", "session, signed out", "reviewer, account ended"])  # fmt: skip
def test_whoever_may_not_gets_nothing_and_changes_nothing(
    closed: tuple[Setting, dict[str, Role]], role: str
) -> None:
    """Every page as it is: neither the unit's tag, nor the site, nor the picture is in any answer."""
    setting, asks = closed[0], closed[1][role]
    before = state(setting.house)
    places = [
        (method, path) for method, path in ASKED if path.startswith("/owner/") or not may(role, path, method)
    ]
    asked = [(method, setting.path(path, link=setting.links[asks.link])) for method, path in places]
    for (method, path), answer in zip(places, asks.browser.ask_all(asked), strict=True):
        if path.startswith("/owner/") and role == "owner, right job":
            assert answer.status_code == 200
            continue
        where = (method, path, answer.status_code)
        assert answer.status_code in {401, 403, 404} or path == "/owner/{secret}", where
        for mark in (TAG.encode(), SITE.encode(), PICTURE.content, PICTURE.small):
            assert mark not in answer.content, where
    assert state(setting.house) == before


def test_lists_hold_only_what_one_sees(tmp_path: Path) -> None:
    setting = Setting(tmp_path)
    tim, uma, rosa = (setting.house.browser(one) for one in ("tim", "uma", "rosa"))
    for path in ("/", "/?archive=yes", "/fleet", "/sites", "/api/jobs", f"/?q={TAG}", "/share"):
        assert TAG not in tim.get(path).text.replace(f'value="{TAG}"', "").replace(f"q={TAG}", ""), path
    for path in ("/", "/fleet", "/sites", "/api/jobs"):
        assert TAG in uma.get(path).text, path
        assert TAG in rosa.get(path).text, path
    assert tim.get("/site", params={"name": SITE}).status_code == 404


def test_who_may_is_decided_in_the_table() -> None:
    assert who_may("/jobs/{job}/people", "GET") is May.ON_JOB
    assert who_may("/jobs/{job}/people", "POST") is May.REVIEWER
    assert who_may("/none", "GET") is None
