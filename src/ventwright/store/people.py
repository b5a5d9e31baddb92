"""The people of a shop: their names, roles and the hashes of their passwords. Nobody is deleted: an account ends."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from typing import Literal, cast

from ventwright.errors import Refusal, Refused
from ventwright.store.change import new_id
from ventwright.store.statements import Row, Run, Statements, as_text

Role = Literal["technician", "reviewer"]
ROLES: tuple[Role, ...] = ("technician", "reviewer")

LONGEST_NAME = 80

_PERSON = "select id, login, name, role, password, made, ended from person"


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody with an account."""

    id: str
    login: str
    name: str
    role: Role
    password: str
    made: datetime
    ended: bool

    @property
    def reviews(self) -> bool:
        """Whether this is a reviewer, who sees all jobs."""
        return self.role == "reviewer"


class People:
    """The accounts of one store."""

    def __init__(self, statements: Statements, clock: Callable[[], datetime]) -> None:
        self._statements, self._clock = statements, clock

    async def any(self) -> bool:
        """Whether there is any account that has not ended."""
        return await self._statements.row("select id from person where ended is null limit 1") is not None

    async def all(self) -> tuple[Person, ...]:
        """Return everybody, those first whose account has not ended, by name."""
        found = map(_person, await self._statements.rows(_PERSON))
        return tuple(sorted(found, key=lambda one: (one.ended, one.name.casefold(), one.id)))

    async def person(self, id_: str) -> Person | None:
        """Return somebody by id, None where there is nobody."""
        found = await self._statements.row(f"{_PERSON} where id = ?", id_)
        return _person(found) if found else None

    async def called(self, login: str) -> Person | None:
        """Return whoever signs in by a name, None where nobody does or the account has ended."""
        found = await self._statements.row(f"{_PERSON} where login = ? and ended is null", as_login(login))
        return _person(found) if found else None

    async def add(self, run: Run, login: str, name: str, role: Role, password: str) -> Person:
        """Add somebody, inside a transaction.

        Parameters
        ----------
        run
            Runs a statement in the transaction.
        password
            The hash of it.

        Raises
        ------
        Refused
            Somebody has that name for signing in already.
        """
        made = self._clock()
        person = Person(new_id(), as_login(login), name.strip(), role, password, made, ended=False)
        added = await run(
            "insert into person (id, login, name, role, password, made) values (?, ?, ?, ?, ?, ?)"
            " on conflict do nothing returning id",
            person.id,
            person.login,
            person.name,
            role,
            password,
            as_text(made),
        )
        if added is None:
            raise Refused(Refusal("is taken", "another name for signing in", "login", login.strip()))
        return person

    async def set_password(self, run: Run, person: str, password: str) -> None:
        """Set the hash of somebody's password, inside a transaction."""
        await run("update person set password = ? where id = ?", password, person)

    async def set_role(self, person: str, role: Role) -> None:
        """Make somebody a technician or a reviewer.

        Raises
        ------
        Refused
            Nobody would be left to review.
        """
        async with self._statements.writing() as run:
            await run("update person set role = ? where id = ?", role, person)
            await _refuse_without_reviewer(run)

    async def end(self, person: str) -> None:
        """End an account, with everything that lets that person in.

        Raises
        ------
        Refused
            Nobody would be left to review.
        """
        now = as_text(self._clock())
        async with self._statements.writing() as run:
            await run("update person set ended = ? where id = ? and ended is null", now, person)
            await run("update token set ended = ? where person = ? and ended is null", now, person)
            await _refuse_without_reviewer(run)

    async def begin_again(self, person: str) -> None:
        """Let an account that has ended begin again; what let that person in stays ended."""
        await self._statements.write("update person set ended = null where id = ?", person)


def as_login(typed: str) -> str:
    """Return the name somebody signs in by as it is kept: letters of either size are one."""
    return unicodedata.normalize("NFKC", typed).strip().casefold()


def refuse_name(login: str, name: str) -> None:
    """Refuse names that are none.

    Raises
    ------
    Refused
        With every mistake.
    """
    wrong = []
    kept = as_login(login)
    if not 0 < len(kept) <= LONGEST_NAME or any(one.isspace() or not one.isprintable() for one in kept):
        accepted = "a name without spaces, such as j.rivera or an address for mail"
        wrong.append(Refusal("is no name for signing in", accepted, "login", login.strip()))
    if not 0 < len(name.strip()) <= LONGEST_NAME or not name.strip().isprintable():
        accepted = f"a name as it stands in the record, of at most {LONGEST_NAME} letters"
        wrong.append(Refusal("is no name", accepted, "name", name.strip()))
    if wrong:
        raise Refused(*wrong)


async def _refuse_without_reviewer(run: Run) -> None:
    if await run("select id from person where role = 'reviewer' and ended is null limit 1") is None:
        raise Refused(Refusal("nobody would be left to manage accounts", "another reviewer first"))


def _person(row: Row) -> Person:
    id_, login, name, role, password, made, ended = row
    return Person(
        id_, login, name, cast("Role", role), password, datetime.fromisoformat(made), ended is not None
    )
