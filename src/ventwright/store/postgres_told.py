"""How a PostgreSQL database is called, reached, and what its failures mean, in one sentence each."""

from __future__ import annotations

from typing import Any

import psycopg
from psycopg.conninfo import conninfo_to_dict

from ventwright.errors import Refusal, Refused
from ventwright.store.database import WAIT


class Unsure(Exception):
    """The connection broke while the commit was under way."""


def named(url: str) -> str:
    """Return how a database is called where it is spoken of, without a password.

    Raises
    ------
    Refused
        The address is none.
    """
    try:
        parts = conninfo_to_dict(url)
    except psycopg.ProgrammingError:
        accepted = "one such as postgresql://user@host/name"
        raise Refused(Refusal("is no address of a database", accepted, "--database")) from None
    return f"{parts.get('dbname') or parts.get('user') or 'the database'} on {parts.get('host') or 'this machine'}"


def options(url: str) -> dict[str, Any]:
    """Return what is said on connecting besides the address."""
    given = conninfo_to_dict(url)
    return {
        key: value
        for key, value in (("connect_timeout", round(WAIT)), ("application_name", "ventwright"))
        if key not in given
    }


def may_pass(failure: Exception) -> bool:
    """Whether what went wrong may be over in a moment: a lost connection, a server that starts, two that met."""
    if not isinstance(failure, psycopg.Error):
        return False
    if failure.sqlstate is None:
        return isinstance(failure, psycopg.OperationalError)
    return failure.sqlstate[:2] == "08" or failure.sqlstate in PASSING


def told(failure: psycopg.Error | Unsure, name: str) -> Exception:
    """Say in one sentence what the server says in its own words; what is no fault of the server's stays as it is."""
    if isinstance(failure, Unsure):
        return Refused(_unsure(name))
    known = _SENTENCES.get(failure.sqlstate or "")
    if known is None and may_pass(failure):
        words = str(failure).splitlines() or [""]
        reason = (
            words[0].rpartition("FATAL:")[2].rpartition("failed: ")[2].strip() or "an error of the network"
        )
        known = f"cannot be reached ({reason})", _ONCE_MORE
    return Refused(Refusal(*known, name)) if known else failure


PASSING = frozenset({"25P03", "40001", "40P01", "53300", "57P01", "57P02", "57P03"})
"""Idle too long, serialization failure, deadlock, too many connections, three kinds of a server that stops or starts."""

_ONCE_MORE = "the same once more in a moment; what was acknowledged before is kept"
_WRITTEN = ("is being written by someone else", "the same once more in a moment")
_ROOM = "some room on the server, then the same once more; what was acknowledged before is kept"
_SENTENCES = {  # PostgreSQL's error codes, https://www.postgresql.org/docs/15/errcodes-appendix.html
    "25006": ("cannot be written (it may only be read)", "a server that may be written"),
    "3D000": ("is not there", "a database that was made"),
    "3F000": ("has no schema for the tables", "an empty database"),
    "40001": _WRITTEN,
    "40P01": _WRITTEN,
    "42501": ("does not let this user in, or not so far", "a user who may make tables there"),
    "53100": ("cannot be written (no space left)", _ROOM),
    "53200": ("cannot be written (the server's memory is full)", _ROOM),
    "55P03": _WRITTEN,
    "57014": ("gave up on what took too long", "the same once more in a moment"),
    "XX001": ("is damaged", "a copy of it from before"),
    "XX002": ("is damaged", "a copy of it from before"),
}


def _unsure(name: str) -> Refusal:
    accepted = "a look whether it is there, and the same once more where it is not"
    return Refusal("broke off while this was being saved, so that it may be kept or not", accepted, name)
