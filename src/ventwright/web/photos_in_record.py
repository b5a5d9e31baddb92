"""The photos of a job that go into its record where that is ticked: as small as paper needs them."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from starlette.requests import Request

from ventwright.readings.photo import photo_words
from ventwright.record.content import Shot
from ventwright.store.photos import Picture
from ventwright.web.desk import Desk, Opened
from ventwright.web.jpeg import size_of
from ventwright.web.photo import on_paper


class Kept(NamedTuple):
    """A picture as it is kept, and what is said of it."""

    picture: Picture
    words: str


def with_photos(request: Request) -> bool:
    """Whether the record is asked for with its photos."""
    return request.query_params.get("photos") == "yes"


async def asked_shots(request: Request, desk: Desk, opened: Opened) -> list[Kept]:
    """Return the photos that are asked for and kept here."""
    if not with_photos(request):
        return []
    found = [(await desk.jobs.photos.picture(opened.id, one["id"]), one) for one in opened.photos]
    return [
        Kept(picture, f"{photo_words(one)} ({str(one.get('at', ''))[:10]})")
        for picture, one in found
        if picture
    ]


def shots_of(photos: Sequence[Kept]) -> tuple[Shot, ...]:
    """Make photos as small as paper needs them."""
    small = [(on_paper(one.picture), one.words) for one in photos]
    return tuple(Shot(content, *size_of(content), words) for content, words in small)
