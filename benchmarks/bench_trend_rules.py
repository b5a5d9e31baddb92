"""Trend rules against the same rules in pandas, a file at a time, and in SQL for DuckDB; memory and cost as fleets grow.

Run from the repository: ``python -m benchmarks.bench_trend_rules``; with ``--short`` without the thousand unit-years. The
exit status is 1 where a goal is missed. First all of them have to give the same flags, from text and from Parquet, on
regular logs and on logs with gaps and jitter. The logs are invented. What goes on in several processors at once is
timed by the clock on the wall.
"""

from __future__ import annotations

import os
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path

import polars as pl
from benchmarks import timing
from benchmarks.trend_rules import duckdb_rules, invented_logs, ours, pandas_reading, pandas_rules
from benchmarks.trend_rules.invented_logs import HEADINGS
from benchmarks.trend_rules.thresholds import Thresholds

from ventwright.store.fleet import cluster_here, run
from ventwright.verdict.trend_findings import findings_of_frame, rule_set

UNITS = (3, 4, 5, 6)
"""Seeds of the units that are timed, a year each: as many for one processor of two as for the other."""

ROUNDS = 3

LIMITS = Thresholds(rule_set(), ours.KNOWN)

PEAK = """
import sys
from pathlib import Path
from benchmarks.trend_rules import ours
from ventwright.store.fleet import run
for flags in run(ours.judged, sorted(Path(sys.argv[1]).glob("*.parquet"))):
    pass
print(next(int(line.split()[1]) for line in open("/proc/self/status") if line.startswith("VmHWM")) / 1024)
"""

Logs = Sequence[Path]


def main() -> int:
    """Check that all agree, then compare times and memory."""
    short = "--short" in sys.argv[1:]
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        regular, kept = logs(folder, irregular=False)
        uneven, uneven_kept = logs(folder, irregular=True)
        agree(regular, kept, uneven, uneven_kept)
        measured: list[tuple[str, Callable[[], float], float]] = [
            ("pandas : ours, Parquet, regular", lambda: against(kept, by_pandas), 3.0),
            ("DuckDB : ours, Parquet, regular", lambda: against(kept, by_duckdb), 3.0),
            ("pandas that trusts the file : ours, CSV, regular", lambda: against(regular, by_pandas), 2.5),
            (
                "pandas that looks closely : ours, CSV, regular",
                lambda: against(regular, by_pandas_closely),
                2.5,
            ),
            ("pandas : ours, Parquet, gaps and jitter", lambda: against(uneven_kept, by_pandas_in_time), 1.5),
            ("rows : time, from one year to four", lambda: linear(folder), 0.87),
            ("threads here x 1.5 : Dask, after its start", lambda: 1.5 * against_dask(kept), 1.0),
        ]
        rows = []
        for words, measure, goal in measured:
            rows.append((words, measure(), goal))
            print(f"{words}: {rows[-1][1]:.2f} (load {os.getloadavg()[0]:.0f})", flush=True)
        distance(regular, kept)
        bounds(regular, kept)
        memory = {count: peak(folder, kept, count) for count in ((100,) if short else (100, 1000))}
        for count, most in memory.items():
            print(f"most memory, {count} unit-years from Parquet: {most:.0f} MB")
        rows.append(("300 MB : most memory", 300.0 / max(memory.values()), 1.0))
        if not short:
            rows.append(("memory allowed to grow : grown", 1.2 * memory[100] / memory[1000], 1.0))
    return timing.report("trend rules, one year of 15 points at five minutes a unit", rows)


def logs(folder: Path, *, irregular: bool) -> tuple[Logs, Logs]:
    """Write the logs as a logger would, and keep them in whole steps as Parquet."""
    text, kept = [], []
    for seed in UNITS:
        path = folder / f"rtu-{seed}{'-uneven' if irregular else ''}.csv"
        invented_logs.write_csv(path, invented_logs.invented(seed, irregular=irregular))
        frame = ours.from_csv(path).frame
        frame.write_parquet(path.with_suffix(".parquet"))
        text.append(path)
        kept.append(path.with_suffix(".parquet"))
    return text, kept


def by_pandas(paths: Logs, *, regular: bool = True) -> list[ours.Flags]:
    """Run the rules with pandas, a file at a time."""
    found = []
    for path in paths:
        reader = pandas_reading.read_csv if path.suffix == ".csv" else pandas_reading.read_parquet
        found.append(pandas_rules.flags(reader(path), LIMITS, regular=regular))
    return found


def by_pandas_closely(paths: Logs) -> list[ours.Flags]:
    """Run the rules with pandas on text that it has looked at as closely as we do."""
    found = []
    for path in paths:
        frame, left_out = pandas_reading.read_csv_closely(path)
        assert not left_out.total()
        found.append(pandas_rules.flags(frame.astype("int64"), LIMITS, regular=True))
    return found


def by_pandas_in_time(paths: Logs) -> list[ours.Flags]:
    """Run the rules with pandas in windows of clock time."""
    return by_pandas(paths, regular=False)


def by_duckdb(paths: Logs) -> list[ours.Flags]:
    """Run the rules as SQL, all units in one query."""
    source = duckdb_rules.from_csv if paths[0].suffix == ".csv" else duckdb_rules.from_parquet
    return duckdb_rules.flags(source(paths), LIMITS)


