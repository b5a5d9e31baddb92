"""What readings can show at best, against hand-worked uncertainties, the ``uncertainties`` package (BSD), and draws with ``random``."""

from __future__ import annotations

import math
import random
from statistics import NormalDist, fmean
from typing import Any

import pytest
from uncertainties import ufloat

from ventwright.evidence import Estimate, Limits, Verdict, verdict
from ventwright.physics.inference.attainable import (
    Attainable,
    ProbeErrors,
    allowed_departure,
    attainable,
    relative_u_that_passes,
)

F = 5 / 9
"""One degree Fahrenheit of difference. [K]"""

RETURN = 24.0
DRAWS = 20_000

UNMATCHED = ProbeErrors(0.25 * F, 0.0, 0.1 * F)
ONE = ProbeErrors(0.25 * F, 0.08 * F, 0.1 * F, one_probe=True)
NOISY = ProbeErrors(0.2 * F, 0.05 * F, 0.15 * F)

CASES: dict[str, tuple[float, float, ProbeErrors, float, float, bool, int]] = {
    "three probes": (0.28, 20.0, UNMATCHED, 0.0, 0.0, False, 1),
    "three probes, four readings, layers": (0.15, 15.0, NOISY, 0.004, 0.0, False, 4),
    "one probe for all": (0.28, 10.0, ONE, 0.003, 0.0, False, 2),
    "warm outdoors": (0.28, -10.0, ONE, 0.003, 0.0, False, 2),
    "a supply airflow": (0.4, 15.0, ONE, 0.0, 0.03, False, 1),
    "compared side by side": (0.2, 12.0, UNMATCHED, 0.0, 0.0, True, 3),
    "compared by noisy probes": (0.2, 12.0, NOISY, 0.002, 0.02, True, 2),
}
"""Share, difference in K, probes, layers, supply, checked, readings."""


def found(case: str, **other: Any) -> Attainable:
    """What the formula says of a case."""
    share, difference, probes, layers, supply_u, checked, readings = CASES[case]
    given: dict[str, Any] = {
        "probes": probes, "layers": layers, "supply_u": supply_u, "tolerance": 0.1, "checked": checked, "readings": readings,
    }  # fmt: skip
    given |= other
    return attainable(given.pop("share", share), given.pop("difference", difference), **given)


@pytest.mark.parametrize(
    ("difference", "probe", "expected"),
    [
        (40, 0.5, 0.016), (40, 1, 0.032), (40, 2, 0.065), (30, 0.5, 0.022), (30, 1, 0.043), (30, 2, 0.086),
        (20, 0.5, 0.032), (20, 1, 0.065), (20, 2, 0.130), (15, 0.5, 0.043), (15, 1, 0.086), (15, 2, 0.173),
        (10, 0.5, 0.065), (10, 1, 0.130), (10, 2, 0.259),
    ],
)  # fmt: skip
def test_three_equal_independent_probes(difference: float, probe: float, expected: float) -> None:
    """A fifth of outdoor air, return 75 °F: s/D sqrt(1 + 0.8² + 0.2²), worked by hand to three decimals."""
    one = attainable(
        0.2, difference * F, probes=ProbeErrors(probe * F), layers=0.0, supply_u=0.0, tolerance=0.1, checked=False,
        readings=1,
    )  # fmt: skip
    assert one.outdoor_air_fraction_u == pytest.approx(expected, abs=0.0006)


def propagated(case: str) -> float:
    """Standard uncertainty by the package: every error a variable of its own, an offset shared where one probe reads all."""
    share, difference, probes, layers, _, _, readings = CASES[case]

    def offset() -> Any:
        return ufloat(0.0, probes.offset_u)

    shared = offset() if probes.one_probe else None
    true = (RETURN - difference, RETURN, RETURN - share * difference)
    outdoor, returned, mixed = (
        value
        + (shared if shared is not None else offset())
        + (ufloat(0.0, probes.over_range_u) if probes.over_range_u else 0.0)
        + sum(ufloat(0.0, probes.repeatability_u) for _ in range(readings)) / readings
        for value in true
    )
    mixed = mixed + difference * ufloat(0.0, layers) if layers else mixed
    return float(((returned - mixed) / (returned - outdoor)).std_dev)


@pytest.mark.parametrize("case", [case for case, given in CASES.items() if not given[5]])
def test_propagation(case: str) -> None:
    """Both are first order in the same model: equal to rounding."""
    assert found(case).outdoor_air_fraction_u == pytest.approx(propagated(case), rel=1e-9)


