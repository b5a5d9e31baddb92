"""What every request passes first: host, origin, size, headers."""

from __future__ import annotations

import asyncio
import re
from pathlib import Path

import httpx
import pytest
from tests.web_client import Client

pytestmark = pytest.mark.usefixtures("either_database")

PAGES = ("/", "/new", "/yours", "/bring", "/nothing")


@pytest.fixture
def client(tmp_path: Path) -> Client:
    return Client(tmp_path)


def asked(
    client: Client, method: str, path: str, host: str = "localhost", **options: object
) -> httpx.Response:
    async def ask() -> httpx.Response:
        transport = httpx.ASGITransport(app=client.app)
        async with httpx.AsyncClient(transport=transport, base_url=f"http://{host}") as one:
            return await one.request(method, path, **options)  # type: ignore[arg-type]

    return asyncio.run(ask())


@pytest.mark.parametrize("path", PAGES)
def test_every_page_is_held_to_its_own_origin(client: Client, path: str) -> None:
    answer = client.get(path)
    policy = answer.headers["content-security-policy"]
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    assert answer.headers["x-content-type-options"] == "nosniff"


@pytest.mark.parametrize("path", PAGES)
def test_no_page_holds_a_script_or_a_style_of_its_own(client: Client, path: str) -> None:
    text = client.get(path).text
    assert not re.search(r"<script(?![^>]*\bsrc=)", text)
    assert not re.search(r"<style|\sstyle=|\son[a-z]+=", text)


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"origin": "http://elsewhere.example"},
        {"sec-fetch-site": "cross-site"},
        {"sec-fetch-site": "same-site"},
        {"sec-fetch-site": "none"},
        {"origin": "null"},
    ],
)
def test_a_form_from_another_site_is_refused(client: Client, headers: dict[str, str]) -> None:
    answer = asked(client, "POST", "/units", headers=headers, data={"units": "si"})
    assert answer.status_code == 403
    assert "another site's page" in answer.text


def test_a_form_of_our_own_is_taken(client: Client) -> None:
    answer = asked(client, "POST", "/units", headers={"sec-fetch-site": "same-origin"}, data={"units": "si"})
    assert answer.status_code == 303


@pytest.mark.parametrize(
    "host", ["elsewhere.example", "localhost.elsewhere.example", "127.0.0.1.elsewhere.example"]
)
def test_a_name_that_is_not_ours_is_refused(client: Client, host: str) -> None:
    assert asked(client, "GET", "/", host).status_code == 421


@pytest.mark.parametrize("host", ["localhost:8000", "127.0.0.1:8000", "192.0.2.7", "[::1]:8000", "LOCALHOST"])
def test_our_names_and_addresses_in_numbers_are_taken(client: Client, host: str) -> None:
    assert asked(client, "GET", "/", host).status_code == 200


def test_a_body_that_is_too_large_is_refused_before_it_is_read(client: Client) -> None:
    answer = asked(client, "POST", "/bring", headers={"origin": "http://localhost", "content-length": "99000000"}, content=b"x")  # fmt: skip
    assert answer.status_code == 413


def test_static_files_are_kept_for_good_and_change_their_name(client: Client) -> None:
    found = re.search(r'href="(/files/\w+/app\.css)"', client.get("/").text)
    assert found
    answer = client.get(found[1])
    assert "immutable" in answer.headers["cache-control"]
    assert client.get("/files/other/app.css").headers["cache-control"] == "no-cache"
    for name in ("nothing.css", "..%2Fapp.py", "%2e%2e%2fguard.py"):
        assert client.get(f"/files/x/{name}").status_code == 404


def test_pages_are_never_kept_by_a_browser(client: Client) -> None:
    assert client.get("/").headers["cache-control"] == "no-store"


def test_first_page_with_its_files_is_light(client: Client) -> None:
    """Less than 100 kB compressed, scripts and style included: the goal set for a phone on a weak link."""
    import gzip

    from ventwright.web.page import static_files

    sent = client.get("/").content + b"".join(static_files().values())
    assert len(gzip.compress(sent)) < 100_000
