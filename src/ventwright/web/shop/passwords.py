"""Passwords: what is taken as one, and its hash by Argon2id.

The hashing is done where long work is done, so that it keeps no page waiting.
"""

from __future__ import annotations

from functools import cache
from typing import TYPE_CHECKING

from ventwright.errors import Refusal, Refused
from ventwright.store.people import as_login

if TYPE_CHECKING:
    from argon2 import PasswordHasher

SHORTEST, LONGEST = 12, 200
"""Letters of a password; our own assumption."""

TIME, MEMORY_KIB, LANES = 2, 19_456, 1
"""Argon2id with 19 MiB, two passes, one lane: the least of the OWASP cheat sheet on password storage (from memory)."""

LACKING = Refusal(
    "the package that hashes passwords is not installed", "the extra `shop`: pip install 'ventwright[shop]'", "--shop"
)  # fmt: skip


@cache
def _hasher() -> PasswordHasher:
    try:
        from argon2 import PasswordHasher
    except ImportError:
        raise Refused(LACKING) from None
    return PasswordHasher(time_cost=TIME, memory_cost=MEMORY_KIB, parallelism=LANES)


def refuse_without_hashing() -> None:
    """Refuse to run a shop where passwords cannot be hashed.

    Raises
    ------
    Refused
        The package for it is not installed.
    """
    _hasher()


def refuse_weak(password: str, *, login: str = "", name: str = "") -> None:
    """Refuse a password that is easily guessed.

    Raises
    ------
    Refused
        What is wrong with it.
    """
    accepted = f"{SHORTEST} letters or more, such as four words that do not belong together"
    low = as_login(password)
    if not SHORTEST <= len(password) <= LONGEST:
        problem = "is too short" if len(password) < SHORTEST else f"is longer than {LONGEST} letters"
        raise Refused(Refusal(problem, accepted, "password"))
    known = [one for one in (as_login(login), as_login(name)) if one]
    if len(set(low)) < 5 or any(low.replace(one, "") == "" or low == one for one in known):
        raise Refused(Refusal("is easily guessed", accepted, "password"))


def hash_of(password: str) -> str:
    """Return the hash of a password, with its salt and its costs."""
    return _hasher().hash(password)


def fits(kept: str, password: str) -> bool:
    """Whether a password is the one that was hashed; anything is hashed where there is nothing, to take as long."""
    from argon2.exceptions import InvalidHashError, VerifyMismatchError

    try:
        _hasher().verify(kept or _of_nobody(), password[: LONGEST + 1])
    except (VerifyMismatchError, InvalidHashError):
        return False
    return bool(kept)


def is_outdated(kept: str) -> bool:
    """Whether a hash was made at other costs than those of now."""
    return _hasher().check_needs_rehash(kept)


@cache
def _of_nobody() -> str:
    return hash_of("nobody signs in with this")
