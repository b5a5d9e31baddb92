"""Uncertainty of the outdoor-air fraction against the ``uncertainties`` package (BSD) and against a Monte Carlo draw."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import pytest
from uncertainties import ufloat

from ventwright.physics.mixing import Reading, difference_needed, estimate

OUTDOOR, RETURN, MIXED = 2.0, 22.0, 17.0
"""°C: a quarter outdoor air, 20 K apart."""

ARRANGEMENTS = {
    "three probes": (("a", "b", "c"), (0.3, 0.3, 0.3), (0.1, 0.1, 0.1)),
    "one probe moved": (("a", "a", "a"), (0.5, 0.5, 0.5), (0.05, 0.05, 0.05)),
    "one probe in return and mixed air": (("a", "b", "b"), (0.3, 0.5, 0.5), (0.1, 0.1, 0.2)),
    "one probe whose offset differs with the place": (("a", "a", "b"), (0.2, 0.4, 0.3), (0.0, 0.0, 0.1)),
    "no names": ((None, None, None), (0.3, 0.2, 0.1), (0.1, 0.1, 0.4)),
    "offset only, one probe": (("a", "a", "a"), (0.5, 0.5, 0.5), (0.0, 0.0, 0.0)),
}


def readings(
    arrangement: str, values: tuple[float, float, float] = (OUTDOOR, RETURN, MIXED)
) -> list[Reading]:
    """Outdoor, return and mixed reading of an arrangement of instruments."""
    names, offsets, repeatabilities = ARRANGEMENTS[arrangement]
    return [
        Reading(value, repeatability_u=repeatability, instrument=name, offset_u=offset)
        for value, name, offset, repeatability in zip(values, names, offsets, repeatabilities, strict=True)
    ]


def with_uncertainties(given: list[Reading]) -> list[Any]:
    """Give the same readings to the package: one standard variable for each instrument, one for each repeat."""
    instruments: dict[str, Any] = {}
    found: list[Any] = []
    for reading in given:
        name = reading.instrument or f"nameless {len(found)}"
        offset = instruments.setdefault(name, ufloat(0.0, 1.0))
        repeat = ufloat(0.0, reading.repeatability_u) if reading.repeatability_u else 0.0
        found.append(reading.value + reading.offset_u * offset + repeat)
    return found


@pytest.mark.parametrize("arrangement", ARRANGEMENTS)
def test_first_order(arrangement: str) -> None:
    """Both are first order in the same model: equal to rounding."""
    given = readings(arrangement)
    outdoor, returned, mixed = with_uncertainties(given)
    theirs = (returned - mixed) / (returned - outdoor)
    ours = estimate(*given)
    assert ours.finding is None
    assert ours.outdoor_air_fraction == pytest.approx(theirs.nominal_value, rel=1e-12)
    assert ours.outdoor_air_fraction_u == pytest.approx(theirs.std_dev, rel=1e-9, abs=1e-12)
    assert ours.difference_u == pytest.approx((returned - outdoor).std_dev, rel=1e-9, abs=1e-12)


@pytest.mark.parametrize("arrangement", [name for name in ARRANGEMENTS if "offset only" not in name])
def test_monte_carlo(arrangement: str) -> None:
    """400 000 draws, 20 K apart: 1 % of the spread, three times what chance leaves and what first order neglects."""
    given = readings(arrangement)
    dice = np.random.default_rng(20261125)
    instruments: dict[str, Any] = {}
    drawn: list[Any] = []
    for reading in given:
        name = reading.instrument or f"nameless {len(drawn)}"
        offset = instruments.setdefault(name, dice.standard_normal(400_000))
        drawn.append(
            reading.value
            + reading.offset_u * offset
            + reading.repeatability_u * dice.standard_normal(400_000)
        )
    outdoor, returned, mixed = drawn
    spread = np.std((returned - mixed) / (returned - outdoor))
    assert estimate(*given).outdoor_air_fraction_u == pytest.approx(spread, rel=0.01)


def test_a_moved_probe_cancels_its_offset() -> None:
    """However wrong the one probe is, only its repeatability is left."""
    perfect = [Reading(value, 0.0, "a", 5.0) for value in (OUTDOOR, RETURN, MIXED)]
    assert estimate(*perfect).outdoor_air_fraction_u == pytest.approx(0.0, abs=1e-15)


@pytest.mark.parametrize(
    ("difference", "sensor", "percent"),
    [(5, 0.5, 13), (10, 0.3, 4), (10, 1, 13), (20, 0.5, 3.2), (25, 1, 5.2), (30, 2, 8.6), (50, 2, 5.2)],
)
def test_three_equal_probes(difference: float, sensor: float, percent: float) -> None:
    """A fifth of outdoor air with three equal independent sensors: u/D sqrt(1 + 0.8² + 0.2²), worked by hand to two digits."""
    given = [Reading(v, sensor) for v in (0.0, difference, 0.8 * difference)]
    assert estimate(*given).outdoor_air_fraction_u == pytest.approx(percent / 100.0, rel=0.05)


@pytest.mark.parametrize("arrangement", [name for name in ARRANGEMENTS if "offset only" not in name])
@pytest.mark.parametrize("fraction", [0.1, 0.25, 0.9])
def test_difference_needed(arrangement: str, fraction: float) -> None:
    """At the difference asked for, the package finds just the uncertainty aimed at."""
    outdoor, returned, mixed = readings(arrangement)
    needed = difference_needed(fraction, 0.02, outdoor=outdoor, returned=returned, mixed=mixed)
    cold = readings(arrangement, (RETURN - needed, RETURN, RETURN - fraction * needed))
    o, r, m = with_uncertainties(cold)
    assert ((r - m) / (r - o)).std_dev == pytest.approx(0.02, rel=1e-9)


def test_nothing_is_needed_where_nothing_is_uncertain() -> None:
    """One probe that repeats perfectly tells the fraction at any difference."""
    given = Reading(0.0, 0.0, "a", 0.5)
    assert difference_needed(0.25, 0.02, outdoor=given, returned=given, mixed=given) == pytest.approx(
        0.0, abs=1e-15
    )


@pytest.mark.parametrize(("difference", "told"), [(4.3, True), (4.2, False), (0.0, False), (-4.3, True)])
def test_too_close_to_tell(difference: float, told: bool) -> None:
    """Three times the uncertainty of the difference, 3 sqrt(2) K here, with either sign."""
    found = estimate(
        Reading(20.0 - difference, 1.0), Reading(20.0, 1.0), Reading(20.0 - 0.5 * difference, 1.0)
    )
    assert (found.finding != "mixing.too_close") is told
    assert (found.outdoor_air_fraction is not None) is told
    assert (found.outdoor_air_fraction_u is not None) is told
    assert found.difference == pytest.approx(difference)
    assert found.difference_u == pytest.approx(math.sqrt(2.0))


def test_perfect_readings_that_agree_are_too_close() -> None:
    """No uncertainty, no difference: still nothing to divide by."""
    assert estimate(Reading(20.0), Reading(20.0), Reading(20.0)).finding == "mixing.too_close"


@pytest.mark.parametrize(
    ("mixed", "finding"),
    [(24.0, "mixing.outside_streams"), (22.5, None), (2.0, None), (0.5, "mixing.outside_streams")],
)
def test_outside_the_streams(mixed: float, finding: str | None) -> None:
    """Beyond either stream by more than two standard uncertainties the readings contradict each other; the number stays."""
    found = estimate(Reading(OUTDOOR, 0.3), Reading(RETURN, 0.3), Reading(mixed, 0.3))
    assert found.finding == finding
    assert found.outdoor_air_fraction == pytest.approx((RETURN - mixed) / 20.0)
