"""The one place for work that takes more than some 50 ms: other processes on a server, slices of a generator in a browser.

The same pure function does it in both. Nothing here uses a thread of its own. A piece of work that takes seconds is a
generator of (done, of) that returns its result: a page begins it, looks at it and may stop it.
"""

from __future__ import annotations

import asyncio
import json
import sys
import tempfile
from collections import OrderedDict
from collections.abc import Callable, Generator
from contextlib import suppress
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, Protocol, TypeVar

T = TypeVar("T")

Steps = Generator[tuple[int, int], None, T]
"""Yields how much is done of how much, and returns the result."""

HELD = 64
"""Pieces of work that are remembered, with their results."""


@dataclass(slots=True)
class Piece:
    """A piece of work that was begun: how far it is, and how it ended."""

    task: asyncio.Task[Any]
    progress: Callable[[], tuple[int, int]]
    stop: Callable[[], None]
    stopped: bool = field(default=False)

    @property
    def done(self) -> bool:
        """Whether it has ended, with a result, with a failure or because it was stopped."""
        return self.task.done()

    def result(self) -> Any:
        """Return the result; raises what the work raised."""
        return self.task.result()


class Stopped(Exception):
    """The person stopped a piece of work."""


class Work(Protocol):
    """Whoever does long work for the pages."""

    async def now(self, function: Callable[..., T], *given: Any) -> T:
        """Do a piece of work of a second or so, and return what it gives."""
        ...

    def begin(
        self, key: str, function: Callable[..., Steps[Any]], *given: Any, instead_of: str = ""
    ) -> Piece:
        """Begin a piece of work, or return the one of this key that was begun before.

        Others whose keys begin as ``instead_of`` says are stopped: nobody asks for their results any more.
        """
        ...

    def close(self) -> None:
        """Let go of what does the work."""
        ...


class _Remembered:
    """Pieces of work by their keys, those used last."""

    def __init__(self) -> None:
        self._pieces: OrderedDict[str, Piece] = OrderedDict()

    def get(self, key: str) -> Piece | None:
        """Return the piece of a key, unless it was stopped; one that failed is returned once, and then begun anew."""
        found = self._pieces.get(key)
        if found is None or found.stopped or found.task.cancelled():
            return None
        if found.done and found.task.exception() is not None:
            return self._pieces.pop(key)
        self._pieces.move_to_end(key)
        return found

    def stop_others(self, key: str, beginning: str) -> None:
        """Stop pieces of other keys that begin in the same way and have not ended."""
        for other, piece in self._pieces.items():
            if beginning and other != key and other.startswith(beginning) and not piece.done:
                piece.stop()

    def keep(self, key: str, piece: Piece) -> Piece:
        """Remember a piece, and forget those that were not asked for longest."""
        self._pieces[key] = piece
        while len(self._pieces) > HELD:
            _, old = self._pieces.popitem(last=False)
            old.stop()
        return piece


class Here:
    """Does the work where it was asked for: in a browser, and in tests."""

    def __init__(self) -> None:
        self._remembered = _Remembered()

    async def now(self, function: Callable[..., T], *given: Any) -> T:
        """Do it at once."""
        await asyncio.sleep(0)
        return function(*given)

    def begin(
        self, key: str, function: Callable[..., Steps[Any]], *given: Any, instead_of: str = ""
    ) -> Piece:
        """Do it in slices, between which pages are answered."""
        self._remembered.stop_others(key, instead_of)
        found = self._remembered.get(key)
        if found is not None:
            return found
        far, stopping = [(0, 1)], [False]

        async def in_slices() -> Any:
            steps = function(*given)
            while True:
                try:
                    far[0] = next(steps)
                except StopIteration as ended:
                    return ended.value
                if stopping[0]:
                    raise Stopped
                await asyncio.sleep(0)

        return self._remembered.keep(
            key, _piece(in_slices(), lambda: far[0], lambda: stopping.__setitem__(0, True))
        )

    def close(self) -> None:
        """Nothing is held."""


class Elsewhere:
    """Does the work in other processes, so that the pages go on answering."""

    def __init__(self, processes: int = 2) -> None:
        from concurrent.futures import ProcessPoolExecutor
        from multiprocessing import get_context

        method = "spawn" if sys.platform == "win32" else "forkserver"
        self._pool = ProcessPoolExecutor(processes, mp_context=get_context(method))
        self._remembered = _Remembered()
        self._notes = tempfile.TemporaryDirectory(prefix="ventwright-work-")

    async def now(self, function: Callable[..., T], *given: Any) -> T:
        """Do it in another process; given and result travel there and back."""
        return await asyncio.get_running_loop().run_in_executor(self._pool, function, *given)

    def begin(
        self, key: str, function: Callable[..., Steps[Any]], *given: Any, instead_of: str = ""
    ) -> Piece:
        """Do it in another process, which notes in a file how far it is and looks there whether to stop."""
        self._remembered.stop_others(key, instead_of)
        found = self._remembered.get(key)
        if found is not None:
            return found
        note = Path(tempfile.mkstemp(dir=self._notes.name)[1])
        working = self.now(noting, note, function, *given)
        return self._remembered.keep(
            key, _piece(working, lambda: _noted(note), lambda: _stop_note(note).touch())
        )

    def close(self) -> None:
        """End the processes."""
        self._pool.shutdown(wait=False, cancel_futures=True)
        self._notes.cleanup()


def _piece(working: Any, progress: Callable[[], tuple[int, int]], stop: Callable[[], None]) -> Piece:
    piece = Piece(asyncio.ensure_future(working), progress, stop)

    def stopped() -> None:
        piece.stopped = True
        piece.task.add_done_callback(_ended)  # nobody asks any more how it ended
        stop()

    piece.stop = stopped
    return piece


def _ended(task: asyncio.Task[Any]) -> None:
    """Take note of how a piece ended that was stopped, or asyncio would write of it as of a failure."""
    if not task.cancelled():
        task.exception()


def noting(note: Path, function: Callable[..., Steps[Any]], *given: Any) -> Any:
    """Do a piece of work, noting how far it is.

    Raises
    ------
    Stopped
        Somebody asked for it.
    """
    steps = function(*given)
    while True:
        try:
            done = next(steps)
        except StopIteration as ended:
            return ended.value
        if _stop_note(note).exists():
            raise Stopped
        note.write_text(json.dumps(done))


def _stop_note(note: Path) -> Path:
    return note.with_name(f"{note.name}.stop")


def _noted(note: Path) -> tuple[int, int]:
    """Return how far a piece of work is by its note, which may be half written."""
    with suppress(ValueError, OSError):
        done, of = json.loads(note.read_text())
        return done, of
    return 0, 1
