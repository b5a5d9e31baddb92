"""What is believed of a unit after some readings: a weight for every set of faults on every variation of the unit."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from heapq import nlargest
from math import exp, log, prod

from ventwright.tables.fault_prior import fault_prior
from ventwright.tables.measurement import Measurement, Part, measurements
from ventwright.verdict.diagnose.hypothesis import complaint_likelihood
from ventwright.verdict.diagnose.likelihood import fit, likelihood, spread
from ventwright.verdict.diagnose.reader import Value
from ventwright.verdict.diagnose.roof import Values
from ventwright.verdict.diagnose.signature import Case, Signatures

NEGLIGIBLE = 1e-7
"""Share of all weight below which a case is dropped. [-]"""
WORTH_A_CLOSER_LOOK = 0.004
"""Probability from which a set of faults is looked at on more variations of the unit. [-]"""
CLOSE_LOOK = 32
"""Variations under a set that is worth it."""
USUAL_FIT = 0.7071
"""Mean of exp(-z²/2) over a standard normal z: how well a number fits on average where the hypothesis is true. [-]"""

LOOKED_AT_FOR_FIT = 100
"""Cases over which the fit of a reading is averaged, the heaviest."""
HARDLY_FITS = 0.02
"""Fit below which a reading is taken again before it is believed. [-]"""

Set = tuple[int, ...]
"""A set of faults, as places in the list of those that the unit can have."""


@dataclass(frozen=True, slots=True)
class Reading:
    """One measurement and what it gave."""

    measurement: Measurement
    values: Values
    id: str = ""
    u: float | None = None
    """Of each temperature that a share was worked out from, where the instrument is known. [K]"""


@dataclass(frozen=True, slots=True)
class Belief:
    """Weights of the cases, in proportion to their probability, and what they rest on."""

    signatures: Signatures
    prior: Mapping[Set, float]
    """Of each set of faults, before these readings. [-]"""
    variations: Mapping[Set, int]
    """How many each set is looked at on."""
    weights: Mapping[Case, float]
    """Prior times likelihoods; cases of no weight to speak of are left out."""
    readings: tuple[Reading, ...] = ()
    as_left: tuple[Reading, ...] = ()
    """What was read while the unit was sound: it tells the variations apart, not the faults."""

    def after(self, reading: Reading) -> Belief:
        """Return what is believed after one more reading."""
        weights = {case: weight * self._likelihood(case, reading) for case, weight in self.weights.items()}
        read = replace(self, weights=_kept(weights), readings=(*self.readings, reading))
        return read._looked_closer()  # noqa: SLF001 - its own kind

    def without(self, reading: Reading) -> Belief:
        """Return what would be believed without one of the readings: its likelihood is divided out again."""
        rest = {case: weight / self._likelihood(case, reading) for case, weight in self.weights.items()}
        return replace(self, weights=rest, readings=tuple(one for one in self.readings if one is not reading))

    def sound(self, count: int) -> list[float]:
        """Share that each of the first variations has in a set of faults before today's readings: alike, or as left. [-]"""
        fits = [prod(self._likelihood(((), number), one) for one in self.as_left) for number in range(count)]
        whole = sum(fits)
        return [one / whole for one in fits]

    def _likelihood(self, case: Case, reading: Reading) -> float:
        found = 1.0
        for part, expected, seen in self._side_by_side(case, reading):
            found *= likelihood(part, expected, seen, self.spread(reading, part, expected))
        return found

    def _side_by_side(self, case: Case, reading: Reading) -> Iterator[tuple[Part, Value, Value]]:
        """Each part that was read, with what a case has one read, and what was seen."""
        expected = self.signatures.values(case, reading.measurement)
        for part, wanted, seen in zip(reading.measurement.parts, expected, reading.values, strict=True):
            if wanted is not None and seen is not None:
                yield part, wanted, seen

    def _looked_closer(self) -> Belief:
        """Look at the sets that matter on more variations, or a few that happen to fit would stand for all."""
        closer = [
            faults
            for faults, probability in self.of_sets().items()
            if probability > WORTH_A_CLOSER_LOOK and self.variations[faults] < CLOSE_LOOK
        ]
        if not closer:
            return self
        weights, now = dict(self.weights), self.sound(CLOSE_LOOK)
        for faults in closer:
            before = self.sound(self.variations[faults])
            for number in range(CLOSE_LOOK):
                case = (faults, number)
                if number < self.variations[faults]:
                    if case in weights:
                        weights[case] *= now[number] / before[number]
                    continue
                weight = self.prior[faults] * now[number]
                for reading in self.readings:
                    weight *= self._likelihood(case, reading)
                weights[case] = weight
        return replace(
            self,
            weights=_kept(weights),
            variations={**self.variations, **dict.fromkeys(closer, CLOSE_LOOK)},
        )

    def spread(self, reading: Reading, part: Part, expected: Value) -> float:
        """Standard uncertainty of a number that was read."""
        if reading.u is not None and part.probe_u:
            part = replace(part, probe_u=reading.u)
        return spread(part, expected, self.signatures.difference)

    def of_sets(self) -> dict[Set, float]:
        """Probability of each set of faults. [-]"""
        whole = sum(self.weights.values())
        found: dict[Set, float] = {}
        for (faults, _), weight in self.weights.items():
            found[faults] = found.get(faults, 0.0) + weight / whole
        return found

    def of_faults(self) -> list[float]:
        """Probability that each fault is there, alone or with another. [-]"""
        found = [0.0] * len(self.signatures.hypotheses.rows)
        for faults, probability in self.of_sets().items():
            for fault in faults:
                found[fault] += probability
        return found

    def ranked(self) -> list[int]:
        """Places of the faults, the likeliest first."""
        chances = self.of_faults()
        return sorted(range(len(chances)), key=lambda fault: -chances[fault])

    @property
    def healthy(self) -> float:
        """Probability that nothing is wrong. [-]"""
        return self.of_sets().get((), 0.0)

    def repaired(self, fault: int) -> Belief:
        """Return what is believed once a fault has been found and repaired: what else was there is still there.

        What was read before the repair has said which other fault there may be; what is read from now on is read on
        the repaired unit, looked at on all its variations again.
        """
        left: dict[Set, float] = {}
        for faults, probability in self.of_sets().items():
            if fault in faults:
                rest = tuple(one for one in faults if one != fault)
                left[rest] = left.get(rest, 0.0) + probability
        first = self.signatures.hypotheses.sets
        prior = {one.faults: max(left.get(one.faults, 0.0), FORGOTTEN * one.probability) for one in first}
        singles = {faults: p for faults, p in prior.items() if len(faults) < 2}
        return _from(self.signatures, singles, self.as_left)

    @property
    def lack_of_fit(self) -> float:
        """How much less likely the readings are than such readings are on average: 1 is as usual. [-]"""
        wrong = measurements().outlier
        worse = 0.0
        for reading in self.readings:
            for fitting, usual in self.fits(reading):
                worse += log(wrong + (1.0 - wrong) * fitting) - log(usual)
        return exp(min(0.0, worse))

    @property
    def unexplained(self) -> bool:
        """Whether nothing that is thought of explains the readings."""
        return self.lack_of_fit < measurements().unexplained

    def heaviest(self, most: int, share: float = 1.0) -> list[tuple[Case, float]]:
        """Return the cases of most weight, at most so many, until they carry a share of all weight."""
        kept: list[tuple[Case, float]] = []
        left = share * sum(self.weights.values())
        for case in nlargest(most, self.weights, key=self.weights.__getitem__):
            kept.append((case, self.weights[case]))
            left -= self.weights[case]
            if left <= 0.0:
                break
        return kept

    def doubtful(self) -> set[str]:
        """Measurements that hardly fit what is believed and were taken once: worth taking again."""
        ids = [reading.measurement.id for reading in self.readings]
        return {
            reading.measurement.id
            for reading in self.readings
            if ids.count(reading.measurement.id) == 1
            and any(fitting < HARDLY_FITS for fitting, _ in self.fits(reading))
        }

    def fits(self, reading: Reading) -> list[tuple[float, float]]:
        """How well each part that was read fits what is believed, and how well it does on average, from 0 to 1. [-]"""
        heaviest = self.heaviest(LOOKED_AT_FOR_FIT)
        whole = sum(weight for _, weight in heaviest)
        found: dict[Part, float] = {}
        usual: dict[Part, float] = {}
        for case, weight in heaviest:
            for part, expected, seen in self._side_by_side(case, reading):
                fitting = fit(expected, seen, self.spread(reading, part, expected))
                found[part] = found.get(part, 0.0) + weight / whole * fitting
                usual[part] = 1.0 if part.u is None or isinstance(seen, str) else USUAL_FIT
        return [(fitting, usual[part]) for part, fitting in found.items()]


