"""The comparisons that rules name: for every row, whether it could be judged and whether it showed the fault."""

from __future__ import annotations

from collections.abc import Callable, Mapping

from ventwright.tables.fault_rule import Rule
from ventwright.tables.point import points
from ventwright.verdict.trend_findings.log_steps import kelvins, signal_steps
from ventwright.verdict.trend_findings.shape import COVERAGE
from ventwright.verdict.trend_findings.signals import (
    COMPRESSORS,
    HEATERS,
    Column,
    Signals,
)

Judged = tuple[Column, Column]
"""Whether each row could be judged, and whether it showed the fault: no row that could not be judged shows it."""


def share(signals: Signals, rule: Rule) -> Judged:
    """Judge the outdoor-air share, where outdoor and return air are far enough apart; a damper told to open gives some."""
    judged, x, y = share_parts(signals)
    least = round(rule.at["least_share_open"] * 100)
    # y / x below the least share, both of one sign or not: y has not the sign of x, or is too small beside it
    small = y * 100 * signals.rows.number(x > 0) - y * 100 * signals.rows.number(x < 0) < abs(x) * least
    wide = signals.signal[0] >= signal_steps(signals.figures.classes.middle)
    return judged, judged & small & wide


def share_parts(signals: Signals) -> tuple[Column, Column, Column]:
    """Return where a share can be judged, outdoor less return air and mixed less return air. [steps]

    Where no mixed air is logged, supply air stands for it while no coil works, less what the fan adds.
    """
    x, there = signals.apart("outdoor_temperature", "return_temperature")
    figures = signals.figures
    if signals.has("mixed_temperature"):
        y, there_too = signals.apart("mixed_temperature", "return_temperature")
    else:
        y, there_too = signals.apart("supply_temperature", "return_temperature")
        y = y - kelvins(figures.accuracy.fan_heat)
        window = figures.windows.steady
        for coil in (signals.cooling, signals.heating):
            there_too = there_too & signals.stood(signals.is_off(coil), window)
    far = abs(x) >= kelvins(figures.share.least_difference)
    return there & there_too & far & signals.fan_runs & signals.signal_steady, x, y


def _worse(signals: Signals, *names: str) -> int:
    """By how much more than energy codes accept some sensors are said to be off, k = 2, added up. [steps]

    Limits reckon with what codes accept, so that a limit moves by what a sensor is worse.
    """
    known, accepted = signals.known.sensor_accuracy, signals.figures.accuracy.accepted
    return kelvins(
        sum(
            max(0.0, COVERAGE * known[f"{name}_temperature"] - accepted)
            for name in names
            if f"{name}_temperature" in known
        )
    )


def position(signals: Signals, rule: Rule) -> Judged:
    """Compare reported position and signal once the signal has stood."""
    place, there = signals.point("outdoor_damper_position")
    value, there_too = signals.point("outdoor_damper_signal")
    judged = there & there_too & signals.signal_steady
    return judged, judged & (abs(place - value) >= signal_steps(rule.at["most_departure"]))


def not_economizing(signals: Signals, rule: Rule) -> Judged:
    """Compressors with cool outdoor air to spare."""
    judged = _cooled_mechanically(signals)
    outdoor, there = signals.point("outdoor_temperature")
    x, both = signals.apart("outdoor_temperature", "return_temperature")
    worse = _worse(signals, "outdoor")
    cool = (outdoor <= kelvins(rule.at["outdoor_at_most"]) - worse) | (
        (outdoor <= kelvins(rule.at["dry_at_most"]) - worse) & _dry(signals, rule)
    )
    below = kelvins(rule.at["below_return"]) + _worse(signals, "outdoor", "return")
    judged = judged & there & both & cool & (x <= -below)
    return judged, judged & signals.stood(signals.at_minimum, signals.figures.windows.steady)


def _dry(signals: Signals, rule: Rule) -> Column:
    """Whether outdoor air is known to be dry enough for every limit of enthalpy."""
    for kind in ("enthalpy", "humidity_ratio", "dew_point"):
        if signals.has(f"outdoor_{kind}"):
            value, there = signals.point(f"outdoor_{kind}")
            return there & (value <= round(rule.at[kind] / points()[f"outdoor_{kind}"].step))
    return signals.never


def change_over(signals: Signals, rule: Rule) -> Judged:
    """Tell compressors at minimum position although outdoor air is below the known high limit."""
    limit = signals.known.high_limit
    if limit is None:
        return signals.never, signals.never
    outdoor, there = signals.point("outdoor_temperature")
    x, both = signals.apart("outdoor_temperature", "return_temperature")
    below = kelvins(rule.at["below"])
    cool = outdoor <= kelvins(limit) - below - _worse(signals, "outdoor")
    cool = cool & (x <= -below - _worse(signals, "outdoor", "return"))
    judged = _cooled_mechanically(signals) & there & both & cool
    return judged, judged & signals.stood(signals.at_minimum, signals.figures.windows.steady)


