"""The app under twenty technicians at once: latencies beside a bare page, errors, bytes, first useful screen, memory.

The server and its two processes for long work run as a person starts them. Latencies are wall time, and so tell of this
machine and what else runs on it; the ratio to a page that does nothing, asked of the same server in between, is what
can be compared. Goals: no error, the first screen below 100 kB compressed.
"""

from __future__ import annotations

import asyncio
import gzip
import re
import secrets
import shutil
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path
from statistics import median, quantiles

import httpx

TECHNICIANS, ROUNDS = 20, 6
BYTES = 100_000
PAGES = ("", "/plan", "/set", "/balance", "/prove", "/restore", "/record", "/facts/unit")
FIRST = {"capacity": "10", "capacity.unit": "ton", "speeds": "2", "place": "Cook, IL", "outdoor": "40", "outdoor.unit": "°F"}  # fmt: skip


class Took:
    """Wall times by what was asked, and what went wrong."""

    def __init__(self) -> None:
        self.seconds: dict[str, list[float]] = {}
        self.wrong: list[str] = []

    def note(self, what: str, seconds: float, answer: httpx.Response) -> None:
        """Note one answer."""
        self.seconds.setdefault(what, []).append(seconds)
        if answer.status_code >= 400:
            self.wrong.append(f"{what}: {answer.status_code}")


async def technician(base: str, took: Took, number: int) -> None:
    """Open a job, look at every page, enter readings: as one person does, without pausing."""
    async with httpx.AsyncClient(
        base_url=base, headers={"origin": base}, follow_redirects=True, timeout=120
    ) as one:

        async def asked(what: str, ask: Callable[[], object]) -> httpx.Response:
            start = time.perf_counter()
            answer: httpx.Response = await ask()  # type: ignore[misc]
            took.note(what, time.perf_counter() - start, answer)
            return answer

        opened = await asked(
            "open a job", lambda: one.post("/new", data=FIRST | {"once": secrets.token_hex(16)})
        )
        job = opened.url.path
        for turn in range(ROUNDS):
            for page in PAGES:
                await asked("a page", lambda page=page: one.get(job + page))  # type: ignore[misc]
                await asked("a bare page", lambda: one.get("/manifest.webmanifest"))
            entry = {"once": secrets.token_hex(16), "tag": f"R-{number}-{turn}", "cooling_capacity": "10", "cooling_capacity.unit": "ton"}  # fmt: skip
            await asked(
                "an entry, durable, with its page", partial(one.post, f"{job}/facts/unit", data=entry)
            )


def served(folder: Path) -> tuple[subprocess.Popen[str], str]:
    """Start the server as a person does."""
    from ventwright.cli.serve import free_port

    port = free_port(8400)
    server = subprocess.Popen(  # noqa: S603 - our own program
        [sys.executable, "-u", "-m", "ventwright", "serve", "--port", str(port), "--data", str(folder)],
        stdout=subprocess.PIPE, text=True,
    )  # fmt: skip
    assert server.stdout is not None
    server.stdout.readline()
    base = f"http://localhost:{port}"
    for _ in range(300):
        try:
            httpx.get(base)
        except httpx.TransportError:
            time.sleep(0.2)
        else:
            break
    return server, base


def resident(process: int) -> float:
    """Memory of a process and its children. [MB]"""
    found = [
        process,
        *(int(one) for one in Path(f"/proc/{process}/task/{process}/children").read_text().split()),
    ]
    pages = [re.search(r"VmRSS:\s+(\d+)", Path(f"/proc/{one}/status").read_text()) for one in found]
    return sum(int(one[1]) for one in pages if one) / 1000.0


def first_screen_bytes(base: str) -> int:
    """What a browser fetches for the first screen, compressed. [bytes]"""
    page = httpx.get(base).text
    names = set(re.findall(r"/files/\w+/[\w.]+", page))
    script = next(name for name in names if name.endswith("app.js"))
    folder = script.rpartition("/")[0]
    loaded, ahead = set[str](), [script.rpartition("/")[2]]
    content = page.encode()
    while ahead:
        name = ahead.pop()
        if name not in loaded:
            loaded.add(name)
            text = httpx.get(f"{base}{folder}/{name}").text
            content += text.encode()
            ahead += re.findall(r'from "\./([\w.]+)"', text)
    for name in names - {script}:
        content += httpx.get(f"{base}{name}").content
    return len(gzip.compress(content))


def first_useful_screen(base: str) -> dict[str, float]:
    """Wall time to a filled first page on a phone's screen, unslowed and with the processor slowed four times. [s]"""
    chromium = shutil.which("chromium")
    if chromium is None:
        return {}
    from playwright.sync_api import sync_playwright

    found = {}
    with sync_playwright() as play:
        browser = play.chromium.launch(executable_path=chromium, args=["--no-sandbox", "--disable-gpu"])
        for slowed in (1, 4):
            page = browser.new_context(viewport={"width": 360, "height": 640}, has_touch=True).new_page()
            page.context.new_cdp_session(page).send("Emulation.setCPUThrottlingRate", {"rate": slowed})
            start = time.perf_counter()
            page.goto(base)
            page.get_by_role("link", name="New job").wait_for()
            found[f"slowed {slowed} x"] = time.perf_counter() - start
        browser.close()
    return found


def main() -> int:
    """Run it and print the table; 1 where a goal is missed."""
    took = Took()
    with tempfile.TemporaryDirectory() as folder:
        server, base = served(Path(folder))
        try:
            httpx.get(base)
            first = first_useful_screen(base)
            light = first_screen_bytes(base)
            start = time.perf_counter()
            asyncio.run(_all(base, took))
            whole = time.perf_counter() - start
            memory = resident(server.pid)
        finally:
            server.terminate()
            server.wait(30)
    answers = sum(len(one) for one in took.seconds.values())
    bare = median(took.seconds["a bare page"])
    print(
        f"{TECHNICIANS} technicians at once: {answers} answers in {whole:.0f} s, {answers / whole:.0f} a second"
    )
    print(f"{'':<36}{'median':>9}{'95 of 100':>11}{'times a bare page':>19}")
    for what, seconds in took.seconds.items():
        high = quantiles(seconds, n=20)[-1]
        print(
            f"{what:<36}{1000 * median(seconds):>6.0f} ms{1000 * high:>8.0f} ms{median(seconds) / bare:>19.1f}"
        )
    print(f"errors: {len(took.wrong)} {took.wrong[:3] or ''}")
    print(f"first screen: {light / 1000:.0f} kB compressed (goal: below {BYTES / 1000:.0f})")
    for how, took_seconds in first.items():
        print(f"first useful screen, {how}: {took_seconds:.2f} s")
    print(f"memory of the server and its processes: {memory:.0f} MB")
    return int(bool(took.wrong) or light >= BYTES)


async def _all(base: str, took: Took) -> None:
    await asyncio.gather(*(technician(base, took, number) for number in range(TECHNICIANS)))


if __name__ == "__main__":
    raise SystemExit(main())
