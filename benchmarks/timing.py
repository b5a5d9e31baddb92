"""Ratios of running times, taken so that a busy machine does not decide them."""

from __future__ import annotations

import time
from collections.abc import Callable, Sequence

Clock = Callable[[], float]


def times_as_long(
    ours: Callable[[], object],
    theirs: Callable[[], object],
    rounds: int = 9,
    clock: Clock = time.process_time,
) -> float:
    """Say how many times as long theirs takes as ours: the best of each over rounds in which both run, turn about.

    The best, since other programs only ever add time. The shorter of the two is repeated until both run about
    equally long, so that neither finds a quiet moment more easily. Processor time counts, not the clock on the wall, unless what
    is compared goes on in several processors at once.
    """
    ours(), theirs()  # imports, compilation and caches are not what is compared
    estimate = _seconds(theirs, clock=clock) / _seconds(ours, clock=clock)
    repeat_ours, repeat_theirs = max(1, round(estimate)), max(1, round(1 / estimate))
    turns = [
        (_seconds(ours, repeat_ours, clock), _seconds(theirs, repeat_theirs, clock)) for _ in range(rounds)
    ]
    best_ours, best_theirs = min(turn[0] for turn in turns), min(turn[1] for turn in turns)
    return (best_theirs / repeat_theirs) / (best_ours / repeat_ours)


def _seconds(work: Callable[[], object], repeat: int = 1, clock: Clock = time.process_time) -> float:
    start = clock()
    for _ in range(repeat):
        work()
    return clock() - start


def report(title: str, rows: Sequence[tuple[str, float, float]]) -> int:
    """Print each ratio beside its goal; return an exit status, 1 where a goal was missed."""
    print(title)
    for name, ratio, goal in rows:
        print(f"  {name:<40} {ratio:8.1f} x   goal {goal:6.1f} x   {'met' if ratio >= goal else 'MISSED'}")
    return int(any(ratio < goal for _, ratio, goal in rows))