def _cooled_mechanically(signals: Signals) -> Column:
    """Whether fan and a compressor have run, and no heat, through a steady window, with a known damper signal."""
    window = signals.figures.windows.steady
    runs = signals.fan_runs & signals.stood(signals.is_on(signals.cooling), window)
    return runs & signals.not_seen_on(signals.heating) & signals.signal[1]


def economizing_when_not(signals: Signals, rule: Rule) -> Judged:
    """Free cooling with outdoor air that is a burden beyond every high limit."""
    outdoor, there = signals.point("outdoor_temperature")
    x, both = signals.apart("outdoor_temperature", "return_temperature")
    judged = there & both & _hot(signals, rule, outdoor, x) & signals.fan_runs
    judged = judged & signals.not_seen_on(signals.heating) & signals.signal[1] & _no_drier(signals)
    opened = signals.stood(signals.open_to(rule.at["open"]), signals.figures.windows.steady)
    return judged, judged & opened


def _hot(signals: Signals, rule: Rule, outdoor: Column, x: Column) -> Column:
    """Whether outdoor air is warm, and warmer than return air, whatever the sensors may be off by."""
    warm = outdoor >= kelvins(rule.at["outdoor_at_least"]) + _worse(signals, "outdoor")
    return warm & (x >= kelvins(rule.at["above_return"]) + _worse(signals, "outdoor", "return"))


def _no_drier(signals: Signals) -> Column:
    """Whether outdoor air that is warmer than return air is known to hold more heat as well."""
    if "dry bulb" in (signals.known.high_limit_control or ""):
        return ~signals.never
    for kind in ("enthalpy", "humidity_ratio", "humidity", "dew_point"):
        if signals.has(f"outdoor_{kind}") and signals.has(f"return_{kind}"):
            difference, both = signals.apart(f"outdoor_{kind}", f"return_{kind}")
            return both & (difference >= 0)
    return signals.never


def minimum_low(signals: Signals, rule: Rule) -> Judged:
    """Signal below the minimum of the card in occupied hours."""
    least = min(signals.known.minimum_signal.values(), default=None)
    if least is None or signals.occupied is None:
        return signals.never, signals.never
    value, there = signals.signal
    window = signals.figures.windows.steady
    judged = there & signals.fan_runs & signals.signal_steady & signals.stood(signals.occupied[0], window)
    return judged, judged & (value <= signal_steps(least - rule.at["below"]))


def minimum_high(signals: Signals, rule: Rule) -> Judged:
    """Signal above the minimum of the card while it is too warm to economize."""
    most = max(signals.known.minimum_signal.values(), default=None)
    if most is None:
        return signals.never, signals.never
    value, there = signals.signal
    outdoor, known = signals.point("outdoor_temperature")
    x, both = signals.apart("outdoor_temperature", "return_temperature")
    judged = there & known & both & signals.fan_runs & signals.signal_steady & _hot(signals, rule, outdoor, x)
    judged = judged & (value < signal_steps(rule.at["open"])) & signals.not_seen_on(signals.heating)
    return judged, judged & (value >= signal_steps(most + rule.at["above"]))


def shut_when_occupied(signals: Signals, rule: Rule) -> Judged:
    """Tell a damper that is shut while people are in and the fan runs."""
    if signals.occupied is None:
        return signals.never, signals.never
    value, there = signals.signal
    outdoor, known = signals.point("outdoor_temperature")
    window = signals.figures.windows.hour
    judged = signals.stood(signals.occupied[0] & signals.is_on(signals.fan) & there & known, window)
    judged = judged & (outdoor >= kelvins(rule.at["outdoor_at_least"]) + _worse(signals, "outdoor"))
    shut = value <= signal_steps(signals.figures.classes.shut)
    return judged, judged & signals.stood(shut, window)


def fan_off(signals: Signals, rule: Rule) -> Judged:  # noqa: ARG001 - every check is called alike
    """Fan off while people are in."""
    if signals.occupied is None or signals.fan is None:
        return signals.never, signals.never
    window = signals.figures.windows.hour
    judged = signals.stood(signals.occupied[0] & signals.fan[1], window)
    return judged, judged & signals.stood(signals.is_off(signals.fan), window)


def open_while_heating(signals: Signals, rule: Rule) -> Judged:
    """Tell a damper that is wide open with heat."""
    window = signals.figures.windows.steady
    judged = signals.fan_runs & signals.stood(signals.is_on(signals.heating), window) & signals.signal[1]
    judged = judged & signals.not_seen_on(signals.cooling)
    return judged, judged & signals.stood(signals.open_to(rule.at["open"]), window)


def both(signals: Signals, rule: Rule) -> Judged:  # noqa: ARG001 - every check is called alike
    """Heat and cooling together."""
    if signals.heating is None or signals.cooling is None:
        return signals.never, signals.never
    window = signals.figures.windows.steady
    judged = signals.fan_runs & signals.heating[1] & signals.cooling[1]
    judged = judged & (signals.heating[0] | signals.cooling[0])
    return judged, judged & signals.stood(signals.heating[0] & signals.cooling[0], window)


