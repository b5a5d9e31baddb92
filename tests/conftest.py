"""What all tests share: where the larger outside data lie, and what happens where they do not."""

from __future__ import annotations

from pathlib import Path

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
    "pytest_collection_modifyitems",
]

OUTSIDE_DATA = Path(__file__).resolve().parents[2] / "shared" / "data"


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Skip, by name, the tests that need data which are not beside the repository."""
    if OUTSIDE_DATA.is_dir():
        return
    skip = pytest.mark.skip(reason="outside_data: the larger data sets are not beside the repository")
    for item in items:
        if item.get_closest_marker("outside_data"):
            item.add_marker(skip)
