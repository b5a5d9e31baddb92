"""How likely a reading is where a hypothesis expects some value: numbers with their spread, words, and plain mistakes."""

from __future__ import annotations

from collections.abc import Sequence
from math import erf, exp, hypot, pi, sqrt

from ventwright.plan.software_reading import NO_SHARE_BELOW, Value
from ventwright.tables.measurement import Measurement, Part, measurements

SPANS = {one.name: one.span for one in measurements().entered.values() if one.span is not None}
"""Range in which a number that is simply wrong lies anywhere, by what is read. [SI]"""

SETTINGS, NONE_DIFFERS = "settings", "as planned"
"""What is read of all settings together, and its word where none differs from the plan."""

LEAST_LAYERED = 0.25
"""Share of the error of layers that is left where next to no outdoor air comes in, or nothing else: there is little to
lie in layers; our own assumption. [-]"""
MOST_PROBE_U = 3.0
"""Standard uncertainty of a share by three temperatures beyond which it says nothing anyway: our own assumption. [-]"""
BINS = 24
"""Bins in which a number's range is foreseen at the most: our own assumption."""
OF_SPREAD = 1.5
"""Width of a bin over the number's standard uncertainty, at the least: our own assumption. [-]"""
REACH = 2.5
"""Standard uncertainties to either side over which a number is foreseen: our own assumption. [-]"""
SELDOM_SEEN = 0.35
"""Of the readings that are wrong, share that each other word gets: our own assumption. [-]"""


def spread(one: Part, expected: Value, difference: float) -> float:
    """Standard uncertainty of a number that is read.

    Parameters
    ----------
    one
        What is read.
    expected
        What a hypothesis has one read.
    difference
        Between outdoor and return air. [K]

    Returns
    -------
    float
        In what is read.

    References
    ----------
    A share by three temperatures: propagation of first order (GUM, 5.1.2), as in ``physics.mixing``.
    """
    own = one.u or 0.0
    if not one.probe_u or isinstance(expected, str):
        return own
    own *= max(LEAST_LAYERED, 4.0 * expected * (1.0 - expected))
    return hypot(own, min(MOST_PROBE_U, one.probe_u * lever(expected) / apart(difference)))


def lever(share: float) -> float:
    """How far a share moves by the errors of three temperatures, over that of one of them by the air's difference. [-]"""
    return sqrt(1.0 + (1.0 - share) ** 2 + share**2)


def apart(difference: float) -> float:
    """Outdoor and return air apart, no less than where a share can be read at all, without sign. [K]"""
    return max(abs(difference), NO_SHARE_BELOW)


def likelihood(one: Part, expected: Value, seen: Value, u: float) -> float:
    """Likelihood of a reading: density of a number within its range, probability of a word.

    Parameters
    ----------
    one
        What is read.
    expected
        What a hypothesis has one read.
    seen
        What was read.
    u
        Standard uncertainty of a number. [unit of what is read]

    Returns
    -------
    float
        Never 0: some readings are simply wrong.

    References
    ----------
    Normal distribution with a floor for mistakes (our own assumption).
    """
    wrong = measurements().outlier
    if isinstance(seen, str):
        right = one.right if one.u is None else 1.0 - wrong
        return right * ((1.0 - right) * SELDOM_SEEN / right) ** _misread(one, expected, seen)
    low, high = SPANS[one.reads]
    mistaken = wrong / (high - low)
    if isinstance(expected, str):
        # a number where there is none to read is a mistake like any other: anywhere in its range
        return mistaken
    deviation = (seen - expected) / u
    return (1.0 - wrong) * exp(-0.5 * deviation * deviation) / (u * sqrt(2.0 * pi)) + mistaken


def _misread(one: Part, expected: Value, seen: str) -> int:
    """How many words would have to be wrong: one, or one for every setting read otherwise, two for one on the other side."""
    if one.reads != SETTINGS or not isinstance(expected, str):
        return int(seen != expected)
    there, read = _by_setting(expected), _by_setting(seen)
    apart = [name for name in there.keys() | read.keys() if there.get(name) != read.get(name)]
    return sum(2 if name in there and name in read else 1 for name in apart)


