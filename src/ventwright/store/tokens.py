"""What lets somebody in without a password: sessions, devices, invitations, owners' links.

A secret is random and leaves this program once; only its hash is kept. Each has an end, and can be ended before.
"""

from __future__ import annotations

import json
import secrets
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from datetime import datetime, timedelta
from hashlib import sha256
from typing import Any, Literal, cast

from ventwright.store.change import new_id
from ventwright.store.statements import Row, Run, Statements, as_text

Kind = Literal["session", "device", "invitation", "owner"]

LASTS: Mapping[Kind, timedelta] = {
    "session": timedelta(days=30),
    "device": timedelta(days=365),
    "invitation": timedelta(days=7),
    "owner": timedelta(days=90),
}
"""How long each is good unless something else is said; our own assumption."""

IDLE = timedelta(days=10)
"""A session that was not used for so long has ended; our own assumption."""

NOTED = timedelta(minutes=5)
"""When it was used last is written down no oftener than this."""

_TOKEN = "select id, kind, person, about, label, made, made_by, ends, used, ended from token"  # noqa: S105 - no secret


@dataclass(frozen=True, slots=True)
class Token:
    """Something that lets somebody in. ``about`` says what it is good for besides its person."""

    id: str
    kind: Kind
    person: str
    about: Mapping[str, Any]
    label: str
    made: datetime
    made_by: str
    ends: datetime
    used: datetime | None
    ended: bool


class Tokens:
    """The tokens of one store."""

    def __init__(self, statements: Statements, clock: Callable[[], datetime]) -> None:
        self._statements, self._clock = statements, clock

    async def give(
        self,
        kind: Kind,
        person: str = "",
        *,
        made_by: str,
        label: str = "",
        about: Mapping[str, Any] | None = None,
        lasts: timedelta | None = None,
    ) -> tuple[Token, str]:
        """Make a token and return it with its secret, which is not kept."""
        now, secret = self._clock(), secrets.token_urlsafe(32)
        token = Token(
            new_id(), kind, person, dict(about or {}), label[:200], now, made_by, now + (lasts or LASTS[kind]), None, ended=False
        )  # fmt: skip
        await self._statements.write(
            "insert into token (id, hash, kind, person, about, label, made, made_by, ends)"
            " values (?, ?, ?, ?, ?, ?, ?, ?, ?)",
            token.id,
            hashed(secret),
            kind,
            person,
            json.dumps(token.about),
            token.label,
            as_text(now),
            made_by,
            as_text(token.ends),
        )
        return token, secret

    async def find(self, kind: Kind, secret: str) -> Token | None:
        """Return what a secret stands for, None where it is none, has ended or is past its end."""
        found = await self._statements.row(
            f"{_TOKEN} where hash = ? and kind = ? and ended is null and ends > ?",
            hashed(secret),
            kind,
            as_text(self._clock()),
        )
        if found is None:
            return None
        token = _token(found)
        if kind == "session" and (token.used or token.made) + IDLE < self._clock():
            return None
        return token

    async def was(self, secret: str) -> bool:
        """Whether a secret is, or was, one at all."""
        found = await self._statements.row("select id from token where hash = ?", hashed(secret))
        return found is not None

    async def note_use(self, token: Token) -> None:
        """Note that a token was used just now."""
        now = self._clock()
        if token.used is None or token.used + NOTED < now:
            await self._statements.write("update token set used = ? where id = ?", as_text(now), token.id)

    async def of(self, kind: Kind, person: str) -> tuple[Token, ...]:
        """Return what lets somebody in, the newest first; what is past its end is left out."""
        found = await self._statements.rows(
            f"{_TOKEN} where kind = ? and person = ? and ended is null and ends > ? order by made desc, id",
            kind,
            person,
            as_text(self._clock()),
        )
        return tuple(map(_token, found))

    async def end(self, id_: str, kind: Kind, person: str) -> Token | None:
        """End one of somebody's tokens and return it, None where there was none that had not ended."""
        found = await self._statements.write(
            "update token set ended = ? where id = ? and kind = ? and person = ? and ended is null"
            " returning id, kind, person, about, label, made, made_by, ends, used, ended",
            as_text(self._clock()),
            id_,
            kind,
            person,
        )
        return _token(found) if found else None

    async def use_up(self, run: Run, secret: str) -> bool:
        """End an invitation that is used, inside a transaction; whether it was still good."""
        now = as_text(self._clock())
        found = await run(
            "update token set ended = ?, used = ? where hash = ? and kind = 'invitation' and ended is null"
            " and ends > ? returning id",
            now,
            now,
            hashed(secret),
            now,
        )
        return found is not None

    async def end_all(self, run: Run, kind: Kind, person: str, *, but: str = "") -> None:
        """End everything of a kind that lets somebody in, but one, inside a transaction."""
        await run(
            "update token set ended = ? where kind = ? and person = ? and id <> ? and ended is null",
            as_text(self._clock()),
            kind,
            person,
            but,
        )


def hashed(secret: str) -> str:
    """Return the hash by which a secret is kept; it is random and long, so that one round is enough."""
    return sha256(secret.encode("utf-8", "surrogatepass")).hexdigest()


def _token(row: Row) -> Token:
    id_, kind, person, about, label, made, made_by, ends, used, ended = row
    return Token(
        id_,
        cast("Kind", kind),
        person,
        json.loads(about),
        label,
        datetime.fromisoformat(made),
        made_by,
        datetime.fromisoformat(ends),
        datetime.fromisoformat(used) if used else None,
        ended is not None,
    )
