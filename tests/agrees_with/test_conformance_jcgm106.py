"""Verdicts against JCGM 106:2012 and the normal distribution of Python's standard library.

Worked examples of the guide are from memory; their clauses are 7.3.3 (one limit), 7.4 (two limits) and 8.3.3.2 (the
speed at which a driver is prosecuted). ``statistics.NormalDist`` is the outside reference for everything between.
"""

from __future__ import annotations

import math
from statistics import NormalDist

import pytest
from hypothesis import assume, given, settings
from hypothesis import strategies as st

from ventwright.errors import Refused
from ventwright.evidence import (
    ACCEPTED_RISK,
    Estimate,
    Limits,
    Verdict,
    probability_within,
    uncertainty_that_passes,
    verdict,
)

FAST = settings(derandomize=True, deadline=None, max_examples=100)

STANDARD = NormalDist()

EXAMPLES = {
    # estimate, standard uncertainty, limits, printed probability; all from memory
    "7.3.3, example 1: breakdown voltage of a diode, an upper limit": (
        -5.47,
        0.05,
        Limits(at_most=-5.40),
        0.92,
    ),
    "7.3.3, example 2: burst strength of a container, a lower limit": (
        509.7,
        8.6,
        Limits(at_least=490.0),
        0.99,
    ),
    "7.4: viscosity of motor oil, two limits": (13.6, 1.8, Limits(12.5, 16.3), 0.66),
}


@pytest.mark.parametrize(
    ("value", "uncertainty", "limits", "printed"), EXAMPLES.values(), ids=EXAMPLES.keys()
)
def test_worked_examples(value: float, uncertainty: float, limits: Limits, printed: float) -> None:
    """The conformance probability of each example is the printed one, to its two figures."""
    assert probability_within(Estimate(value, uncertainty), limits) == pytest.approx(printed, abs=0.005)


def test_the_driver_who_is_surely_too_fast() -> None:
    """8.3.3.2, from memory: at 107 km/h measured to 2 %, the limit of 100 km/h is broken with 99.9 % confidence."""
    surely = Limits(at_most=100.0)
    assert probability_within(Estimate(107.0, 0.02 * 107.0), surely) == pytest.approx(0.001, abs=0.0005)
    assert verdict(Estimate(107.0, 0.02 * 107.0), surely) is Verdict.FAILS


ONE_SIDED = 1.645
"""Guard factor for 95 % with one limit: the quantile of the normal distribution in any table, 1.6449 (JCGM 100:2008,
table G.1, has it as the factor of a 90 % interval; from memory)."""


def test_the_guard_factor_with_one_limit() -> None:
    """An estimate passes from 1.645 standard uncertainties inside a limit, and fails from as many outside."""
    for limits, inward in ((Limits(at_least=10.0), 1.0), (Limits(at_most=10.0), -1.0)):
        for factor, expected in (
            (ONE_SIDED + 0.001, Verdict.PASSES),
            (ONE_SIDED - 0.001, Verdict.CANNOT_TELL),
            (0.0, Verdict.CANNOT_TELL),
            (-ONE_SIDED + 0.001, Verdict.CANNOT_TELL),
            (-ONE_SIDED - 0.001, Verdict.FAILS),
        ):
            assert verdict(Estimate(10.0 + inward * factor * 0.4, 0.4), limits) is expected


def test_the_guard_factor_with_two_limits() -> None:
    """In the middle of two limits 1.960 is needed on either side; near one of wide limits 1.645 is enough."""
    assert verdict(Estimate(0.0, 1.0), Limits(-1.961, 1.961)) is Verdict.PASSES
    assert verdict(Estimate(0.0, 1.0), Limits(-1.959, 1.959)) is Verdict.CANNOT_TELL
    assert verdict(Estimate(0.0, 1.0), Limits(-1.646, 50.0)) is Verdict.PASSES
    assert verdict(Estimate(0.0, 1.0), Limits(-1.644, 50.0)) is Verdict.CANNOT_TELL


def test_a_narrow_tolerance_cannot_be_passed_with_a_poor_instrument() -> None:
    """Where ± 1.96 standard uncertainties do not fit between the limits, no estimate passes."""
    values = [number / 100 for number in range(-200, 201)]
    assert not any(verdict(Estimate(value, 0.52), Limits(-1.0, 1.0)) is Verdict.PASSES for value in values)
    assert any(verdict(Estimate(value, 0.50), Limits(-1.0, 1.0)) is Verdict.PASSES for value in values)


VALUES = st.floats(-1e3, 1e3)
UNCERTAINTIES = st.floats(1e-3, 1e3)


@FAST
@given(VALUES, UNCERTAINTIES, VALUES, VALUES)
def test_the_probability_is_that_of_the_normal_distribution(
    value: float, uncertainty: float, one: float, other: float
) -> None:
    """Between two limits, below one, above one, and without any."""
    low, high = sorted((one, other))
    truth = NormalDist(value, uncertainty)
    estimate = Estimate(value, uncertainty)
    room = 1e-12  # the library takes a difference of two values near 1 where both limits lie above
    assert probability_within(estimate, Limits(low, high)) == pytest.approx(
        truth.cdf(high) - truth.cdf(low), abs=room
    )
    assert probability_within(estimate, Limits(at_most=high)) == pytest.approx(truth.cdf(high), abs=room)
    assert probability_within(estimate, Limits(at_least=low)) == pytest.approx(1.0 - truth.cdf(low), abs=room)
    assert probability_within(estimate, Limits()) == 1.0


