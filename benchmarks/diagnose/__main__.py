"""Run the benchmark: ``python -m benchmarks.diagnose --units 1000 --processes 1 --seed 1 --write docs/diagnose_benchmark.md``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from benchmarks.diagnose.page import page, picture
from benchmarks.diagnose.run import ON_A_ROOF, visit_all
from benchmarks.diagnose.score import score


def main() -> int:
    """Visit the units, score both sets, print the page, and write it where asked."""
    asked = _asked()
    roofs = []
    for one in visit_all(asked.units, asked.seed, asked.processes):
        roofs.append(one)
        print(f"roof {one.number}, {one.outdoor:.0f} °C", file=sys.stderr, flush=True)
    inside = score([visit for roof in roofs for visit in roof.inside])
    outside = score([visit for roof in roofs for visit in roof.outside])
    written = page(
        roofs, inside, outside, f"python -m benchmarks.diagnose --units {asked.units} --seed {asked.seed}"
    )
    print(written)
    if asked.write:
        asked.write.write_text(written, encoding="utf-8")
        drawn = asked.write.parent / "pictures" / "diagnose_calibration.svg"
        drawn.parent.mkdir(exist_ok=True)
        drawn.write_text(picture(inside.tenths), encoding="utf-8")
    return 0


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m benchmarks.diagnose", description=__doc__)
    parser.add_argument("--units", type=int, default=1000, help=f"units of the first set, {ON_A_ROOF} a roof")
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--write", type=Path, help="Markdown file")
    return parser.parse_args()


if __name__ == "__main__":
    sys.exit(main())
