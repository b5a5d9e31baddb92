"""The HTML record on a phone screen, in a real browser where one is found."""

from __future__ import annotations

import re
import shutil
import subprocess
from datetime import UTC, datetime
from importlib.resources import as_file, files
from pathlib import Path

import pytest

from ventwright.job import record_of, work
from ventwright.store import load

BROWSER = shutil.which("chromium") or shutil.which("chromium-browser")
FLAGS = (
    "--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--allow-file-access-from-files", "--virtual-time-budget=4000",
)  # fmt: skip

FRAME = """<!doctype html><meta charset="utf-8"><title>width</title>
<iframe id="phone" src="record.html" style="width:{width}px;height:640px;border:0"></iframe><p id="said"></p>
<script>document.getElementById("phone").onload = (event) => {{
  const page = event.target.contentDocument.documentElement;
  document.getElementById("said").textContent = "needs " + page.scrollWidth;
}};</script>"""


@pytest.mark.skipif(BROWSER is None, reason="needs chromium")
@pytest.mark.parametrize("width", [360, 1280])
def test_the_record_never_scrolls_sideways(width: int, tmp_path: Path) -> None:
    """The demo's record needs no more width than the screen has."""
    with as_file(files("ventwright.cli").joinpath("demo_job", "larkspur-row-r-2.yaml")) as path:
        kept = load(path)
    made = datetime(2026, 11, 25, 12, tzinfo=UTC)
    (tmp_path / "record.html").write_bytes(record_of(work(kept.job), made=made)["record.html"])
    page = tmp_path / "frame.html"
    page.write_text(FRAME.format(width=width), encoding="utf-8")
    command = [str(BROWSER), *FLAGS, f"--user-data-dir={tmp_path / 'profile'}", "--dump-dom", page.as_uri()]

    shown = subprocess.run(command, capture_output=True, text=True, timeout=60, check=True).stdout

    needed = re.search(r"needs (\d+)", shown)
    assert needed is not None, "the page was not loaded"
    assert int(needed[1]) <= width
