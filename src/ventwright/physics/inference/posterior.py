"""From readings to belief: the share at any signal and fan speed, with every error that readings have in common.

For each course the curve may take, share = leak + reach x opened(signal) + a smooth departure + one of the fan speed;
all of it Gaussian, as are the errors of the readings. Given the course the answer is that of linear regression with
correlated errors; the courses are weighed by how well they foretold the readings.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from operator import mul

from ventwright.physics.inference.belief import Foretold, Move, Part, ShareBelief, ln_beyond
from ventwright.physics.inference.covariance import backward, cholesky, covariance, covariances, forward
from ventwright.physics.inference.curve_prior import CurvePrior, Follows, Shape
from ventwright.physics.inference.observation import Observation

NEGLIGIBLE = 1e-3
"""Weight beside the likeliest below which a course is left out of predictions. [-]"""

NamedErrors = Sequence[tuple[str, float]]


@dataclass(slots=True)
class _Course:
    """The regression under one course: leak and reach, with the inverse S of their information."""

    shape: Shape
    number: int
    """Its place among all that are considered."""
    weight: float
    theta: tuple[float, float]
    s: tuple[float, float, float]
    opened: list[float]
    """How far open at each reading; 0 for a comparison."""


@dataclass(slots=True)
class _Projected:
    """Something asked or read, seen from the readings: what they leave open of it, beyond leak and reach."""

    one: Observation
    v: list[float]
    own: float
    """Variance given the readings, leak and reach known."""
    pulls: list[float]
    """By how much each reading's value moves the expected one."""
    pulled: float
    """What the values as read add up to in it."""
    with_leak: float
    """How it goes with leak beyond what the readings tie down: alike under every course."""
    opened: Sequence[float]
    """How far open every course is there; 0 for a comparison."""

    def under(self, course: _Course) -> tuple[float, float, float]:
        """Expected value under a course, and how it goes with leak and reach beyond what the readings tie down."""
        with_reach = self.opened[course.number] - sum(map(mul, self.pulls, course.opened))
        leak, reach = course.theta
        return leak * self.with_leak + reach * with_reach + self.pulled, self.with_leak, with_reach


def _through(s: tuple[float, float, float], i: float, j: float, k: float, m: float) -> float:
    """Covariance that not knowing leak and reach leaves between two values that go with them as (i, j) and (k, m)."""
    return s[0] * i * k + s[1] * (i * m + j * k) + s[2] * j * m


