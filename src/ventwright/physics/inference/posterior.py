"""From readings to belief: the share at any signal and fan speed, with every error that readings have in common.

For each course the curve may take, share = leak + reach x opened(signal) + a smooth departure + one of the fan speed;
all of it Gaussian, as are the errors of the readings. Given the course the answer is that of linear regression with
correlated errors; the courses are weighed by how well they foretold the readings.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field, replace

from ventwright.physics.inference.belief import Belief, Foretold, Move, Part, ln_beyond
from ventwright.physics.inference.covariance import cholesky, covariance, covariances, forward
from ventwright.physics.inference.curve_prior import CurvePrior, Follows, Shape
from ventwright.physics.inference.observation import Observation

NEGLIGIBLE = 1e-3
"""Weight beside the likeliest below which a course is left out of predictions. [-]"""

Errors = Sequence[tuple[str, float]]


@dataclass(slots=True)
class _Course:
    """The regression under one course: leak and reach, with the inverse S of their information."""

    shape: Shape
    weight: float
    theta: tuple[float, float]
    s: tuple[float, float, float]
    a: list[tuple[float, float]]
    rest: list[float]


@dataclass(slots=True)
class _Projected:
    """Something asked or read, seen from the readings: what they leave open of it, beyond leak and reach."""

    one: Observation
    v: list[float]
    own: float
    """Variance given the readings, leak and reach known."""

    def under(self, course: _Course) -> tuple[float, float, float]:
        """Expected value under a course, and how it goes with leak and reach beyond what the readings tie down."""
        if self.one.speed is None:
            with_leak, with_reach, mean = 0.0, 0.0, 0.0
        else:
            with_leak, with_reach = 1.0, course.shape.opened(self.one.signal)
            mean = course.theta[0] + course.theta[1] * with_reach
        for x, (a0, a1), rest in zip(self.v, course.a, course.rest, strict=True):
            with_leak -= x * a0
            with_reach -= x * a1
            mean += x * rest
        return mean, with_leak, with_reach


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

    def at(self, speed: str, signal: float, errors: Errors = ()) -> Belief:
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

    def _believed(self, asked: _Projected, own: float) -> Belief:
        parts = []
        for course in self.courses:
            mean, leak, reach = asked.under(course)
            u = math.sqrt(max(own + _through(course.s, leak, reach, leak, reach), 1e-12))
            parts.append(Part(course.weight, mean, u, course.shape.follows))
        self.evaluations += len(parts)
        return Belief(tuple(parts))

    def after(self, reading: Observation, errors: Errors = ()) -> Foretold:
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

    def foretold(self, reading: Observation) -> Belief:
        """Return what is expected of a reading's value before it is taken; its own value does not count."""
        read = self._projected(reading, of_readings=True)
        return self._believed(read, read.own + reading.noise**2)

    def foreseen(self, comparison: Observation) -> Observation:
        """Return a comparison of instruments with the value that is expected of it."""
        seen = self._projected(comparison, of_readings=True)
        value = sum(c.weight * sum(x * r for x, r in zip(seen.v, c.rest, strict=True)) for c in self.courses)
        return replace(comparison, value=value)

    def ln_tails(self) -> tuple[float, ...]:
        """Logarithm of the chance of a value as far out as each reading's own, by all the others; 0 for a comparison.

        Every course counts again, those too that only this reading makes unlikely.

        References
        ----------
        Leave-one-out predictions: Rasmussen and Williams (2006), section 5.4.2 (from memory), here with leak and reach
        regressed as well and the courses weighed anew.
        """
        count = len(self.observations)
        columns = [forward(self.factor, [float(k == i) for k in range(count)]) for i in range(count)]
        courses = [
            _course(self.prior, shape, self.observations, self.factor) for shape in self.prior.shapes()
        ]
        self.evaluations += len(courses) * count
        return tuple(
            0.0 if one.speed is None else _ln_tail(column, courses)
            for one, column in zip(self.observations, columns, strict=True)
        )

    def _projected(self, one: Observation, *, of_readings: bool) -> _Projected:
        """Hold something asked or read against all readings."""
        across = [covariance(self.prior, other, one, of_readings=of_readings) for other in self.observations]
        v = forward(self.factor, across)
        own = covariance(self.prior, one, one, of_readings=of_readings) - sum(x * x for x in v)
        return _Projected(one, v, own)

    def chance(self, follows: Follows) -> float:
        """Chance that the damper goes with its signal in one way. [-]"""
        return sum(course.weight for course in self.courses if course.shape.follows is follows)


def _ln_tail(column: Sequence[float], courses: Sequence[tuple[_Course, float]]) -> float:
    """Logarithm of the chance of a value as far out as that of one reading; its column of the inverse factor is given."""
    own = sum(x * x for x in column)
    logs, zs = [], []
    for course, log in courses:
        out = sum(x * y for x, y in zip(column, course.rest, strict=True))
        leak = sum(x * a0 for x, (a0, _) in zip(column, course.a, strict=True))
        reach = sum(x * a1 for x, (_, a1) in zip(column, course.a, strict=True))
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
    candidates = [_course(prior, shape, kept, factor) for shape in prior.shapes()]
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


def _course(
    prior: CurvePrior, shape: Shape, observations: Sequence[Observation], factor: list[list[float]]
) -> tuple[_Course, float]:
    """Regress the readings on leak and reach under one course; return it with the log of its weight."""
    m0, u0 = shape.leak, shape.leak_u
    m1, u1 = (0.0, 1e-6) if shape.follows is Follows.DEAD else (prior.reach, prior.reach_u)
    opened = [shape.opened(one.signal) if one.speed is not None else 0.0 for one in observations]
    on = [1.0 if one.speed is not None else 0.0 for one in observations]
    r = forward(
        factor, [one.value - w * m0 - f * m1 for one, w, f in zip(observations, on, opened, strict=True)]
    )
    a0, a1 = forward(factor, on), forward(factor, opened)
    i00 = 1.0 / u0**2 + sum(x * x for x in a0)
    i01 = sum(x * y for x, y in zip(a0, a1, strict=True))
    i11 = 1.0 / u1**2 + sum(x * x for x in a1)
    det = i00 * i11 - i01 * i01
    s = (i11 / det, -i01 / det, i00 / det)
    g0, g1 = sum(x * y for x, y in zip(a0, r, strict=True)), sum(x * y for x, y in zip(a1, r, strict=True))
    d0, d1 = s[0] * g0 + s[1] * g1, s[1] * g0 + s[2] * g1
    misfit = sum(x * x for x in r) - (g0 * d0 + g1 * d1)
    log = math.log(shape.weight) - 0.5 * misfit - 0.5 * math.log(det * u0**2 * u1**2)
    rest = [x - y * d0 - z * d1 for x, y, z in zip(r, a0, a1, strict=True)]
    return _Course(shape, 0.0, (m0 + d0, m1 + d1), s, list(zip(a0, a1, strict=True)), rest), log
