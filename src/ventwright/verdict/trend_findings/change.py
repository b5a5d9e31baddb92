"""Shares of outdoor air against what the same damper gave at the same signal in the days before.

What sensors read wrong for good cancels out where outdoor and return air are as far apart as before, so that a change
shows on days on which the share itself would say little.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Mapping
from dataclasses import replace

from ventwright.tables.fault_rule import RuleSet
from ventwright.verdict.trend_findings.compared import (
    Candidate,
    at_one,
    ln_beyond,
    probability,
    stretch,
)
from ventwright.verdict.trend_findings.day_sums import DaySums
from ventwright.verdict.trend_findings.pool import Days, Key, LastingErrors, pooled, roughly
from ventwright.verdict.trend_findings.shape import COVERAGE
from ventwright.verdict.trend_findings.signal_classes import PER_DAY, SHUT

CHANGED = "outdoor_air_share_changed"
WHAT = "{share} of outdoor air at the same damper signal at which it was {other} in the days before"
LOOKED_BACK = 30
"""Days of the calendar before that count: longer ago the season was another (our own assumption)."""
WORTH_A_LOOK = 0.6
"""Of the least change: what differs by less at first sight is not looked at twice (our own assumption). [-]"""
AT_HAND = (1, 3, 7)
"""Days that are compared with those before (our own assumption)."""


def changes(sums: DaySums, rules: RuleSet, sensor: LastingErrors) -> Iterator[Candidate]:
    """Compare every few days with those before, at each fine class of signal that both have."""
    if not sums.by_signal:
        return
    days = Days(sums.shares, range(PER_DAY // 2))
    least = rules.figures.damper.least_hours * 3600.0
    prior = rules.fault(CHANGED).prior
    for length in AT_HAND:
        for end in range(length + 1, len(days) + 1):
            start = end - length
            now = _by_class(days.between(start, end))
            early = bisect_left(days.days, days.days[start] - LOOKED_BACK)
            before = _by_class(days.between(early, start))
            for name in sorted(
                now.keys() & before.keys() - {SHUT}
            ):  # what comes past the shut damper is judged as a leak
                if min(_seconds(now[name]), _seconds(before[name])) < least:
                    continue
                if (
                    abs(roughly(now[name].values()) - roughly(before[name].values()))
                    >= WORTH_A_LOOK * rules.figures.damper.least_change
                ):
                    for one in _compared(now[name], before[name], name, rules, sensor):
                        chance = probability(prior, one.ln_odds, rules.figures)
                        yield stretch(one, chance, days, start, end)


def _by_class(cells: Mapping[Key, list[int]]) -> dict[int, dict[int, list[int]]]:
    found: dict[int, dict[int, list[int]]] = {}
    for (name, sign), row in cells.items():
        found.setdefault(name, {})[sign] = row
    return found


def _seconds(cells: Mapping[int, list[int]]) -> int:
    return sum(row[2] for row in cells.values())


def _compared(
    now: Mapping[int, list[int]],
    before: Mapping[int, list[int]],
    name: int,
    rules: RuleSet,
    sensor: LastingErrors,
) -> Iterator[Candidate]:
    later = name + 1
    cells = {(name, sign): row for sign, row in before.items()} | {
        (later, sign): row for sign, row in now.items()
    }
    pool = pooled(cells, rules.figures, sensor)
    change, u = pool.rise(name, later)
    asked = rules.figures.named.times_expanded * COVERAGE * u
    least = rules.figures.damper.least_change
    if abs(change) >= COVERAGE * u and abs(change) >= least:
        one = pool.classes[later]
        named = abs(change) >= asked
        odds = ln_beyond(abs(change), u)
        found = at_one(CHANGED, WHAT, abs(change), u, odds, named, one, pool.classes[name].share)
        yield replace(found, classes=(name,))
