"""Run the study: ``python -m benchmarks.trend_study --sound 100 --stuck 60 --weather ../shared/data/weather``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from benchmarks.trend_study.run import MOST_FALSE, Study, page, run

BEGIN, END = "<!-- study: made by benchmarks.trend_study -->", "<!-- end of study -->"


def main(arguments: list[str] | None = None) -> int:
    """Run it, print what came of it, write it where asked, and say by the exit code whether the goal was met."""
    asked = _asked(arguments)
    study = Study(asked.seed, (), (), ())
    for study in run(asked.sound, asked.stuck, asked.seed, asked.weather, asked.first):
        done = max(len(study.sound), len(study.stuck))
        print(f"roof {done}: {study.false_monthly:.4f} false a month", file=sys.stderr, flush=True)
    written = page(study)
    print(written)
    if asked.write:
        before, _, rest = asked.write.read_text(encoding="utf-8").partition(BEGIN)
        after = rest.partition(END)[2]
        asked.write.write_text(f"{before}{BEGIN}\n\n{written}\n\n{END}{after}", encoding="utf-8")
    return int(max(study.false_monthly, study.false_yearly) >= MOST_FALSE)


def _asked(arguments: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m benchmarks.trend_study", description=__doc__)
    parser.add_argument("--sound", type=int, default=100, help="years of sound units")
    parser.add_argument("--stuck", type=int, default=60, help="units whose damper sticks")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--first", type=int, default=0, help="number of the first roof, to run a part of it")
    parser.add_argument("--weather", type=Path, help="folder of typical years; else invented ones only")
    parser.add_argument("--write", type=Path, help="Markdown page with the marks in it")
    return parser.parse_args(arguments)


if __name__ == "__main__":
    sys.exit(main())
