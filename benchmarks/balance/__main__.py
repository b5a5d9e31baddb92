"""Run the benchmark: ``python -m benchmarks.balance --study all --processes 2 --write docs/balance_benchmark.md``."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from benchmarks.balance.boldness import boldness_page
from benchmarks.balance.calibration import UNITS, calibrate, calibration_page
from benchmarks.balance.power import GOOD, MILD, Cell, measure, mild_page, power_page
from benchmarks.balance.run import LAYERS_U, METHODS, NOISE_U, Runner
from benchmarks.balance.table import table

STUDIES = ("calibration", "power", "mild", "boldness")
POWER_UNITS, ATTAINABLE_UNITS = 400, 100


def main() -> int:
    """Do the studies asked for, print them, and write them where asked."""
    asked = _asked()
    methods = "".join(sorted(asked.methods.replace(",", "")))
    runner = Runner(asked.processes, asked.keep, asked.minutes)
    pages = [_head(methods, asked)]
    cells: list[Cell] = []
    try:
        for study in STUDIES if asked.study == "all" else (asked.study,):
            print(f"{study} ...", file=sys.stderr, flush=True)
            if study == "calibration":
                bands = list(
                    calibrate(runner, methods, asked.seed, asked.units or UNITS, asked.attainable_units)
                )
                pages.append(calibration_page(bands, methods))
                continue
            units = asked.units or POWER_UNITS
            if study == "boldness":
                pages.append(boldness_page(runner, asked.seed, units, asked.attainable_units))
                continue
            bounds = GOOD if study == "power" else MILD
            supplies = tuple(float(one) for one in asked.supplies.split(","))
            cells = list(
                measure(runner, methods, asked.seed, units, asked.attainable_units, bounds, supplies)
            )
            pages.append(power_page(cells, methods) if study == "power" else mild_page(cells))
            pages.append(_cost(cells))
    finally:
        runner.close()
    page = "\n".join(part for part in pages if part)
    print(page)
    if asked.write:
        asked.write.write_text(page, encoding="utf-8")
    return 0


def _asked() -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m benchmarks.balance", description=__doc__)
    parser.add_argument("--study", choices=(*STUDIES, "all"), default="all")
    parser.add_argument(
        "--units", type=int, help=f"units: {UNITS} a band at most, {POWER_UNITS} in the others"
    )
    parser.add_argument(
        "--attainable-units",
        type=int,
        default=ATTAINABLE_UNITS,
        help="units for (f), (g), (i) and (j), which are dear",
    )
    parser.add_argument("--processes", type=int, default=1)
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument(
        "--supplies", default="0,0.05", help="accuracies of the supply airflow, 0 where it is known"
    )
    parser.add_argument("--methods", default="a,b,c,d,e,f,g,h,i,j", help="letters")
    parser.add_argument(
        "--keep",
        type=Path,
        help="folder where answers are kept and found again; one for each state of the code",
    )
    parser.add_argument("--minutes", type=float, help="after so many the calibration starts no more units")
    parser.add_argument("--write", type=Path, help="Markdown file")
    return parser.parse_args()


def _head(methods: str, asked: argparse.Namespace) -> str:
    rows = [(f"({letter})", METHODS[letter][0]) for letter in methods]
    return (
        "# Balance: closed loop over simulated roofs\n\n"
        f"Written by `python -m benchmarks.balance --study {asked.study} --seed {asked.seed}`; `benchmarks/balance` is "
        "the specification in code. The accuracy of a probe is 95 % coverage (k = 2) of a fixed offset. "
        f"Noise of a reading: {NOISE_U} K. Layered air: the error of a traverse's mean has a standard deviation of "
        f"{100 * LAYERS_U:g} % of the outdoor-return difference, a smooth function of the damper's place. The damper "
        "comes to rest within 0.2 % of its stroke (standard deviation) each time it is moved. Targets are 10 to 40 % at "
        "the high speed; the required airflow is the same at both, and the low speed has 50 to 70 % of the flow. The air "
        "paths are eleven families of curves, none of them the fitting model's own.\n\n"
        + table(("", "method"), rows)
    )


def _cost(cells: list[Cell]) -> str:
    costs = [verdict.cost for cell in cells for verdict in cell.of("d")]
    if not any(costs):
        return ""
    return f"Cost of (d): at most {max(costs):,.0f} evaluations of the unit's steady state for one answer.\n"


if __name__ == "__main__":
    sys.exit(main())
