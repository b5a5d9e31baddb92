"""The unit as it was left against the unit as a log shows it: settings and shares, each passes, fails or cannot be told."""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Iterator

from ventwright.evidence import Shortfall
from ventwright.quantity import FRACTION, TEMPERATURE, Dimension
from ventwright.verdict.check import Check, cannot_tell, held_against
from ventwright.verdict.trend_findings.shape import KnownUnit, Observed, ShareLine
from ventwright.words import Amount, Words, words

SIGNAL_BAND = 0.02
"""By which a damper signal may differ from the card: what logs round off (our own assumption). [-]"""

TEMPERATURE_BAND = 1.1
"""By which a change-over may differ from its setting: 2 °F, about the differential of a switch (our own assumption). [K]"""

SHARE_BAND = 0.05
"""By which the share of outdoor air may differ from the curve as left (our own assumption). [-]"""

SAME_SPEED = 0.1
"""Distance of two fan speeds, as shares of full speed, within which they are one (our own assumption). [-]"""

LONGER = Words("a longer log, with weather on both sides of the setting")


def compared(known: KnownUnit, observed: Observed) -> tuple[Check, ...]:
    """Hold what a log shows against the unit as it was left; what was not left anywhere is not compared.

    Parameters
    ----------
    known
        The unit as it was left.
    observed
        As it is found in the data.
    """
    return (
        *_minimum(known, observed),
        *_change_over(known, observed),
        *_lockout(known, observed),
        *_shares(known, observed),
    )


def _minimum(known: KnownUnit, observed: Observed) -> Iterator[Check]:
    for speed, left in known.minimum_signal.items():
        what = words("damper signal at minimum, fan at {speed}", speed=Amount(speed, FRACTION))
        near = [
            (abs(at - speed), found) for at, found in observed.minimum_signal if abs(at - speed) <= SAME_SPEED
        ]
        id_ = f"trend.minimum_signal_{100 * speed:.0f}"
        if not near:
            yield _not_seen(id_, what, Amount(left, FRACTION), "a log of the damper signal and the fan speed")
        else:
            found = min(near, key=lambda one: one[0])[1]
            yield _held(id_, what, Amount(left, FRACTION), found, SIGNAL_BAND)


def _change_over(known: KnownUnit, observed: Observed) -> Iterator[Check]:
    if known.high_limit is None:
        return
    id_, what = "trend.change_over", Words("outdoor temperature at which free cooling is given up")
    left = Amount(known.high_limit, TEMPERATURE)
    if observed.change_over is None:
        yield _not_seen(id_, what, left, LONGER.text)
    else:
        yield _held(id_, what, left, observed.change_over, TEMPERATURE_BAND)


def _lockout(known: KnownUnit, observed: Observed) -> Iterator[Check]:
    if known.compressor_lockout is None:
        return
    id_, what = "trend.lockout", Words("lowest outdoor temperature at which a compressor runs")
    left, found = Amount(known.compressor_lockout, TEMPERATURE), observed.lockout
    if found is None:
        yield _not_seen(id_, what, left, LONGER.text)
    elif found.value > left.value + TEMPERATURE_BAND:  # perhaps nothing called for one when it was colder
        sentence = words("none ran below {found}; left at {left}", found=found, left=left)
        settle = Words("a log of colder hours in which cooling is called for")
        yield cannot_tell(id_, what, Shortfall("trend.not_shown", sentence, settle), estimate=found)
    else:
        yield _held(id_, what, left, found, TEMPERATURE_BAND)


def _shares(known: KnownUnit, observed: Observed) -> Iterator[Check]:
    """Compare both ends of the line with the curve as left."""
    if not known.as_left:
        return
    line = observed.share_line
    for end in ("low", "high"):
        id_ = f"trend.share_{end}"
        if line is None:
            what = words("share of outdoor air at the {end} end of the signal", end=Words(end))
            settle = (
                "a log of outdoor, return and mixed air while outdoor and return air differ by 10 °F (6 K)"
            )
            yield _not_seen(id_, what, None, settle)
            continue
        signal, found = _end(line, end)
        what = words("share of outdoor air at {signal} damper signal", signal=Amount(signal, FRACTION))
        left = Amount(curve_at(known.as_left, signal), FRACTION)
        yield _held(id_, what, left, found, SHARE_BAND)


def _end(line: ShareLine, end: str) -> tuple[float, Amount]:
    return (line.low_signal, line.low_share) if end == "low" else (line.high_signal, line.high_share)


def curve_at(curve: tuple[tuple[float, float], ...], signal: float) -> float:
    """Return the share of a curve at a signal, straight between its points and level beyond them. [-]"""
    signals = [one for one, _ in curve]
    after = bisect_right(signals, signal)
    if after in (0, len(curve)):
        return curve[min(after, len(curve) - 1)][1]
    (first, low), (second, high) = curve[after - 1], curve[after]
    return low + (signal - first) / (second - first) * (high - low)


def _held(id_: str, what: Words, left: Amount, found: Amount, band: float) -> Check:
    dimension: Dimension = left.dimension
    low, high = (Amount(left.value + sign * band, dimension) for sign in (-1.0, 1.0))
    sentence = words("{found} in the data, left at {left}", found=found, left=left)
    shortfall = Shortfall("trend.too_uncertain", sentence, LONGER)
    return held_against(id_, what, found, low, high, sentence, shortfall)


def _not_seen(id_: str, what: Words, left: Amount | None, settle: str) -> Check:
    sentence = (
        Words("the log does not show it")
        if left is None
        else words("left at {left}; the log does not show it", left=left)
    )
    return cannot_tell(id_, what, Shortfall("trend.not_shown", sentence, Words(settle)))
