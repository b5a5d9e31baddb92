"""What the readings tell somebody who knows the family of the air path and the distribution of every error.

Particles are points of the unit's own family, drawn from the true generator, each with its own places of the damper
(one for each move). The probes' offsets, the two temperatures and the error from layers are never drawn: given a
curve the readings are linear in them, so they are integrated out exactly.

With outdoor, return and mixed readings O, R, M, share x, layers' error g and D = T_return - T_outdoor:
M_i = T - (x_i + g_i) D + noise with T = T_return + offset_mixed. The mean O and R and the check give (D, T) a normal
distribution (flat prior for the two temperatures), the same for all particles. Only the product g D is taken with
the D as read, which changes the size of g by a few percent at most.

Where the weights would degenerate, the likelihood comes in by steps (tempering), each step followed by resampling and
Metropolis moves in the cube whose proposals are differences of particles; the cube's faces reflect. So the particles
stay draws from the posterior, however sharp the readings.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, field

import numpy as np
import numpy.typing as npt
from benchmarks.balance.air_path import Array, Family
from benchmarks.balance.roof import TOLERANCE, Sample, Speed, Visit

PARTICLES = 4000
MOVES = 4
"""Metropolis moves of every particle after each step of the likelihood."""
LEAST_EFFECTIVE = 0.5
"""Share of effective particles down to which one step of the likelihood goes."""

_NORMAL_AT = np.linspace(-6.0, 6.0, 4001)
_NORMAL = np.array([0.5 * math.erfc(-z / math.sqrt(2.0)) for z in _NORMAL_AT])


@dataclass(slots=True)
class Belief:
    """Posterior of one unit, as particles."""

    visit: Visit
    dice: np.random.Generator
    family: Family
    """The family that is known: the unit's own, or any of them."""
    correction: tuple[float, float] = (0.0, 0.0)
    checked: bool = False
    samples: list[Sample] = field(default_factory=list)
    moved: list[int] = field(default_factory=list)
    """For each sample, which move of the damper it was read after."""
    cube: Array = field(default_factory=lambda: np.zeros((0, 0)))
    places: Array = field(default_factory=lambda: np.zeros((0, 0)))
    """Standard normal error of the damper's place, a column a move."""
    log_likelihood: Array = field(default_factory=lambda: np.zeros(0))
    accepted: float = math.nan
    """Share of the last proposals that were accepted."""

    def __post_init__(self) -> None:
        """Draw the particles from the generator of the family that is known."""
        self.cube = self.dice.uniform(size=(PARTICLES, self.family.numbers))
        self.places = np.zeros((PARTICLES, 0))
        self.log_likelihood = np.zeros(PARTICLES)

    def check(self) -> None:
        """Hold the probes side by side."""
        self.correction = self.visit.compare()
        self.checked = True

    def read(self, speed: Speed, signal: float) -> None:
        """Take a reading and learn from it."""
        before = self.samples[-1] if self.samples else None
        self.samples.append(self.visit.read(speed, signal))
        if before is None or before.signal != signal:
            drawn = self.dice.standard_normal((PARTICLES, 1))
            self.places = np.concatenate([self.places, drawn], axis=1)
        self.moved.append(self.places.shape[1] - 1)
        self._learn()

    def shares(self, speed: Speed, position: Array) -> Array:
        """Share of each particle at places of its own (a row a particle; as many of the first as there are rows)."""
        flow = self.visit.unit.flow(speed)
        return self.family.shares(self.cube[: len(position)], np.clip(position, 0.0, 1.0), flow)

    def chance_held(self, speed: Speed) -> tuple[float, float] | None:
        """Signal last held at a speed and the chance that the flow there is within tolerance; None if none was."""
        last = next((k for k in reversed(range(len(self.samples))) if self.samples[k].speed == speed), None)
        if last is None:
            return None
        error = self.places[:, self.moved[last] : self.moved[last] + 1]
        signal = self.samples[last].signal
        share = self.shares(speed, signal + self.visit.stated.position_u * error)
        return signal, float(self._within(speed, share).mean())

    def chances(self, speed: Speed, signals: Array) -> Array:
        """Chance that the flow is within tolerance with the damper moved anew to each of the signals."""
        error = self.dice.standard_normal((PARTICLES, 1))
        share = self.shares(speed, signals[None, :] + self.visit.stated.position_u * error)
        chance: Array = self._within(speed, share).mean(axis=0)
        return chance

    def chance_none(self, speed: Speed) -> float:
        """Chance that no signal gives the flow within tolerance."""
        return float(self._none(speed, PARTICLES).mean())

    def _none(self, speed: Speed, rows: int) -> Array:
        """The same for each of the first particles."""
        ends = self.shares(speed, np.tile([0.0, 1.0], (rows, 1)))
        ratio = ends * (self.visit.supply(speed) / self.visit.required)
        over = self._below(ratio[:, 0] / (1.0 + TOLERANCE))
        short = 1.0 - self._below(ratio[:, 1] / (1.0 - TOLERANCE))
        neither: Array = over + short
        return neither

    def each_chance(self, speed: Speed, signals: Array, rows: int) -> Array:
        """Chance of each of the first particles that the flow is within, at each signal; last, that it is at none.

        The particles stand in random order, so that the first are a sample of all.
        """
        error = self.dice.standard_normal((rows, 1))
        share = self.shares(speed, signals[None, :] + self.visit.stated.position_u * error)
        return np.concatenate([self._within(speed, share), self._none(speed, rows)[:, None]], axis=1)

    def foreseen(self, speed: Speed, signal: float, rows: int) -> tuple[Array, Array]:
        """Mean and variance of the next mixed reading at a signal, for each of the first particles, given all readings."""
        stated, unit = self.visit.stated, self.visit.unit
        places = self.places[:rows]
        held = self.samples[-1].signal == signal
        error = places[:, self.moved[-1] :][:, :1] if held else self.dice.standard_normal((rows, 1))
        position = np.clip(signal + stated.position_u * error, 0.0, 1.0)
        newest = self.family.shares(self.cube[:rows], position, unit.flow(speed))
        x = np.concatenate([self._shares_read(self.cube[:rows], places), newest], axis=1)
        mean, spread = self._streams(self.samples)
        streams = np.stack([-x, np.ones_like(x)], axis=2)
        signals = np.array([*(sample.signal for sample in self.samples), signal])
        covariance = self._own(signals, mean[0]) + streams @ spread @ streams.transpose(0, 2, 1)
        residual = np.array([sample.mixed for sample in self.samples]) - (mean[1] - x[:, :-1] * mean[0])
        across = covariance[:, :-1, -1:]
        pulled = np.linalg.solve(
            covariance[:, :-1, :-1], np.concatenate([residual[:, :, None], across], axis=2)
        )
        drawn = (across * pulled).sum(axis=1)
        expected: Array = mean[1] - newest[:, 0] * mean[0] + drawn[:, 0]
        variance: Array = covariance[:, -1, -1] - drawn[:, 1]
        return expected, variance

    def _within(self, speed: Speed, share: Array) -> Array:
        """Chance of each share that its flow is within tolerance, over the error of the supply airflow."""
        ratio = share * (self.visit.supply(speed) / self.visit.required)
        return self._below(ratio / (1.0 - TOLERANCE)) - self._below(ratio / (1.0 + TOLERANCE))

    def _below(self, limit: Array) -> Array:
        """Chance that measured over true supply airflow is below a limit."""
        relative = self.visit.stated.supply_u
        if relative == 0.0:
            exact: Array = (limit > 1.0).astype(np.float64)
            return exact
        chance: Array = np.interp((limit - 1.0) / relative, _NORMAL_AT, _NORMAL)
        return chance

    # Learning.

    def _learn(self) -> None:
        """Bring the newest reading in, in as many steps as keep the particles alive."""
        old = self.log_likelihood
        new = self._likelihood(self.cube, self.places)
        done = 0.0
        while done < 1.0:
            step = self._step(new - old, 1.0 - done)
            done += step
            weights = _weights(step * (new - old))
            chosen = self._resampled(weights)
            self.cube, self.places, old, new = (
                self.cube[chosen],
                self.places[chosen],
                old[chosen],
                new[chosen],
            )
            for _ in range(MOVES):
                old, new = self._moved_on(old, new, done)
        self.log_likelihood = new

    def _step(self, gain: Array, rest: float) -> float:
        """Largest step of the likelihood that leaves enough effective particles."""
        if _effective(_weights(rest * gain)) >= LEAST_EFFECTIVE:
            return rest
        low, high = 0.0, rest
        for _ in range(30):
            middle = 0.5 * (low + high)
            low, high = (
                (middle, high) if _effective(_weights(middle * gain)) >= LEAST_EFFECTIVE else (low, middle)
            )
        return max(low, 1e-6)

    def _resampled(self, weights: Array) -> npt.NDArray[np.int64]:
        """Systematic resampling, in random order so that neighbours are no kin."""
        at = (np.arange(PARTICLES) + self.dice.uniform()) / PARTICLES
        chosen = np.minimum(np.searchsorted(np.cumsum(weights), at), PARTICLES - 1)
        return self.dice.permutation(chosen).astype(np.int64)

    def _moved_on(self, old: Array, new: Array, done: float) -> tuple[Array, Array]:
        """One Metropolis move of all particles under the likelihood brought in so far.

        The earlier readings' likelihood counts in full and the newest reading's by the share done. Each half of the
        particles moves by differences of the other half, so that a proposal does not depend on what it moves.
        """
        halves = np.array_split(np.arange(PARTICLES), 2)
        accepted = 0
        for mine, other in (halves, halves[::-1]):
            pairs = self.dice.integers(len(other), size=(2, len(mine)))
            first, second = other[pairs[0]], other[pairs[1]]
            numbers = self.cube.shape[1] + self.places.shape[1]
            reach = 2.38 / math.sqrt(2.0 * numbers) * self.dice.choice([0.15, 0.5, 1.0], size=(len(mine), 1))
            cube = self.cube[mine] + reach * (self.cube[first] - self.cube[second])
            cube = _reflected(cube + 1e-4 * self.dice.standard_normal(cube.shape))
            places = self.places[mine] + reach * (self.places[first] - self.places[second])
            places = places + 1e-3 * self.dice.standard_normal(places.shape)
            before, after = self._likelihoods(cube, places)
            prior = 0.5 * ((self.places[mine] ** 2).sum(axis=1) - (places**2).sum(axis=1))
            gain = (1.0 - done) * (before - old[mine]) + done * (after - new[mine]) + prior
            takes = np.log(self.dice.uniform(size=len(mine))) < gain
            taken = mine[takes]
            self.cube[taken], self.places[taken] = cube[takes], places[takes]
            old[taken], new[taken] = before[takes], after[takes]
            accepted += len(taken)
        self.accepted = accepted / PARTICLES
        return old, new

    def _likelihoods(self, cube: Array, places: Array) -> tuple[Array, Array]:
        """Log-likelihood without the newest reading and with it."""
        shares = self._shares_read(cube, places)
        return self._of(shares, len(self.samples) - 1), self._of(shares, len(self.samples))

    def _likelihood(self, cube: Array, places: Array) -> Array:
        return self._of(self._shares_read(cube, places), len(self.samples))

    def _shares_read(self, cube: Array, places: Array) -> Array:
        """Share of every particle at every reading (a column a reading)."""
        stated, unit = self.visit.stated, self.visit.unit
        signals = np.array([sample.signal for sample in self.samples])
        positions = np.clip(signals[None, :] + stated.position_u * places[:, self.moved], 0.0, 1.0)
        shares = np.empty_like(positions)
        for speed in unit.supply:
            columns = [k for k, sample in enumerate(self.samples) if sample.speed == speed]
            if columns:
                shares[:, columns] = self.family.shares(cube, positions[:, columns], unit.flow(speed))
        return shares

    def _of(self, shares: Array, count: int) -> Array:
        """Log-likelihood of the first so many mixed readings, up to a constant, for each row of shares.

        Their covariance is that of noise and layers, the same for all particles, plus that of (D, T) through the
        columns (-x, 1): the matrix inversion lemma leaves 2 by 2 matrices.
        """
        if count == 0:
            return np.zeros(len(shares))
        samples = self.samples[:count]
        mean, spread = self._streams(samples)
        signals = np.array([sample.signal for sample in samples])
        inverse = np.linalg.inv(self._own(signals, mean[0]))
        x = shares[:, :count]
        residual = np.array([sample.mixed for sample in samples])[None, :] - (mean[1] - x * mean[0])
        weighed_residual, weighed_share = residual @ inverse, x @ inverse
        ones = inverse.sum(axis=0)
        prior = np.linalg.inv(spread)
        dd = prior[0, 0] + (weighed_share * x).sum(axis=1)
        dt = prior[0, 1] - x @ ones
        tt = prior[1, 1] + ones.sum()
        d, t = -(weighed_residual * x).sum(axis=1), weighed_residual.sum(axis=1)
        determinant = dd * tt - dt**2
        explained = (tt * d**2 - 2.0 * dt * d * t + dd * t**2) / determinant
        fit: Array = -0.5 * ((weighed_residual * residual).sum(axis=1) - explained + np.log(determinant))
        return fit

    def _own(self, signals: Array, difference: float) -> Array:
        """Covariance of mixed readings from noise and layers."""
        stated = self.visit.stated
        apart = (signals[:, None] - signals[None, :]) / stated.layers_length
        layers = (stated.layers_u * difference) ** 2 * np.exp(-0.5 * apart**2)
        own: Array = stated.noise_u**2 * np.eye(len(signals)) + layers
        return own

    def _streams(self, samples: list[Sample]) -> tuple[Array, Array]:
        """Mean and covariance of D = T_return - T_outdoor and of T = T_return + offset of the mixed probe.

        Offsets have variance s^2, noise n^2. D = mean(R - O) + (b_O - b_R) and T = mean(R) + (b_M - b_R), each less
        the noise of the means; side by side b_O - b_R and b_M - b_R are read with noise that shares the return probe.
        """
        offset, noise = self.visit.stated.probe_u**2, self.visit.stated.noise_u**2
        outdoor = float(np.mean([sample.outdoor for sample in samples]))
        returned = float(np.mean([sample.returned for sample in samples]))
        part = offset / (offset + noise) if self.checked else 0.0
        left = offset * (1.0 - part)
        mean = np.array(
            [returned - outdoor + part * self.correction[0], returned + part * self.correction[1]]
        )
        shared = np.array([[2.0, 1.0], [1.0, 2.0]])
        # Noise of the means: D loses e_R and gains e_O, T loses e_R.
        means = np.array([[2.0, 1.0], [1.0, 1.0]])
        return mean, left * shared + noise / len(samples) * means


def _weights(gain: Array) -> Array:
    weights = np.exp(gain - gain.max())
    normal: Array = weights / weights.sum()
    return normal


def _effective(weights: Array) -> float:
    """Effective particles as a share of all."""
    return float(1.0 / (weights**2).sum() / len(weights))


def _reflected(cube: Array) -> Array:
    """Bring a proposal back into the cube by reflection at its faces."""
    folded: Array = 1.0 - np.abs(1.0 - np.mod(cube, 2.0))
    return folded