def test_a_check_of_probes_of_which_nothing_is_known() -> None:
    """Where offsets may be anything, what a check leaves is its own noise: the package, offsets taken off as read."""
    share, difference, noise = 0.2, 12.0, 0.1
    true = (RETURN - difference, RETURN, RETURN - share * difference)
    outdoor, returned, mixed = (
        value + offset + ufloat(0.0, noise) - (offset + ufloat(0.0, noise))
        for value, offset in ((one, ufloat(0.0, 1e3)) for one in true)
    )
    theirs = ((returned - mixed) / (returned - outdoor)).std_dev
    ours = found(
        "compared side by side", probes=ProbeErrors(1e3, 0.0, noise), readings=1, share=share, difference=difference
    )  # fmt: skip
    assert ours.outdoor_air_fraction_u == pytest.approx(theirs, rel=1e-6)


def draw(case: str, dice: random.Random) -> float:
    """Share that one visit reads, every error drawn; offsets taken off by what a check lets one believe of them."""
    share, difference, probes, layers, _, checked, readings = CASES[case]
    shared = dice.gauss(0.0, probes.offset_u)
    offsets = [shared if probes.one_probe else dice.gauss(0.0, probes.offset_u) for _ in range(3)]
    believed = [0.0, 0.0, 0.0]
    if checked:
        seen = [offset + dice.gauss(0.0, probes.repeatability_u) for offset in offsets]
        trust = probes.offset_u**2 / (probes.offset_u**2 + probes.repeatability_u**2)
        believed = [trust * (one - fmean(seen)) for one in seen]
    outdoor, returned, mixed = (
        value
        + offset
        - taken_off
        + dice.gauss(0.0, probes.over_range_u)
        + fmean(dice.gauss(0.0, probes.repeatability_u) for _ in range(readings))
        for value, offset, taken_off in zip(
            (RETURN - difference, RETURN, RETURN - share * difference), offsets, believed, strict=True
        )
    )
    mixed += difference * dice.gauss(0.0, layers)
    return (returned - mixed) / (returned - outdoor)


@pytest.mark.parametrize("case", CASES)
def test_draws(case: str) -> None:
    """20 000 visits: 2 % of the spread, four times what chance leaves (0.5 %), and what first order neglects."""
    dice, share = random.Random(20261125), CASES[case][0]  # noqa: S311 - a simulation
    spread = math.sqrt(fmean((draw(case, dice) - share) ** 2 for _ in range(DRAWS)))
    assert found(case).outdoor_air_fraction_u == pytest.approx(spread, rel=0.02)


@pytest.mark.parametrize("case", CASES)
def test_the_chance_of_passing(case: str) -> None:
    """20 000 estimates of a true value in the middle, each judged as readings are: 0.012 is over three times chance."""
    one, share, supply_u = found(case), CASES[case][0], CASES[case][4]
    dice = random.Random(7)  # noqa: S311 - a simulation
    estimate_u = math.hypot(one.outdoor_air_fraction_u, share * supply_u)
    limits = Limits(0.9 * share, 1.1 * share)
    passed = [
        verdict(Estimate(dice.gauss(share, estimate_u), estimate_u), limits) is Verdict.PASSES
        for _ in range(20_000)
    ]
    assert one.chance_of_passing == pytest.approx(fmean(passed), abs=0.012)


def passes_in_the_middle(share: float, one: Attainable, supply_u: float) -> bool:
    """Whether an estimate in the middle passes with the uncertainty found."""
    estimate = Estimate(share, math.hypot(one.outdoor_air_fraction_u, share * supply_u))
    return verdict(estimate, Limits(0.9 * share, 1.1 * share)) is Verdict.PASSES


@pytest.mark.parametrize("case", CASES)
def test_the_difference_needed(case: str) -> None:
    """At the difference named, and not at a thousandth less, an estimate in the middle passes."""
    share, supply_u = CASES[case][0], CASES[case][4]
    needed = found(case).difference_needed
    assert needed is not None
    assert passes_in_the_middle(share, found(case, difference=1.0001 * needed), supply_u)
    assert not passes_in_the_middle(share, found(case, difference=0.999 * needed), supply_u)


