"""A mistake of ours is said in our own words: no trace reaches the person, and the server still tells it."""

from __future__ import annotations

import asyncio
from pathlib import Path

import httpx
import pytest
from tests.web_client import Client, words

from ventwright.web.desk import Desk

pytestmark = pytest.mark.usefixtures("either_database")


def test_an_unexpected_failure_is_said_in_words(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """The page is ours, with the policy of every page; the exception goes on to whoever logs it."""

    async def broken(_: Desk, job: str) -> None:
        raise RuntimeError(job)

    client = Client(tmp_path)
    monkeypatch.setattr(Desk, "open", broken)

    async def asked() -> httpx.Response:
        transport = httpx.ASGITransport(app=client.app, raise_app_exceptions=False)
        async with httpx.AsyncClient(transport=transport, base_url="http://localhost") as one:
            return await one.get("/jobs/some")

    answer = asyncio.run(asked())
    assert answer.status_code == 500
    assert "Something went wrong here, not with what you entered." in words(answer.text)
    assert "RuntimeError" not in answer.text
    assert "script-src 'self'" in answer.headers["content-security-policy"]
    with pytest.raises(RuntimeError, match="some"):
        client.get("/jobs/some")
