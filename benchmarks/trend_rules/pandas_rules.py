"""The rules with pandas, a file at a time: whole numbers in rolling windows, of rows on a regular log, else of clock time."""

from __future__ import annotations

from collections.abc import Callable, Iterator

import numpy as np
import pandas as pd
from benchmarks.trend_rules.pandas_signals import Column, Frame, Signals
from benchmarks.trend_rules.thresholds import Thresholds

from ventwright.verdict.trend_findings.log_steps import kelvins, signal_steps

Flags = dict[str, tuple[int, int]]
"""By the id of a rule: rows judged, rows that show it."""

Judged = tuple[Column, Column]


def share(s: Signals) -> Judged:
    """Share of outdoor air against the damper signal."""
    x, y = s.apart, s["mixed_temperature"] - s["return_temperature"]
    judged = (x.abs() >= kelvins(s.figures.share.least_difference)) & s.fan_runs & s.signal_steady
    least = round(s.limits.at("share", "least_share_open") * 100)
    small = y * 100 * np.sign(x) < x.abs() * least
    return judged, judged & small & (s["outdoor_damper_signal"] >= signal_steps(s.figures.classes.middle))


def position(s: Signals) -> Judged:
    """Reported position against the signal."""
    departure = (s["outdoor_damper_position"] - s["outdoor_damper_signal"]).abs()
    return s.signal_steady, s.signal_steady & (departure >= s.limits.signal("position", "most_departure"))


def not_economizing(s: Signals) -> Judged:
    """Compressors with cool outdoor air to spare."""
    judged = s.cooled & (s["outdoor_temperature"] <= s.limits.kelvins("not_economizing", "outdoor_at_most"))
    judged &= s.apart <= -s.limits.kelvins("not_economizing", "below_return")
    return judged, judged & s.at_minimum


def economizing_when_not(s: Signals) -> Judged:
    """Free cooling with air that is a burden."""
    judged = (
        s.fan_runs
        & (s["outdoor_temperature"] >= s.limits.kelvins("economizing_when_not", "outdoor_at_least"))
        & ~s.heating
    )
    judged &= s.apart >= s.limits.kelvins("economizing_when_not", "above_return")
    wide = s["outdoor_damper_signal"] >= s.limits.signal("economizing_when_not", "open")
    return judged, judged & s.stood(wide, s.figures.windows.steady)


def change_over(s: Signals) -> Judged:
    """Compressors below the known high limit."""
    below = s.limits.kelvins("change_over", "below")
    limit = s.limits.known.high_limit
    assert limit is not None
    judged = s.cooled & (s["outdoor_temperature"] <= kelvins(limit) - below) & (s.apart <= -below)
    return judged, judged & s.at_minimum


def minimum_low(s: Signals) -> Judged:
    """Signal below the minimum."""
    judged = s.fan_runs & s.signal_steady & s.stood(s.is_on("occupied"), s.figures.windows.steady)
    least = min(s.limits.known.minimum_signal.values()) - s.limits.at("minimum_low", "below")
    return judged, judged & (s["outdoor_damper_signal"] <= signal_steps(least))


def minimum_high(s: Signals) -> Judged:
    """Signal above the minimum."""
    at = s.limits
    judged = (
        s.fan_runs
        & s.signal_steady
        & (s["outdoor_temperature"] >= at.kelvins("minimum_high", "outdoor_at_least"))
        & ~s.heating
    )
    judged &= (s.apart >= at.kelvins("minimum_high", "above_return")) & (
        s["outdoor_damper_signal"] < at.signal("minimum_high", "open")
    )
    most = max(at.known.minimum_signal.values()) + at.at("minimum_high", "above")
    return judged, judged & (s["outdoor_damper_signal"] >= signal_steps(most))


def shut_when_occupied(s: Signals) -> Judged:
    """Damper shut while people are in."""
    window = s.figures.windows.hour
    judged = s.stood(s.is_on("occupied") & s.is_on("supply_fan_status"), window)
    judged &= s["outdoor_temperature"] >= s.limits.kelvins("shut_when_occupied", "outdoor_at_least")
    shut = s["outdoor_damper_signal"] <= signal_steps(s.figures.classes.shut)
    return judged, judged & s.stood(shut, window)


def fan_off(s: Signals) -> Judged:
    """Fan off while people are in."""
    window = s.figures.windows.hour
    judged = s.stood(s.is_on("occupied"), window)
    return judged, judged & s.stood(~s.is_on("supply_fan_status"), window)


def open_while_heating(s: Signals) -> Judged:
    """Damper wide open with heat."""
    window = s.figures.windows.steady
    judged = s.fan_runs & s.stood(s.heating, window) & ~s.cooling
    wide = s["outdoor_damper_signal"] >= s.limits.signal("open_while_heating", "open")
    return judged, judged & s.stood(wide, window)


def both(s: Signals) -> Judged:
    """Heat and cooling together."""
    judged = s.fan_runs & (s.heating | s.cooling)
    return judged, judged & s.stood(s.heating & s.cooling, s.figures.windows.steady)


