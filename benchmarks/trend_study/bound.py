"""How far a stuck damper shows in a log at all: what it moves the mixed air by, against what the sensors' errors explain.

The damper moves the share of outdoor air, and through it the mixed and the supply air; no other logged point depends on it
at the same moment. The mixed air departs from that of a sound damper by (share at the stroke at which it stands less share
at the signal) x (outdoor less return air). As long as that stays within the errors of the three sensors, a sound damper
would have given the same readings.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cache
from math import hypot

from benchmarks.trend_study.roof import QUARTER, Roof, stuck

from ventwright.physics.rooftop.commands import Commands
from ventwright.physics.rooftop.steady import steady
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.readings.trend import UnitLog
from ventwright.tables.fault_rule import rule_set
from ventwright.verdict.trend_findings.pool import READING_U
from ventwright.verdict.trend_findings.shape import COVERAGE

STEADY_QUARTERS = 2
"""Before a row, for which fan and signal stood: half an hour, as the rules have it."""
MOST_TRAVEL = 0.1
"""Of the signal in that time, as the rules have it. [-]"""
LEAST_TIME = 3600
"""Valid, before a day tells. [s]"""


@dataclass(frozen=True, slots=True)
class Bound:
    """What one day can show of a stuck damper."""

    valid: int
    """Fan on, fan and signal steady, outdoor and return air far enough apart. [s]"""
    beyond: int
    """Of that: the effect exceeds its expanded uncertainty as many times as the rules ask. [s]"""
    effect: float
    """On the mixed air, where it exceeds its uncertainty most. [K]"""
    asked: float
    """Effect that would be beyond doubt there, by the sensors' lasting errors alone. [K]"""
    asked_of_day: float
    """The same for one day by itself: with what errors change from day to day, and one reading's scatter. [K]"""
    beyond_of_day: int
    """Valid time in which the effect exceeds that. [s]"""

    @property
    def tells(self) -> bool:
        """Whether the day shows it for an hour."""
        return self.beyond >= LEAST_TIME


def bound(roof: Roof, log: UnitLog, at: float) -> Bound:
    """Return what a day's log can show of a damper that stands at a stroke."""
    figures, own = rule_set().figures, share(roof, 0.0, at)
    usual, times = figures.accuracy, figures.named.times_expanded * COVERAGE
    inside = hypot(usual.mixed_temperature, (1.0 - own) * usual.return_temperature)
    outside = own * usual.outdoor_temperature
    asked = times * hypot(inside, outside)
    of_day = times * hypot(inside, outside, usual.of_day * inside, usual.of_day_outdoor * outside, READING_U)
    values = {name: one.si() for name, one in log.series.items()}
    signals, fan = values["outdoor_damper_signal"], values["supply_fan_status"]
    effects = []
    for row in range(STEADY_QUARTERS, len(signals)):
        runs = all(fan[row - back] > 0.5 for back in range(STEADY_QUARTERS + 1))
        stands = abs(signals[row] - signals[row - STEADY_QUARTERS]) < MOST_TRAVEL
        apart = abs(values["outdoor_temperature"][row] - values["return_temperature"][row])
        if runs and stands and apart >= figures.share.least_difference:
            effects.append(abs(share(roof, round(signals[row], 2)) - own) * apart)
    beyond = [QUARTER * sum(one > least for one in effects) for least in (asked, of_day)]
    return Bound(QUARTER * len(effects), beyond[0], max(effects, default=0.0), asked, of_day, beyond[1])


@cache
def share(roof: Roof, signal: float, at: float | None = None) -> float:
    """Share of outdoor air at a signal; of a damper that is stuck at a stroke where one is given. [-]"""
    commands = Commands(fan_running=True, fan_speed=1.0, damper_signal=signal)
    faults = () if at is None else (stuck(at),)
    return steady(roof.unit, Weather(8.0, 0.5), Indoor(22.0, 0.4), commands, faults).outdoor_air_fraction
