"""What readings can show of an outdoor-air share at best: how well it comes to be known, and what a pass would take.

No reading is needed for it, only what is wrong with the instruments. Every error is taken as normal with mean 0.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

from ventwright.errors import Refusal, Refused
from ventwright.evidence import ACCEPTED_RISK, Limits, uncertainty_that_passes
from ventwright.physics import mixing


@dataclass(frozen=True, slots=True)
class ProbeErrors:
    """What is wrong with the probes in outdoor, return and mixed air, as standard uncertainties. [K]

    ``offset_u`` is an error that one probe carries everywhere; ``over_range_u`` the part of its accuracy that differs
    between cold and warm air, which neither one probe for all nor a check side by side takes away; ``repeatability_u``
    what differs from reading to reading, and so averages out.
    """

    offset_u: float
    over_range_u: float = 0.0
    repeatability_u: float = 0.0
    one_probe: bool = False
    """Whether one probe reads all three, so that its offset cancels; else three probes that share nothing."""

    def __post_init__(self) -> None:
        """Refuse what is no uncertainty."""
        for given in (self.offset_u, self.over_range_u, self.repeatability_u):
            _refuse_no_uncertainty(given, math.inf)


@dataclass(frozen=True, slots=True)
class Attainable:
    """What readings at one signal can show, the true share being the one wanted."""

    outdoor_air_fraction_u: float
    """Standard uncertainty of the share after these readings. [-]"""
    outdoor_air_fraction_u_limit: float
    """The same after readings without end: what no further reading at this signal takes away. [-]"""
    chance_of_passing: float
    """Chance that these readings pass. [-]"""
    readings_needed: int | None
    """Least number of readings with which an estimate in the middle passes; None where no number does."""
    difference_needed: float | None
    """Least difference between outdoor and return air at which it passes with these readings; None where none does. [K]"""
    supply_u_allowed: float | None
    """Largest relative standard uncertainty of the supply airflow with which it passes; None where the share alone does not. [-]"""


def attainable(
    outdoor_air_fraction: float,
    difference: float,
    *,
    probes: ProbeErrors,
    layers: float,
    supply_u: float,
    tolerance: float,
    checked: bool,
    readings: int,
) -> Attainable:
    """How well a share comes to be known at one signal, and whether that can carry a pass.

    Holds to first order: errors small against the difference. The outdoor airflow is judged as the share times a supply
    airflow; with ``supply_u`` 0 it is the share alone. A check side by side is no reading here: whoever counts it adds one.

    Parameters
    ----------
    outdoor_air_fraction
        The share wanted, which is the middle of what is accepted, above 0. [-]
    difference
        Between outdoor and return air, of either sign; 0 shows nothing. [K]
    probes
        What is wrong with the probes.
    layers
        Standard uncertainty that unmixed air leaves in the mixed-air reading, as a share of the difference. [-]
    supply_u
        Relative standard uncertainty of the supply airflow. [-]
    tolerance
        Accepted departure, as a share of what is wanted, above 0. [-]
    checked
        Whether the probes were read once in the same air, and what differed is taken off.
    readings
        At this signal, all three streams each time, at least 1.

    Returns
    -------
    Attainable
        Uncertainties, chance, and what would be needed.

    Raises
    ------
    Refused
        A share, tolerance or number of readings that is not above 0, or an uncertainty below 0.

    References
    ----------
    JCGM 100:2008, 5.1.2 and 5.2.2, for F = (R - M) / (R - O), as in ``mixing``. JCGM 106:2012, 8.3.2, for the guarded
    acceptance. Offsets after a check: the posterior of independent normal errors after one noisy comparison with
    what they have in common unknown (Bayes' theorem; from memory, checked by drawing).
    """
    _refuse_impossible(outdoor_air_fraction, layers, supply_u, tolerance, readings)
    fixed, scatter = (
        _fixed(outdoor_air_fraction, probes, checked=checked),
        _scatter(outdoor_air_fraction, probes),
    )
    apart, allowed = abs(difference), outdoor_air_fraction * relative_u_that_passes(tolerance)
    of_temperatures = math.sqrt(fixed**2 + scatter**2 / readings)
    share_u = _over(of_temperatures, apart, layers)
    of_supply = outdoor_air_fraction * supply_u
    room = allowed**2 - layers**2 - of_supply**2
    supply_room = allowed**2 - share_u**2
    return Attainable(
        outdoor_air_fraction_u=share_u,
        outdoor_air_fraction_u_limit=_over(fixed, apart, layers),
        chance_of_passing=_chance(outdoor_air_fraction * tolerance, math.hypot(share_u, of_supply)),
        readings_needed=_readings_needed(room * apart**2 - fixed**2, scatter)
        if apart and room > 0.0
        else None,
        difference_needed=of_temperatures / math.sqrt(room) if room > 0.0 else None,
        supply_u_allowed=math.sqrt(supply_room) / outdoor_air_fraction if supply_room >= 0.0 else None,
    )


def _refuse_impossible(
    outdoor_air_fraction: float, layers: float, supply_u: float, tolerance: float, readings: int
) -> None:
    if not 0.0 < outdoor_air_fraction < math.inf:
        raise Refused(Refusal("is no share to be proved", "more than 0 %", given=f"{outdoor_air_fraction:g}"))
    if not 0.0 < tolerance < math.inf:
        raise Refused(Refusal("is no tolerance", "more than 0 %", given=f"{tolerance:g}"))
    if readings < 1:
        raise Refused(Refusal("is no number of readings", "1 or more", given=f"{readings}"))
    _refuse_no_uncertainty(layers, 1.0)
    _refuse_no_uncertainty(supply_u, math.inf)


def _refuse_no_uncertainty(given: float, below: float) -> None:
    if not 0.0 <= given < below:
        accepted = "a finite number of at least 0" if below == math.inf else f"0 to {below:g}"
        raise Refused(Refusal("is no standard uncertainty", accepted, given=f"{given}"))


def _spread(outdoor_air_fraction: float, offset_u: float, rest_u: float, *, one_probe: bool) -> float:
    """Standard uncertainty of the share times the difference, with equal errors in all three streams. [K]"""
    stream = mixing.Reading(0.0, rest_u, "one" if one_probe else None, offset_u)
    return mixing.difference_needed(outdoor_air_fraction, 1.0, outdoor=stream, returned=stream, mixed=stream)


def _fixed(outdoor_air_fraction: float, probes: ProbeErrors, *, checked: bool) -> float:
    """What no repetition takes away, times the difference. [K]

    The three sensitivities add up to nothing, so what all probes have in common does not count; across that, each
    offset is as well known after a check as an offset with a normal prior after one reading of it.
    """
    offset_u = probes.offset_u
    if checked and offset_u > 0.0:
        offset_u *= probes.repeatability_u / math.hypot(offset_u, probes.repeatability_u)
    return _spread(outdoor_air_fraction, offset_u, probes.over_range_u, one_probe=probes.one_probe)


def _scatter(outdoor_air_fraction: float, probes: ProbeErrors) -> float:
    """What differs from reading to reading, of one reading, times the difference. [K]"""
    return _spread(outdoor_air_fraction, 0.0, probes.repeatability_u, one_probe=False)


def _over(of_temperatures: float, apart: float, layers: float) -> float:
    return math.hypot(of_temperatures / apart, layers) if apart else math.inf


def _readings_needed(left: float, scatter: float) -> int | None:
    """Least number of readings whose mean scatters by no more than the square root of what is left. [K²]"""
    if scatter == 0.0:
        return 1 if left >= 0.0 else None
    ratio = scatter**2 / left if left > 0.0 else math.inf
    return max(1, math.ceil(ratio * (1.0 - ROUNDING))) if ratio < MANY else None


ROUNDING = 1e-9
"""Relative room, lest the difference that was asked for be found too small by the last digit."""

MANY = 1e6
"""Readings from which on they are as good as without end (our choice)."""


@cache
def relative_u_that_passes(tolerance: float) -> float:
    """Largest standard uncertainty, relative to the share wanted, with which an estimate in the middle passes.

    Parameters
    ----------
    tolerance
        Accepted departure, as a share of what is wanted. [-]

    Returns
    -------
    float
        Relative standard uncertainty. [-]

    References
    ----------
    JCGM 106:2012, 8.3.2, as in ``evidence``.
    """
    return uncertainty_that_passes(1.0, Limits(1.0 - tolerance, 1.0 + tolerance)) or 0.0


def allowed_departure(half_width: float, estimate_u: float) -> float | None:
    """How far from the middle of what is accepted an estimate may lie and still pass.

    Parameters
    ----------
    half_width
        Half of what is accepted, in the unit of the estimate. [any one unit]
    estimate_u
        Its standard uncertainty. [the same unit]

    Returns
    -------
    float or None
        In that unit; None where not even the middle passes.

    References
    ----------
    JCGM 106:2012, 8.3.2: guarded acceptance with both ends counted; solved by bisection.
    """
    if estimate_u == 0.0:
        return half_width
    if not _passes(0.0, half_width, estimate_u):
        return None
    low, high = 0.0, half_width  # at the end itself no more than half lies within
    for _ in range(40):
        middle = 0.5 * (low + high)
        if _passes(middle, half_width, estimate_u):
            low = middle
        else:
            high = middle
    return low


def _passes(departure: float, half_width: float, estimate_u: float) -> bool:
    """Whether at least 95 % of a normal distribution lie within the limits."""
    scale = estimate_u * math.sqrt(2.0)
    inside = math.erf((half_width - departure) / scale) + math.erf((half_width + departure) / scale)
    return 0.5 * inside >= 1.0 - ACCEPTED_RISK


def _chance(half_width: float, estimate_u: float) -> float:
    """Chance that an estimate of a true value in the middle falls where it passes."""
    departure = allowed_departure(half_width, estimate_u) if estimate_u < math.inf else None
    if departure is None:
        return 0.0
    return math.erf(departure / (estimate_u * math.sqrt(2.0))) if estimate_u > 0.0 else 1.0