@dataclass(slots=True)
class Posterior:
    """Belief about all shares after some readings. ``evaluations`` counts how often a curve was evaluated."""

    prior: CurvePrior
    observations: tuple[Observation, ...]
    courses: tuple[_Course, ...]
    factor: list[list[float]]
    log_evidence: float
    evaluations: int = field(default=0)

    def at(self, speed: str, signal: float, errors: NamedErrors = ()) -> ShareBelief:
        """Return what is believed of the share at a fan speed and a signal.

        Parameters
        ----------
        speed
            Name of the fan speed, one that was read or not.
        signal
            Share of stroke. [-]
        errors
            Shared errors that count as part of what is asked, such as that of the supply airflow.
        """
        asked = self._projected(Observation("", 0.0, 0.0, tuple(errors), speed, signal), of_readings=False)
        return self._believed(asked, asked.own)

    def _believed(self, asked: _Projected, own: float) -> ShareBelief:
        parts = []
        for course in self.courses:
            mean, leak, reach = asked.under(course)
            s00, s01, s11 = course.s
            spread = own + s00 * leak * leak + 2.0 * s01 * leak * reach + s11 * reach * reach
            parts.append(Part(course.weight, mean, math.sqrt(max(spread, 1e-12)), course.shape.follows))
        self.evaluations += len(parts)
        return ShareBelief(tuple(parts))

    def after(self, reading: Observation, errors: NamedErrors = ()) -> Foretold:
        """Say what a further reading would leave: for each course the expected share, how far it may move, and its rest.

        Parameters
        ----------
        reading
            As it would be taken; its value does not count.
        errors
            Shared errors that count as part of the share at its speed and signal.
        """
        speed, signal = reading.speed or "", reading.signal
        asked = self._projected(Observation("", 0.0, 0.0, tuple(errors), speed, signal), of_readings=False)
        read = self._projected(reading, of_readings=True)
        across = covariance(self.prior, asked.one, reading, of_readings=False)
        across -= sum(x * y for x, y in zip(asked.v, read.v, strict=True))
        moves = []
        for course in self.courses:
            mean, leak, reach = asked.under(course)
            _, its_leak, its_reach = read.under(course)
            before = max(asked.own + _through(course.s, leak, reach, leak, reach), 1e-12)
            both = across + _through(course.s, leak, reach, its_leak, its_reach)
            spread = (
                read.own + reading.noise**2 + _through(course.s, its_leak, its_reach, its_leak, its_reach)
            )
            moved = min(both * both / max(spread, 1e-12), before - 1e-13)
            moves.append(Move(course.weight, mean, math.sqrt(moved), math.sqrt(before - moved)))
        self.evaluations += len(moves)
        return Foretold(tuple(moves))

    def foretold(self, reading: Observation) -> ShareBelief:
        """Return what is expected of a reading's value before it is taken; its own value does not count."""
        read = self._projected(reading, of_readings=True)
        return self._believed(read, read.own + reading.noise**2)

    def foreseen(self, comparison: Observation) -> Observation:
        """Return a comparison of instruments with the value that is expected of it."""
        seen = self._projected(comparison, of_readings=True)
        return replace(comparison, value=sum(c.weight * seen.under(c)[0] for c in self.courses))

    def ln_tails(self) -> tuple[float, ...]:
        """Logarithm of the chance of a value as far out as each reading's own, by all the others; 0 for a comparison.

        Every course counts again, those too that only this reading makes unlikely.

        References
        ----------
        Leave-one-out predictions: Rasmussen and Williams (2006), section 5.4.2 (from memory), here with leak and reach
        regressed as well and the courses weighed anew.
        """
        count = len(self.observations)
        columns = [
            backward(self.factor, forward(self.factor, [float(k == i) for k in range(count)]))
            for i in range(count)
        ]
        courses = _courses(self.prior, self.observations, self.factor)
        self.evaluations += len(courses) * count
        return tuple(
            0.0 if one.speed is None else _ln_tail(i, column, self.observations, courses)
            for i, (one, column) in enumerate(zip(self.observations, columns, strict=True))
        )

    def _projected(self, one: Observation, *, of_readings: bool) -> _Projected:
        """Hold something asked or read against all readings."""
        across = [covariance(self.prior, other, one, of_readings=of_readings) for other in self.observations]
        v = forward(self.factor, across)
        own = covariance(self.prior, one, one, of_readings=of_readings) - sum(x * x for x in v)
        pulls = backward(self.factor, v)
        pulled, with_leak = 0.0, float(one.speed is not None)
        for pull, other in zip(pulls, self.observations, strict=True):
            pulled += pull * other.value
            with_leak -= pull * (other.speed is not None)
        return _Projected(one, v, own, pulls, pulled, with_leak, _opened(self.prior, one))

    def chance(self, follows: Follows) -> float:
        """Chance that the damper goes with its signal in one way. [-]"""
        return sum(course.weight for course in self.courses if course.shape.follows is follows)


def _ln_tail(
    number: int, column: Sequence[float], observations: Sequence[Observation], courses: Sequence[tuple[_Course, float]]
) -> float:  # fmt: skip
    """Logarithm of the chance of a value as far out as that of one reading; its column of the inverse is given."""
    own = column[number]
    leak = sum(x for x, one in zip(column, observations, strict=True) if one.speed is not None)
    values = sum(x * one.value for x, one in zip(column, observations, strict=True))
    logs, zs = [], []
    for course, log in courses:
        reach = sum(x * opened for x, opened in zip(column, course.opened, strict=True))
        out = values - course.theta[0] * leak - course.theta[1] * reach
        precision = max(own - _through(course.s, leak, reach, leak, reach), 1e-12)
        logs.append(log + 0.5 * out * out / precision - 0.5 * math.log(precision))
        zs.append(out / math.sqrt(precision))
    whole = _ln_sum(logs)
    ends = (
        _ln_sum([log + ln_beyond(sign * z) for log, z in zip(logs, zs, strict=True)]) for sign in (-1.0, 1.0)
    )
    return min(math.log(2.0) + min(ends) - whole, 0.0)


