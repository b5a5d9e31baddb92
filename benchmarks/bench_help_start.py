"""How long `ventwright --help` takes beside a bare interpreter's start: at most 4 times, interleaved, medians."""

from __future__ import annotations

import compileall
import subprocess
import sys
import time
from pathlib import Path
from statistics import median

GOAL, TURNS = 4.0, 25

SOURCE = Path(__file__).resolve().parents[1] / "src"


def seconds(*arguments: str) -> float:
    """Wall time of one run of the interpreter."""
    start = time.perf_counter()
    subprocess.run([sys.executable, *arguments], check=True, capture_output=True)  # noqa: S603 - our own program
    return time.perf_counter() - start


def main() -> int:
    """Measure, print the ratio, and return 1 where the goal is missed."""
    compileall.compile_dir(SOURCE, quiet=1)  # an installed package is compiled; a checkout may not be
    bare, helped, planned = [], [], []
    for _ in range(TURNS):
        bare.append(seconds("-c", "pass"))
        helped.append(seconds("-m", "ventwright", "--help"))
        planned.append(seconds("-m", "ventwright", "plan", "--help"))
    ratio, of_verb = median(helped) / median(bare), median(planned) / median(bare)
    print(f"ventwright --help      : bare interpreter = {ratio:.1f} (goal: at most {GOAL:.0f})")
    print(f"ventwright plan --help : bare interpreter = {of_verb:.1f}")
    return int(ratio > GOAL)


if __name__ == "__main__":
    sys.exit(main())
