"""Pictures go from one store to another apart from the changes that speak of them, in pieces that are continued after a cut.

A picture travels as a parcel: how large its small one is, width and height, the small one, the picture. Its pieces are
kept under the hash of the whole parcel, so that only pieces of one and the same are put together; the picture itself is
held against the hash that names it. Pieces that come twice, late or in another order leave what is there as it is.
"""

from __future__ import annotations

import struct
from base64 import b64encode
from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from hashlib import sha256
from typing import Any

from ventwright.errors import Refusal, Refused
from ventwright.store.heard import decoded
from ventwright.store.jobs import Jobs
from ventwright.store.photos import LARGEST_PHOTO, Picture

PIECE = 256_000
"""Bytes of a parcel in one message; our own assumption."""

LARGEST_PARCEL = LARGEST_PHOTO + 200_000
"""Bytes of a parcel: a picture and its small one (our own assumption)."""

MOST_PIECES = 4 * (LARGEST_PARCEL // PIECE + 1)
"""Pieces of one picture in one exchange, should another side's be smaller than ours; what is left goes with the next one."""

LARGEST_SIDE = 2**31 - 1
"""Width or height that every database here keeps."""

MOST_NAMED = 1000
"""Pictures named in one message; the others are named the next time."""

_HEAD = struct.Struct("<III")

Ask = Callable[[dict[str, Any]], Awaitable[Any]]
"""Sends what is said of photos to the other side, and returns what it says of them, None where it knows nothing of photos; raises Declined."""


class Declined(Exception):
    """The other side did not take what was sent, and says why in a sentence."""


Named = tuple[str, str]
"""A picture: its job and its name."""


def parcel_of(picture: Picture) -> bytes:
    """Pack a picture."""
    return _HEAD.pack(len(picture.small), picture.width, picture.height) + picture.small + picture.content


def unpacked(parcel: bytes, name: str) -> Picture:
    """Unpack a picture.

    Raises
    ------
    Refused
        It is another one than its name says.
    """
    if len(parcel) >= _HEAD.size:
        small, width, height = _HEAD.unpack_from(parcel)
        at = _HEAD.size + small
        picture = Picture(parcel[at:], parcel[_HEAD.size : at], width, height)
        if picture.name == name and max(width, height) <= LARGEST_SIDE:
            return picture
    raise Refused(Refusal("is not the picture that its name says", "the picture itself", "photo", name[:12]))


async def spoken_of(jobs: Jobs) -> set[Named]:
    """Return the pictures that the jobs of a store speak of, wherever they are kept."""
    found = set[Named]()
    for job in sorted(await jobs.photos.spoken_in()):
        said = (await jobs.document(job)).get("readings") or {}
        found |= {
            (job, str(one["id"])) for one in said.get("photos") or () if isinstance(one, dict) and "id" in one
        }
    return found


async def kept_of(jobs: Jobs, named: set[Named]) -> set[Named]:
    """Return those of some pictures that a store keeps."""
    names = {job: await jobs.photos.names(job) for job in {job for job, _ in named}}
    return {(job, name) for job, name in named if name in names[job]}


@dataclass(frozen=True, slots=True)
class Exchanged:
    """What became of the pictures."""

    waiting: int = 0
    """How many are still on their way."""
    refused: tuple[str, ...] = ()
    """Why some were not taken, in sentences."""


async def exchange(jobs: Jobs, ask: Ask) -> Exchanged:
    """Hand over the pictures that the other side lacks, and fetch those that are lacking here.

    What breaks off is continued the next time from the piece that came last. One that is refused keeps no other back.
    """
    spoken = await spoken_of(jobs)
    kept = await kept_of(jobs, spoken)
    have, lack = (sorted(some)[:MOST_NAMED] for some in (kept, spoken - kept))
    if not spoken:
        return Exchanged()
    told = await ask({"have": have, "lack": lack})
    if not isinstance(told, dict):
        return Exchanged(len(lack))
    wanted, given = _named(told.get("want")) & kept, _named(told.get("give")) & set(lack)
    waiting, refused = len(wanted) + len(lack), list[str]()
    for move, pictures in ((_hand_over, wanted), (_fetch, given)):
        for one in sorted(pictures):
            try:
                waiting -= await move(jobs, ask, one)
            except (Declined, Refused) as why:
                refused.append(str(why))
    return Exchanged(waiting, tuple(dict.fromkeys(refused)))


async def answered(jobs: Jobs, asked: dict[str, Any]) -> dict[str, Any]:
    """Answer what another store says of photos.

    Raises
    ------
    Refused
        A picture is not what its name says, or cannot be kept.
    """
    if "parcel" in asked and "data" in asked:
        return {"reached": await _taken(jobs, asked)}
    if "fetch" in asked:
        return await _piece(jobs, asked)
    spoken = await spoken_of(jobs)
    kept = await kept_of(jobs, spoken)
    return {
        "want": sorted(_named(asked.get("have")) & (spoken - kept)),
        "give": sorted(_named(asked.get("lack")) & kept),
    }


async def _hand_over(jobs: Jobs, ask: Ask, one: Named) -> bool:
    """Send a picture from where the other side has got to; whether it has the whole of it."""
    picture = await jobs.photos.picture(*one)
    if picture is None:
        return False
    parcel = parcel_of(picture)
    head = {"job": one[0], "name": one[1], "parcel": sha256(parcel).hexdigest(), "of": len(parcel)}
    reached, before = _number(await ask({**head, "at": 0, "data": ""})), -1
    for _ in range(MOST_PIECES):
        if not before < reached < len(parcel):
            break
        before = reached
        data = b64encode(parcel[reached : reached + PIECE]).decode()
        reached = _number(await ask({**head, "at": reached, "data": data}))
    return reached == len(parcel)


async def _taken(jobs: Jobs, asked: dict[str, Any]) -> int:
    """Take a piece of a parcel and return how far it has come; the last one makes the picture."""
    one, parcel, of = (str(asked.get("job")), str(asked.get("name"))), str(asked["parcel"]), asked.get("of")
    if type(of) is not int or not _HEAD.size <= of <= LARGEST_PARCEL or type(asked.get("at")) is not int:
        raise Refused(
            Refusal("is no piece of a picture", f"one of at most {LARGEST_PARCEL // 1000} kB", "photo")
        )
    if one in await kept_of(jobs, {one}):
        return of
    data = decoded(asked["data"], "photo", one[1][:12])[: of - asked["at"]]
    reached = await jobs.photos.add_part(parcel, asked["at"], data)
    if reached == of:
        await _made_whole(jobs, one, parcel)
    return reached


async def _made_whole(jobs: Jobs, one: Named, parcel: str) -> None:
    """Make a picture of the pieces of its parcel; they are let go of whether that succeeds or not.

    Raises
    ------
    Refused
        It is not what its name says, or cannot be kept.
    """
    content = await jobs.photos.parts(parcel)
    try:
        if sha256(content).hexdigest() != parcel:
            raise Refused(Refusal("came damaged", "the same once more", "photo", one[1][:12]))
        await jobs.photos.keep(one[0], unpacked(content, one[1]))
    finally:
        await jobs.photos.forget_parts(parcel)


async def _piece(jobs: Jobs, asked: dict[str, Any]) -> dict[str, Any]:
    """Give a piece of a picture that another store fetches; without a place only what parcel it is."""
    one, at = _named([asked["fetch"]]), asked.get("at")
    picture = await jobs.photos.picture(*one.pop()) if one else None
    if picture is None:
        return {}
    parcel = parcel_of(picture)
    data = b64encode(parcel[at : at + PIECE]).decode() if type(at) is int and at >= 0 else ""
    return {"parcel": sha256(parcel).hexdigest(), "of": len(parcel), "data": data}


async def _fetch(jobs: Jobs, ask: Ask, one: Named) -> bool:
    """Fetch a picture from where it broke off; whether the whole of it is here."""
    told = await ask({"fetch": one})
    if not isinstance(told, dict) or "parcel" not in told:
        return False
    parcel, of = str(told["parcel"]), _number(told, "of")
    if not _HEAD.size <= of <= LARGEST_PARCEL:
        return False
    reached, before = await jobs.photos.add_part(parcel, 0, b""), -1
    for _ in range(MOST_PIECES):
        if not before < reached < of:
            break
        before = reached
        told = await ask({"fetch": one, "at": reached})
        if not isinstance(told, dict) or told.get("parcel") != parcel:
            return False
        data = decoded(told.get("data"), "photo", one[1][:12])[: of - reached]
        reached = await jobs.photos.add_part(parcel, reached, data)
    if reached != of:
        return False
    await _made_whole(jobs, one, parcel)
    return True


def _named(told: Any) -> set[Named]:
    """Read a list of pictures, passing over what is none."""
    listed = told if isinstance(told, list) else []
    return {
        (one[0], one[1])
        for one in listed
        if isinstance(one, (list, tuple)) and len(one) == 2 and all(isinstance(part, str) for part in one)
    }


def _number(told: Any, named: str = "reached") -> int:
    """Read a number from an answer, -1 where there is none."""
    found = told.get(named) if isinstance(told, dict) else None
    return found if type(found) is int else -1
