"""A shop without a server: people who are signed in, devices, owners' links."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Iterable
from datetime import UTC, datetime, timedelta
from importlib.resources import files
from pathlib import Path
from typing import Any

import httpx
from tests.either import close_later, kept_at
from tests.web_client import read_as_spaces

from ventwright.store.exchange import read_copy
from ventwright.store.jobs import Jobs
from ventwright.store.people import Role
from ventwright.store.shop import Shop
from ventwright.web import make_app
from ventwright.web.shop.passwords import hash_of

PASSWORD = "window kettle marble forty"  # noqa: S105 - in no use but here
"""Of everybody in the tests."""

HASH = hash_of(PASSWORD)

ORIGIN = {"origin": "http://localhost"}


class Clock:
    """Tells a time that a test moves on."""

    def __init__(self) -> None:
        self.now = datetime(2026, 11, 30, 8, 0, tzinfo=UTC)

    def __call__(self) -> datetime:
        """Tell the time."""
        return self.now

    def on(self, **time: float) -> None:
        """Move on."""
        self.now += timedelta(**time)


class Browser:
    """Somebody's browser: it keeps cookies, and follows where it is sent."""

    def __init__(
        self, house: House, *, headers: dict[str, str] | None = None, base: str = "http://localhost"
    ) -> None:
        self._house, self._base = house, base
        self.headers = headers if headers is not None else ORIGIN
        self.cookies = httpx.Cookies()

    def ask(self, method: str, path: str, *, follow: bool = True, **options: Any) -> httpx.Response:
        """Ask for something."""

        async def asked() -> httpx.Response:
            headers = {**self.headers, **options.pop("headers", {})}
            async with self._client(follow=follow) as client:
                answer = read_as_spaces(await client.request(method, path, headers=headers, **options))
                self.cookies = client.cookies
                return answer

        return asyncio.run(asked())

    def ask_all(self, asked: Iterable[tuple[str, str]]) -> list[httpx.Response]:
        """Ask for one thing after the other, and follow nowhere."""

        async def asking() -> list[httpx.Response]:
            async with self._client(follow=False) as client:
                return [await client.request(*one, headers=self.headers) for one in asked]

        return asyncio.run(asking())

    def _client(self, *, follow: bool) -> httpx.AsyncClient:
        transport = httpx.ASGITransport(app=self._house.app, client=(self._house.address, 5000))
        return httpx.AsyncClient(
            transport=transport, base_url=self._base, follow_redirects=follow, cookies=self.cookies
        )

    def get(self, path: str, **options: Any) -> httpx.Response:
        """Ask for a page."""
        return self.ask("GET", path, **options)

    def post(self, path: str, data: Any = None, **options: Any) -> httpx.Response:
        """Send a form."""
        return self.ask("POST", path, data=data, **options)


class House:
    """A shop in a folder."""

    def __init__(self, folder: Path) -> None:
        self.clock = Clock()
        self.address = "192.0.2.10"
        self.jobs = Jobs(kept_at(folder / "jobs.sqlite3"))
        close_later(self.jobs)
        self.shop = Shop(self.jobs, clock=self.clock)
        self.app = make_app(self.jobs, shop=self.shop)

    def person(self, login: str, role: Role = "technician") -> str:
        """Add somebody and return the id."""

        async def added() -> str:
            async with self.shop.statements.writing() as run:
                return (await self.shop.people.add(run, login, login.title(), role, HASH)).id

        return asyncio.run(added())

    def browser(self, login: str = "") -> Browser:
        """Return a browser, signed in where somebody is named."""
        browser = Browser(self)
        if login:
            answer = browser.post("/sign-in", {"login": login, "password": PASSWORD})
            assert answer.status_code == 200, answer.text
        return browser

    def device(self, person: str, label: str = "phone") -> tuple[str, Browser]:
        """Return the id of a new device of somebody, and what it asks by."""
        token, secret = asyncio.run(self.shop.tokens.give("device", person, made_by=person, label=label))
        return token.id, Browser(self, headers={"authorization": f"Bearer {secret}"})

    def owner(self, job: str, **lasts: float) -> str:
        """Return the address of an owner's link to a job."""
        given = self.shop.tokens.give("owner", f"job {job}", made_by="", label="owner", about={"job": job}, lasts=timedelta(**(lasts or {"days": 30})))  # fmt: skip
        _, secret = asyncio.run(given)
        return f"/owner/{secret}"

    def job(self, of: str | None, tag: str, site: str = "Larkspur Row") -> str:
        """Put a job in that nobody has signed, and return its id."""
        text = files("ventwright.cli").joinpath("demo_job", "larkspur-row-r-2.yaml").read_text()
        document = read_copy(text, "demo") | {"id": f"{tag[0]}-{'0' * 20}"}
        document["facts"]["unit"]["tag"] = tag
        document["facts"]["site"]["name"] = site
        document["record"].pop("signatures", None)
        document.pop("invented", None)
        job = asyncio.run(self.jobs.create(document, device="test"))
        if of is not None:
            asyncio.run(self.shop.holdings.give(job, of, made_by=of))
        return job

    def trail(self) -> list[tuple[str, str, str]]:
        """Return who did what to which job, the first first."""
        done = asyncio.run(self.shop.trail.done(most=1000))
        return [(one.name, one.what, one.job) for one in reversed(done)]


def link_in(page: str, kind: str) -> str:
    """Return the path of a link that a page shows once."""
    found = re.search(rf"http://localhost(/{kind}/[\w-]+)", page)
    assert found, page
    return found[1]
