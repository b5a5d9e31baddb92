"""The estimate of the outdoor-air share against brute force: whole covariance matrices, inverted by NumPy.

Sources of the formulas: Rasmussen and Williams, Gaussian Processes for Machine Learning (2006), 2.7 (a Gaussian process
with explicit basis functions and a normal prior of their coefficients: one normal distribution over all values,
conditioned on what was read), 4.2.1 (Matern covariance with 3/2) and 5.4.2 (leaving one out); JCGM 102:2011, 6.2 for the
uncertainty of a value that follows from correlated ones (JCGM 100:2008, 5.2.2); the law of total variance from any
textbook of probability.
"""

from __future__ import annotations

import math
import random
from collections.abc import Sequence
from dataclasses import replace

import numpy as np
import numpy.typing as npt
import pytest

from ventwright.physics.inference import (
    Asked,
    CurvePrior,
    Follows,
    Layers,
    Observation,
    Posterior,
    Shape,
    condition,
    merged,
    tracer_share,
)
from ventwright.physics.inference.belief import Part, ShareBelief, ln_beyond, widened
from ventwright.physics.inference.covariance import alike, cholesky, covariance, covariances, forward
from ventwright.physics.inference.next_step import best_chance, settled_at
from ventwright.tables.balance_prior import balance_prior

Array = npt.NDArray[np.float64]

PRIOR = balance_prior().curve
ROUNDING = 1e-7
"""Both sides work in double precision; matrices with noise of 0.004 beside spreads of 0.3 cost some nine digits at worst."""
OMITTED = 3e-3
"""Courses with less than a thousandth of the likeliest one's weight are left out of predictions; there are some hundred."""


def reading(id_: str, value: float, speed: str, signal: float, noise: float = 0.005) -> Observation:
    """A reading by three probes and a traverse, whose offsets move it as they do in a mixing balance."""
    errors = (("outdoor probe", 0.3 * value), ("return probe", 0.3 * (1.0 - value)), ("mixed probe", -0.3))
    return Observation(
        id_,
        value,
        noise,
        tuple((name, 0.02 * u) for name, u in errors),
        speed,
        signal,
        Layers("traverse", 0.01),
    )


READ = (
    reading("a", 0.12, "high", 0.10),
    reading("b", 0.31, "high", 0.30, 0.01),
    reading("c", 0.36, "low", 0.30),
    Observation("d", 0.2, 0.03, (("mixed probe", 0.1),), "low", 0.15, Layers("single point", 0.1)),
    Observation("e", 0.01, 0.004, (("outdoor probe", 0.02), ("return probe", -0.02))),
    Observation("f", -0.015, 0.004, (("mixed probe", 0.02), ("return probe", -0.02))),
)
"""Readings of every kind: two speeds, two ways to meet layers, and two comparisons of probes."""

CASES: dict[str, tuple[Observation, ...]] = {
    "nothing": (),
    "one": READ[:1],
    "one speed": READ[:2],
    "comparisons alone": READ[4:],
    "everything": READ,
    "closed and open": (reading("o", 0.05, "high", 0.0), reading("p", 0.85, "high", 1.0), *READ[4:]),
    "falling": (reading("q", 0.8, "high", 0.05), reading("r", 0.2, "high", 0.9)),
}


def joint(
    prior: CurvePrior, shape: Shape, seen: Sequence[Observation], asked: Observation
) -> tuple[Array, Array]:
    """Mean and covariance of all readings and, last, of what is asked, under one course: written out, nothing factored."""
    every = [*seen, asked]
    count = len(every)
    dead = shape.follows is Follows.DEAD
    # open at a signal of 0, where the departures vanish, a reversed damper has them in its reach
    reach_u = (
        prior.reach_u
        if shape.follows is Follows.RISES
        else math.hypot(prior.reach_u, prior.roughness, prior.speed_effect)
    )
    basis = np.array(
        [[0.0, 0.0] if one.speed is None else [1.0, shape.opened(one.signal)] for one in every],
        dtype=np.float64,
    )
    expected = np.array([shape.leak, 0.0 if dead else prior.reach])
    spread = np.diag([shape.leak_u**2, 1e-12 if dead else reach_u**2])
    whole = basis @ spread @ basis.T
    for i in range(count):
        for j in range(count):
            both_read = i < count - 1 and j < count - 1
            whole[i, j] += covariance(prior, every[i], every[j], of_readings=both_read)
    whole[np.arange(count - 1), np.arange(count - 1)] += [one.noise**2 for one in seen]
    return basis @ expected, whole


