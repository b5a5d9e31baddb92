"""The server of a shop: how it is reached safely, the first account, headers of every page, finished jobs in a folder."""

from __future__ import annotations

import asyncio
import json
import re
import signal
import socket
import ssl
import subprocess
import sys
import time
from collections.abc import Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from pathlib import Path

import httpx
import pytest
from tests.shells.shop_people import PASSWORD, Browser, House
from tests.shells.test_shop_who_may import ASKED, Setting

from ventwright import cli
from ventwright.store.change import Change, new_id
from ventwright.web.desk import Desk
from ventwright.web.handing_out import hand_out, keep_handing_out
from ventwright.web.work import Here

HEADERS = {
    "x-content-type-options": "nosniff",
    "referrer-policy": "same-origin",
    "cross-origin-opener-policy": "same-origin",
    "cross-origin-resource-policy": "same-origin",
}


@pytest.mark.parametrize("login", ["", "rosa"])
def test_every_answer_is_held_to_its_own_origin_and_kept_by_nobody(tmp_path: Path, login: str) -> None:
    """Scripts, styles and frames of ours alone; no cache between keeps what is somebody's."""
    setting = Setting(tmp_path)
    browser = Browser(setting.house, headers={"origin": "https://localhost"}, base="https://localhost")
    if login:
        browser.post("/sign-in", {"login": login, "password": PASSWORD})
    for method, path in ASKED:
        if method != "GET" or path.endswith(("/find", "/savings", "/report", "record/{name}", "/owner")):
            continue  # answered by the same code as the others, after seconds of work
        answer = browser.get(setting.path(path, link=setting.links["right"]), follow=False)
        for name, value in HEADERS.items():
            assert answer.headers[name] == value, path
        policy = answer.headers["content-security-policy"]
        assert "default-src 'none'" in policy, path
        assert "frame-ancestors 'none'" in policy, path
        assert "max-age" in answer.headers["strict-transport-security"]
        assert "server" not in answer.headers
        kept = answer.headers.get("cache-control", "")
        if path not in {"/files/{edition}/{name}", "/manifest.webmanifest", "/phone", "/openapi.json", "/places", "/phone/{name:path}"}:  # fmt: skip
            assert "no-store" in kept or "private" in kept or answer.status_code == 303 or "json" in answer.headers.get("content-type", ""), path  # fmt: skip
        if answer.headers.get("content-type", "").startswith("text/html"):
            assert not re.search(r"<script(?![^>]*\bsrc=)|\son[a-z]+=", answer.text), path


@pytest.mark.parametrize(
    ("options", "sentence"),
    [
        (["--host", "192.0.2.1"], "would send passwords through the network in the clear; accepted: --cert and --key, or --behind-proxy with the proxy's address, or this machine alone."),
        (["--cert", "none.pem"], "--cert: comes without the other; accepted: --cert and --key together."),
        (["--cert", "none.pem", "--key", "none.key"], "cannot be used (no such file or directory); accepted: a certificate with its chain and the key that belongs to it"),
        (["--database", "postgresql://shop@/jobs"], "--database: names a second store; accepted: either --data or --database."),
        (["--tell", "http://program.example/in"], '--tell: "http://program.example/in" is no address that can be told; accepted: an address with https, or with --tell-near also one with http.'),
        (["--tell", "https://program.example/in"], "VENTWRIGHT_TELL_SECRET: is too short; accepted: 32 letters or more that nobody can guess, the same on both sides."),
        (["--behind-proxy", "proxy.example"], "is no address; accepted: an address or a network in numbers, such as 127.0.0.1 or 10.0.0.0/8."),
    ],
)  # fmt: skip
def test_what_is_not_safe_is_refused(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], options: list[str], sentence: str
) -> None:
    assert cli.main(["serve", "--shop", "--data", str(tmp_path), *options]) == cli.REFUSED
    assert sentence in capsys.readouterr().err
    assert not (tmp_path / "jobs.sqlite3").exists()


@contextmanager
def served(folder: Path, *options: str) -> Iterator[tuple[int, str]]:
    """Run a server, and yield its port and what it printed until it answered."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    said = folder / "said.txt"
    with said.open("w") as out:
        command = [
            sys.executable,
            "-m",
            "ventwright",
            "serve",
            "--port",
            str(port),
            "--data",
            str(folder),
            *options,
        ]
        server = subprocess.Popen(command, stdout=out, stderr=subprocess.STDOUT)
    try:
        for _ in range(600):
            with socket.socket() as asked:
                if asked.connect_ex(("127.0.0.1", port)) == 0 and "Ventwright answers" in said.read_text():
                    break
            assert server.poll() is None, said.read_text()
            time.sleep(0.1)
        yield port, said.read_text()
    finally:
        server.send_signal(signal.SIGINT)
        server.wait(30)


def test_the_first_account_is_made_by_a_link_that_is_printed_once(tmp_path: Path) -> None:
    """Over https with a certificate of one's own: the cookie says so, and a second start prints no link."""
    cert = own_certificate(tmp_path)
    trusted = ssl.create_default_context(cafile=str(cert[1]))
    options = ("--shop", "--cert", cert[1], "--key", cert[3], "--name", "localhost")
    with served(tmp_path, *options) as (port, said):
        link = re.search(rf"https://localhost:{port}(/invitation/[\w-]+)", said.replace("\n", ""))
        assert link, said
        base = f"https://localhost:{port}"
        with httpx.Client(base_url=base, verify=trusted, headers={"origin": base}, timeout=60) as browser:
            given = {"name": "Rosa", "login": "rosa", "password": PASSWORD, "again": PASSWORD}
            made = browser.post(link[1], data=given)
            assert made.status_code == 303
            assert "__Host-ventwright" in made.headers["set-cookie"]
            assert "Secure" in made.headers["set-cookie"]
            assert browser.get("/people").status_code == 200
    with served(tmp_path, *options) as (_, said):
        assert "/invitation/" not in said


