"""Plan and readings together: what is shown, what fails, what cannot be told."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from ventwright.evidence import Verdict
from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.readings import Readings
from ventwright.verdict.airflow import SpeedVerdict, judge_speeds
from ventwright.verdict.balance import Balance, balance
from ventwright.verdict.check import Check
from ventwright.verdict.checks import damper_follows, nothing_left_behind, sensors_agree, settings_as_planned
from ventwright.verdict.ledger import Line, LineState, ledger, not_closed
from ventwright.verdict.supply_fits import doubted, supply_doubts


@dataclass(frozen=True, slots=True)
class Verdicts:
    """Every check of a job, with how it came out."""

    speeds: tuple[SpeedVerdict, ...]
    sensors: tuple[Check, ...]
    settings: tuple[Check, ...]
    nothing_left: Check
    balance: Balance
    damper: Check | None = None
    supply: tuple[Check, ...] = ()
    """Supply airflows, as read, that do not fit the unit."""
    ledger: tuple[Line, ...] = ()
    steps: tuple[Check, ...] = ()
    """Steps of the functional tests that were entered, and those not done as one; ``functions.with_functions`` adds them."""

    @property
    def not_closed(self) -> tuple[Line, ...]:
        """Lines of the ledger whose return is not proved, the open ones first: the job is not finished while there are any."""
        return not_closed(self.ledger)

    def checks(self) -> Iterator[Check]:
        """Every check, in the order of the record."""
        for speed in self.speeds:
            yield from (check for check in (speed.fraction, speed.flow) if check is not None)
        yield from self.supply
        if self.damper is not None:
            yield self.damper
        yield from self.sensors
        yield from self.settings
        yield from self.steps
        yield self.nothing_left

    def counted(self, outcome: Verdict) -> int:
        """How many checks came out in one way."""
        return sum(check.verdict is outcome for check in self.checks())


def judge(facts: Facts, plan: Plan, readings: Readings) -> Verdicts:
    """Hold the readings against the plan; the steps of the functional tests come after, by ``functions.with_functions``.

    Parameters
    ----------
    facts, plan, readings
        The sections upstream; nothing is written back to them.
    """
    lines = ledger(facts, plan, readings)
    found, standings = balance(facts, plan, readings)
    doubts = supply_doubts(facts, plan, readings)
    return Verdicts(
        speeds=tuple(doubted(one, doubts) for one in judge_speeds(facts, plan, found, standings)),
        supply=tuple(doubts.values()),
        sensors=sensors_agree(facts, readings, lines),
        settings=settings_as_planned(plan, readings),
        nothing_left=nothing_left_behind(readings, lines),
        balance=found,
        damper=damper_follows(found),
        ledger=lines,
    )


__all__ = ["Balance", "Check", "Line", "LineState", "SpeedVerdict", "Verdicts", "judge"]
