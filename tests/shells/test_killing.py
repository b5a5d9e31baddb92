"""A small part of the operations under kills; all of them by ``python -m tests.shells.killing 1000``."""

from __future__ import annotations

import os
from pathlib import Path

import pytest
from tests.either import At
from tests.shells.killing import Killed


@pytest.mark.skipif(not hasattr(os, "fork"), reason="this system starts no process by copying one")
def test_what_was_acknowledged_is_there(at: At, tmp_path: Path) -> None:
    run = Killed(at(tmp_path / "jobs.sqlite3"), seed=2)
    run.run(30, kills=3)  # checks after every kill, and all of it at the end