def agree(regular: Logs, kept: Logs, uneven: Logs, uneven_kept: Logs) -> None:
    """Check that every way gives the same flags, and that every rule that can speak here is there to be judged."""
    expected = ours.one_by_one(kept)
    for found in (
        ours.one_by_one(regular),
        ours.judged_all(kept),
        by_pandas(kept),
        by_pandas(regular),
        by_pandas_closely(regular),
        by_pandas_in_time(kept),
        by_duckdb(kept),
        by_duckdb(regular),
    ):
        assert found == expected
    in_time = ours.one_by_one(uneven_kept)
    for found in (ours.one_by_one(uneven), by_pandas_in_time(uneven_kept), by_pandas_in_time(uneven)):
        assert found == in_time
    judged = {rule for flags in expected for rule, (rows, _) in flags.items() if rows}
    flagged = {rule for flags in expected for rule, (_, rows) in flags.items() if rows}
    print(
        f"the same flags of {len(expected[0])} rules, {len(judged)} of which are judged and {len(flagged)} shown by these logs"
    )


def against(paths: Logs, theirs: Callable[[Logs], object]) -> float:
    """Say how many times as long a peer takes as ours, by the clock on the wall; print it in processor time too."""
    by_processor = timing.times_as_long(lambda: ours.one_by_one(paths), lambda: theirs(paths), ROUNDS)
    print(f"  {by_processor:.2f} in processor time, a unit after the other", flush=True)
    return timing.times_as_long(
        lambda: ours.judged_all(paths), lambda: theirs(paths), ROUNDS, time.perf_counter
    )


def linear(folder: Path) -> float:
    """Say how the time of a row compares when a log is four times as long: 1 where the cost is linear in rows."""
    one, four = (folder / f"long-{years}.parquet" for years in (1, 4))
    for path, years in ((one, 1), (four, 4)):
        text = path.with_suffix(".csv")
        invented_logs.write_csv(text, invented_logs.invented(7, years=years))
        ours.from_csv(text).frame.write_parquet(path)
    return 4.0 / timing.times_as_long(lambda: ours.judged(one), lambda: ours.judged(four), 3 * ROUNDS)


def against_dask(kept: Logs) -> float:
    """Say how the time here compares with that of a cluster of as many processes, its start not counted."""
    many = [*kept] * 4
    with cluster_here(os.cpu_count() or 1) as cluster:
        address = cluster.scheduler_address
        assert list(run(ours.judged, many, "dask", scheduler=address)) == ours.judged_all(many)
        return timing.times_as_long(
            lambda: ours.judged_all(many, "dask", address),
            lambda: ours.judged_all(many),
            ROUNDS,
            time.perf_counter,
        )


def distance(regular: Logs, kept: Logs) -> None:
    """Say how far judging is from merely reading, and the findings from the flags."""
    count = sum(ours.from_parquet(path).frame.height for path in kept)
    for words, paths, read in (("text", regular, ours.from_csv), ("Parquet", kept, ours.from_parquet)):
        reading = timing.times_as_long(
            partial(_read_all, read, paths), partial(ours.one_by_one, paths), ROUNDS
        )
        print(f"from {words}: reading and judging takes {reading:.1f} times as long as reading alone")
    frames = [ours.from_parquet(path) for path in kept]
    whole = timing.times_as_long(
        lambda: ours.one_by_one(kept),
        lambda: [findings_of_frame(one, rule_set(), ours.KNOWN) for one in frames],
        ROUNDS,
    )
    print(f"findings with everything observed take {whole:.1f} times as long as the flags alone")
    started = time.perf_counter()
    ours.judged_all(kept)
    print(
        f"{count / (time.perf_counter() - started) / 1e6:.2f} M rows a second by the clock on the wall, from Parquet"
    )


def bounds(regular: Logs, kept: Logs) -> None:
    """Say how far ahead of all that pandas does one would be who only read the files with Polars and judged nothing."""
    kinds = {"Time": pl.String} | dict.fromkeys(HEADINGS.values(), pl.Float64)

    def merely_text() -> None:
        for path in regular:
            pl.read_csv(path, schema=kinds, quote_char=None)

    for words, paths, read in (
        ("parting the cells of the text and reading its numbers", regular, merely_text),
        ("reading Parquet", kept, partial(_read_all, pl.read_parquet, kept)),
    ):
        bound = timing.times_as_long(read, partial(by_pandas, paths), ROUNDS)
        print(f"pandas, reading and judging : Polars merely {words}: {bound:.1f} in processor time")


def _read_all(read: Callable[[Path], object], paths: Logs) -> None:
    for path in paths:
        read(path)


def peak(folder: Path, kept: Logs, count: int) -> float:
    """Return the most memory that a process held while it judged so many unit-years [MB]; files are links to a few."""
    many = folder / f"fleet-{count}"
    many.mkdir()
    for number in range(count):
        os.link(kept[number % len(kept)], many / f"rtu-{number:04d}.parquet")
    done = subprocess.run(  # noqa: S603 - our own interpreter
        [sys.executable, "-c", PEAK, str(many)], capture_output=True, text=True, check=True
    )
    return float(done.stdout)


if __name__ == "__main__":
    sys.exit(main())
