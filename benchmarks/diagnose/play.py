"""One visit: complaint and as-found readings, then measurements until the cause is found, by ours or by a fixed order."""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass, field

from benchmarks.diagnose.symptom_table import at_random, by_table
from benchmarks.diagnose.truth import WRONG, Truth, with_consequence

from ventwright.tables.measurement import Measurement
from ventwright.verdict.diagnose.belief import Belief, MeasurementTaken, first_belief
from ventwright.verdict.diagnose.next_reading import minutes, next_of, prospecting
from ventwright.verdict.diagnose.roof import Values
from ventwright.verdict.diagnose.signature import Signatures
from ventwright.verdict.diagnose.slices import drained

MOST = 5
"""Further measurements that are allowed."""
LONGEST = 12
"""Further measurements that are taken at the most, for the minutes to the cause."""
GIVEN_UP = 60.0
"""Minutes after which a cause counts as not found. [min]"""
NAMED, SURE = 0.5, 0.9
"""Probability from which a fault is held likelier than not, and from which it is repaired. [-]"""
COLD = 6.0
"""Below this the unit is found heating. [°C]"""


@dataclass(slots=True)
class Played:
    """What came of one visit."""

    faults: tuple[str, ...]
    scored: tuple[str, ...]
    """Of them, those with a consequence."""
    rank: int | None = None
    """Of the best placed true fault after the first measurements; 1 is first."""
    healthy: float = 0.0
    accused: bool = False
    cannot_tell: bool = False
    both: bool = False
    first_found: bool = False
    statements: list[tuple[float, bool]] = field(default_factory=list)
    """Each probability that was said of a fault, and whether the fault was there."""
    minutes: dict[str, float] = field(default_factory=dict)
    """To the first cause, by method. [min]"""
    unexplained: bool = False
    readings: int = 0
    evaluations: list[int] = field(default_factory=list)
    """Steady states that each answer took."""
    first: str = ""
    second: str = ""


def as_found(truth: Truth, offered: dict[str, Measurement]) -> list[Measurement]:
    """Name the five numbers as somebody finds them: three temperatures as a share, the signal, what runs."""
    heating = truth.situation.weather.dry_bulb < COLD
    names = ("share.heat_1", "run.heat_1") if heating else ("share.cool_1", "run.cool_1")
    return [offered[name] for name in names]


def play(truth: Truth, known: Signatures, alike: dict[str, set[str]]) -> Played:
    """Play one visit with every method; all see the same unit."""
    offered = {one.id: one for one in known.offered}
    scored = with_consequence(truth) if truth.rows else set()
    played = Played(truth.faults, tuple(name for name in truth.faults if name in scored))
    found = {one.id: truth.read(one) for one in as_found(truth, offered)}
    start = _ours(truth, known, offered, found, alike, played)
    if truth.rows:
        for name, order in (("table", by_table), ("random", at_random)):
            walk = _walk(truth, start, offered, found, order(truth, found, list(offered)))
            played.minutes[name] = walk.as_ours
            played.minutes[f"{name} at once"] = walk.at_once
    return played


@dataclass(slots=True)
class _Visit:
    """Where a visit stands."""

    belief: Belief
    taken: dict[str, Values]
    standing: str
    spent: float = 0.0
    found_at: float | None = None
    """When a true fault had been looked at itself, and was held likelier than not. [min]"""


def _ours(
    truth: Truth,
    known: Signatures,
    offered: dict[str, Measurement],
    found: dict[str, Values],
    alike: dict[str, set[str]],
    played: Played,
) -> Belief:
    """Play ours, and return what is believed after the as-found readings."""
    rows = known.hypotheses.rows
    before = known.roof.evaluations
    belief = first_belief(known, truth.complaint)
    for name, value in found.items():
        belief = belief.after(MeasurementTaken(offered[name], value))
    start = belief
    visit = _Visit(belief, dict(found), next(iter(found)).rpartition(".")[2])
    _state(played, visit.belief, truth, frozenset())
    at_five = visit.belief
    for number in range(1, LONGEST + 1):
        if not _one_more(visit, truth, frozenset()):
            break
        played.evaluations.append(known.roof.evaluations - before)
        before = known.roof.evaluations
        if number <= MOST:
            _state(played, visit.belief, truth, frozenset())
            played.readings, at_five = number, visit.belief
        top = visit.belief.ranked()[0]
        sure = visit.belief.of_faults()[top] >= SURE and _looked_at(visit, rows[top].proof, offered)
        if (
            (sure and number < MOST)
            or (visit.found_at is not None and number >= MOST)
            or visit.spent >= GIVEN_UP
        ):
            break
        if number == MOST and not truth.rows:
            break
    judged = at_five
    _rank(played, judged, alike)
    _judge(played, judged)
    if truth.rows:
        played.minutes["ours"] = GIVEN_UP if visit.found_at is None else min(GIVEN_UP, visit.found_at)
    top_id = rows[judged.ranked()[0]].id
    played.first = top_id
    right = next((one for one in truth.faults if top_id == one or top_id in alike.get(one, ())), None)
    played.first_found = right is not None
    if len(truth.rows) > 1 and right is not None:
        _second(played, truth, judged, offered, alike, right)
    return start


