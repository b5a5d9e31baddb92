"""Photos kept beside their jobs: pictures by the hash of their content, apart from the changes that speak of them."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import dataclass
from datetime import UTC, datetime
from hashlib import sha256

from ventwright.errors import Refusal, Refused
from ventwright.store.database import Database, Rows

LARGEST_PHOTO = 2_000_000
"""Bytes of a picture as it is kept; a photo is reduced before it comes here (our own assumption)."""

MOST_PHOTOS = 200
"""Pictures beside one job (our own assumption)."""

MOST_ON_THEIR_WAY = 40
"""Pictures of which pieces are kept; one that never becomes whole must not fill a phone (our own assumption)."""


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as it is kept, and a small one of it; both are JPEG."""

    content: bytes
    small: bytes
    width: int
    height: int

    @property
    def name(self) -> str:
        """The SHA-256 of the content, which names the picture on every device."""
        return sha256(self.content).hexdigest()


class Photos:
    """The pictures of one store."""

    def __init__(self, database: Database, written: Callable[[], Awaitable[None]]) -> None:
        self._database, self._written = database, written

    async def keep(self, job: str, picture: Picture) -> str:
        """Keep a picture beside a job and return its name; one that is there already stays.

        Raises
        ------
        Refused
            It is too large, or the job has as many as it may have.
        """
        if len(picture.content) > LARGEST_PHOTO:
            accepted = f"a picture of at most {LARGEST_PHOTO // 1_000_000} MB"
            raise Refused(Refusal("is too large", accepted, "photo"))

        async def kept(at: Rows) -> None:
            names = await _names(at, job)
            if len(names) >= MOST_PHOTOS and picture.name not in names:
                problem = f"is one more than the {MOST_PHOTOS} of a job"
                raise Refused(Refusal(problem, "another one taken out first", "photo"))
            await at.run(
                "insert into photo (job, name, content, small, width, height) values (?, ?, ?, ?, ?, ?)"
                " on conflict do nothing",
                (job, picture.name, picture.content, picture.small, picture.width, picture.height),
            )

        await self._database.write(kept)
        await self._written()
        return picture.name

    async def names(self, job: str) -> frozenset[str]:
        """Return the names of the pictures that are kept beside a job."""
        return await self._database.read(lambda at: _names(at, job))

    async def picture(self, job: str, name: str) -> Picture | None:
        """Return a picture, or None where it is not kept here."""
        sql = "select content, small, width, height from photo where job = ? and name = ?"
        row = await self._database.read(lambda at: at.one(sql, (job, name)))
        return Picture(bytes(row[0]), bytes(row[1]), row[2], row[3]) if row else None

    async def wipe(self, job: str, name: str) -> None:
        """Delete a picture for good; one that is not there stays away."""
        sql = "delete from photo where job = ? and name = ?"
        await self._database.write(lambda at: at.run(sql, (job, name)))
        await self._written()

    async def spoken_in(self) -> frozenset[str]:
        """Return the jobs that speak, or once spoke, of photos."""
        sql = "select distinct job from change where path = 'readings.photos'"
        return frozenset(row[0] for row in await self._database.read(lambda at: at.all(sql)))

    async def add_part(self, parcel: str, start: int, content: bytes) -> int:
        """Add a piece to a picture on its way and return how many bytes of it are here; one that does not follow is left out.

        Parameters
        ----------
        parcel
            Hash of the whole.
        start
            Bytes before the piece.
        """

        async def added(at: Rows) -> int:
            reached = sum(map(len, await _parts(at, parcel)))
            if start != reached or not content:
                return reached
            if start == 0:
                await _let_go_of_the_oldest(at)
            await at.run(
                "insert into photo_part (parcel, at, content, begun) values (?, ?, ?, ?)",
                (parcel, start, content, datetime.now(UTC).isoformat()),
            )
            return reached + len(content)

        reached = await self._database.write(added)
        if content:
            await self._written()
        return reached

    async def parts(self, parcel: str) -> bytes:
        """Return what is here of a picture on its way."""
        return b"".join(await self._database.read(lambda at: _parts(at, parcel)))

    async def forget_parts(self, parcel: str) -> None:
        """Let go of the pieces of a picture."""
        await self._database.write(lambda at: at.run("delete from photo_part where parcel = ?", (parcel,)))
        await self._written()


async def _let_go_of_the_oldest(at: Rows) -> None:
    """Make room for one more picture on its way."""
    begun = await at.all("select parcel from photo_part where at = 0 order by begun desc, parcel")
    for row in begun[MOST_ON_THEIR_WAY - 1 :]:
        await at.run("delete from photo_part where parcel = ?", (row[0],))


async def _parts(at: Rows, parcel: str) -> list[bytes]:
    found = await at.all("select content from photo_part where parcel = ? order by at", (parcel,))
    return [bytes(row[0]) for row in found]


async def _names(at: Rows, job: str) -> frozenset[str]:
    return frozenset(row[0] for row in await at.all("select name from photo where job = ?", (job,)))
