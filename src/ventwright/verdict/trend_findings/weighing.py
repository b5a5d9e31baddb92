"""What flags weigh, day by day: evidence adds up while a fault lasts, days alike count for less, sound days take it back."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

from ventwright.tables.fault_rule import DayEvidence, Figures, LoggedFault
from ventwright.verdict.trend_findings.compared import probability
from ventwright.verdict.trend_findings.day_sums import RuleDay


@dataclass(frozen=True, slots=True)
class Weighed:
    """What one rule's days say of its fault."""

    probability: float
    """At its highest. [-]"""
    ruled_out: bool
    hours_judged: float
    hours_shown: float
    days: int
    first: int
    last: int
    difference: float
    """Outdoor and return air apart, mean over the time shown. [steps]"""


def weighed(
    days: Mapping[int, RuleDay], fault: LoggedFault, figures: Figures, *, whole_days: bool = False
) -> Weighed:
    """Add up the evidence of some days.

    Parameters
    ----------
    days
        What the rule saw, by day.
    fault
        With its prior, and how often a sound day looks like it.
    figures
        How days weigh.
    whole_days
        A day shows the fault as a whole or not at all, so that its hours are no evidence.

    Returns
    -------
    Weighed
        Probability after the run of days that says most [-]; hours.

    References
    ----------
    Page, Continuous inspection schemes, Biometrika 1954: the sum of log likelihood ratios, begun anew below 0 (from memory).
    """
    sum_now = peak = against = 0.0
    begun = first = last = 0
    ordered = [days[day] for day in sorted(days)]
    for number, day in enumerate(ordered):
        most = 1.0 if whole_days else figures.days.most_worth
        worth = _worth(day, fault, figures.days, most) * (
            1.0 if number == 0 else 1.0 - figures.days.days_alike
        )
        against += worth
        if sum_now <= 0.0:
            begun = 0
        sum_now = max(0.0, sum_now + worth)
        if day.shown and worth > 0.0:
            begun = begun or day.first
            if sum_now >= peak:
                peak, first = sum_now, begun
            last = day.last
    shown, judged = sum(day.shown for day in ordered), sum(day.judged for day in ordered) / 3600.0
    return Weighed(
        probability(fault.prior, peak, figures),
        judged >= figures.days.least_hours
        and probability(fault.prior, against, figures) < figures.named.sound_below,
        judged,
        shown / 3600.0,
        len(ordered),
        first,
        last,
        sum(day.apart for day in ordered) / shown if shown else 0.0,
    )


def _worth(day: RuleDay, fault: LoggedFault, figures: DayEvidence, most: float) -> float:
    """Logarithm of how much likelier the fault makes a day: less than 0 for a day that should have shown it."""
    judged, shown = day.judged / 3600.0, day.shown / 3600.0
    bad = shown >= figures.bad_hours or (shown >= figures.short_hours and shown >= figures.bad_share * judged)
    if bad:
        return math.log(figures.shown / fault.false) * min(most, math.sqrt(shown))
    if judged < figures.least_hours or shown > 0.0:
        return 0.0
    # the longer it was judged without a sign, the more that says
    times = min(figures.most_silent, judged / figures.least_hours)
    return math.log((1.0 - figures.shown) / (1.0 - fault.false)) * times
