# ruff: noqa: INP001, T201 - a script of the documents, not a package; it says what it wrote
"""Make every picture of the documents and the page that shows them all, from the running app and the command line.

Run from the repository: ``.venv/bin/python docs/make_gallery.py [NAME ...]``; names make those pictures alone. What is
looked at stands in ``gallery.toml``. It starts the app and a shop's server on ports of their own and needs a Chromium
(that of ``VENTWRIGHT_CHROMIUM``, else the first found) and ``pdftoppm`` (on Debian: ``poppler-utils``).
"""

from __future__ import annotations

import os
import re
import shlex
import shutil
import subprocess
import sys
import tempfile
import time
import tomllib
from collections.abc import Callable, Iterator
from contextlib import contextmanager, redirect_stdout
from html import escape
from io import BytesIO, StringIO
from pathlib import Path
from socket import socket
from typing import TYPE_CHECKING, Any, NamedTuple
from uuid import uuid4

import httpx
from PIL import Image, ImageDraw
from playwright.sync_api import sync_playwright

from ventwright.cli import main as ventwright

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

HERE = Path(__file__).parent
PICTURES, PAGE = HERE / "pictures", HERE / "gallery.md"
COLOURS = 48
"""Colours of a picture: a page in ink on paper needs no more."""

PATIENCE = 180.0
"""Seconds in which a server answers first."""


class Look(NamedTuple):
    """How a page is looked at."""

    width: int
    height: int
    scheme: str = "light"
    media: str = "screen"
    shown: str = "24%"
    """Width of the picture in the gallery."""


LOOKS = {
    "phone": Look(360, 640),
    "dark": Look(360, 640, scheme="dark"),
    "laptop": Look(1280, 800, shown="60%"),
    "print": Look(816, 1056, media="print", shown="40%"),
}

JOBS = {
    "$done": "/jobs/demo-larkspur-row-r-2",
    "$fan": "/jobs/demo-heron-quay-v-3",
    "$single": "/jobs/demo-osier-lane-e-5",
    "$open": "/jobs/demo-alder-bench-hp-1",
    "$masked": "/jobs/demo-tern-yard-u-4",
}
FILES = {"DONE": "larkspur-row-r-2.yaml", "MASKED": "tern-yard-u-4.yaml", "LOG": "logged-unit.csv"}
CHROMIUMS = ("chromium", "chromium-browser", "google-chrome")
DOTS_PER_INCH = "80"
LINES = 40
"""Lines of what a command prints."""

PASSWORD = "window kettle marble forty"  # noqa: S105 - of a server that lives for a minute
TERMINAL = """<!doctype html><meta charset="utf-8"><style>body{margin:0;background:#fff;color:#111;padding:14px 18px}
pre{font:13px/1.35 "DejaVu Sans Mono",monospace;margin:0;white-space:pre}</style><pre>%s</pre>"""


def main() -> int:
    """Make every picture, or those named, and the page."""
    chromium = os.environ.get("VENTWRIGHT_CHROMIUM") or next(filter(None, map(shutil.which, CHROMIUMS)), None)
    lacking = [name for name, found in (("chromium", chromium), ("pdftoppm", shutil.which("pdftoppm"))) if not found]  # fmt: skip
    if lacking:
        print(f"Missing: {', '.join(lacking)}.", file=sys.stderr)
        return 2
    parts = tomllib.loads((HERE / "gallery.toml").read_text(encoding="utf-8"))["part"]
    wanted = set(sys.argv[1:])

    def asked(kind: str) -> list[dict[str, Any]]:
        return [one for part in parts for one in part.get(kind, ()) if not wanted or one["name"] in wanted]

    PICTURES.mkdir(exist_ok=True)
    with tempfile.TemporaryDirectory() as name, sync_playwright() as driver:
        folder = Path(name)
        with redirect_stdout(StringIO()):
            ventwright(["demo", "--out", name])
        log = log_of_a_stuck_damper(folder / FILES["LOG"])
        browser = driver.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        pictures = asked("picture")
        own, shops = (
            [one for one in pictures if "shop" not in one],
            [one for one in pictures if "shop" in one],
        )
        if own:
            with served("--demo") as (address, _):
                page = browser.new_page()
                take_photos(page, address)
                hand_in(page, address, log)
                page.close()
                for one in own:
                    if one.get("checked"):
                        check_a_year_later(address)
                    look_at(browser, one, address, JOBS)
        if shops:
            of_a_shop(browser, shops)
        for one in asked("sheet"):
            sheet(folder / one["file"], one.get("page", 1), PICTURES / one["name"])
        for one in asked("printed"):
            printed(browser, one, folder)
        browser.close()
    PAGE.write_text(gallery(parts), encoding="utf-8")
    print(PAGE)
    return 0