def _ln_sum(logs: Sequence[float]) -> float:
    """Logarithm of the sum of numbers given by their logarithms: those of readings far out are below any float."""
    best = max(logs)
    return best + math.log(sum(math.exp(log - best) for log in logs))


def condition(prior: CurvePrior, observations: Sequence[Observation]) -> Posterior:
    """Learn from readings, in any order.

    Parameters
    ----------
    prior
        What is believed beforehand.
    observations
        Readings; none gives the prior itself. [shares: -; comparisons: any one unit]

    References
    ----------
    Gaussian-process regression with explicit basis functions: Rasmussen and Williams, Gaussian Processes for Machine
    Learning (2006), section 2.7; mixtures weighed by marginal likelihood, section 5.2 (from memory).
    """
    kept = tuple(observations)
    factor = cholesky(covariances(prior, kept))
    log_det = sum(math.log(row[i]) for i, row in enumerate(factor))
    candidates = _courses(prior, kept, factor)
    best = max(log for _, log in candidates)
    total = sum(math.exp(log - best) for _, log in candidates)
    courses = []
    for course, log in candidates:
        course.weight = math.exp(log - best) / total
        courses.append(course)
    heaviest = max(course.weight for course in courses)
    courses = [course for course in courses if course.weight >= NEGLIGIBLE * heaviest]
    left = sum(course.weight for course in courses)
    for course in courses:
        course.weight /= left
    evidence = best + math.log(total) - log_det - 0.5 * len(kept) * math.log(2.0 * math.pi)
    return Posterior(prior, kept, tuple(courses), factor, evidence, len(candidates) * len(kept))


def _opened(prior: CurvePrior, one: Observation) -> Sequence[float]:
    """How far open every course is at a reading; 0 for a comparison."""
    return prior.opened(one.signal) if one.speed is not None else [0.0] * len(prior.shapes())


def _courses(
    prior: CurvePrior, observations: Sequence[Observation], factor: list[list[float]]
) -> list[tuple[_Course, float]]:
    """Regress the readings on leak and reach under every course; each with the log of its weight."""
    on = forward(factor, [float(one.speed is not None) for one in observations])
    values = forward(factor, [one.value for one in observations])
    opened = [_opened(prior, one) for one in observations]
    found = []
    for number, shape in enumerate(prior.shapes()):
        found.append(_course(prior, shape, number, [of[number] for of in opened], factor, on, values))
    return found


def _course(
    prior: CurvePrior, shape: Shape, number: int, opened: list[float], factor: list[list[float]],
    a0: Sequence[float], values: Sequence[float],
) -> tuple[_Course, float]:  # fmt: skip
    m0, u0 = shape.leak, shape.leak_u
    m1, u1 = shape.reach(prior)
    a1 = forward(factor, opened)
    i00, i01, i11, g0, g1, misfit = 1.0 / u0**2, 0.0, 1.0 / u1**2, 0.0, 0.0, 0.0
    for x, y, value in zip(a0, a1, values, strict=True):
        r = value - m0 * x - m1 * y
        i00 += x * x
        i01 += x * y
        i11 += y * y
        g0 += x * r
        g1 += y * r
        misfit += r * r
    det = i00 * i11 - i01 * i01
    s = (i11 / det, -i01 / det, i00 / det)
    d0, d1 = s[0] * g0 + s[1] * g1, s[1] * g0 + s[2] * g1
    misfit -= g0 * d0 + g1 * d1
    log = math.log(shape.weight) - 0.5 * misfit - 0.5 * math.log(det * u0**2 * u1**2)
    return _Course(shape, number, 0.0, (m0 + d0, m1 + d1), s, opened), log