def _by_setting(words: str) -> dict[str, str]:
    """Part what all settings gave: which of them differs from the plan, and to which side."""
    sides = ("low", "high")
    parts = [part.rpartition(" ") for part in words.split(" + ") if part != NONE_DIFFERS]
    return {
        (name if side in sides else f"{name} {side}"): (side if side in sides else "")
        for name, _, side in parts
    }


def fit(expected: Value, seen: Value, u: float) -> float:
    """How well a reading fits, from 0 to 1: its density against that of what was expected."""
    if isinstance(seen, str) or isinstance(expected, str):
        return 1.0 if seen == expected else 0.0
    deviation = (seen - expected) / u
    return exp(-0.5 * deviation * deviation)


def bin_width(one: Part, difference: float) -> float:
    """Width of the bins in which a number is foreseen: no finer than it is read. [unit of what is read]

    Parameters
    ----------
    one
        What is read.
    difference
        Between outdoor and return air. [K]
    """
    if one.u is None:
        return 1.0
    low, high = SPANS[one.reads]
    return max((high - low) / BINS, OF_SPREAD * spread(one, 0.5, difference))


def outcomes(one: Part, expected: Value, u: float, width: float) -> list[tuple[Value, float]]:
    """What may be read, and how likely, when a value is expected: numbers in bins about as wide as their spread.

    Parameters
    ----------
    one
        What is read.
    expected
        What a hypothesis has one read.
    u
        Standard uncertainty of a number. [unit of what is read]
    width
        Of a bin: one for all hypotheses. [unit of what is read]

    Returns
    -------
    list of pairs
        Number of a bin, or a word, and its probability; what is left to 1 is "anything else". [-]

    References
    ----------
    Normal distribution, in bins.
    """
    if isinstance(expected, str):
        return [(expected, one.right if one.u is None else 1.0 - measurements().outlier)]
    low, _ = SPANS[one.reads]
    first, last = int((expected - REACH * u - low) // width), int((expected + REACH * u - low) // width)
    if first == last:
        return [(float(first), 1.0 - measurements().outlier)]
    right = 1.0 - measurements().outlier
    ends = [erf((low + edge * width - expected) / (u * sqrt(2.0))) for edge in range(first + 1, last + 1)]
    below = [-1.0, *ends, 1.0]
    return [
        (float(number), right * 0.5 * (above - under))
        for number, under, above in zip(range(first, last + 1), below, below[1:], strict=False)
    ]


Foreseen = tuple[Value, ...]
"""Words, and numbers of bins, for the parts of a measurement."""
ELSE: Foreseen = ("anything else",)
"""What is left to 1 of the things that are foreseen."""
LIKELIEST = 2
"""Bins of a number that are looked at where several parts are read together."""


def foreseen(
    one: Measurement, expected: Sequence[Value | None], difference: float
) -> tuple[tuple[Foreseen, float], ...]:
    """What the parts of a measurement may show together.

    Parameters
    ----------
    one
        The measurement.
    expected
        What a hypothesis has one read, part by part.
    difference
        Between outdoor and return air. [K]

    Returns
    -------
    tuple of pairs
        Words and bins, and their probability; what is left to 1 is "anything else". [-]

    References
    ----------
    Errors of the parts are independent: our own assumption.
    """
    listed: list[tuple[Foreseen, float]] = [((), 1.0)]
    for part, value in zip(one.parts, expected, strict=True):
        if value is None:
            continue
        each = outcomes(part, value, spread(part, value, difference), bin_width(part, difference))
        if len(one.parts) > 1:
            each = sorted(each, key=lambda found: -found[1])[:LIKELIEST]
        listed = [((*before, shown), chance * more) for before, chance in listed for shown, more in each]
    return tuple(listed)
