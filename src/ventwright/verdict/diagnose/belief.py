"""What is believed of a unit after some readings: a weight for every set of faults on every variation of the unit."""

from __future__ import annotations

from collections.abc import Generator, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from heapq import nlargest
from math import exp, log, prod

from ventwright.plan.software_reading import Value
from ventwright.tables.fault_prior import fault_prior
from ventwright.tables.measurement import Measurement, Part, measurements
from ventwright.verdict.diagnose.hypothesis import complaint_likelihood
from ventwright.verdict.diagnose.likelihood import fit, likelihood, spread
from ventwright.verdict.diagnose.roof import Values
from ventwright.verdict.diagnose.signature import Case, Signatures
from ventwright.verdict.diagnose.slices import SLICE, drained

NEGLIGIBLE = 1e-7
"""Share of all weight below which a case is dropped. [-]"""
FIRST_LOOK = 8
"""Variations of the unit under each set of faults, to begin with."""
WORTH_A_CLOSER_LOOK = 0.01
"""Probability, over the number of readings, from which a set of faults is looked at on more of them: what few are left is
looked at the more closely. [-]"""
CLOSE_LOOK = 20
"""Variations under a set that is worth it."""
USUAL_FIT = 0.7071
"""Mean of exp(-z²/2) over a standard normal z: how well a number fits on average where the hypothesis is true. [-]"""

LOOKED_AT_FOR_FIT = 100
"""Cases over which the fit of a reading is averaged, the heaviest."""
HARDLY_FITS = 0.02
"""Fit below which a reading is taken again before it is believed: our own assumption. [-]"""
FORGOTTEN = 0.02
"""Share of the first probabilities that a repair leaves to what the readings seemed to rule out; our own assumption. [-]"""

Set = tuple[int, ...]
"""A set of faults, as places in the list of those that the unit can have."""


@dataclass(frozen=True, slots=True)
class MeasurementTaken:
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
    weights: Mapping[Case, float]
    """Prior times likelihoods; cases of no weight to speak of are left out."""
    readings: tuple[MeasurementTaken, ...] = ()
    as_left: tuple[MeasurementTaken, ...] = ()
    """What was read while the unit was sound: it tells the variations apart, not the faults."""
    close: frozenset[Set] = frozenset()
    """Sets that are looked at on many variations; a pair among them is worked out, not guessed."""

    def after(self, reading: MeasurementTaken) -> Belief:
        """Return what is believed after one more reading."""
        return drained(self.taking(reading))

    def taking(self, reading: MeasurementTaken) -> Generator[None, None, Belief]:
        """Take one more reading, in slices of work."""
        weights, worked_out = {}, dict[Values, float]()
        for count, (case, weight) in enumerate(self.weights.items(), start=1):
            # most pairs have one read what one of their faults has alone
            expected = self.signatures.values(case, reading.measurement)
            if expected not in worked_out:
                worked_out[expected] = self._likelihood(case, reading)
            weights[case] = weight * worked_out[expected]
            if not count % SLICE:
                yield
        read = replace(self, weights=_kept(weights), readings=(*self.readings, reading))
        return (yield from read._looking_closer())  # noqa: SLF001 - its own kind

    def without(self, reading: MeasurementTaken) -> Belief:
        """Return what would be believed without one of the readings: its likelihood is divided out again."""
        rest = {case: weight / self._likelihood(case, reading) for case, weight in self.weights.items()}
        return replace(self, weights=rest, readings=tuple(one for one in self.readings if one is not reading))

    def sound(self, count: int) -> list[float]:
        """Share that each of the first variations has in a set of faults before today's readings: alike, or as left. [-]"""
        fits = [
            prod(self._likelihood(Case((), number), one) for one in self.as_left) for number in range(count)
        ]
        whole = sum(fits)
        return [one / whole for one in fits]

    def _likelihood(self, case: Case, reading: MeasurementTaken) -> float:
        found = 1.0
        for part, expected, seen in self._side_by_side(case, reading):
            found *= likelihood(part, expected, seen, self.spread(reading, part, expected))
        return found

    def _side_by_side(self, case: Case, reading: MeasurementTaken) -> Iterator[tuple[Part, Value, Value]]:
        """Each part that was read, with what a case has one read, and what was seen."""
        expected = self.signatures.values(case, reading.measurement)
        for part, wanted, seen in zip(reading.measurement.parts, expected, reading.values, strict=True):
            if wanted is not None and seen is not None:
                yield part, wanted, seen

    def _looking_closer(self) -> Generator[None, None, Belief]:
        """Look at the sets that matter on more variations, or a few that happen to fit would stand for all."""
        least = WORTH_A_CLOSER_LOOK / max(2, len(self.readings))
        closer = [
            faults
            for faults, probability in self.of_sets().items()
            if probability > least and faults not in self.close
        ]
        if not closer:
            return self
        gone, before, now = set(closer), self.sound(FIRST_LOOK), self.sound(CLOSE_LOOK)
        weights = {case: weight for case, weight in self.weights.items() if case.faults not in gone}
        for faults in closer:
            for number in range(CLOSE_LOOK):
                case = Case(faults, number)
                if case in self.weights:
                    weights[case] = self.weights[case] * now[number] / before[number]
                elif number >= FIRST_LOOK or len(faults) > 1:
                    likelihoods = (self._likelihood(case, reading) for reading in self.readings)
                    weights[case] = self.prior[faults] * now[number] * prod(likelihoods)
            yield
        return replace(self, weights=_kept(weights), close=self.close | gone)

    def spread(self, reading: MeasurementTaken, part: Part, expected: Value) -> float:
        """Standard uncertainty of a number that was read: by the instrument, where that is known. [unit of what is read]"""
        if reading.u is not None and part.probe_u:
            part = replace(part, probe_u=reading.u)
        return spread(part, expected, self.signatures.difference)

    def of_sets(self) -> dict[Set, float]:
        """Probability of each set of faults. [-]"""
        whole = sum(self.weights.values())
        found: dict[Set, float] = {}
        for case, weight in self.weights.items():
            found[case.faults] = found.get(case.faults, 0.0) + weight / whole
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

    def fits(self, reading: MeasurementTaken) -> list[tuple[float, float]]:
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


def first_belief(
    known: Signatures, complaint: str | None = None, as_left: Sequence[MeasurementTaken] = ()
) -> Belief:
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


def _from(known: Signatures, prior: Mapping[Set, float], as_left: Sequence[MeasurementTaken]) -> Belief:
    whole = sum(prior.values())
    shares = {faults: probability / whole for faults, probability in prior.items()}
    start = Belief(known, shares, {}, as_left=tuple(as_left))
    sound = start.sound(FIRST_LOOK)
    weights = {
        Case(faults, number, guessed=len(faults) > 1): share * of_it
        for faults, share in shares.items()
        for number, of_it in enumerate(sound)
    }
    return replace(start, weights=weights)


def _kept(weights: Mapping[Case, float]) -> dict[Case, float]:
    least = NEGLIGIBLE * sum(weights.values())
    return {case: weight for case, weight in weights.items() if weight > least}
