"""A shop's application: the pages of every Ventwright behind a gate, and those of the shop beside them."""

from __future__ import annotations

from typing import TYPE_CHECKING

from starlette.requests import Request
from starlette.responses import Response

from ventwright.store.seeing import Seeing
from ventwright.web.shop.gate import Gate, too_often
from ventwright.web.shop.held import Held
from ventwright.web.shop.limits import Limits, TooOften
from ventwright.web.shop.pages import account, api, fleet, job_people, owner, people, signing_in
from ventwright.web.shop.passwords import refuse_without_hashing

if TYPE_CHECKING:
    from starlette.applications import Starlette
    from starlette.routing import BaseRoute

    from ventwright.store.shop import Shop
    from ventwright.web.desk import Desk


def shop_routes() -> list[BaseRoute]:
    """Every route that only a shop has."""
    return [
        *signing_in.routes,
        *account.routes,
        *people.routes,
        *job_people.routes,
        *owner.routes,
        *fleet.routes,
        *api.routes,
    ]


def made_a_shop(application: Starlette, shop: Shop, desk: Desk) -> None:
    """Put the gate before an application, and let what asks past it see nothing.

    Raises
    ------
    Refused
        Passwords cannot be hashed here.
    """
    refuse_without_hashing()
    held = Held(shop, Limits(shop), desk)
    application.state.shop = held
    application.state.desk = held.seen_by(Seeing())
    application.add_middleware(Gate, held=held)
    application.add_exception_handler(TooOften, _too_often)


async def _too_often(request: Request, failure: Exception) -> Response:
    return await too_often(request, failure if isinstance(failure, TooOften) else TooOften())