def log_density(value: Array, mean: Array, spread: Array) -> float:
    """Logarithm of a multivariate normal density."""
    off = value - mean
    _, log_det = np.linalg.slogdet(spread)
    return float(-0.5 * (off @ np.linalg.solve(spread, off) + log_det + len(value) * math.log(2.0 * math.pi)))


def brute_force(
    prior: CurvePrior, seen: Sequence[Observation], asked: Observation
) -> tuple[float, float, float]:
    """Mean, standard uncertainty, and log of the evidence, as a mixture by hand of every course."""
    values = np.array([one.value for one in seen], dtype=np.float64)
    logs, means, variances = [], [], []
    for shape in prior.shapes():
        mean, whole = joint(prior, shape, seen, asked)
        known, across = whole[:-1, :-1], whole[-1, :-1]
        gain = np.linalg.solve(known, across) if len(seen) else across
        logs.append(math.log(shape.weight) + (log_density(values, mean[:-1], known) if len(seen) else 0.0))
        means.append(float(mean[-1] + gain @ (values - mean[:-1])))
        variances.append(float(whole[-1, -1] - gain @ across))
    logs_, means_, variances_ = np.array(logs), np.array(means), np.array(variances)
    evidence = float(np.max(logs_) + np.log(np.sum(np.exp(logs_ - np.max(logs_)))))
    weights = np.exp(logs_ - evidence)
    middle = float(weights @ means_)
    return middle, math.sqrt(float(weights @ (variances_ + (means_ - middle) ** 2))), evidence


@pytest.mark.parametrize("case", CASES)
@pytest.mark.parametrize("signal", [0.0, 0.25, 1.0])
def test_mean_and_uncertainty(case: str, signal: float) -> None:
    """Mean and standard uncertainty of a share are those of the whole normal distributions, mixed."""
    errors = (("mixed probe", 0.01), ("supply at low", 0.02))
    mean, u, _ = brute_force(PRIOR, CASES[case], Observation("", 0.0, 0.0, errors, "low", signal))

    believed = condition(PRIOR, CASES[case]).at("low", signal, errors)

    assert believed.mean == pytest.approx(
        mean, abs=OMITTED * 0.3
    )  # shares of courses left out differ by 0.3 or so
    assert believed.u == pytest.approx(u, rel=0.02, abs=OMITTED * 0.3)


@pytest.mark.parametrize("case", CASES)
def test_evidence(case: str) -> None:
    """The probability density of all readings is the sum of that under each course."""
    *_, evidence = brute_force(PRIOR, CASES[case], Observation("", 0.0, 0.0, (), "low", 0.3))

    assert condition(PRIOR, CASES[case]).log_evidence == pytest.approx(evidence, abs=1e-6)


FITTING: dict[Follows, tuple[Observation, ...]] = {
    Follows.RISES: READ[:4],
    Follows.FALLS: CASES["falling"],
    Follows.DEAD: (reading("s", 0.30, "high", 0.05), reading("t", 0.31, "high", 0.95)),
}


@pytest.mark.parametrize("follows", list(Follows))
def test_each_course_alone(follows: Follows) -> None:
    """With one course only nothing is left out, and the agreement is that of double precision."""
    weights = {Follows.RISES: (0.0, 0.0), Follows.FALLS: (0.0, 1.0 - 1e-12), Follows.DEAD: (1.0 - 1e-12, 0.0)}
    dead, reversed_ = weights[follows]
    alone = replace(PRIOR, steps=((1.0, 1.0),), leaks=PRIOR.leaks[:1], dead=dead, reversed_=reversed_)
    seen = (*FITTING[follows], *READ[4:])  # readings that leave no other course any weight
    mean, u, evidence = brute_force(alone, seen, Observation("", 0.0, 0.0, (), "high", 0.6))

    posterior = condition(alone, seen)
    (part,) = posterior.at("high", 0.6).parts

    assert part.follows is follows
    assert (part.mean, part.u) == pytest.approx((mean, u), abs=ROUNDING)
    assert posterior.log_evidence == pytest.approx(evidence, abs=1e-5)


def test_order_does_not_matter() -> None:
    """What is learnt does not depend on the order in which it is told."""
    forwards, backwards = (condition(PRIOR, order).at("high", 0.2) for order in (READ, READ[::-1]))

    assert backwards.mean == pytest.approx(forwards.mean, abs=ROUNDING)
    assert backwards.u == pytest.approx(forwards.u, abs=ROUNDING)