@contextmanager
def served(*options: str) -> Iterator[tuple[str, Callable[[], str]]]:
    """Serve while somebody looks; gives the address, and what the server has said so far."""
    with socket() as free:
        free.bind(("127.0.0.1", 0))
        port = str(free.getsockname()[1])
    address = f"http://127.0.0.1:{port}"
    with tempfile.TemporaryDirectory() as folder, tempfile.NamedTemporaryFile("w+") as said:
        command = [sys.executable, "-m", "ventwright", "serve", *options, "--data", folder, "--port", port]
        serving = subprocess.Popen(command, stdout=said, stderr=subprocess.STDOUT)  # noqa: S603 - our own program
        try:
            _wait(address)
            yield address, Path(said.name).read_text
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


def of_a_shop(browser: Browser, pictures: list[dict[str, Any]]) -> None:
    """Look at pages of a shop: from outside, and signed in as its reviewer."""
    with served("--shop") as (address, said):
        link = re.search(r"(/invitation/[\w-]+)", said().replace("\n", ""))
        if link is None:
            message = "the server printed no invitation"
            raise RuntimeError(message)
        with httpx.Client(
            base_url=address, headers={"origin": address}, timeout=PATIENCE, follow_redirects=True
        ) as client:
            given = {
                "name": "Rosa Marsh (invented)",
                "login": "rosa",
                "password": PASSWORD,
                "again": PASSWORD,
            }
            client.post(link[1], data=given).raise_for_status()
            text = (HERE.parent / "src/ventwright/cli/demo_job" / FILES["DONE"]).read_text(encoding="utf-8")
            job = client.post("/bring", data={"text": text, "how": "copy", "once": uuid4().hex}).url.path
            signed_in = [{"name": one.name, "value": one.value or "", "url": address} for one in client.cookies.jar]  # fmt: skip
            for one in pictures:
                cookies = signed_in if one["shop"] == "inside" else []
                look_at(browser, one, address, {"$shop": job}, cookies)


def hand_in(page: Page, address: str, log: Path) -> None:
    """Hand in a log of a job."""
    page.goto(f"{address}{JOBS['$done']}/trends/choose")
    page.set_input_files("#logs", str(log))
    page.get_by_role("button", name="Look at them").click()
    page.get_by_role("link", name="Read and print it").wait_for(timeout=1000 * PATIENCE)


def check_a_year_later(address: str) -> None:
    """Enter what a check finds: all as it was left, but for a damper that brings in far less (invented numbers)."""
    warm, cold = {"value": "75", "value.unit": "°F"}, {"outdoor_air": "28.2", "return_air": "73.1"}
    air = {**cold, "mixed_air": "69.0, 69.3, 69.1, 69.2"}
    beside = {"sensor": "outdoor air", "shown": "28.4", "probe": "28.2"}
    read = {
        "signal": {"value": "21", "value.unit": "%"},
        "high-limit": warm,
        "sensor": {**beside, "instrument": "probe", "shown.unit": "°F", "probe.unit": "°F"},
        "air": {**air, "instrument": "probe", **{f"{name}.unit": "°F" for name in air}},
    }
    with httpx.Client(
        base_url=address, headers={"origin": address}, timeout=PATIENCE, follow_redirects=True
    ) as client:
        for number, given in read.items():
            client.post(
                f"{JOBS['$done']}/recheck/{number}", data={**given, "once": uuid4().hex}
            ).raise_for_status()


def log_of_a_stuck_damper(path: Path) -> Path:
    """Write the log of an invented unit whose damper stands still, by the formula that the tests use."""
    sys.path.insert(0, str(HERE.parent))
    from tests.logged_unit import write

    return write(path, stuck=True)


