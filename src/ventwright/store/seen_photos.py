"""The pictures of the jobs that one person sees."""

from __future__ import annotations

from typing import TYPE_CHECKING

from ventwright.store.photos import Photos, Picture

if TYPE_CHECKING:
    from ventwright.store.seen import SeenJobs


class SeenPhotos(Photos):
    """The pictures of the jobs that one person sees."""

    def __init__(self, jobs: SeenJobs, photos: Photos) -> None:  # what a store holds stays with the store
        self._jobs, self._all = jobs, photos

    async def keep(self, job: str, picture: Picture) -> str:
        """Keep a picture beside a job of this person's."""
        self._jobs.refuse_entering()
        await self._jobs.refuse_unseen(job)
        name = await self._all.keep(job, picture)
        await self._jobs.note("kept a photo", job, name)
        return name

    async def names(self, job: str) -> frozenset[str]:
        """Return the names of the pictures beside a job."""
        await self._jobs.refuse_unseen(job)
        return await self._all.names(job)

    async def picture(self, job: str, name: str) -> Picture | None:
        """Return a picture, or None where it is not kept here."""
        await self._jobs.refuse_unseen(job)
        return await self._all.picture(job, name)

    async def wipe(self, job: str, name: str) -> None:
        """Delete a picture for good."""
        self._jobs.refuse_entering()
        await self._jobs.refuse_unseen(job)
        await self._all.wipe(job, name)
        await self._jobs.note("deleted a photo", job, name)

    async def spoken_in(self) -> frozenset[str]:
        """Return the jobs of this person's that speak, or once spoke, of photos."""
        return frozenset([job for job in await self._all.spoken_in() if await self._jobs.sees(job)])

    async def add_part(self, parcel: str, start: int, content: bytes) -> int:
        """Add a piece to a picture on its way; it is nobody's before it is whole."""
        self._jobs.refuse_entering()
        return await self._all.add_part(parcel, start, content)

    async def parts(self, parcel: str) -> bytes:
        """Return what is here of a picture on its way."""
        return await self._all.parts(parcel)

    async def forget_parts(self, parcel: str) -> None:
        """Let go of the pieces of a picture."""
        self._jobs.refuse_entering()
        await self._all.forget_parts(parcel)
