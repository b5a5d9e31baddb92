"""The build of the app for a phone, as far as it goes without its packages: what is refused, and what is handed out."""

from __future__ import annotations

import asyncio
from pathlib import Path

import pytest
from tests.web_client import Client

from ventwright import cli
from ventwright.store.jobs import Jobs
from ventwright.web import make_app
from ventwright.web.on_phone.engine import NOT_KEPT, Engine
from ventwright.web.on_phone.folder import LIST, POLICY, built


def test_without_node_the_build_says_what_is_needed(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("PATH", str(tmp_path))
    assert cli.main(["phone", "build", "--out", str(tmp_path / "phone")]) == cli.REFUSED
    said = capsys.readouterr().err
    assert "is not on this machine; accepted: Node.js with npm, then the same command once more" in said
    assert not (tmp_path / "phone").exists()


def test_a_folder_is_handed_out_under_its_own_policy_and_nothing_above_it(tmp_path: Path) -> None:
    folder = tmp_path / "phone"
    folder.mkdir()
    (tmp_path / "above.json").write_text("{}")
    assert built(folder) is None
    for name in (LIST, "index.html", "shell.mjs"):
        (folder / name).write_text("{}")
    client = Client(tmp_path)
    client.app = make_app(client.jobs, phone=built(folder))
    page = client.get("/phone/")
    assert page.headers["content-security-policy"] == POLICY
    assert "wasm-unsafe-eval" not in client.get("/").headers["content-security-policy"]
    assert client.get("/phone/shell.mjs").headers["content-type"].startswith("text/javascript")
    assert client.get("/phone/..%2Fabove.json").status_code == 404
    assert client.get("/phone/none.mjs").status_code == 404
    assert str(client.get("/phone/jobs/1").url.path) == "/phone/"
    assert "Put it on this phone" in client.get("/share").text


def test_what_could_not_be_kept_is_never_acknowledged(tmp_path: Path) -> None:
    """Without room an entry is refused; the same form once more is refused too, until there is room again."""
    room = True

    async def keep() -> None:
        if not room:
            raise OSError("QuotaExceededError")  # noqa: EM101 - the browser's own words

    async def post(_: str) -> str:
        return '{"status": 0, "text": ""}'

    async def story() -> None:
        nonlocal room
        engine = Engine(str(tmp_path / "jobs.sqlite3"), keep, "/phone/", "http://localhost:8000")
        await engine.start(post)
        kind = '[["content-type", "application/x-www-form-urlencoded"]]'

        async def send() -> tuple[int, bytes]:
            body = b"once=" + b"a" * 32 + b"&capacity=10&capacity.unit=ton&speeds=2&place=Cook%2C+IL"
            status, _, content = await engine.answer("POST", "/phone/new", "", kind, body)
            return status, content

        room = False
        for _ in range(2):
            assert await send() == (507, f"{NOT_KEPT}\n".encode())
        room = True
        assert (await send())[0] == 303
        engine.jobs.close()

    asyncio.run(story())
    assert len(asyncio.run(Jobs(tmp_path / "jobs.sqlite3").jobs())) == 1
