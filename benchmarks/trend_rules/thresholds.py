"""The thresholds of the rules in whole steps, read from the rule set: what peers compare with."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.tables.fault_rule import RuleSet
from ventwright.verdict.trend_findings import KnownUnit
from ventwright.verdict.trend_findings.log_steps import kelvins, signal_steps


@dataclass(frozen=True, slots=True)
class Thresholds:
    """Rules by the name of their comparison, and what they share."""

    rules: RuleSet
    known: KnownUnit

    def kelvins(self, check: str, name: str) -> int:
        """Return a temperature or a difference of a rule. [mK]"""
        return kelvins(self.at(check, name))

    def signal(self, check: str, name: str) -> int:
        """Return a signal or a share of a rule. [steps]"""
        return signal_steps(self.at(check, name))

    def at(self, check: str, name: str) -> float:
        """Return a figure of a rule as it is."""
        return next(one for one in self.rules.rules if one.check == check).at[name]

    @property
    def minimum(self) -> int:
        """Damper signal up to which the damper is at its minimum. [steps]"""
        least = max(self.known.minimum_signal.values())
        return signal_steps(least) + signal_steps(self.rules.figures.on.above_minimum)

    @property
    def most_travel(self) -> int:
        """Of a steady damper signal. [steps]"""
        return signal_steps(self.rules.figures.share.most_travel)

    @property
    def most_fan_change(self) -> int:
        """Of a steady fan. [steps]"""
        return signal_steps(self.rules.figures.share.most_fan_change)
