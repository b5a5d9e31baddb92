"""Logs that were handed in for jobs, held in a folder while the app runs, and the work that goes on with them."""

from __future__ import annotations

import re
import shutil
import tempfile
from collections.abc import Iterable
from hashlib import sha256
from pathlib import Path
from weakref import finalize

from ventwright.web.work import Piece

UNFIT = re.compile(r'[/\\:*?"<>|\x00-\x1f\x7f]')
"""Signs that the name of a file may not hold everywhere."""

LONGEST_NAME = 100
"""Letters."""


class HandedIn:
    """The logs of every job. The folder goes with the app: a log is somebody else's, and large."""

    def __init__(self) -> None:
        self._root: Path | None = None
        self._pieces: dict[str, Piece] = {}

    def hold(self, job: str, files: Iterable[tuple[str, bytes]]) -> None:
        """Hold the logs of a job in place of those before."""
        self.forget(job)
        folder = self._made(job)
        for name, content in files:
            (folder / _free(folder, _plain(name))).write_bytes(content)

    def paths(self, job: str) -> tuple[Path, ...]:
        """Return the logs of a job; none where none were handed in since the app was started."""
        folder = self._folder(job)
        return tuple(sorted(folder.iterdir())) if folder is not None and folder.is_dir() else ()

    def mark(self, job: str) -> str:
        """Return a mark of the logs of a job, another one for other logs."""
        held = sha256()
        for path in self.paths(job):
            held.update(path.name.encode() + b"\0" + sha256(path.read_bytes()).digest())
        return held.hexdigest()[:32]

    def forget(self, job: str) -> None:
        """Let go of the logs of a job, and stop what goes on with them."""
        piece = self._pieces.pop(job, None)
        if piece is not None and not piece.done:
            piece.stop()
        folder = self._folder(job)
        if folder is not None:
            shutil.rmtree(folder, ignore_errors=True)

    def going_on(self, job: str) -> Piece | None:
        """Return the work on the logs of a job; None where there is none."""
        return self._pieces.get(job)

    def goes_on(self, job: str, piece: Piece | None) -> None:
        """Note the work on the logs of a job, or that there is none any more."""
        if piece is None:
            self._pieces.pop(job, None)
        else:
            self._pieces[job] = piece

    def close(self) -> None:
        """Take the folder away."""
        if self._root is not None:
            shutil.rmtree(self._root, ignore_errors=True)
            self._root = None

    def _folder(self, job: str) -> Path | None:
        """Return the folder of a job; None while nothing was handed in."""
        return None if self._root is None else self._root / sha256(job.encode()).hexdigest()[:32]

    def _made(self, job: str) -> Path:
        """Return the folder of a job, made."""
        if self._root is None:
            self._root = Path(tempfile.mkdtemp(prefix="ventwright-logs-"))
            finalize(self, shutil.rmtree, self._root, ignore_errors=True)  # of an app that was never closed
        folder = self._root / sha256(job.encode()).hexdigest()[:32]
        folder.mkdir()
        return folder


def _plain(name: str) -> str:
    """Return a name without folders and without signs that a system refuses; units are told by it."""
    last = re.split(r"[/\\]", name)[-1]
    return UNFIT.sub("_", last).strip(". ")[-LONGEST_NAME:] or "log.csv"


def _free(folder: Path, name: str) -> str:
    """Return a name that is not taken yet."""
    number, found = 2, name
    while (folder / found).exists():
        found, number = f"{number}-{name}", number + 1
    return found
