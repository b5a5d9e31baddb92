"""A rooftop unit's log for tests, written by formula: sound, or with a damper that stands still. Our own invention."""

from __future__ import annotations

import math
import random
from datetime import UTC, datetime
from pathlib import Path

START = 1_741_564_800
"""2025-03-10 00:00 UTC, a Monday."""

DAY = 86_400

HEADINGS = (
    "OA Temp °F", "RA Temp °F", "MA Temp °F", "SA Temp °F", "OA Damper Cmd %", "Supply Fan Status", "Cooling Stage 1", "Heating Stage 1", "Occupied",
)  # fmt: skip
"""Each names one point without a question."""


def rows(days: int, step: int, *, stuck: bool, seed: int = 1) -> list[tuple[int, list[str]]]:
    """Return the times and the cells of a log.

    A sound damper gives a share of 0.9 times its signal; a stuck one always 0.15. On in occupied hours, 12 to 24 h UTC.
    """
    chance = random.Random(seed)  # noqa: S311 - an invented log
    found = []
    for time in range(START, START + days * DAY, step):
        hour = time % DAY / 3600
        on = hour >= 12 and (time // DAY + 3) % 7 < 5
        outdoor = 12.0 + 7.0 * math.sin((hour - 15) / 24 * 2 * math.pi) + 3.0 * math.sin(time / DAY / 3)
        returned = 23.0 + 0.3 * math.sin(time / 7000)
        cools = on and outdoor > 14.0
        signal = 0.0 if not on else 0.95 if 10.0 < outdoor < 18.0 else 0.25
        heats = on and outdoor < 5.0
        share = 0.15 if stuck else 0.9 * signal
        mixed = returned + share * (outdoor - returned)
        supply = mixed + (0.8 if on else 0.0) - (9.0 if cools else 0.0) + (14.0 if heats else 0.0)
        numbers = [1.8 * (one + chance.gauss(0.0, 0.1)) + 32.0 for one in (outdoor, returned, mixed, supply)]
        cells = [f"{one:.2f}" for one in numbers] + [f"{100 * signal:.1f}"]
        cells += [str(int(one)) for one in (on, cools, heats, on)]
        found.append((time, cells))
    return found


def write(path: Path, days: int = 12, step: int = 600, *, stuck: bool = False, seed: int = 1) -> Path:
    """Write a log of a unit."""
    lines = [",".join(("Time", *HEADINGS))]
    for time, cells in rows(days, step, stuck=stuck, seed=seed):
        lines.append(f"{datetime.fromtimestamp(time, UTC):%Y-%m-%d %H:%M:%S}," + ",".join(cells))
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("\n".join(lines) + "\n", encoding="utf-8")
    return path