def test_only_a_proxy_that_is_named_is_believed(tmp_path: Path) -> None:
    """Behind one, https and the address of whoever asks are what it says; said by anybody else they count for nothing."""
    claims = {"x-forwarded-proto": "https", "x-forwarded-for": "203.0.113.9", "host": "shop.example"}
    for proxy, believed in (("127.0.0.1", True), ("192.0.2.1", False)):
        folder = tmp_path / proxy
        folder.mkdir()
        with served(folder, "--shop", "--behind-proxy", proxy, "--name", "shop.example") as (port, said):
            assert "https://shop.example/invitation/" in said.replace("\n", "")
            link = re.search(r"shop\.example(/invitation/[\w-]+)", said.replace("\n", ""))
            assert link
            given = {"name": "Rosa", "login": "rosa", "password": PASSWORD, "again": PASSWORD}
            made = httpx.post(f"http://127.0.0.1:{port}{link[1]}", data=given, headers={**claims, "sec-fetch-site": "same-origin"}, timeout=60)  # fmt: skip
            assert made.status_code == 303
            assert ("Secure" in made.headers["set-cookie"]) is believed
            cookie = made.headers["set-cookie"].partition(";")[0]
            trail = httpx.get(
                f"http://127.0.0.1:{port}/trail", headers={**claims, "cookie": cookie}, timeout=60
            ).text
            assert ("203.0.113.9" in trail) is believed


def own_certificate(folder: Path) -> list[str]:
    """Make a certificate for this machine, and return the options that name it."""
    cert, key = folder / "shop.pem", folder / "shop.key"
    subprocess.run(
        ["openssl", "req", "-x509", "-newkey", "rsa:2048", "-nodes", "-days", "2", "-subj", "/CN=localhost", "-addext", "subjectAltName=DNS:localhost", "-keyout", key, "-out", cert],
        check=True, capture_output=True,
    )  # fmt: skip
    return ["--cert", str(cert), "--key", str(key)]


def signed(job: str, number: int) -> Change:
    at = datetime(2026, 11, 30, 9, tzinfo=UTC)
    value = {"name": "Tim", "role": "technician", "on": "2026-11-30"}
    return Change(new_id(), job, number, at, "d", "", "append", "record.signatures", value)


def test_finished_jobs_are_written_into_a_folder(tmp_path: Path) -> None:
    house = House(tmp_path)
    job, _ = house.job(None, "R-1"), house.job(None, "S-1")
    desk, folder = Desk(house.jobs, Here(), "test"), tmp_path / "out"
    assert asyncio.run(hand_out(desk, folder)) == []
    asyncio.run(house.jobs.add([signed(job, 900)]))
    [written] = asyncio.run(hand_out(desk, folder))
    assert written.name == f"larkspur-row-r-1--{job}"
    assert sorted(one.name for one in written.iterdir()) == ["job.json", "record.pdf", "revision"]
    assert json.loads((written / "job.json").read_text())["id"] == job
    assert (written / "record.pdf").read_bytes().startswith(b"%PDF")
    assert asyncio.run(hand_out(desk, folder)) == []
    renamed = Change(new_id(), job, 901, datetime.now(UTC), "d", "", "put", "facts.unit.tag", "R-1a")
    asyncio.run(house.jobs.add([renamed]))
    assert asyncio.run(hand_out(desk, folder)) == [written]
    assert json.loads((written / "job.json").read_text())["facts"]["unit"]["tag"] == "R-1a"


def test_a_folder_that_cannot_be_written_stops_nothing(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    house = House(tmp_path)
    job = house.job(None, "R-1")
    asyncio.run(house.jobs.add([signed(job, 900)]))
    blocked = tmp_path / "out"
    blocked.write_text("no folder")

    async def a_while() -> str:
        going = asyncio.create_task(keep_handing_out(blocked, Desk(house.jobs, Here(), "test"), every=0.01))
        await asyncio.sleep(5)
        assert not going.done()
        going.cancel()
        return capsys.readouterr().err

    assert f"Nothing was handed out to {blocked}" in asyncio.run(a_while())
