"""Finished jobs written into a folder, for whoever has a program for work orders: the document and the record as PDF.

A job is finished when somebody has signed its record; examples and practice never are. Each is written again when it changes; a reader of the folder never
sees half a file.
"""

from __future__ import annotations

import asyncio
import os
import re
import sys
from contextlib import suppress
from datetime import datetime
from pathlib import Path

from ventwright.errors import Refused
from ventwright.job import Worked, record_of
from ventwright.quantity import System
from ventwright.store.exchange import exported
from ventwright.store.jobs import Listed
from ventwright.web.desk import Desk, Opened, local_now

EVERY = 30.0
"""Seconds between two looks for finished jobs; our own assumption."""

WRITTEN = ("job.json", "record.pdf")


async def keep_handing_out(folder: Path, desk: Desk, *, every: float = EVERY) -> None:
    """Look for finished jobs again and again; what goes wrong is said where the server was started, and tried again."""
    while True:
        try:
            await hand_out(desk, folder)
        except (Refused, OSError) as failure:
            print(f"Nothing was handed out to {folder}: {failure}", file=sys.stderr)  # noqa: T201 - where the server was started
        await asyncio.sleep(every)


async def hand_out(desk: Desk, folder: Path) -> list[Path]:
    """Write the finished jobs that are not in a folder as they are now, and return the folders written."""
    written = []
    for row in await desk.jobs.jobs():
        mark = _folder_of(row, folder) / "revision"
        if _read(mark) == str(row.revision) or (finished := await finished_job(desk, row)) is None:
            continue
        opened, worked = finished
        document = exported(await desk.jobs.history(row.id))
        made = await desk.work.now(record_as_pdf, worked, opened.system, local_now(""))
        mark.parent.mkdir(parents=True, exist_ok=True)
        for name, content in zip(WRITTEN, (document, made), strict=True):
            _write(mark.with_name(name), content)
        _write(mark, str(row.revision).encode())
        written.append(mark.parent)
    return written


async def finished_job(desk: Desk, row: Listed) -> tuple[Opened, Worked] | None:
    """Return a job that is finished, None where it is not, or is no real one."""
    opened = await desk.open(row.id)
    if opened.invented or opened.practice or opened.worked is None:
        return None
    return (opened, opened.worked) if opened.worked.job.record.signatures else None


def record_as_pdf(worked: Worked, system: System, made: datetime) -> bytes:
    """Write the record of a job as PDF."""
    return record_of(worked, made=made, system=system)["record.pdf"]


def _folder_of(row: Listed, folder: Path) -> Path:
    """Return a job's own folder: site and tag for people, the id for programs; it keeps the name that it has."""
    own = re.sub(r"[^A-Za-z0-9_-]+", "-", row.id)[:64]
    known = next(folder.glob(f"*--{own}"), None)
    words = re.sub(r"[^a-z0-9]+", "-", f"{row.site} {row.tag}".lower()).strip("-")
    return known or folder / f"{words[:60]}--{own}"


def _read(path: Path) -> str:
    with suppress(OSError):
        return path.read_text(encoding="ascii")
    return ""


def _write(path: Path, content: bytes) -> None:
    """Write a file so that it is there whole or not at all, also after a power cut."""
    unfinished = path.with_name(f".{path.name}.unfinished")
    with unfinished.open("wb") as file:
        file.write(content)
        file.flush()
        os.fsync(file.fileno())
    unfinished.replace(path)