def take_photos(page: Page, address: str) -> None:
    """Enter two drawn photos, so that there is something to see."""
    for shows, state, caption, open_by in (
        ("outdoor damper", "as found", "blades as they were found", 60),
        ("outdoor damper", "as left", "shut tight, seal whole", 0),
    ):
        page.goto(f"{address}{JOBS['$done']}/photos/new?stage=balance")
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


def look_at(
    browser: Browser,
    picture: dict[str, Any],
    address: str,
    jobs: dict[str, str],
    cookies: list[Any] | None = None,
) -> None:
    """Take the pictures of a page, one for each look."""
    path = picture["path"]
    for sign, job in jobs.items():
        path = path.replace(sign, job)
    for name in picture["looks"]:
        look = LOOKS[name]
        context = browser.new_context(
            viewport={"width": look.width, "height": look.height},
            has_touch=look.width < 600,
            color_scheme=look.scheme,  # type: ignore[arg-type]
        )
        context.add_cookies(cookies or [])
        page = context.new_page()
        page.emulate_media(media=look.media)  # type: ignore[arg-type]
        page.goto(address + path, wait_until="networkidle")
        if "waits" in picture:
            page.locator(f"text={picture['waits']}").wait_for(state="detached", timeout=1000 * PATIENCE)
            page.wait_for_load_state("networkidle")
        keep(page.screenshot(), PICTURES / f"{file_of(picture, name)}")
        context.close()


def file_of(picture: dict[str, Any], look: str) -> str:
    """Return the file of a look; a page on the phone has the plain name, which the guide shows."""
    return f"screen-{picture['name']}{'' if look == 'phone' else f'-{look}'}.png"


def keep(png: bytes, to: Path) -> None:
    """Keep a picture in few colours."""
    with Image.open(BytesIO(png)) as image:
        image.convert("RGB").quantize(COLOURS).save(to, optimize=True)
    print(to)


def sheet(pdf: Path, number: int, to: Path) -> None:
    """Make one page of a PDF a picture."""
    look = ["-png", "-gray", "-r", DOTS_PER_INCH, "-f", str(number), "-singlefile"]
    subprocess.run(["pdftoppm", *look, str(pdf), str(to)], check=True)  # noqa: S603, S607 - our own files
    print(f"{to}.png")


def printed(browser: Browser, one: dict[str, Any], folder: Path) -> None:
    """Make a picture of what a command prints."""
    given = [FILES.get(word, word) for word in shlex.split(one["command"])[1:]]
    told = subprocess.run(  # noqa: S603 - our own program
        [sys.executable, "-m", "ventwright", *given],
        cwd=folder, capture_output=True, text=True, check=False, env={**os.environ, "COLUMNS": "110"},
    )  # fmt: skip
    lines = (told.stdout or told.stderr).splitlines()
    more = ["..."] if len(lines) > LINES else []
    shown = [f"$ ventwright {shlex.join(given)}", *lines[:LINES], *more]
    page = browser.new_page(viewport={"width": 940, "height": 200})
    page.set_content(TERMINAL % escape("\n".join(shown)))
    keep(page.screenshot(full_page=True), PICTURES / f"{one['name']}.png")
    page.close()


def gallery(parts: list[dict[str, Any]]) -> str:
    """Return the page that shows every picture."""
    said = ["# What it looks like", "", "Every picture is made by `.venv/bin/python docs/make_gallery.py` from the running app and the command line; jobs, people, sites and", "logs in them are invented.", ""]  # fmt: skip
    for part in parts:
        said += [f"## {part['title']}", "", part["text"], ""]
        for one in part.get("picture", ()):
            shots = [
                f'<img src="pictures/{file_of(one, look)}" alt="{escape(one["text"])} ({look})" width="{LOOKS[look].shown}">'
                for look in one["looks"]
            ]
            said += [f"**{one['text']}**", "", *shots, ""]
        for one in (*part.get("sheet", ()), *part.get("printed", ())):
            shot = f'<img src="pictures/{one["name"]}.png" alt="{escape(one["text"])}" width="{"60%" if "command" in one else "40%"}">'
            said += [f"**{one['text']}**", "", shot, ""]
    return "\n".join(said)


if __name__ == "__main__":
    sys.exit(main())