def _coils(s: Signals) -> tuple[Column, Column]:
    """Readings in a steady window, and whether the fan ran through it."""
    count, full = s.enough(s.figures.windows.steady)
    return count, s.fan_runs & full


def _layers(s: Signals, check: str) -> Column:
    """By how much layers may put a mixed-air sensor wrong, summed over a steady window."""
    far = s.apart.abs() * round(s.limits.at(check, "of_difference") * 100) // 100
    return s.total(far, s.figures.windows.steady)


def cools_without_call(s: Signals) -> Judged:
    """Air cooled by a coil that is off."""
    count, judged = _coils(s)
    judged &= s.stood(~s.cooling, s.figures.windows.steady)
    beyond = s.over_coils + _layers(s, "cools_without_call")
    return judged, judged & (beyond <= count * -s.limits.kelvins("cools_without_call", "colder"))


def heats_without_call(s: Signals) -> Judged:
    """Air heated by a coil that is off."""
    count, judged = _coils(s)
    judged &= s.stood(~s.heating, s.figures.windows.steady)
    beyond = s.over_coils - _layers(s, "heats_without_call")
    return judged, judged & (beyond >= count * s.limits.kelvins("heats_without_call", "warmer"))


def cools_without_effect(s: Signals) -> Judged:
    """Full cooling, and the air no colder."""
    count, judged = _coils(s)
    judged &= s.stood(s.cooling & ~s.heating, s.figures.windows.steady)
    return judged, judged & (s.over_coils >= count * -s.limits.kelvins("cools_without_effect", "colder"))


def heats_without_effect(s: Signals) -> Judged:
    """Full heat, and the air no warmer."""
    count, judged = _coils(s)
    judged &= s.stood(s.heating & ~s.cooling, s.figures.windows.steady)
    return judged, judged & (s.over_coils <= count * s.limits.kelvins("heats_without_effect", "warmer"))


def outside_both(s: Signals) -> Judged:
    """Mixed air that neither stream could give."""
    window = s.figures.windows.steady
    count, judged = _coils(s)
    of_x = s.total(s.apart, window)
    of_y = s.total(s["mixed_temperature"] - s["return_temperature"], window)
    least = count * s.limits.kelvins("outside_both", "by")
    outside = ((of_y >= least) & (of_y - of_x >= least)) | ((of_y <= -least) & (of_y - of_x <= -least))
    return judged, judged & outside


def starts(s: Signals) -> Judged:
    """Starts in an hour: these logs are read every five minutes, too seldom for it."""
    return _never(s)


def travel(s: Signals) -> Judged:
    """Ways of the damper signal in an hour."""
    if s.step > s.limits.at("travel", "step"):
        return _never(s)
    window = s.figures.windows.hour
    signal = s["outdoor_damper_signal"]
    judged = s.stood(s.is_on("supply_fan_status"), window)
    net = s.total(signal.diff().fillna(0), window).abs()
    far = s.travel(signal, window) >= s.limits.signal("travel", "strokes")
    return judged, judged & far & (net <= s.limits.signal("travel", "net"))


def _never(s: Signals) -> Judged:
    never = pd.Series(False, s.frame.index)
    return never, never


CHECKS: dict[str, Callable[[Signals], Judged]] = {
    one.__name__: one
    for one in (
        share, position, not_economizing, economizing_when_not, change_over, minimum_low, minimum_high, shut_when_occupied, fan_off,
        open_while_heating, both, cools_without_call, heats_without_call, cools_without_effect, heats_without_effect, outside_both, starts, travel,
    )
}  # fmt: skip


def still(s: Signals, names: tuple[str, ...], at: dict[str, float]) -> tuple[int, int]:
    """Compare whole days: one temperature stands still while another moves."""
    day = s.frame.index.floor("D")
    ahead = (s.seconds.shift(-1) - s.seconds).fillna(s.step).clip(upper=s.step * 3 // 2)
    grouped = s.frame[list(names)].groupby(day)
    moved = grouped.max() - grouped.min()
    rows = ahead.groupby(day).size()
    judged = (ahead.groupby(day).sum() >= at["hours"] * 3600) & (
        moved[list(names[1:])].max(axis=1) >= kelvins(at["other"])
    )
    shown = judged & (moved[names[0]] <= kelvins(at["within"]))
    return int(rows[judged].sum()), int(rows[shown].sum())


def flags(frame: Frame, limits: Thresholds, *, regular: bool) -> Flags:
    """Run every rule over one unit."""
    signals = Signals(frame, limits, regular=regular)
    return dict(_each(signals, limits))


def _each(signals: Signals, limits: Thresholds) -> Iterator[tuple[str, tuple[int, int]]]:
    for rule in limits.rules.rules:
        if rule.check == "still":
            yield rule.id, still(signals, (rule.needs[0], *rule.needs[1].split("|")), dict(rule.at))
        else:
            judged, shown = CHECKS[rule.check](signals)
            yield rule.id, (int(judged.sum()), int(shown.sum()))
