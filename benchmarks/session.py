"""Every benchmark of time in one session, written into docs/performance.md: ``python -m benchmarks.session [NAME ...]``.

One that is named alone takes the place of its own part; the others stay as they were measured, each with its day and load.
Benchmarks that count verdicts and not time (balance, diagnose, trend_study) have pages of their own.
"""

from __future__ import annotations

import os
import platform
import re
import subprocess
import sys
import time
from datetime import UTC, datetime
from importlib.metadata import version
from pathlib import Path

HERE = Path(__file__).parent
PAGE = HERE.parent / "docs" / "performance.md"
COUNTED = {"balance", "trend_study"}
PEERS = (
    "numpy",
    "polars",
    "pandas",
    "duckdb",
    "dask",
    "numba",
    "PsychroLib",
    "starlette",
    "uvicorn",
    "playwright",
)

PART = re.compile(r"<!-- measured (?P<name>\w+) -->\n(?P<body>.*?)<!-- end -->", re.DOTALL)
MACHINE = re.compile(r"<!-- machine -->\n.*?<!-- end -->", re.DOTALL)


def main() -> int:
    """Run the benchmarks and write what they print; return 1 where a goal was missed."""
    text = PAGE.read_text(encoding="utf-8")
    named = set(sys.argv[1:])
    names = [found["name"] for found in PART.finditer(text)]
    unknown = (named - set(names)) | (_scripts() - set(names) - COUNTED)
    if unknown:
        print(f"{PAGE.name} has no part for: {', '.join(sorted(unknown))}", file=sys.stderr)
        return 2
    missed = False
    for name in names:
        if named and name not in named:
            continue
        said, failed = _run(name)
        missed |= failed
        text = PART.sub(lambda found, name=name, said=said: said if found["name"] == name else found[0], text)  # type: ignore[misc]
        PAGE.write_text(text, encoding="utf-8")
    PAGE.write_text(MACHINE.sub(lambda _: _machine(), text), encoding="utf-8")
    return int(missed)


def _scripts() -> set[str]:
    return {script.stem.removeprefix("bench_") for script in HERE.glob("bench_*.py")}


def _run(name: str) -> tuple[str, bool]:
    """Run one benchmark; returns its part of the page, and whether it missed a goal."""
    print(f"{name} ...", file=sys.stderr, flush=True)
    load, began = os.getloadavg()[0], time.monotonic()
    done = subprocess.run(  # noqa: S603 - our own program
        [sys.executable, "-m", f"benchmarks.bench_{name}"], capture_output=True, text=True, check=False
    )
    minutes = (time.monotonic() - began) / 60
    told = done.stdout.strip() or done.stderr.strip()
    when = f"{datetime.now(UTC).date().isoformat()}, {minutes:.1f} min, load average {load:.1f} before and {os.getloadavg()[0]:.1f} after"
    return f"<!-- measured {name} -->\n{when}\n\n```text\n{told}\n```\n<!-- end -->", done.returncode != 0


def _machine() -> str:
    """Say what the machine and the versions are."""
    peers = ", ".join(f"{name} {version(name)}" for name in PEERS)
    cores = f"{os.cpu_count()} cores, {platform.machine()}, {platform.system()}"
    return f"<!-- machine -->\nPython {platform.python_version()}, {cores}; {peers}.\n<!-- end -->"


if __name__ == "__main__":
    sys.exit(main())