@pytest.mark.parametrize("difference", [5.5, 6.0, 7.0, 9.0])
def test_the_readings_needed(difference: float) -> None:
    """With the number named, and not with one less, an estimate in the middle passes."""
    given: dict[str, Any] = {"difference": difference, "probes": ProbeErrors(0.5, 0.05, 0.25, one_probe=True)}
    needed = found("one probe for all", **given).readings_needed
    assert needed is not None
    assert needed > 1
    assert passes_in_the_middle(0.28, found("one probe for all", **given, readings=needed), 0.0)
    assert not passes_in_the_middle(0.28, found("one probe for all", **given, readings=needed - 1), 0.0)


@pytest.mark.parametrize("case", [case for case in CASES if CASES[case][4] == 0.0])
def test_the_supply_airflow_allowed(case: str) -> None:
    """With the uncertainty named, and not with a hundredth more, the airflow passes where the share does."""
    share, one = CASES[case][0], found(case)
    if one.supply_u_allowed is None:
        assert not passes_in_the_middle(share, one, 0.0)
        return
    assert passes_in_the_middle(share, one, 0.9999 * one.supply_u_allowed)
    assert not passes_in_the_middle(share, one, 1.01 * one.supply_u_allowed)


def test_readings_without_end() -> None:
    """Ten thousand readings come to the limit; unmatched offsets beyond it cannot be read away."""
    one = found("three probes", difference=10.0)
    many = found("three probes", difference=10.0, readings=10_000)
    assert many.outdoor_air_fraction_u == pytest.approx(one.outdoor_air_fraction_u_limit, rel=1e-3)
    assert one.readings_needed is None
    assert found("three probes", difference=10.0, checked=True).readings_needed is not None


def test_one_probe_takes_its_offset_away() -> None:
    """However wrong the one probe is, only what differs between warm and cold and between readings is left."""
    right = found("one probe for all", probes=ProbeErrors(0.0, 0.05, 0.1, one_probe=True))
    wrong = found("one probe for all", probes=ProbeErrors(9.0, 0.05, 0.1, one_probe=True))
    assert wrong.outdoor_air_fraction_u == pytest.approx(right.outdoor_air_fraction_u, rel=1e-9)


@pytest.mark.parametrize(
    "other",
    [{"layers": 0.02}, {"supply_u": 0.06}, {"layers": 0.012, "supply_u": 0.03}],
    ids=["layers", "supply", "both together"],
)
def test_what_no_difference_settles(other: dict[str, float]) -> None:
    """Layers grow with the difference and the supply airflow does not know it: 0.28 passes with 0.0143 at most, all told."""
    one = found("one probe for all", **other)
    assert one.difference_needed is None
    assert one.readings_needed is None
    assert found("one probe for all", **other, difference=1e6).chance_of_passing == 0.0


def test_no_difference_shows_nothing() -> None:
    """Outdoor air as warm as return air: no share, no chance, and a difference that would do."""
    one = found("one probe for all", difference=0.0)
    assert one.outdoor_air_fraction_u == math.inf
    assert one.chance_of_passing == 0.0
    assert one.readings_needed is None
    assert one.difference_needed is not None


def test_perfect_probes_pass_at_once() -> None:
    """Nothing uncertain: one reading, any difference, surely."""
    one = found("one probe for all", probes=ProbeErrors(0.0), layers=0.0)
    assert (one.readings_needed, one.difference_needed, one.chance_of_passing) == (1, 0.0, 1.0)


@pytest.mark.parametrize("tolerance", [0.05, 0.1, 0.2])
def test_the_relative_uncertainty_that_passes(tolerance: float) -> None:
    """Both tails of 2.5 %: the tolerance over the normal quantile 1.95996 (standard library's)."""
    assert relative_u_that_passes(tolerance) == pytest.approx(tolerance / NormalDist().inv_cdf(0.975), rel=1e-6)  # fmt: skip


@pytest.mark.parametrize("uncertainty", [0.05, 0.2, 0.4, 0.5])
def test_how_far_an_estimate_may_lie_from_the_middle(uncertainty: float) -> None:
    """Just there, 95 % of the standard library's normal distribution lie within the limits."""
    departure = allowed_departure(1.0, uncertainty)
    assert departure is not None
    believed = NormalDist(departure, uncertainty)
    assert believed.cdf(1.0) - believed.cdf(-1.0) == pytest.approx(0.95, abs=1e-9)


def test_an_estimate_that_cannot_pass_anywhere() -> None:
    """Beyond the half-width over 1.96 nothing passes; without uncertainty all within does."""
    assert allowed_departure(1.0, 0.52) is None
    assert allowed_departure(1.0, 0.0) == 1.0