def cools_without_call(signals: Signals, rule: Rule) -> Judged:
    """Air cooled by a coil that is off."""
    rise, judged = signals.over_coils
    judged = judged & signals.stood(signals.is_off(signals.cooling), signals.figures.windows.steady)
    beyond = rise + _layers(signals, rule)
    return judged, judged & (beyond <= signals.readings * -(kelvins(rule.at["colder"]) + _coil(signals)))


def _coil(signals: Signals) -> int:
    """By how much worse than codes accept what coils do may be read. [steps]"""
    return _worse(signals, "mixed", "supply")


def _layers(signals: Signals, rule: Rule) -> Column:
    """By how much layers may put a mixed-air sensor wrong, summed over a steady window. [steps]"""
    x, there = signals.apart("outdoor_temperature", "return_temperature")
    far = abs(x) * signals.rows.number(there) * round(rule.at["of_difference"] * 100) // 100
    return signals.rows.total(far, signals.figures.windows.steady)


def heats_without_call(signals: Signals, rule: Rule) -> Judged:
    """Air heated by a coil that is off."""
    rise, judged = signals.over_coils
    judged = judged & signals.stood(signals.is_off(signals.heating), signals.figures.windows.steady)
    beyond = rise - _layers(signals, rule)
    return judged, judged & (beyond >= signals.readings * (kelvins(rule.at["warmer"]) + _coil(signals)))


def cools_without_effect(signals: Signals, rule: Rule) -> Judged:
    """Full cooling, and the air no colder."""
    rise, judged = signals.over_coils
    full = signals.full(COMPRESSORS, "cooling_stages", "cooling_signal")
    judged = judged & signals.stood(
        full & signals.not_seen_on(signals.heating), signals.figures.windows.steady
    )
    return judged, judged & (rise >= signals.readings * (_coil(signals) - kelvins(rule.at["colder"])))


def heats_without_effect(signals: Signals, rule: Rule) -> Judged:
    """Full heat, and the air no warmer."""
    rise, judged = signals.over_coils
    full = signals.full(HEATERS, "heating_stages", "heating_signal")
    judged = judged & signals.stood(
        full & signals.not_seen_on(signals.cooling), signals.figures.windows.steady
    )
    return judged, judged & (rise <= signals.readings * (kelvins(rule.at["warmer"]) - _coil(signals)))


def outside_both(signals: Signals, rule: Rule) -> Judged:
    """Mixed air that neither stream could give."""
    window, rows = signals.figures.windows.steady, signals.rows
    x, there = signals.apart("outdoor_temperature", "return_temperature")
    y, there_too = signals.apart("mixed_temperature", "return_temperature")
    whole = rows.number(there & there_too)
    judged = signals.fan_runs & signals.stood(there & there_too, window)
    of_x, of_y = rows.total(x * whole, window), rows.total(y * whole, window)
    of_return = kelvins(rule.at["by"]) + _worse(signals, "mixed", "return")
    of_outdoor = kelvins(rule.at["by"]) + _worse(signals, "mixed", "outdoor")
    least, most = signals.readings * of_return, signals.readings * of_outdoor
    # above return and above outdoor air, or below both
    above = (of_y >= least) & (of_y - of_x >= most)
    below = (of_y <= least * -1) & (of_y - of_x <= most * -1)
    return judged, judged & (above | below)


def starts(signals: Signals, rule: Rule) -> Judged:
    """Starts of any one compressor in an hour."""
    if signals.step > rule.at["step"]:
        return signals.never, signals.never
    window, rows = signals.figures.windows.hour, signals.rows
    judged, shown = signals.never, signals.never
    for name in COMPRESSORS:
        if signals.has(name):
            value, there = signals.point(name)
            runs = rows.number((value >= 1) & there)
            begun = rows.number(runs - rows.before(runs) >= 1)
            stood = signals.stood(there, window)
            judged = judged | stood
            shown = shown | (stood & (rows.total(begun, window) > round(rule.at["most"])))
    return judged, shown


def travel(signals: Signals, rule: Rule) -> Judged:
    """Ways of the damper signal in an hour beside where it came to."""
    if signals.step > rule.at["step"]:
        return signals.never, signals.never
    window, rows = signals.figures.windows.hour, signals.rows
    value, there = signals.point("outdoor_damper_signal")
    judged = signals.stood(there & signals.is_on(signals.fan), window)
    net = abs(rows.total(value - rows.before(value), window))
    far = signals.travel(value, window) >= signal_steps(rule.at["strokes"])
    return judged, judged & far & (net <= signal_steps(rule.at["net"]))


CHECKS: Mapping[str, Callable[[Signals, Rule], Judged]] = {
    one.__name__: one
    for one in (
        share, position, not_economizing, change_over, economizing_when_not, minimum_low, minimum_high, shut_when_occupied,
        fan_off, open_while_heating, both, cools_without_call, heats_without_call, cools_without_effect, heats_without_effect,
        outside_both, starts, travel,
    )
}  # fmt: skip
"""By the name that a rule gives; "still" compares whole days and stands in ``day_sums``."""
