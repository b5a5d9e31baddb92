"""Another program told of finished jobs: signed, nothing of the job in it, tried again, and no way into one's own network."""

from __future__ import annotations

import asyncio
import hmac
import json
from collections.abc import AsyncIterator
from contextlib import asynccontextmanager
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from pathlib import Path

import pytest
from tests.shells.shop_people import House
from tests.shells.test_shop_server import signed

from ventwright.store.change import Change, new_id
from ventwright.web.desk import Desk
from ventwright.web.telling import LONGEST_PAUSE, SIGNATURE, Recipient, signature, tell
from ventwright.web.work import Here

SECRET = "a secret of thirty-two letters, or more"  # noqa: S105 - in no use but here

NOW = datetime(2026, 11, 30, 9, tzinfo=UTC)


class Hears:
    """A program that takes messages, and answers with a status."""

    def __init__(self) -> None:
        self.status = 200
        self.heard: list[tuple[dict[str, str], bytes]] = []
        self.port = 0

    async def answer(self, reader: asyncio.StreamReader, writer: asyncio.StreamWriter) -> None:
        """Take a message, and answer it."""
        head = (await reader.readuntil(b"\r\n\r\n")).decode().split("\r\n")
        headers = {name.lower(): value for name, _, value in (one.partition(": ") for one in head[1:])}
        self.heard.append((headers, await reader.readexactly(int(headers["content-length"]))))
        writer.write(
            f"HTTP/1.1 {self.status} Said\r\nlocation: http://127.0.0.1:{self.port}/other\r\n\r\n".encode()
        )
        await writer.drain()
        writer.close()


@asynccontextmanager
async def hearing() -> AsyncIterator[Hears]:
    hears = Hears()
    server = await asyncio.start_server(hears.answer, "127.0.0.1", 0)
    hears.port = server.sockets[0].getsockname()[1]
    async with server:
        yield hears


@pytest.fixture
def house(tmp_path: Path) -> House:
    return House(tmp_path)


def told(port: int, *, near: bool = True) -> Recipient:
    return Recipient(f"http://127.0.0.1:{port}/in?from=shop", SECRET, "https://shop.example", near)


def test_a_finished_job_is_told_once_for_each_time_that_it_changes(house: House) -> None:
    job = house.job(None, "R-1")
    house.job(None, "S-1")
    desk = Desk(house.jobs, Here(), "test")

    async def story() -> list[tuple[dict[str, str], bytes]]:
        async with hearing() as hears:
            assert await tell(told(hears.port), desk, NOW) == []
            await house.jobs.add([signed(job, 900)])
            assert await tell(told(hears.port), desk, NOW) == [job]
            assert await tell(told(hears.port), desk, NOW + timedelta(days=1)) == []
            await house.jobs.add(
                [Change(new_id(), job, 901, NOW, "d", "", "put", "facts.unit.serves", "hall")]
            )
            assert await tell(told(hears.port), desk, NOW) == [job]
            return hears.heard

    heard = asyncio.run(story())
    headers, body = heard[0]
    at, _, mark = headers[SIGNATURE].partition(",v1=")
    expected = hmac.new(SECRET.encode(), f"{at.removeprefix('t=')}.".encode() + body, sha256).hexdigest()
    assert mark == expected
    assert at == f"t={int(NOW.timestamp())}"
    assert json.loads(body) == {
        "event": "finished", "job": job, "revision": json.loads(body)["revision"], "link": f"https://shop.example/jobs/{job}",
    }  # fmt: skip
    assert b"Larkspur" not in body
    assert len({one[0]["idempotency-key"] for one in heard}) == 2


def test_a_message_that_was_not_taken_is_sent_again_after_longer_and_longer(house: House) -> None:
    job = house.job(None, "R-1")
    asyncio.run(house.jobs.add([signed(job, 900)]))
    desk = Desk(house.jobs, Here(), "test")

    async def story() -> list[int]:
        async with hearing() as hears:
            hears.status = 503
            minutes, now = [], NOW
            for minute in range(32):
                now = NOW + timedelta(minutes=minute)
                before = len(hears.heard)
                assert await tell(told(hears.port), desk, now) == []
                if len(hears.heard) > before:
                    minutes.append(minute)
            hears.status = 302  # nobody is followed to another place
            assert await tell(told(hears.port), desk, now + LONGEST_PAUSE) == []
            hears.status = 204
            assert await tell(told(hears.port), desk, now + 2 * LONGEST_PAUSE) == [job]
            return minutes

    assert asyncio.run(story()) == [0, 1, 3, 7, 15, 31]


def test_nobody_on_ones_own_network_is_told_unless_that_is_wanted(house: House) -> None:
    job = house.job(None, "R-1")
    asyncio.run(house.jobs.add([signed(job, 900)]))
    desk = Desk(house.jobs, Here(), "test")

    async def story() -> list[tuple[dict[str, str], bytes]]:
        async with hearing() as hears:
            for host in ("127.0.0.1", "localhost", "[::1]", "[::ffff:127.0.0.1]"):
                far = Recipient(f"http://{host}:{hears.port}/in", SECRET, "https://shop.example")
                await house.shop.statements.write("delete from told")
                assert await tell(far, desk, NOW) == []
            return hears.heard

    assert asyncio.run(story()) == []


def test_a_program_that_is_away_stops_nothing(house: House) -> None:
    job = house.job(None, "R-1")
    asyncio.run(house.jobs.add([signed(job, 900)]))
    assert asyncio.run(tell(told(9), Desk(house.jobs, Here(), "test"), NOW)) == []


def test_the_signature_is_the_one_that_is_described() -> None:
    """RFC 4231, test case 2, by the same function: key "Jefe", text "what do ya want for nothing?"."""
    published = "5bdcc146bf60754e6a042426089575c75a003f089d2739839dec58b964ec3843"
    assert hmac.new(b"Jefe", b"what do ya want for nothing?", sha256).hexdigest() == published
    assert signature("Jefe", 7, b"x") == f"t=7,v1={hmac.new(b'Jefe', b'7.x', sha256).hexdigest()}"