@FAST
@given(VALUES, UNCERTAINTIES, VALUES)
def test_the_verdict_is_that_of_the_guarded_limit(value: float, uncertainty: float, limit: float) -> None:
    """With one limit the verdict is decided by a guard band of the 95 % quantile, wherever the numbers lie."""
    guard = STANDARD.inv_cdf(0.95) * uncertainty
    inside = value - limit
    assume(abs(abs(inside) - guard) > 1e-9 * guard)  # on the edge itself a rounding decides
    expected = Verdict.PASSES if inside > guard else Verdict.FAILS if inside < -guard else Verdict.CANNOT_TELL
    assert verdict(Estimate(value, uncertainty), Limits(at_least=limit)) is expected
    assert verdict(Estimate(-value, uncertainty), Limits(at_most=-limit)) is expected


def test_no_doubt_leaves_pass_or_fail() -> None:
    """Without uncertainty a value on a limit passes, as the limits include their ends; beyond it fails."""
    limits = Limits(9.0, 11.0)
    for value, expected in (
        (9.0, Verdict.PASSES),
        (11.0, Verdict.PASSES),
        (math.nextafter(9.0, 0.0), Verdict.FAILS),
        (math.nextafter(11.0, 12.0), Verdict.FAILS),
    ):
        assert verdict(Estimate(value, 0.0), limits) is expected


def test_endless_doubt_tells_nothing_of_one_limit() -> None:
    """With an uncertainty beyond all bounds a single limit is an even chance."""
    assert probability_within(Estimate(5.0, math.inf), Limits(at_least=9.0)) == 0.5
    assert verdict(Estimate(5.0, math.inf), Limits(at_least=9.0)) is Verdict.CANNOT_TELL


@FAST
@given(VALUES, VALUES, st.one_of(st.none(), VALUES))
def test_the_uncertainty_that_passes_is_the_largest(value: float, one: float, other: float | None) -> None:
    """With the uncertainty that is told the value passes, and with a thousandth more it does not."""
    low, high = (one, None) if other is None else sorted((one, other))
    limits = Limits(low, high)
    largest = uncertainty_that_passes(value, limits)
    if value < low or (high is not None and value > high):
        assert largest is None
        return
    assert largest is not None
    assert verdict(Estimate(value, largest), limits) is Verdict.PASSES
    margin = min(abs(value - end) for end in (low, high) if end is not None)
    assume(margin > 1e-9 * max(abs(value), 1.0))  # nearer than that, the estimate lies on the limit
    assert verdict(Estimate(value, 1.001 * largest), limits) is not Verdict.PASSES


def test_the_uncertainty_that_passes_by_hand() -> None:
    """A margin of 1.645 to one limit bears a standard uncertainty of 1; the middle of ± 1.960 bears 1 too."""
    near = 1e-3  # the quantiles by hand have four figures
    assert uncertainty_that_passes(11.645, Limits(at_least=10.0)) == pytest.approx(1.0, abs=near)
    assert uncertainty_that_passes(8.355, Limits(at_most=10.0)) == pytest.approx(1.0, abs=near)
    assert uncertainty_that_passes(0.0, Limits(-1.960, 1.960)) == pytest.approx(1.0, abs=near)
    assert uncertainty_that_passes(0.0, Limits(-1.645, 40.0)) == pytest.approx(1.0, abs=near)
    assert uncertainty_that_passes(3.0, Limits()) == math.inf
    assert uncertainty_that_passes(10.0, Limits(at_least=10.0)) == 0.0
    assert uncertainty_that_passes(9.9, Limits(at_least=10.0)) is None


def test_the_accepted_risk_is_the_one_the_pages_name() -> None:
    """Our choice, told on every page: at most 5 % for a wrong verdict of either kind."""
    assert ACCEPTED_RISK == 0.05


REFUSED = {
    "no value": (
        lambda: Estimate(math.nan, 1.0),
        '"nan with standard uncertainty 1.0" is no estimate; accepted: a finite value and an uncertainty of at least 0.',
    ),
    "an endless value": (
        lambda: Estimate(math.inf, 1.0),
        '"inf with standard uncertainty 1.0" is no estimate; accepted: a finite value and an uncertainty of at least 0.',
    ),
    "a negative uncertainty": (
        lambda: Estimate(1.0, -0.1),
        '"1.0 with standard uncertainty -0.1" is no estimate; accepted: a finite value and an uncertainty of at least 0.',
    ),
    "no uncertainty": (
        lambda: Estimate(1.0, math.nan),
        '"1.0 with standard uncertainty nan" is no estimate; accepted: a finite value and an uncertainty of at least 0.',
    ),
    "limits crossed": (
        lambda: Limits(2.0, 1.0),
        '"at least 2.0, at most 1.0" cannot be met; accepted: a lower limit not above the upper one.',
    ),
    "no limit": (
        lambda: Limits(at_most=math.nan),
        '"nan" is no limit; accepted: a finite number, or None for an open end.',
    ),
    "an endless limit": (
        lambda: Limits(at_least=-math.inf),
        '"-inf" is no limit; accepted: a finite number, or None for an open end.',
    ),
}


@pytest.mark.parametrize(("make", "sentence"), REFUSED.values(), ids=REFUSED.keys())
def test_what_is_no_estimate_or_limit(make: object, sentence: str) -> None:
    """Numbers that mean nothing are refused before a verdict could be made of them."""
    assert callable(make)
    with pytest.raises(Refused) as refused:
        make()
    assert str(refused.value) == sentence
