"""Ratios of running times, taken so that a busy machine does not decide them."""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable, Sequence


def times_as_long(ours: Callable[[], object], theirs: Callable[[], object], rounds: int = 9) -> float:
    """Say how many times as long theirs takes as ours: the median over rounds in which both run, turn about.

    Processor time of this process is counted, so other programs matter only through the caches they share.
    """
    ours(), theirs()  # imports, compilation and caches are not what is compared
    return statistics.median(_seconds(theirs) / _seconds(ours) for _ in range(rounds))


def _seconds(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return time.process_time() - start


def report(title: str, rows: Sequence[tuple[str, float, float]]) -> int:
    """Print each ratio beside its goal; return an exit status, 1 where a goal was missed."""
    print(title)
    for name, ratio, goal in rows:
        print(f"  {name:<58} {ratio:8.1f} x   goal {goal:4.0f} x   {'met' if ratio >= goal else 'MISSED'}")
    return int(any(ratio < goal for _, ratio, goal in rows))
