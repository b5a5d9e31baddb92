"""The same test on SQLite and on PostgreSQL: where its stores are kept, and what becomes of them afterwards.

A test that takes ``at`` runs on both: ``Jobs(at(folder / "jobs.sqlite"))``. So does every test of a module that says
``pytestmark = pytest.mark.usefixtures("either_database")``, whose clients ask ``kept_at`` themselves.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Protocol

import pytest
from tests.postgres import Server

At = Callable[[Path], "Path | str"]


class Closes(Protocol):
    """Something that holds connections until it is closed."""

    def close(self) -> None:
        """Let go of them."""


class Places:
    """Where stores are kept: in the file that is named, or in a database of its own for each such name."""

    def __init__(self, server: Server | None) -> None:
        self._server = server
        self._urls: dict[Path, str] = {}
        self._open: list[Closes] = []

    def at(self, path: Path) -> Path | str:
        """Return the place of a store that would be kept in a file; the same one for the same file."""
        if self._server is None:
            return path
        if path not in self._urls:
            self._urls[path] = self._server.lend()
        return self._urls[path]

    def mark(self) -> tuple[int, int]:
        """Return how much there is now."""
        return len(self._open), len(self._urls)

    def close_later(self, one: Closes) -> None:
        """Close something when its test ends."""
        self._open.append(one)

    def end(self, mark: tuple[int, int] = (0, 0)) -> None:
        """Close and empty what came after a mark."""
        while len(self._open) > mark[0]:
            self._open.pop().close()
        while len(self._urls) > mark[1]:
            _, url = self._urls.popitem()
            if self._server:
                self._server.take_back(url)


_now = Places(None)


def kept_at(path: Path) -> Path | str:
    """Return the place of a store in the test that runs."""
    return _now.at(path)


def close_later(one: Closes) -> None:
    """Close something when the test that runs ends."""
    _now.close_later(one)


@pytest.fixture(scope="module", params=["sqlite", "postgres"])
def either_database(request: pytest.FixtureRequest) -> Iterator[Places]:
    """Keep the stores of a module's tests in files, then in databases on a server."""
    global _now  # noqa: PLW0603 - a client is made deep in a test, which shall not know what it runs on
    before, _now = (
        _now,
        Places(request.getfixturevalue("postgres_server") if request.param == "postgres" else None),
    )
    yield _now
    _now.end()
    _now = before


@pytest.fixture
def at(either_database: Places) -> At:
    """Return where a store is kept that would be in a file."""
    return either_database.at


@pytest.fixture(autouse=True)
def ended(request: pytest.FixtureRequest) -> Iterator[None]:
    """Close what a test opened, on whatever it ran."""
    places = request.getfixturevalue("either_database") if "either_database" in request.fixturenames else _now
    mark = places.mark()
    yield
    places.end(mark)
