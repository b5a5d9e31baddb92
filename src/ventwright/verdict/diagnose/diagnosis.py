"""What may be wrong with a unit, how likely, on what evidence; what to read next; and what nothing explains."""

from __future__ import annotations

from collections.abc import Generator
from dataclasses import dataclass
from math import log

from ventwright.facts import Facts
from ventwright.plan import Plan
from ventwright.plan.software_reading import Value
from ventwright.readings import Readings
from ventwright.tables.caution import cautions
from ventwright.tables.measurement import measurements
from ventwright.verdict.diagnose.apart import best_to_tell
from ventwright.verdict.diagnose.baseline import Baseline
from ventwright.verdict.diagnose.belief import Belief, MeasurementTaken
from ventwright.verdict.diagnose.from_job import believing, complaint_of
from ventwright.verdict.diagnose.likelihood import likelihood
from ventwright.verdict.diagnose.next_reading import Prospect, next_of, prospecting
from ventwright.verdict.diagnose.slices import drained, telling

SHOWN = 0.02
"""Probability from which a fault is listed: our own choice, as those below. [-]"""
LIKELY = 0.5
"""From which it is called likely. [-]"""
TOGETHER = 0.3
"""Share of the time that two faults come together below which one stands for the other. [-]"""
CLEAR = 0.9
"""From which no other fault is asked about in its place. [-]"""
SETS_LISTED = 8
"""Sets of faults that are listed at the most, the likeliest."""
ASKED_ABOUT, RIVALS = 3, 4
"""Likeliest faults of which it is said what else may be in their place, and those among which that is looked for."""
RIVALRIES = 2
"""Pairs of faults not told apart that are named at the most."""


@dataclass(frozen=True, slots=True)
class ReadingEvidence:
    """One reading for or against one fault. Numbers in SI, in what is read."""

    reading: str
    """Id of the entry, where it has one."""
    measurement: str
    part: str
    seen: Value
    expected_with: Value
    """What is most to be expected with the fault, given the other readings."""
    expected_without: Value
    log_likelihood_ratio: float
    """Natural logarithm: above 0 it speaks for the fault, below 0 against it. [-]"""


@dataclass(frozen=True, slots=True)
class Found:
    """One fault."""

    id: str
    words: str
    probability: float
    """That it is there, alone or with another. [-]"""
    evidence: tuple[ReadingEvidence, ...]
    proof: tuple[str, ...]
    """Measurements that show it by itself."""


@dataclass(frozen=True, slots=True)
class Together:
    """A set of faults and its probability; the empty one is a sound unit."""

    faults: tuple[str, ...]
    probability: float


@dataclass(frozen=True, slots=True)
class NextMeasurement:
    """What to read next."""

    id: str
    what: str
    expected_information_bits: float
    minutes: float
    caution: str
    put_back: str
    """Temporary change that it takes, to be entered and put back; empty where none."""


@dataclass(frozen=True, slots=True)
class NotTold:
    """Two faults that these readings do not tell apart."""

    faults: tuple[str, str]
    without: str | None
    """Measurement that would tell them apart; None where none of those offered does."""
    sentence: str


@dataclass(frozen=True, slots=True)
class Diagnosis:
    """Everything that is believed of a unit after the readings of a job."""

    faults: tuple[Found, ...]
    together: tuple[Together, ...]
    nothing_wrong: float
    """Probability. [-]"""
    next_measurement: NextMeasurement | None
    unexplained: bool
    lack_of_fit: float
    """How much less likely the readings are than such readings are on average. [-]"""
    not_fitting: tuple[str, ...]
    """Ids of readings that hardly fit anything that is thought of: worth taking again."""
    not_told: tuple[NotTold, ...]
    complaint: str | None
    readings: int
    evaluations: int
    """Steady states worked out for this unit in this air so far, those of earlier answers included."""
    sentence: str


@dataclass(frozen=True, slots=True)
class Progress:
    """How far an answer has come, in parts that take about as long as one another."""

    done: int
    total: int


OF_READINGS = 40
"""Parts that all readings together count for, against one for each measurement that is offered next: about what they take."""


def diagnose(facts: Facts, plan: Plan, readings: Readings, baseline: Baseline | None = None) -> Diagnosis:
    """Say what may be wrong with a unit, from whatever readings exist.

    Parameters
    ----------
    facts, plan, readings
        Of the job.
    baseline
        The unit as it was left earlier, where that is known.

    Returns
    -------
    Diagnosis
        Probabilities [-]; evidence in SI.

    Raises
    ------
    Refused
        Nobody gave today's air.
    """
    return drained(diagnosing(facts, plan, readings, baseline))


