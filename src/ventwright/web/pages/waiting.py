"""The page of a stage that waits for facts."""

from __future__ import annotations

from starlette.requests import Request
from starlette.responses import Response

from ventwright.web.desk import Opened
from ventwright.web.page import page


async def waiting(request: Request, opened: Opened, stage: str, title: str) -> Response:
    """Say which facts a stage waits for, with the way to them."""
    return await page(request, "waiting.html.j2", opened=opened, stage=stage, title=title)
