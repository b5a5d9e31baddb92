"""Logged points judged by rules: what is wrong with a unit, since when, how sure, and what to measure next.

``findings(log, rules, known)`` in plain Python and ``findings_of_frame(frame, rules, known)`` by columns give the same
to the last bit.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from ventwright.tables.fault_rule import RuleSet, rule_set
from ventwright.verdict.trend_findings.day_sums import day_sums, rule_flags
from ventwright.verdict.trend_findings.judge import judged
from ventwright.verdict.trend_findings.plain_rows import PlainRows
from ventwright.verdict.trend_findings.shape import (
    CannotTell,
    Consequence,
    KnownUnit,
    NextMeasurement,
    Observed,
    RuleEvidence,
    RuleFlags,
    ShareLine,
    Spell,
    TrendFinding,
    UnitFindings,
)

NOTHING_KNOWN = KnownUnit()

if TYPE_CHECKING:
    from ventwright.readings.trend import UnitLog
    from ventwright.readings.trend.frames import UnitFrame


def findings(log: UnitLog, rules: RuleSet, known: KnownUnit) -> UnitFindings:
    """Judge one unit's log in plain Python."""
    return judged(day_sums(PlainRows(log), rules, known), rules, known)


def findings_of_frame(frame: UnitFrame, rules: RuleSet, known: KnownUnit) -> UnitFindings:
    """Judge one unit's frame by columns, the same to the last bit."""
    from ventwright.verdict.trend_findings.quick_rows import QuickRows

    return judged(day_sums(QuickRows(frame), rules, known), rules, known)


def flags(log: UnitLog, rules: RuleSet, known: KnownUnit = NOTHING_KNOWN) -> tuple[RuleFlags, ...]:
    """Count the rows on which each rule was judged and showed its fault, in plain Python."""
    return rule_flags(PlainRows(log), rules, known)


def flags_of_frame(
    frame: UnitFrame, rules: RuleSet, known: KnownUnit = NOTHING_KNOWN
) -> tuple[RuleFlags, ...]:
    """Count the same by columns."""
    from ventwright.verdict.trend_findings.quick_rows import QuickRows

    return rule_flags(QuickRows(frame), rules, known)


__all__ = [
    "CannotTell", "Consequence", "KnownUnit", "NextMeasurement", "Observed", "RuleEvidence", "RuleFlags", "RuleSet",
    "ShareLine", "Spell", "TrendFinding", "UnitFindings", "findings", "findings_of_frame", "flags", "flags_of_frame",
    "rule_set",
]  # fmt: skip
