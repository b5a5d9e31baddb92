"""The next measurement: the one that is expected to say most about what is wrong, for each minute that it takes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from math import log2

from ventwright.tables.measurement import Measurement, measurements
from ventwright.verdict.diagnose.belief import Belief
from ventwright.verdict.diagnose.likelihood import Foreseen
from ventwright.verdict.diagnose.signature import Case

FORESEEN = 0.995
"""Share of the weight over which measurements are foreseen. [-]"""
MOST_FORESEEN = 200
"""Cases over which they are foreseen at the most: the heaviest. [-]"""
LEAST_INFORMATION = 0.02
"""Below this no measurement is worth climbing for. [bit]"""


@dataclass(frozen=True, slots=True)
class Prospect:
    """What a measurement is expected to bring."""

    measurement: Measurement
    information: float
    """About which set of faults is there. [bit]"""
    minutes: float
    """With the wait for its state, and the way to it. [min]"""

    @property
    def worth(self) -> float:
        """Information for each minute, a risky minute counting for more. [bit/min]"""
        return self.information / (self.minutes * (1.0 + self.measurement.risk))


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


def prospects(belief: Belief, taken: Iterable[str] = (), standing: str | None = None) -> tuple[Prospect, ...]:
    """What each measurement that is left is expected to bring, the most worth while first.

    Parameters
    ----------
    belief
        What is believed now.
    taken
        Ids of the measurements that are not to be taken again.
    standing
        Id of the state that the unit is in.

    Returns
    -------
    tuple
        Information is the mutual information between the outcome and the set of faults [bit].

    References
    ----------
    Lindley, On a measure of the information provided by an experiment, 1956 (from memory).
    """
    done = set(taken)
    left = [one for one in belief.signatures.offered if one.id not in done]
    listed = belief.heaviest(MOST_FORESEEN, FORESEEN)
    whole = sum(weight for _, weight in listed)
    heaviest = [(case, weight / whole) for case, weight in listed]
    found = [Prospect(one, information(belief, heaviest, one), minutes(one, standing)) for one in left]
    return tuple(sorted(found, key=lambda one: -one.worth))


def next_reading(belief: Belief, taken: Iterable[str] = (), standing: str | None = None) -> Prospect | None:
    """Return the measurement that is most worth while; None where none says anything more."""
    found = [one for one in prospects(belief, taken, standing) if one.information >= LEAST_INFORMATION]
    return found[0] if found else None


def information(belief: Belief, heaviest: list[tuple[Case, float]], one: Measurement) -> float:
    """Mutual information between what is read and which set of faults is there.

    Parameters
    ----------
    belief
        What is believed now.
    heaviest
        Cases and their weights, adding up to 1.
    one
        The measurement.

    Returns
    -------
    float
        [bit]

    References
    ----------
    Entropy of the outcome less its mean entropy given the set of faults (Shannon, 1948; from memory).
    """
    known = belief.signatures
    joint: dict[tuple[int, ...], dict[Foreseen, float]] = {}
    for case, weight in heaviest:
        own = joint.setdefault(case[0], {})
        left = weight
        for outcome, chance in known.foreseen(case, one):
            own[outcome] = own.get(outcome, 0.0) + weight * chance
            left -= weight * chance
        own[_ELSE] = own.get(_ELSE, 0.0) + left
    whole: dict[Foreseen, float] = {}
    given = 0.0
    for own in joint.values():
        of_set = sum(own.values())
        for outcome, chance in own.items():
            whole[outcome] = whole.get(outcome, 0.0) + chance
            given -= chance * log2(chance / of_set) if chance > 0.0 else 0.0
    entropy = -sum(chance * log2(chance) for chance in whole.values() if chance > 0.0)
    return max(0.0, entropy - given)


_ELSE: Foreseen = ("anything else",)
