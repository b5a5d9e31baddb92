"""The next measurement: the one that is expected to say most, or to show the fault itself, for each minute that it takes."""

from __future__ import annotations

from collections.abc import Collection, Generator, Iterable, Mapping
from dataclasses import dataclass
from math import log2

from ventwright.tables.measurement import Measurement, measurements
from ventwright.verdict.diagnose.belief import Belief, Set
from ventwright.verdict.diagnose.likelihood import ELSE, Foreseen
from ventwright.verdict.diagnose.signature import Case

FORESEEN = 0.995
"""Share of the weight over which measurements are foreseen. [-]"""
MOST_FORESEEN = 120
"""Cases over which they are foreseen at the most: the heaviest. [-]"""
FEW = 3
"""Variations of the unit under one set of faults over which they are foreseen at the most."""
LEAST_INFORMATION = 0.02
"""Below this no measurement is worth climbing for. [bit]"""
BELIEVED = 0.5
"""Probability from which a fault is named: it is looked at itself then, and once that is done it counts as seen. [-]"""
SEEN_COUNTS = 2.0
"""What it counts for to see a fault, where there is one; chosen on simulated roofs (our own assumption). [bit]"""

Joint = Mapping[Set, Mapping[Foreseen, float]]
"""Probability of each set of faults together with each thing that a measurement may show. [-]"""


@dataclass(frozen=True, slots=True)
class Prospect:
    """What a measurement is expected to bring."""

    measurement: Measurement
    information: float
    """About which set of faults is there. [bit]"""
    seen: float
    """Probability that it lets a fault be seen, where there is one. [-]"""
    minutes: float
    """With the wait for its state, and the way to it. [min]"""

    @property
    def worth(self) -> float:
        """What it brings for each minute, a risky minute counting for more. [bit/min]"""
        risky = self.minutes * (1.0 + self.measurement.risk)
        return (self.information + SEEN_COUNTS * self.seen) / risky


def minutes(one: Measurement, standing: str | None) -> float:
    """How long a measurement takes.

    Parameters
    ----------
    one
        The measurement.
    standing
        Id of the state that the unit is in; None where that is not known.

    Returns
    -------
    float
        With the wait for the state, where the unit is in another one. [min]

    References
    ----------
    Minutes: ``tables/procedures/measurements.toml`` (our own assumption).
    """
    wait = one.state.settle if one.state is not None and one.state.id != standing else 0.0
    return measurements().between + one.minutes + wait


def prospecting(
    belief: Belief, taken: Iterable[str] = (), standing: str | None = None
) -> Generator[int, None, tuple[Prospect, ...]]:
    """Work out what each measurement that is left is expected to bring, the most worth while first, one by one.

    Parameters
    ----------
    belief
        What is believed now.
    taken
        Ids of the measurements that are not to be taken again.
    standing
        Id of the state that the unit is in.

    Yields
    ------
    int
        Number of measurements that are done.

    Returns
    -------
    tuple
        Information is the mutual information between the outcome and the set of faults [bit].

    References
    ----------
    Lindley, On a measure of the information provided by an experiment, 1956 (from memory); that seeing a fault counts
    besides: our own assumption.
    """
    done, cases, chances = set(taken), _thinned(belief), belief.of_faults()
    looked = {reading.measurement.id for reading in belief.readings}
    found = []
    for count, one in enumerate(belief.signatures.offered, start=1):
        if one.id not in done:
            joint = _joint(belief, cases, one)
            # looked at itself by then, and not seen before
            able = {
                fault
                for fault, row in enumerate(belief.signatures.hypotheses.rows)
                if (one.id in row.proof or looked.intersection(row.proof))
                and not (chances[fault] > BELIEVED and looked.intersection(row.proof))
            }
            found.append(Prospect(one, information(joint), _seen(joint, able), minutes(one, standing)))
        yield count
    return tuple(sorted(found, key=lambda one: -one.worth))


