"""Reading logs: by columns against plain Python, against merely reading the cells, and memory as the file grows.

Run from the repository: ``python -m benchmarks.bench_trend_reading``; the exit status is 1 where a goal is
missed. Both ways first have to give the same values and the same counts. The logs are invented.
"""

from __future__ import annotations

import csv
import random
import subprocess
import sys
import tempfile
from datetime import UTC, datetime, timedelta
from pathlib import Path

from benchmarks import timing

from ventwright.readings.trend import PointMap, Understood, logs, look
from ventwright.readings.trend.frames import frames, log_of

HEADINGS = (
    "OA Temp °F", "Return Air Temp °F", "Mixed Air Temp °F", "Supply Air Temp °F", "Room Temp °F", "Outdoor RH %", "Return RH %", "OA Damper Cmd %",
    "OA Damper Position Feedback %", "Supply Fan Status", "Supply Fan Speed %", "Cooling Stage 1", "Cooling Stage 2", "Heating Stage 1", "Occupied",
)  # fmt: skip
YEAR = 105_120
"""Rows of a year at five minutes."""

LONG = (5, 15)
"""Years of the files in which memory has to stay flat: both are longer than what is read at a time."""

PEAK = """
import sys
from pathlib import Path
from ventwright.readings.trend import PointMap, look
understood = look([Path(sys.argv[1])], PointMap(zone="Etc/GMT+6"))
if sys.argv[2] == "plain":
    from ventwright.readings.trend import stream
    for step in stream(understood):
        pass
else:
    from ventwright.readings.trend.frames import frame_steps
    for step in frame_steps(understood.files[0]):
        pass
print(next(int(line.split()[1]) for line in open("/proc/self/status") if line.startswith("VmHWM")) / 1024)
"""


def write(path: Path, rows: int) -> None:
    """Write an invented log."""
    chance = random.Random(20261125)
    start = datetime(2024, 1, 1, tzinfo=UTC)
    with path.open("w", encoding="utf-8") as file:
        file.write(",".join(("Time", *HEADINGS)) + "\n")
        for number in range(rows):
            moment = start + timedelta(minutes=5 * number)
            numbers = [f"{chance.uniform(30, 90):.2f}" for _ in range(7)]
            signals = [f"{chance.uniform(0, 100):.1f}" for _ in range(2)]
            states = [str(chance.randrange(2)) for _ in range(5)]
            cells = [
                *numbers,
                *signals,
                states[0],
                f"{chance.uniform(0, 100):.1f}",
                *states[1:],
                str(chance.randrange(2)),
            ]
            file.write(f"{moment:%m/%d/%Y %H:%M}," + ",".join(cells[: len(HEADINGS)]) + "\n")


def peak(path: Path, way: str) -> float:
    """Return the most memory that a process of its own held while it read a log through [MB]."""
    done = subprocess.run(  # noqa: S603 - our own interpreter
        [sys.executable, "-c", PEAK, str(path), way], capture_output=True, text=True, check=True
    )
    return float(done.stdout)


def read_cells(path: Path) -> int:
    """Part the cells of a log and do nothing with them."""
    with path.open(encoding="utf-8", newline="") as file:
        return sum(1 for _ in csv.reader(file))


def understood_of(path: Path) -> Understood:
    """Look at the log."""
    found = look([path], PointMap.model_validate({"zone": "Etc/GMT+6"}))
    assert not found.questions, found.questions
    return found


def main() -> int:
    """Check that the ways agree, then compare times and memory."""
    with tempfile.TemporaryDirectory() as folder:
        path, *longer = (Path(folder) / f"rtu-{years}.csv" for years in (1, *LONG))
        write(path, YEAR)
        for one, years in zip(longer, LONG, strict=True):
            write(one, years * YEAR)
        understood = understood_of(path)
        (plain,), (quick,) = logs(understood), (log_of(one) for one in frames(understood))
        assert plain.series == quick.series
        assert plain.counts == quick.counts
        assert len(plain.series) == len(HEADINGS)
        against_plain = timing.times_as_long(
            lambda: list(frames(understood)), lambda: list(logs(understood)), rounds=3
        )
        against_cells = timing.times_as_long(
            lambda: list(frames(understood)), lambda: read_cells(path), rounds=3
        )
        seconds = timing._seconds(lambda: list(frames(understood)))  # noqa: SLF001 - for the reader, not for a goal
        print(f"by columns {YEAR / seconds / 1e6:.2f} M rows of {len(HEADINGS)} columns a processor second")
        memory = {way: [peak(one, way) for one in (path, *longer)] for way in ("plain", "columns")}
        sizes = [one.stat().st_size / 1e6 for one in (path, *longer)]
        for way, most in memory.items():
            each = (f"{peaked:.0f} MB for {size:.0f} MB" for peaked, size in zip(most, sizes, strict=True))
            print(f"{way}: at most {', '.join(each)}")
    growth = max(longest / long for _, long, longest in memory.values())
    return timing.report(
        "reading a log of a year, from text to whole steps in SI",
        [
            ("plain Python : by columns", against_plain, 6.0),
            ("csv module, cells only : by columns", against_cells, 0.5),
            ("memory allowed to grow : grown", 1.2 / growth, 1.0),
        ],
    )


if __name__ == "__main__":
    sys.exit(main())
