# ruff: noqa: INP001, T201 - a script of the documents, not a package; it says what it wrote
"""Make the pictures of the app that the technician's guide shows, from the invented jobs.

Run from the repository: ``.venv/bin/python docs/make_screens.py``. It starts the app on a port of its own and needs a
Chromium: that of ``VENTWRIGHT_CHROMIUM``, else the first found on the machine.
"""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Iterator
from contextlib import contextmanager
from io import BytesIO
from pathlib import Path
from socket import socket
from typing import TYPE_CHECKING

import httpx
from PIL import Image, ImageDraw
from playwright.sync_api import sync_playwright

if TYPE_CHECKING:
    from playwright.sync_api import Page

PICTURES = Path(__file__).with_name("pictures")
PHONE = {"width": 360, "height": 640}
COLOURS = 48
"""Colours of a picture: a page in ink on paper needs no more."""

PATIENCE = 60.0
"""Seconds in which the app answers first."""

BALANCED, PLANNED, READING, WAITING = (
    "/jobs/demo-larkspur-row-r-2",
    "/jobs/demo-heron-quay-v-3",
    "/jobs/demo-osier-lane-e-5",
    "/jobs/demo-alder-bench-hp-1",
)

SCREENS = {
    "jobs": "/",
    "plan": f"{PLANNED}/plan",
    "wire": f"{PLANNED}/wire",
    "balance": f"{READING}/balance",
    "read": f"{READING}/balance/single/read",
    "prove": f"{PLANNED}/prove",
    "restore": f"{WAITING}/restore",
    "photos": f"{BALANCED}/photos",
    "record": f"{BALANCED}/record",
    "kit": "/office/kits/two-speed-dry-bulb",
}
"""Pictures by name: the page that each shows."""

CHROMIUMS = ("chromium", "chromium-browser", "google-chrome")


def main() -> int:
    """Make every picture."""
    chromium = os.environ.get("VENTWRIGHT_CHROMIUM") or next(filter(None, map(shutil.which, CHROMIUMS)), None)
    if chromium is None:
        print("Chromium is missing; on Debian: apt-get install chromium", file=sys.stderr)
        return 2
    PICTURES.mkdir(exist_ok=True)
    options = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]
    with app() as address, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=chromium, args=options)
        page = browser.new_page(viewport=PHONE, has_touch=True, color_scheme="light")  # type: ignore[arg-type]
        take_photos(page, address)
        for name, path in SCREENS.items():
            print(shoot(page, address + path, PICTURES / f"screen-{name}.png"))
        browser.close()
    return 0


@contextmanager
def app() -> Iterator[str]:
    """Serve the invented jobs while somebody looks at them."""
    with socket() as free:
        free.bind(("127.0.0.1", 0))
        port = str(free.getsockname()[1])
    address = f"http://127.0.0.1:{port}"
    with tempfile.TemporaryDirectory() as folder:
        command = [sys.executable, "-m", "ventwright", "serve", "--demo", "--data", folder, "--port", port]
        serving = subprocess.Popen(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)  # noqa: S603 - our own program
        try:
            _wait(address)
            yield address
        finally:
            serving.terminate()
            serving.wait()


def _wait(address: str) -> None:
    until = time.monotonic() + PATIENCE
    while True:
        try:
            httpx.get(address, timeout=PATIENCE)
        except httpx.TransportError:
            if time.monotonic() > until:
                raise
            time.sleep(0.1)
        else:
            return


def take_photos(page: Page, address: str) -> None:
    """Enter two drawn photos, so that there is something to see."""
    for shows, state, caption, open_by in (
        ("outdoor damper", "as found", "blades as they were found", 60),
        ("outdoor damper", "as left", "shut tight, seal whole", 0),
    ):
        page.goto(f"{address}{BALANCED}/photos/new?stage=balance")
        page.set_input_files(
            "#chosen", {"name": "photo.jpg", "mimeType": "image/jpeg", "buffer": drawn_blades(open_by)}
        )
        page.locator("[data-reduced]:has-text('kB')").wait_for()
        page.select_option("#shows", shows)
        page.check(f"input[name=state][value='{state}']")
        page.fill("#caption", caption)
        page.click("button.first")
        page.locator(".undo").wait_for()


def drawn_blades(open_by: int) -> bytes:
    """Draw a damper of five blades, so far open; no photo of anything that exists."""
    image = Image.new("RGB", (1200, 900), (96, 104, 108))
    pen = ImageDraw.Draw(image)
    pen.rectangle((90, 70, 1110, 830), fill=(44, 48, 50), outline=(170, 176, 180), width=26)
    for blade in range(5):
        top = 100 + blade * 144
        pen.rectangle((120, top + open_by, 1080, top + 138), fill=(178, 184, 188))
        pen.line((120, top + 134, 1080, top + 134), fill=(30, 30, 30), width=7)
    held = BytesIO()
    image.save(held, "JPEG", quality=90)
    return held.getvalue()


def shoot(page: Page, address: str, to: Path) -> Path:
    """Take the picture of a page as it stands on a phone."""
    page.goto(address)
    page.wait_for_load_state("networkidle")
    with Image.open(BytesIO(page.screenshot())) as image:
        image.convert("RGB").quantize(COLOURS).save(to, optimize=True)
    return to


if __name__ == "__main__":
    sys.exit(main())
