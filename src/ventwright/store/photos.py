"""Photos kept beside their jobs: pictures by the hash of their content, apart from the changes that speak of them."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from contextlib import AbstractContextManager
from dataclasses import dataclass
from hashlib import sha256
from pathlib import Path
from typing import TYPE_CHECKING

from ventwright.errors import Refusal, Refused
from ventwright.store.database import told

if TYPE_CHECKING:
    import sqlite3

LARGEST_PHOTO = 2_000_000
"""Bytes of a picture as it is kept; a photo is reduced before it comes here (our own assumption)."""

MOST_PHOTOS = 200
"""Pictures beside one job (our own assumption)."""


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

    def __init__(
        self,
        database: sqlite3.Connection,
        path: Path,
        writing: Callable[[], AbstractContextManager[None]],
        written: Callable[[], Awaitable[None]],
    ) -> None:
        self._database, self._path = database, path
        self._writing, self._written = writing, written

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
        names = await self.names(job)
        if len(names) >= MOST_PHOTOS and picture.name not in names:
            raise Refused(
                Refusal(
                    f"is one more than the {MOST_PHOTOS} of a job", "another one taken out first", "photo"
                )
            )
        with self._writing():
            self._database.execute(
                "insert into photo (job, name, content, small, width, height) values (?, ?, ?, ?, ?, ?)"
                " on conflict do nothing",
                (job, picture.name, picture.content, picture.small, picture.width, picture.height),
            )
        await self._written()
        return picture.name

    async def names(self, job: str) -> frozenset[str]:
        """Return the names of the pictures that are kept beside a job."""
        with told(self._path):
            return frozenset(
                row[0] for row in self._database.execute("select name from photo where job = ?", (job,))
            )

    async def picture(self, job: str, name: str) -> Picture | None:
        """Return a picture, or None where it is not kept here."""
        with told(self._path):
            row = self._database.execute(
                "select content, small, width, height from photo where job = ? and name = ?", (job, name)
            ).fetchone()
        return row and Picture(bytes(row[0]), bytes(row[1]), row[2], row[3])

    async def wipe(self, job: str, name: str) -> None:
        """Delete a picture for good; one that is not there stays away."""
        with self._writing():
            self._database.execute("delete from photo where job = ? and name = ?", (job, name))
        await self._written()