def test_one_after_the_other() -> None:
    """The evidence of all is that of some times what those foretold of the rest: the product rule."""
    some, last = READ[:3], READ[3]
    before, both = condition(PRIOR, some), condition(PRIOR, (*some, last))
    foretold = before.foretold(last)
    density = sum(
        part.weight * math.exp(-0.5 * ((last.value - part.mean) / part.u) ** 2) / part.u
        for part in foretold.parts
    ) / math.sqrt(2.0 * math.pi)

    assert both.log_evidence - before.log_evidence == pytest.approx(math.log(density), abs=5e-3)


# what a reading to come will do


def _with_value(posterior: Posterior, to_come: Observation, value: float) -> Posterior:
    return condition(posterior.prior, (*posterior.observations, replace(to_come, value=value)))


def _one_course(posterior: Posterior) -> CurvePrior:
    """A prior of the one course only that is likeliest, so that nothing is mixed."""
    shape = max(posterior.courses, key=lambda one: one.weight).shape
    number = round(shape.centre / shape.width * 2.0)
    assert number > 0
    return replace(
        posterior.prior,
        steps=((shape.width, 1.0),),
        leaks=((shape.leak, shape.leak_u, 1.0),),
        dead=0.0,
        reversed_=0.0,
    )


TO_COME = reading("g", 0.0, "low", 0.40)
SUPPLY = (("supply at low", 0.02),)


@pytest.mark.parametrize("case", ["nothing", "one speed", "everything"])
def test_after_a_reading(case: str) -> None:
    """What a reading would leave is what it leaves, whatever it shows; how far it may move the rest is what it moves it."""
    alone = _one_course(condition(PRIOR, CASES[case] or READ[:1]))
    before = condition(alone, CASES[case])
    (move,) = before.after(TO_COME, SUPPLY).moves
    (expected,) = before.foretold(TO_COME).parts

    for off in (-2.0, 0.0, 1.0):
        after = _with_value(before, TO_COME, expected.mean + off * expected.u).at(
            "low", TO_COME.signal, SUPPLY
        )
        assert after.u == pytest.approx(move.left, abs=ROUNDING)
        assert abs(after.mean - move.mean) == pytest.approx(abs(off) * move.moved, abs=ROUNDING)


@pytest.mark.parametrize("case", ["one speed", "everything"])
def test_law_of_total_variance(case: str) -> None:
    """Course by course, the variance before a reading is what it leaves plus that by which it moves the mean."""
    posterior = condition(PRIOR, CASES[case])
    before = posterior.at("low", TO_COME.signal, SUPPLY)

    for part, move in zip(before.parts, posterior.after(TO_COME, SUPPLY).moves, strict=True):
        assert move.mean == pytest.approx(part.mean, abs=ROUNDING)
        assert math.hypot(move.moved, move.left) == pytest.approx(part.u, abs=ROUNDING)


def test_a_mixture_moves_as_foretold() -> None:
    """Drawn values of a reading leave the share within two ends as often as was foretold, by the guard of each course."""
    posterior = condition(PRIOR, READ)
    dice, count = random.Random(20261125), 300  # noqa: S311 - repeatable, not secret
    foretold = posterior.foretold(TO_COME)
    low, high, guard = 0.38, 0.50, 1.0
    hits = 0
    for _ in range(count):
        part = dice.choices(foretold.parts, [one.weight for one in foretold.parts])[0]
        after = _with_value(posterior, TO_COME, dice.gauss(part.mean, part.u)).at("low", TO_COME.signal)
        hits += low + guard * after.u <= after.mean <= high - guard * after.u
    expected = posterior.after(TO_COME).within(low, high, guard)

    assert 0.1 < expected < 0.9, "a chance near 0 or 1 would show nothing"
    # Three standard deviations of so many draws, and a tenth for courses that a reading weighs anew: that is left out.
    assert hits / count == pytest.approx(expected, abs=3.0 * math.sqrt(0.25 / count) + 0.1)


def test_a_comparison_is_foreseen() -> None:
    """A comparison of probes is expected to show what the readings make likely of their offsets."""
    posterior = condition(PRIOR, READ)
    comparison = Observation("g", 0.0, 0.004, (("outdoor probe", 0.02), ("mixed probe", -0.02)))
    mean, *_ = brute_force(PRIOR, READ, comparison)

    assert posterior.foreseen(comparison).value == pytest.approx(
        mean, abs=1e-4
    )  # courses left out, in a value of 0.02


@pytest.mark.parametrize("number", range(4))
def test_leaving_one_out(number: int) -> None:
    """The chance of a value as far out as a reading's own is what all the others foretell."""
    others = condition(PRIOR, [one for one in READ if one is not READ[number]])
    below = others.foretold(READ[number]).below(READ[number].value)
    expected = 2.0 * min(below, 1.0 - below)

    assert math.exp(condition(PRIOR, READ).ln_tails()[number]) == pytest.approx(expected, abs=OMITTED)


