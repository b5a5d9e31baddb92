"""What all tests share: where the larger outside data lie, and what happens where they do not."""

from __future__ import annotations

from pathlib import Path
from zlib import crc32

import pytest
from tests.either import at, either_database, ended
from tests.postgres import fresh_postgres_url, postgres_server, postgres_url

__all__ = [
    "at",
    "either_database",
    "ended",
    "fresh_postgres_url",
    "postgres_server",
    "postgres_url",
    "pytest_addoption",
    "pytest_collection_modifyitems",
]

OUTSIDE_DATA = Path(__file__).resolve().parents[2] / "shared" / "data"


ONE_IN = 4
"""Of the pages' tests, which say the same on either database, so many also run on PostgreSQL where not all are asked for."""


SLOW = (
    "test_every_page_of_a_job[laptop-done]",
    "test_every_page_of_a_job[laptop-empty]",
    "test_a_run_that_takes_the_advice[laptop]",
    "test_the_memory_of_a_start_makes_the_next_one_shorter",
)
"""Tests of half a minute that others stand for."""


def pytest_addoption(parser: pytest.Parser) -> None:
    """Add a way to run everything, which takes half as long again."""
    parser.addoption(
        "--whole", action="store_true", help="every page's test on both databases, every page on both screens"
    )


def pytest_collection_modifyitems(config: pytest.Config, items: list[pytest.Item]) -> None:
    """Leave out what is not asked for; skip, by name, what needs data that are not beside the repository."""
    if not config.getoption("--whole"):
        left_out = [one for one in items if _is_left_out(one.nodeid)]
        config.hook.pytest_deselected(items=left_out)
        items[:] = [one for one in items if one not in set(left_out)]
    if OUTSIDE_DATA.is_dir():
        return
    skip = pytest.mark.skip(reason="outside_data: the larger data sets are not beside the repository")
    for item in items:
        if item.get_closest_marker("outside_data"):
            item.add_marker(skip)


def _is_left_out(name: str) -> bool:
    """Whether a test is one of those that a drawn part stands for; drawn by name, so that it is the same part each time."""
    on_postgres = "tests/shells/test_web_" in name and "postgres" in name.rpartition("[")[2]
    return (on_postgres and crc32(name.encode()) % ONE_IN > 0) or name.endswith(SLOW)
