"""What the pages of a shop need: its tables, its limits, and the desk that sees everything."""

from __future__ import annotations

from dataclasses import dataclass

from starlette.requests import Request

from ventwright.store.people import Person
from ventwright.store.seeing import Seeing
from ventwright.store.seen import SeenJobs
from ventwright.store.shop import Shop
from ventwright.web.desk import Desk
from ventwright.web.shop.limits import Limits
from ventwright.web.shop.visitor import Visitor, address_of


@dataclass(frozen=True, slots=True)
class Held:
    """A shop as the gate and its pages hold it. ``desk`` sees all jobs: pages look with somebody's eyes instead."""

    shop: Shop
    limits: Limits
    desk: Desk

    def seen_by(self, seeing: Seeing) -> Desk:
        """Return a desk that looks with somebody's eyes."""
        return self.desk.through(SeenJobs(self.shop, seeing), by=seeing.name)

    async def note(
        self, request: Request, what: str, *, person: Person | None = None, job: str = "", detail: str = ""
    ) -> None:
        """Note what was done by somebody, else by whoever sends the request."""
        who = person or visitor_of(request).person
        await self.shop.trail.note(
            what,
            person=who.id if who else "",
            name=who.name if who else "",
            job=job,
            detail=detail,
            address=address_of(request),
        )


def held_of(request: Request) -> Held:
    """Return the shop of the application that a request came to."""
    held: Held = request.app.state.shop
    return held


def visitor_of(request: Request) -> Visitor:
    """Return who sends a request."""
    visitor: Visitor = request.state.visitor
    return visitor


def person_of(request: Request) -> Person:
    """Return who is signed in, on a page that nobody else gets to see."""
    person = visitor_of(request).person
    if person is None:
        raise PermissionError
    return person
