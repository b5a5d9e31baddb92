"""The tables of a shop together: people, what lets them in, whose jobs are whose, who did what."""

from __future__ import annotations

from collections.abc import Callable
from datetime import UTC, datetime

from ventwright.errors import Refusal, Refused
from ventwright.store.holdings import Holdings
from ventwright.store.jobs import Jobs
from ventwright.store.people import People, Person, Role
from ventwright.store.tokens import Tokens
from ventwright.store.trail import Trail, Tries


def _now() -> datetime:
    return datetime.now(UTC)


class Shop:
    """What a store knows of people, beside the jobs."""

    def __init__(self, jobs: Jobs, *, clock: Callable[[], datetime] = _now) -> None:
        """Take the tables of a store.

        Parameters
        ----------
        jobs
            The store; it stays whoever opened it's to close.
        clock
            Tells the time.
        """
        self.jobs = jobs
        self.clock = clock
        self.statements = jobs.statements()
        self.people = People(self.statements, clock)
        self.tokens = Tokens(self.statements, clock)
        self.holdings = Holdings(self.statements, clock)
        self.trail = Trail(self.statements, clock)
        self.tries = Tries(self.statements, clock)

    async def join(self, secret: str, login: str, name: str, role: Role, password: str) -> Person:
        """Add somebody who was invited; an invitation is good for one.

        Parameters
        ----------
        secret
            That of the invitation.
        password
            The hash of it.

        Raises
        ------
        Refused
            The invitation is not good any more, or the name for signing in is taken.
        """
        async with self.statements.writing() as run:
            if not await self.tokens.use_up(run, secret):
                raise _used()
            return await self.people.add(run, login, name, role, password)

    async def renew(self, secret: str, person: str, password: str) -> None:
        """Set the password of somebody who got a link for that, and end every session and device of before.

        Raises
        ------
        Refused
            The link is not good any more.
        """
        async with self.statements.writing() as run:
            if not await self.tokens.use_up(run, secret):
                raise _used()
            await self.people.set_password(run, person, password)
            await self.tokens.end_all(run, "session", person)
            await self.tokens.end_all(run, "device", person)

    async def change_password(self, person: str, password: str, *, but: str) -> None:
        """Set somebody's password, and end every session but one."""
        async with self.statements.writing() as run:
            await self.people.set_password(run, person, password)
            await self.tokens.end_all(run, "session", person, but=but)


def _used() -> Refused:
    return Refused(
        Refusal("is not good any more: used, withdrawn or past its end", "a new link from a reviewer", "link")
    )
