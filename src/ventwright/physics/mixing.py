"""Outdoor and return air that mix: from three readings, how much of the mixture is outdoor air.

The outdoor-air fraction is one of dry-air mass. Readings of any quantity that mixes by mass give it: humidity
ratio, enthalpy, the concentration of carbon dioxide and, nearly, temperature.
"""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Literal

from ventwright.errors import Refusal, Refused

LEAST_APART = 3.0
"""Standard uncertainties that outdoor and return air must be apart before a fraction means anything (our choice)."""

OUTSIDE = 2.0
"""Standard uncertainties below 0 or above 1 from which on the three readings contradict each other (our choice)."""

MixingFinding = Literal["mixing.too_close", "mixing.outside_streams"]


@dataclass(frozen=True, slots=True)
class Reading:
    """One reading of a stream and how well it is known, in the SI unit of what is read.

    What differs from reading to reading (repeatability, stratification) is independent. A fixed offset belongs to
    the instrument: it is common to all readings taken with it, so that between them it cancels. A reading without
    an instrument's name shares its offset with no other.
    """

    value: float
    repeatability_u: float = 0.0
    instrument: str | None = None
    offset_u: float = 0.0

    def __post_init__(self) -> None:
        """Refuse what is no reading."""
        if not math.isfinite(self.value):
            raise Refused(Refusal("is no reading", "a finite number", given=f"{self.value}"))
        for uncertainty in (self.repeatability_u, self.offset_u):
            if not 0.0 <= uncertainty < math.inf:
                problem = "is no standard uncertainty"
                raise Refused(Refusal(problem, "a finite number of at least 0", given=f"{uncertainty}"))


@dataclass(frozen=True, slots=True)
class FractionEstimate:
    """What three readings tell about the outdoor-air fraction.

    ``mixing.too_close``: outdoor and return air differ by less than three standard uncertainties of their
    difference, so no fraction can be told and there is none here. ``mixing.outside_streams``: the fraction lies
    more than two standard uncertainties outside 0 to 1, so a reading is wrong or heat comes in from elsewhere.
    """

    outdoor_air_fraction: float | None
    """Of dry-air mass, as the readings give it: not cut off at 0 and 1. [-]"""
    outdoor_air_fraction_u: float | None
    """Standard uncertainty. [-]"""
    difference: float
    """Return minus outdoor reading, in the unit of the readings."""
    difference_u: float
    """Its standard uncertainty."""
    finding: MixingFinding | None = None


def outdoor_air_fraction(outdoor: float, returned: float, mixed: float) -> float:
    """Share of outdoor air in a mixture, from one quantity read in all three.

    Holds exactly for humidity ratio and enthalpy; for temperature as if the mixed one were 0.1 K off, since moist
    air takes more heat than dry air; for carbon dioxide in parts per million to 2 % of the fraction, since they
    count moist air by volume.

    Parameters
    ----------
    outdoor, returned, mixed
        Readings of one quantity, all in one unit.

    Returns
    -------
    float
        Fraction of dry-air mass, not cut off at 0 and 1. [-]

    Raises
    ------
    Refused
        Outdoor and return reading are equal.

    References
    ----------
    US EPA and NIOSH, Building Air Quality (1991), ventilation worksheet: by temperature and by carbon dioxide.
    """
    if returned == outdoor:
        problem = "is read in both outdoor and return air, so the mixture tells nothing"
        raise Refused(Refusal(problem, "two readings that differ", given=f"{outdoor:g}"))
    return (returned - mixed) / (returned - outdoor)


def estimate(outdoor: Reading, returned: Reading, mixed: Reading) -> FractionEstimate:
    """Estimate the outdoor-air fraction from three readings of one quantity, with its uncertainty.

    Holds to first order: uncertainties small against the difference between outdoor and return air.

    Parameters
    ----------
    outdoor, returned, mixed
        Readings of one quantity, all in one unit.

    Returns
    -------
    FractionEstimate
        The fraction, or a finding why there is none or why it cannot be right.

    References
    ----------
    JCGM 100:2008, 5.1.2 and 5.2.2 (correlated inputs). Sensitivities of F = (R - M) / (R - O), with D = R - O:
    -1/D to the mixed reading, (1 - F)/D to that of the return air, F/D to that of the outdoor air.
    """
    difference = returned.value - outdoor.value
    difference_u = _combined([(1.0, returned), (-1.0, outdoor)])
    if difference == 0.0 or abs(difference) < LEAST_APART * difference_u:
        return FractionEstimate(None, None, difference, difference_u, "mixing.too_close")
    fraction = outdoor_air_fraction(outdoor.value, returned.value, mixed.value)
    fraction_u = _spread(fraction, outdoor, returned, mixed) / abs(difference)
    outside = max(-fraction, fraction - 1.0) > OUTSIDE * fraction_u
    finding: MixingFinding | None = "mixing.outside_streams" if outside else None
    return FractionEstimate(fraction, fraction_u, difference, difference_u, finding)


def difference_needed(
    outdoor_air_fraction: float, target_u: float, *, outdoor: Reading, returned: Reading, mixed: Reading
) -> float:
    """Difference between outdoor and return air at which the fraction would be known well enough.

    Holds to first order, as ``estimate``.

    Parameters
    ----------
    outdoor_air_fraction
        The fraction expected. [-]
    target_u
        Standard uncertainty of the fraction that is wanted, above 0. [-]
    outdoor, returned, mixed
        Readings as they would be taken; only their uncertainties and instruments matter.

    Returns
    -------
    float
        Difference without sign, in the unit of the readings: kelvins for temperatures. 0 where the readings have
        no uncertainty left, as with one instrument that repeats perfectly.

    Raises
    ------
    Refused
        The target is not above 0.

    References
    ----------
    JCGM 100:2008, 5.2.2, solved for the difference.
    """
    if not 0.0 < target_u < math.inf:
        raise Refused(Refusal("is no uncertainty to aim for", "a number above 0", given=f"{target_u:g}"))
    return _spread(outdoor_air_fraction, outdoor, returned, mixed) / target_u


def _spread(fraction: float, outdoor: Reading, returned: Reading, mixed: Reading) -> float:
    """Standard uncertainty of the fraction times the difference that it divides by."""
    return _combined([(-1.0, mixed), (1.0 - fraction, returned), (fraction, outdoor)])


def _combined(terms: Iterable[tuple[float, Reading]]) -> float:
    """Standard uncertainty of a weighted sum of readings; offsets of one instrument move together."""
    independent = 0.0
    offsets: defaultdict[str, float] = defaultdict(float)
    for weight, reading in terms:
        independent += (weight * reading.repeatability_u) ** 2
        if reading.instrument is None:
            independent += (weight * reading.offset_u) ** 2
        else:
            offsets[reading.instrument] += weight * reading.offset_u
    return math.sqrt(independent + sum(offset**2 for offset in offsets.values()))