def test_a_far_off_reading_is_not_lost_in_rounding() -> None:
    """Where every chance is smaller than a float can hold, the reading that the others make least likely is named still."""
    far = (
        reading("a", 0.10, "high", 0.20),
        reading("b", 0.90, "high", 0.21),
        reading("c", 0.12, "high", 0.22),
    )
    tails = condition(PRIOR, far).ln_tails()

    assert min(tails) < -745.0, "this could have been told without logarithms"
    assert tails.index(min(tails)) == 1
    assert all(math.isfinite(tail) for tail in tails)


def test_a_comparison_contradicts_no_share() -> None:
    """A comparison of probes has no share to contradict."""
    assert condition(PRIOR, READ).ln_tails()[4:] == (0.0, 0.0)


# readings to come at best


@pytest.mark.parametrize("case", ["nothing", "one", "one speed", "everything"])
@pytest.mark.parametrize("number", [1, 3])
def test_best_chance_is_what_readings_leave(case: str, number: int) -> None:
    """The chance that readings could at best give is that of the variance they leave, the share being in the middle."""
    alone = _one_course(condition(PRIOR, CASES[case] or READ[:1]))
    asked = Asked("low", 0.36, 0.44, SUPPLY)
    before = condition(alone, CASES[case])
    to_come = [
        replace(TO_COME, value=0.7 + 0.1 * place) for place in range(number)
    ]  # what they show must not count
    left = condition(alone, (*CASES[case], *to_come)).at("low", 0.35, SUPPLY).u

    chance = best_chance(before, asked, 0.35, to_come)

    assert chance == pytest.approx(math.erf(0.04 / left / math.sqrt(2.0)), abs=1e-6)


def test_settling_adds_where_the_blades_come_to_rest() -> None:
    """The share after setting has the slope times the spread of the blades' place more, as independent errors add."""
    posterior = condition(PRIOR, READ)
    plain = posterior.at("high", 0.3)
    slope = (posterior.at("high", 0.31).mean - posterior.at("high", 0.29).mean) / 0.02

    settled = settled_at(posterior, Asked("high", 0.2, 0.3), 0.3)

    assert settled.mean == plain.mean
    assert settled.u == pytest.approx(math.hypot(plain.u, slope * PRIOR.positioning), rel=1e-6)


# readings of one thing


def test_merged_readings_teach_the_same() -> None:
    """Readings of one thing with the same errors are worth their mean, exactly."""
    same = [replace(READ[1], id=f"s{number}", value=0.31 + 0.004 * number) for number in range(4)]
    every, together = condition(PRIOR, (*READ[:1], *same)), condition(PRIOR, (*READ[:1], *merged(same)))

    assert len(together.observations) == 2
    for signal in (0.1, 0.3, 0.8):
        one, other = every.at("low", signal), together.at("low", signal)
        assert (one.mean, one.u) == pytest.approx((other.mean, other.u), abs=1e-6)


def test_merged_readings_of_unequal_noise() -> None:
    """The mean is weighed by one over the variance, and has the variance of one over the sum of the weights."""
    two = [replace(READ[1], value=0.30, noise=0.01), replace(READ[1], value=0.36, noise=0.02)]
    (one,) = merged(two)

    assert one.value == pytest.approx((0.30 * 4 + 0.36) / 5)
    assert one.noise == pytest.approx(math.sqrt(1.0 / (1 / 0.01**2 + 1 / 0.02**2)))


def test_readings_of_two_things_stay_two() -> None:
    """Another speed, signal, way to meet layers or error keeps readings apart."""
    others = (
        replace(READ[0], speed="low"),
        replace(READ[0], signal=0.2),
        replace(READ[0], layers=Layers("single point", 0.1)),
        replace(READ[0], layers=None),
        replace(READ[0], errors=READ[0].errors[:2]),
    )
    assert len(merged((READ[0], *others))) == 6


def test_thousands_of_signals_become_a_few() -> None:
    """However many signals were read, no more than some forty readings are learnt from, none of them out of place."""
    many = [reading(f"m{number}", 0.1 + 0.7 * number / 2999, "high", number / 2999) for number in range(3000)]
    few = merged(many)

    assert 10 <= len(few) <= 40
    for one in few:
        assert one.value == pytest.approx(0.1 + 0.7 * one.signal, abs=1e-3)  # a straight line stays one


# small things


