"""The app without a server or a browser: a client that asks it as its own pages would."""

from __future__ import annotations

import asyncio
import re
from collections.abc import Mapping, Sequence
from html import unescape
from importlib.resources import files
from pathlib import Path
from typing import Any

import httpx
from tests.either import close_later, kept_at

from ventwright.store.exchange import read_copy
from ventwright.store.jobs import Jobs
from ventwright.web import make_app

DEMO = "demo-larkspur-row-r-2"


class Client:
    """Asks the app; every answer is a whole response, redirects followed."""

    def __init__(self, folder: Path) -> None:
        self.jobs = Jobs(kept_at(folder / "jobs.sqlite3"))
        close_later(self.jobs)
        self.app = make_app(self.jobs)

    def get(self, path: str, **options: Any) -> httpx.Response:
        """Ask for a page."""
        return self._ask("GET", path, **options)

    def post(self, path: str, data: Mapping[str, Any] | None = None, **options: Any) -> httpx.Response:
        """Send a form."""
        return self._ask("POST", path, data=data, **options)

    def _ask(self, method: str, path: str, **options: Any) -> httpx.Response:
        async def asked() -> httpx.Response:
            transport = httpx.ASGITransport(app=self.app)
            headers = {"origin": "http://localhost", **options.pop("headers", {})}
            async with httpx.AsyncClient(
                transport=transport, base_url="http://localhost", follow_redirects=True
            ) as client:
                return read_as_spaces(await client.request(method, path, headers=headers, **options))

        return asyncio.run(asked())

    def get_all(self, paths: Sequence[str]) -> list[httpx.Response]:
        """Ask for pages one after the other, while long work goes on between them."""

        async def asked() -> list[httpx.Response]:
            transport = httpx.ASGITransport(app=self.app)
            async with httpx.AsyncClient(transport=transport, base_url="http://localhost") as client:
                pages = []
                for path in paths:
                    pages.append(read_as_spaces(await client.get(path)))
                    await asyncio.sleep(0.01)
                return pages

        return asyncio.run(asked())

    def document(self, job: str) -> dict[str, Any]:
        """Return the document of a job as it is kept."""
        return asyncio.run(self.jobs.document(job))

    def with_demo(self) -> str:
        """Put the invented demo job in and return its id."""
        text = files("ventwright.cli").joinpath("demo_job", "larkspur-row-r-2.yaml").read_text()
        return asyncio.run(self.jobs.create(read_copy(text, "demo"), device="test"))

    def new(self, **given: str) -> str:
        """Open a job with some of the four first facts and return its id."""
        answer = self.post("/new", {"once": "a" * 32, **given})
        assert answer.status_code == 200, answer.text
        return answer.url.path.split("/")[2]

    def set(self, name: str, value: Any) -> None:
        """Set what is asked once for every job."""
        asyncio.run(self.jobs.set_setting(name, value))


def read_as_spaces(answer: httpx.Response) -> httpx.Response:
    """Return a page with a plain space for each hard one, as whoever reads or searches it takes them."""
    if answer.headers.get("content-type", "").startswith("text/html"):
        answer._content = answer.content.replace("\u00a0".encode(), b" ")
    return answer


def words(page: str) -> str:
    """Return the words of a page's main part, as a person reads them."""
    main = page[page.index("<main") : page.index("</main>")]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", main)).split())


def mark_of(page: str, number: int = 1) -> str:
    """Return the mark of the item that a form of a page shows, counted from the first on the page."""
    found: list[str] = re.findall(r'name="mark" value="([\w.]+)"', page)
    assert len(found) >= number
    return found[number - 1]


def once(page: str) -> str:
    """Return the id that a page's form was given."""
    found = re.search(r'name="once" value="(\w+)"', page)
    assert found
    return found[1]