FORGOTTEN = 0.02
"""Share of the first probabilities that a repair leaves to what the readings seemed to rule out; our own assumption. [-]"""


def first_belief(known: Signatures, complaint: str | None = None, as_left: Sequence[Reading] = ()) -> Belief:
    """What is believed before anything is read.

    Parameters
    ----------
    known
        Of the situation.
    complaint
        Id of what was said; empty for a routine visit; None where nobody asked.
    as_left
        What was read while the unit was sound.

    Returns
    -------
    Belief
        From the prior and the complaint.

    References
    ----------
    Bayes' theorem.
    """
    prior, count, rows = fault_prior(), len(measurements().complaints), known.hypotheses.rows
    return _from(
        known,
        {
            one.faults: one.probability
            * (
                1.0
                if complaint is None
                else complaint_likelihood(prior, tuple(rows[fault] for fault in one.faults), complaint, count)
            )
            for one in known.hypotheses.sets
        },
        as_left,
    )


def _from(known: Signatures, prior: Mapping[Set, float], as_left: Sequence[Reading]) -> Belief:
    whole = sum(prior.values())
    shares = {faults: probability / whole for faults, probability in prior.items()}
    variations = {one.faults: one.variations for one in known.hypotheses.sets if one.faults in shares}
    start = Belief(known, shares, variations, {}, as_left=tuple(as_left))
    sound = {count: start.sound(count) for count in set(variations.values())}
    weights = {
        (faults, number): shares[faults] * share
        for faults, count in variations.items()
        for number, share in enumerate(sound[count])
    }
    return replace(start, weights=weights)


def after_all(belief: Belief, readings: Iterable[Reading]) -> Belief:
    """What is believed after several readings."""
    for reading in readings:
        belief = belief.after(reading)
    return belief


def _kept(weights: Mapping[Case, float]) -> dict[Case, float]:
    least = NEGLIGIBLE * sum(weights.values())
    return {case: weight for case, weight in weights.items() if weight > least}
