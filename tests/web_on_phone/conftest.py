"""The folder for a phone, built once for all these tests; they are skipped by name where it cannot be built."""

from __future__ import annotations

import fcntl
import shutil
from pathlib import Path

import pytest

from ventwright.errors import Refused
from ventwright.web.on_phone.build import build
from ventwright.web.on_phone.fetching import fetched

BUILD = Path(__file__).parents[2] / "build"
"""What was fetched and compiled is kept there; nothing of it is committed."""


@pytest.fixture(scope="session")
def phone_folder() -> Path:
    """The built folder."""
    if shutil.which("node") is None or shutil.which("npm") is None:
        pytest.skip("needs Node.js and npm, to build the app for a phone")
    BUILD.mkdir(exist_ok=True)
    with (BUILD / "phone.lock").open("w") as lock:
        fcntl.flock(lock, fcntl.LOCK_EX)
        try:
            fetched(BUILD / "phone-fetched")
        except Refused as refused:
            pytest.skip(f"needs the runtime for a phone: {refused}")
        build(BUILD / "phone-fetched" / "phone", BUILD / "phone-fetched", lambda _: None)
    return BUILD / "phone-fetched" / "phone"