def _second(
    played: Played,
    truth: Truth,
    belief: Belief,
    offered: dict[str, Measurement],
    alike: dict[str, set[str]],
    right: str,
) -> None:
    """Go on after the first repair: the same readings may be taken again, since the unit is another one now."""
    gone = frozenset({right})
    (rest,) = (one for one in truth.faults if one != right)
    visit = _Visit(belief.repaired(belief.ranked()[0]), {}, "")
    for _ in range(MOST):
        if not _one_more(visit, truth, gone):
            break
        _state(played, visit.belief, truth, gone)
        top = visit.belief.ranked()[0]
        proof = visit.belief.signatures.hypotheses.rows[top].proof
        if visit.belief.of_faults()[top] >= SURE and _looked_at(visit, proof, offered):
            break
    top_id = visit.belief.signatures.hypotheses.rows[visit.belief.ranked()[0]].id
    played.second = top_id
    played.both = top_id == rest or top_id in alike.get(rest, ())


def _one_more(visit: _Visit, truth: Truth, repaired: frozenset[str]) -> bool:
    """Take one more measurement: of the fault that is named, else the one most worth while."""
    one = _to_take(visit)
    if one is None:
        return False
    visit.spent += minutes(one, visit.standing)
    visit.standing = one.state.id if one.state else visit.standing
    before = sum(reading.measurement is one for reading in visit.belief.readings)
    value = truth.read(one, repaired, before)
    visit.taken[one.id] = value
    visit.belief = visit.belief.after(MeasurementTaken(one, value))
    if visit.found_at is None and _shown(visit.belief, truth, visit.taken, repaired):
        visit.found_at = visit.spent
    return True


def _to_take(visit: _Visit) -> Measurement | None:
    belief = visit.belief
    left = drained(prospecting(belief, set(visit.taken) - belief.doubtful(), visit.standing))
    found = next_of(belief, left)
    return None if found is None else found.measurement


def _looked_at(visit: _Visit, proof: tuple[str, ...], offered: dict[str, Measurement]) -> bool:
    able = [name for name in proof if name in offered]
    return not able or any(name in visit.taken for name in able)


def _state(played: Played, belief: Belief, truth: Truth, gone: frozenset[str]) -> None:
    for row, chance in zip(belief.signatures.hypotheses.rows, belief.of_faults(), strict=True):
        played.statements.append((chance, row.id in truth.faults and row.id not in gone))


def _rank(played: Played, belief: Belief, alike: dict[str, set[str]]) -> None:
    ids = [belief.signatures.hypotheses.rows[place].id for place in belief.ranked()]
    right = {name for one in (played.scored or played.faults) for name in (one, *alike.get(one, ()))}
    played.rank = next((number for number, name in enumerate(ids, start=1) if name in right), None)


def _judge(played: Played, belief: Belief) -> None:
    played.healthy = belief.healthy
    played.accused = max(belief.of_faults()) > 0.5
    played.cannot_tell = not played.accused and belief.healthy <= 0.5
    played.unexplained = belief.unexplained


@dataclass(slots=True)
class _Walk:
    """How long a fixed order takes, by who reads what is measured. [min]"""

    at_once: float = GIVEN_UP
    """By somebody who knows a fault the moment it is looked at."""
    as_ours: float = GIVEN_UP
    """By somebody who believes it when our reckoning does."""


def _walk(
    truth: Truth, start: Belief, offered: dict[str, Measurement], found: dict[str, Values], order: list[str]
) -> _Walk:
    """Take measurements in a fixed order until one shows a fault that is there."""
    walk, spent, standing = _Walk(), 0.0, next(iter(found)).rpartition(".")[2]
    belief, unread, taken = start, [], set(found)
    for name in order:
        one = offered[name]
        spent += minutes(one, standing)
        standing = one.state.id if one.state else standing
        if spent >= GIVEN_UP:
            break
        value = truth.read(one)
        taken.add(name)
        unread.append(MeasurementTaken(one, value))
        if walk.at_once == GIVEN_UP and WRONG not in value and any(name in row.proof for row in truth.rows):
            walk.at_once = spent
        if any(taken.intersection(row.proof) for row in truth.rows):
            for reading in unread:
                belief = belief.after(reading)
            unread = []
            if _shown(belief, truth, taken, frozenset()):
                walk.as_ours = spent
                break
    return walk


def _shown(belief: Belief, truth: Truth, taken: Collection[str], repaired: frozenset[str]) -> bool:
    """Whether a fault that is there has been looked at itself, and is held likelier than not."""
    chances = belief.of_faults()
    for row in truth.rows:
        place = belief.signatures.hypotheses.place(row.id)
        looked_at = set(row.proof).intersection(taken)
        if row.id not in repaired and place is not None and chances[place] > NAMED and looked_at:
            return True
    return False
