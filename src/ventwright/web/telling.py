"""Another program told that a job is finished: its id, its revision and a link, signed, and told again until it was heard.

Nothing of the job itself is sent. The signature is HMAC with SHA-256 of the time, a full stop and the body, by a secret that
both sides know; who takes the message looks at the time, too, so that an old one is worth nothing.
"""

from __future__ import annotations

import asyncio
import hmac
import json
import ssl
from contextlib import suppress
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from hashlib import sha256
from ipaddress import ip_address
from urllib.parse import urlsplit

from ventwright.errors import Refusal, Refused
from ventwright.store.statements import Statements, as_text
from ventwright.store.tokens import hashed
from ventwright.version import VERSION
from ventwright.web.desk import Desk
from ventwright.web.handing_out import finished_job

EVERY = 30.0
"""Seconds between two looks for finished jobs; our own assumption."""

PATIENCE = 10.0
"""Seconds that the other program has to answer."""

FIRST_PAUSE, LONGEST_PAUSE = timedelta(minutes=1), timedelta(hours=6)
"""Until it is tried again: twice as long each time."""

SIGNATURE = "ventwright-signature"


@dataclass(frozen=True, slots=True)
class Recipient:
    """Whom to tell, with the secret, and where links to jobs begin. ``near`` lets it be on a network of one's own."""

    address: str
    secret: str
    links: str
    near: bool = False

    def refuse_unfit(self) -> None:
        """Refuse an address that is none, or a secret that is easily guessed.

        Raises
        ------
        Refused
            What is wrong with it.
        """
        parts = urlsplit(self.address)
        schemes = {"https", "http"} if self.near else {"https"}
        if parts.scheme not in schemes or not parts.hostname or parts.username or parts.fragment:
            accepted = "an address with https, or with --tell-near also one with http"
            raise Refused(Refusal("is no address that can be told", accepted, "--tell", self.address))
        if len(self.secret) < 32:
            accepted = "32 letters or more that nobody can guess, the same on both sides"
            raise Refused(Refusal("is too short", accepted, "VENTWRIGHT_TELL_SECRET"))


def signature(secret: str, at: int, body: bytes) -> str:
    """Return the signature of a body that is sent at a time, in seconds since 1970."""
    signed = hmac.new(secret.encode(), f"{at}.".encode() + body, sha256).hexdigest()
    return f"t={at},v1={signed}"


async def keep_telling(told: Recipient, desk: Desk, *, every: float = EVERY) -> None:
    """Look for finished jobs again and again, and tell of each once."""
    while True:
        with suppress(Refused):  # a database that is away for a moment
            await tell(told, desk, datetime.now(UTC))
        await asyncio.sleep(every)


async def tell(told: Recipient, desk: Desk, now: datetime) -> list[str]:
    """Tell of the finished jobs that have not been told as they are now, and return those that were heard."""
    statements = desk.jobs.statements()
    heard = []
    for row in await desk.jobs.jobs():
        known = await statements.row("select revision, tries, next from told where job = ?", row.id)
        if known and (known[0] == row.revision and (not known[1] or known[2] > as_text(now))):
            continue
        if await finished_job(desk, row) is None:
            continue
        body = json.dumps({"event": "finished", "job": row.id, "revision": row.revision, "link": f"{told.links}/jobs/{row.id}"}).encode()  # fmt: skip
        was_heard = await _sent(told, body, now)
        tries = 0 if was_heard else 1 + (known[1] if known and known[0] == row.revision else 0)
        await _note(statements, row.id, row.revision, tries, now)
        if was_heard:
            heard.append(row.id)
    return heard


async def _note(statements: Statements, job: str, revision: int, tries: int, now: datetime) -> None:
    pause = min(FIRST_PAUSE * 2 ** min(max(tries - 1, 0), 20), LONGEST_PAUSE)
    await statements.write(
        "insert into told (job, revision, tries, next) values (?, ?, ?, ?) on conflict (job) do update"
        " set revision = excluded.revision, tries = excluded.tries, next = excluded.next returning job",
        job,
        revision,
        tries,
        as_text(now + pause),
    )


async def _sent(told: Recipient, body: bytes, now: datetime) -> bool:
    """Whether the other program took a message."""
    try:
        async with asyncio.timeout(PATIENCE):
            return await _status(told, body, now) // 100 == 2
    except (OSError, TimeoutError, ValueError, ssl.SSLError):
        return False


async def _status(told: Recipient, body: bytes, now: datetime) -> int:
    """Send a message and return the status; the address that was looked at is the one that is asked."""
    parts = urlsplit(told.address)
    host, port = parts.hostname or "", parts.port or (443 if parts.scheme == "https" else 80)
    address = await _address_of(host, port, near=told.near)
    safe = ssl.create_default_context() if parts.scheme == "https" else None
    reader, writer = await asyncio.open_connection(
        address, port, ssl=safe, server_hostname=host if safe else None
    )
    try:
        target = (parts.path or "/") + (f"?{parts.query}" if parts.query else "")
        at = int(now.timestamp())
        head = (
            f"POST {target} HTTP/1.1\r\nHost: {parts.netloc}\r\nContent-Type: application/json\r\n"
            f"Content-Length: {len(body)}\r\nUser-Agent: ventwright/{VERSION}\r\nConnection: close\r\n"
            f"Idempotency-Key: {hashed(body.decode())[:32]}\r\n"
            f"{SIGNATURE}: {signature(told.secret, at, body)}\r\n\r\n"
        )
        writer.write(head.encode() + body)
        await writer.drain()
        version, status, *_ = (await reader.readline()).split(maxsplit=2)
        return int(status) if version.startswith(b"HTTP/1.") else 0
    finally:
        writer.close()


async def _address_of(host: str, port: int, *, near: bool) -> str:
    """Return the address in numbers of a name; one that is not on the open network is nobody's, unless that is wanted.

    Raises
    ------
    OSError
        It has no such address.
    """
    found = await asyncio.get_running_loop().getaddrinfo(host, port, proto=6)
    for *_, place in found:
        address = ip_address(str(place[0]).partition("%")[0])
        if near or address.is_global:
            return str(address)
    raise OSError(host)