def diagnosing(
    facts: Facts, plan: Plan, readings: Readings, baseline: Baseline | None = None
) -> Generator[Progress, None, Diagnosis]:
    """Work out the same answer in slices, so that somebody can be told how far it is, or call it off.

    Parameters
    ----------
    facts, plan, readings
        Of the job.
    baseline
        The unit as it was left earlier, where that is known.

    Yields
    ------
    Progress
        After each slice of work.

    Returns
    -------
    Diagnosis
        As ``diagnose`` gives it.

    Raises
    ------
    Refused
        Nobody gave today's air.
    """
    # how many measurements are offered is known with the unit: until then as many as there are
    total = OF_READINGS + len(measurements().offered)
    belief = yield from telling(
        believing(facts, plan, readings, baseline),
        lambda share: Progress(int(share * OF_READINGS), total),
    )
    taken = belief.readings
    standing = next((one.measurement.state.id for one in reversed(taken) if one.measurement.state), None)
    found = yield from telling(
        prospecting(belief, {one.measurement.id for one in taken} - belief.doubtful(), standing),
        lambda count: Progress(OF_READINGS + count, total),
    )
    return _answer(belief, complaint_of(readings), next_of(belief, found))


def _answer(belief: Belief, complaint: str | None, found: Prospect | None) -> Diagnosis:
    known, taken = belief.signatures, belief.readings
    rows, chances = known.hypotheses.rows, belief.of_faults()
    listed = [fault for fault in belief.ranked() if chances[fault] >= SHOWN]
    without = [belief.without(reading) for reading in taken]
    doubtful = belief.doubtful()
    faults = tuple(
        Found(
            rows[fault].id,
            rows[fault].words,
            chances[fault],
            tuple(
                piece
                for reading, rest in zip(taken, without, strict=True)
                for piece in _evidence(rest, reading, fault)
            ),
            rows[fault].proof,
        )
        for fault in listed
    )
    sets = sorted(belief.of_sets().items(), key=lambda item: -item[1])
    return Diagnosis(
        faults,
        tuple(
            Together(tuple(rows[fault].id for fault in faults), chance)
            for faults, chance in sets[:SETS_LISTED]
            if chance >= SHOWN
        ),
        belief.healthy,
        None if found is None else _upcoming(found),
        belief.unexplained,
        belief.lack_of_fit,
        tuple(one.id or one.measurement.id for one in taken if one.measurement.id in doubtful),
        _not_told(belief, listed),
        complaint,
        len(taken),
        known.roof.evaluations,
        _sentence(belief, faults),
    )


def _upcoming(found: Prospect) -> NextMeasurement:
    one = found.measurement
    return NextMeasurement(
        one.id,
        one.sentence,
        found.information,
        found.minutes,
        next((caution.text for caution in cautions() if caution.stage == one.caution), ""),
        one.state.ledger if one.state else "",
    )


def _sentence(belief: Belief, faults: tuple[Found, ...]) -> str:
    if belief.unexplained:
        return "none of the faults that are thought of explains these readings: take the doubtful ones again"
    likely = [one.words for one in faults if one.probability >= LIKELY]
    if likely:
        return f"likely: {'; '.join(likely)}"
    if belief.healthy >= LIKELY:
        return "most likely nothing is wrong"
    return "cannot tell yet"


def _evidence(rest: Belief, reading: MeasurementTaken, fault: int) -> list[ReadingEvidence]:
    """Each part of a reading: its likelihood with the fault against that without it, all other readings believed."""
    found = []
    for place, (part, seen) in enumerate(zip(reading.measurement.parts, reading.values, strict=True)):
        if seen is None:
            continue
        sums = {True: [0.0, 0.0], False: [0.0, 0.0]}
        heaviest: dict[bool, tuple[float, Value]] = {}
        for case, weight in rest.weights.items():
            expected = rest.signatures.values(case, reading.measurement)[place]
            if expected is None:
                continue
            there = fault in case.faults
            sums[there][0] += weight * likelihood(part, expected, seen, rest.spread(reading, part, expected))
            sums[there][1] += weight
            if there not in heaviest or weight > heaviest[there][0]:
                heaviest[there] = (weight, expected)
        if len(heaviest) == len(sums):
            mean = {there: likely / whole for there, (likely, whole) in sums.items()}
            found.append(
                ReadingEvidence(
                    reading.id,
                    reading.measurement.id,
                    part.reads,
                    seen,
                    heaviest[True][1],
                    heaviest[False][1],
                    log(mean[True] / mean[False]),
                )
            )
    return found


def _not_told(belief: Belief, listed: list[int]) -> tuple[NotTold, ...]:
    """Which of the likeliest faults stand in each other's place, and what would tell them apart."""
    chances, rows = belief.of_faults(), belief.signatures.hypotheses.rows
    both = {faults: chance for faults, chance in belief.of_sets().items() if len(faults) > 1}
    rivals = [
        (one, other)
        for place, one in enumerate(listed[:ASKED_ABOUT])
        for other in listed[place + 1 : RIVALS]
        if chances[one] < CLEAR
        and both.get((min(one, other), max(one, other)), 0.0) < TOGETHER * chances[other]
    ]
    found = []
    taken = {reading.measurement.id for reading in belief.readings} - belief.doubtful()
    for one, other in rivals[:RIVALRIES]:
        best = best_to_tell(belief.signatures, one, other, taken)
        names = f"{rows[one].words} and {rows[other].words}"
        if best is None:
            sentence = f"cannot tell these two apart with what can be measured here today: {names}"
        else:
            sentence = f"cannot tell these two apart without {best[0].sentence}: {names}"
        found.append(NotTold((rows[one].id, rows[other].id), None if best is None else best[0].id, sentence))
    return tuple(found)