def next_of(belief: Belief, found: Iterable[Prospect]) -> Prospect | None:
    """Choose what to measure next: what shows the fault that is named, else what is most worth while.

    Parameters
    ----------
    belief
        What is believed now.
    found
        Every measurement that is left, the most worth while first.

    Returns
    -------
    Prospect or None
        None where no measurement says anything more.
    """
    listed = list(found)
    top = belief.ranked()[0]
    chance, proof = belief.of_faults()[top], belief.signatures.hypotheses.rows[top].proof
    looked_at = any(reading.measurement.id in proof for reading in belief.readings)
    if chance >= BELIEVED and not looked_at:
        showing = [one for one in listed if one.measurement.id in proof]
        if showing:
            return min(showing, key=lambda one: one.minutes)
    # of a stop that reads several things, the one alone only once its fault is likelier than that nothing is wrong
    pointed_at = proof if chance > belief.healthy else ()
    able = (one for one in listed if not one.measurement.part_of or one.measurement.id in pointed_at)
    return next((one for one in able if one.information >= LEAST_INFORMATION), None)


def _thinned(belief: Belief) -> list[tuple[Case, float]]:
    """Return the heaviest cases, a few of each set standing for all of it; their weights add up to 1.

    Pairs are foreseen as guessed: what to measure next needs no better.
    """
    by_set: dict[Set, list[tuple[Case, float]]] = {}
    listed = belief.heaviest(MOST_FORESEEN, FORESEEN)
    for case, weight in listed:
        by_set.setdefault(case.faults, []).append((case, weight))
    whole = sum(weight for _, weight in listed)
    found = []
    for faults, cases in by_set.items():
        few = cases[:FEW]
        times = sum(weight for _, weight in cases) / sum(weight for _, weight in few) / whole
        found += [(Case(faults, case.variation, len(faults) > 1), weight * times) for case, weight in few]
    return found


def _joint(belief: Belief, cases: Iterable[tuple[Case, float]], one: Measurement) -> Joint:
    joint: dict[Set, dict[Foreseen, float]] = {}
    for case, weight in cases:
        own = joint.setdefault(case.faults, {})
        left = weight
        for outcome, chance in belief.signatures.foreseen(case, one):
            own[outcome] = own.get(outcome, 0.0) + weight * chance
            left -= weight * chance
        own[ELSE] = own.get(ELSE, 0.0) + left
    return joint


def information(joint: Joint) -> float:
    """Mutual information between what is read and which set of faults is there.

    Parameters
    ----------
    joint
        Probabilities of both together, adding up to 1. [-]

    Returns
    -------
    float
        [bit]

    References
    ----------
    Entropy of the outcome less its mean entropy given the set of faults (Shannon, 1948; from memory).
    """
    whole: dict[Foreseen, float] = {}
    given = 0.0
    for own in joint.values():
        of_set = sum(own.values())
        for outcome, chance in own.items():
            whole[outcome] = whole.get(outcome, 0.0) + chance
            given -= chance * log2(chance / of_set) if chance > 0.0 else 0.0
    entropy = -sum(chance * log2(chance) for chance in whole.values() if chance > 0.0)
    return max(0.0, entropy - given)


def _seen(joint: Joint, able: Collection[int]) -> float:
    """Probability that one of the faults that could be is seen, where any is there: it is believed then. [-]"""
    faulty = sum(sum(own.values()) for faults, own in joint.items() if faults)
    by_outcome: dict[Foreseen, list[tuple[Set, float]]] = {}
    for faults, own in joint.items():
        for outcome, chance in own.items():
            by_outcome.setdefault(outcome, []).append((faults, chance))
    found = 0.0
    for sets in by_outcome.values():
        least = BELIEVED * sum(chance for _, chance in sets)
        of_fault: dict[int, float] = {}
        for faults, chance in sets:
            for fault in set(faults).intersection(able):
                of_fault[fault] = of_fault.get(fault, 0.0) + chance
        seen = {fault for fault, chance in of_fault.items() if chance > least}
        found += sum(chance for faults, chance in sets if seen.intersection(faults))
    return found / faulty if faulty > 0.0 else 0.0