@pytest.mark.parametrize("size", [1, 2, 7])
def test_cholesky(size: int) -> None:
    """The factor and the solution of its system are NumPy's."""
    dice = np.random.default_rng(size)
    root = dice.normal(size=(size, size))
    whole = root @ root.T + np.eye(size)
    right = dice.normal(size=size)
    rows = [[float(number) for number in whole[i, : i + 1]] for i in range(size)]

    factor = cholesky(rows)

    full = np.array([[*row, *[0.0] * (size - len(row))] for row in factor])
    np.testing.assert_allclose(full, np.linalg.cholesky(whole), atol=1e-12)
    np.testing.assert_allclose(
        forward(factor, [float(number) for number in right]), np.linalg.solve(full, right), atol=1e-12
    )


def test_a_singular_covariance_is_survived() -> None:
    """Two readings that are one and the same without noise leave the factor finite."""
    same = replace(READ[0], noise=0.0)
    posterior = condition(PRIOR, (same, same, same))

    assert posterior.at("high", 0.1).mean == pytest.approx(
        condition(PRIOR, (same,)).at("high", 0.1).mean, abs=1e-3
    )


@pytest.mark.parametrize(("apart", "expected"), [(0.0, 1.0), (1.0, 0.483_358), (2.0, 0.139_731)])
def test_matern(apart: float, expected: float) -> None:
    """(1 + sqrt(3) r) exp(-sqrt(3) r), by hand: 2.732 051 x 0.176 921 and 4.464 102 x 0.031 301 (R & W, eq. 4.17)."""
    assert alike(apart, 1.0) == pytest.approx(expected, abs=2e-6)
    assert alike(0.5 * apart, 0.5) == pytest.approx(expected, abs=2e-6)


def test_covariances_are_a_covariance() -> None:
    """Whatever was read, the matrix has no negative eigenvalue: it can be the covariance of something."""
    dice = random.Random(3)  # noqa: S311 - repeatable, not secret
    many = [
        replace(dice.choice(READ[:4]), signal=dice.random(), speed=dice.choice(["high", "low"]))
        for _ in range(40)
    ]
    rows = covariances(PRIOR, [*many, *READ[4:]])
    whole = np.array([[*row, *[0.0] * (len(rows) - len(row))] for row in rows])
    whole += np.tril(whole, -1).T

    assert np.linalg.eigvalsh(whole).min() > 0.0


@pytest.mark.parametrize(
    ("streams", "share"),
    [((34.0, 74.0, 62.8), 0.28), ((95.0, 75.0, 80.0), 0.25), ((420.0, 1020.0, 852.0), 0.28)],
    ids=["winter", "summer", "carbon dioxide"],
)
def test_share_of_a_tracer(streams: tuple[float, float, float], share: float) -> None:
    """The mixing balance by hand: (74 - 62.8) / 40, (75 - 80) / (75 - 95), (1020 - 852) / 600."""
    assert tracer_share(*streams) == pytest.approx(share, abs=1e-12)


@pytest.mark.parametrize(
    ("z", "expected"),
    [
        (0.0, math.log(0.5)),
        (-40.0, 0.0),
        (1.959_964, math.log(0.025)),
        (10.0, -53.231_29),
        (40.0, -804.608_44),
    ],
)
def test_chance_far_out(z: float, expected: float) -> None:
    """Logarithm of Q(z): -log10 Q is 23.118 05 at 10 and 349.437 01 at 40 (Abramowitz and Stegun, table 26.2, from memory)."""
    assert ln_beyond(z) == pytest.approx(expected, abs=1.2e-3)  # the form used far out is right to 1 / z^2


MIXED = ShareBelief((Part(0.7, 0.30, 0.02, Follows.RISES), Part(0.3, 0.40, 0.01, Follows.DEAD)))


def test_a_belief_by_hand() -> None:
    """Mean, variance and chances of a mixture of two, by hand: 0.33; 0.000 31 + 0.7 x 0.03^2 + 0.3 x 0.07^2."""
    assert MIXED.mean == pytest.approx(0.33)
    assert MIXED.u == pytest.approx(math.sqrt(0.000_31 + 0.7 * 0.03**2 + 0.3 * 0.07**2))
    # half of the first lies below 0.30, and of the second none: 10 standard uncertainties off
    assert MIXED.below(0.30) == pytest.approx(0.35, abs=1e-12)
    # one standard uncertainty to either side of the second holds 68.27 % of it, and 4.5 to 5.5 of the first nothing much
    assert MIXED.within(0.39, 0.41) == pytest.approx(0.3 * 0.682_689, abs=1e-5)
    assert widened(MIXED, 0.03).u == pytest.approx(math.hypot(MIXED.u, 0.03))
