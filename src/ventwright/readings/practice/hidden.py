"""What a code hides: a unit unlike the one of the facts, and its faults, one behind another at the hardest."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache
from random import Random

from ventwright.physics.rooftop.operating import Fault
from ventwright.physics.rooftop.surroundings import Indoor
from ventwright.plan import Plan, make_plan
from ventwright.plan.software_fault import can_have, made
from ventwright.plan.software_reading import Value
from ventwright.plan.software_unit import software_unit
from ventwright.readings.practice.built import built_otherwise
from ventwright.readings.practice.code import PracticeCode
from ventwright.readings.practice.opening import dice_of, read_facts
from ventwright.readings.practice.unit_in_state import UnitAsItStands, state_of
from ventwright.tables.fault_prior import FaultRow, fault_prior
from ventwright.tables.measurement import Part, measurements
from ventwright.tables.practice import practice_table

TELLING = 3.0
"""Standard uncertainties of a reading beyond which a number shows that something is otherwise (our own assumption)."""


@dataclass(frozen=True, slots=True)
class HiddenFault:
    """One fault of a practice roof."""

    row: FaultRow
    acts: tuple[Fault, ...]
    behind: str = ""
    """Id of the fault that hides it; empty where none does."""


@dataclass(frozen=True, slots=True)
class HiddenUnit:
    """Everything that a code stands for."""

    code: PracticeCode
    plan: Plan
    sound: UnitAsItStands
    """Without its faults."""
    faults: tuple[HiddenFault, ...]
    complaint: str
    """Id of what somebody inside says; empty for a routine visit."""


@lru_cache(maxsize=64)
def hidden_unit(code: PracticeCode) -> HiddenUnit:
    """Return what a code hides: the same wherever and whenever it is asked."""
    facts = read_facts(code)
    plan = make_plan(facts)
    table = practice_table()
    of_facts = software_unit(facts, plan.basis, plan.kit, plan.settings)
    assert of_facts.weather is not None  # noqa: S101 - the facts of a practice roof give it
    weather = replace(of_facts.weather, relative_humidity=table.weathers[code.weather].humidity)
    dice = dice_of(code, "hidden")
    first = of_facts.variants[0]
    sound = UnitAsItStands(
        built_otherwise(dice.choice(of_facts.variants), dice),
        of_facts.settings, weather, Indoor(of_facts.indoor.dry_bulb, table.indoor_humidity), first.fan.fan_power,
    )  # fmt: skip
    faults = _faults(code, sound, dice)
    return HiddenUnit(code, plan, sound, faults, _complaint(faults, dice))


def _faults(code: PracticeCode, sound: UnitAsItStands, dice: Random) -> tuple[HiddenFault, ...]:
    table = practice_table()
    difficulty = table.difficulties[code.difficulty]
    prior, count = fault_prior(), dice.choice(difficulty.faults)
    able = [
        (row, share)
        for row, share in zip(prior.faults, prior.shares, strict=True)
        if can_have(row, sound.unit, sound.meant) and (not difficulty.among or row.id in difficulty.among)
    ]
    unfaulted, best = _records(sound), (-1.0, tuple[HiddenFault, ...]())
    for _ in range(table.tries):
        drawn = _drawn(able, count, sound, dice)
        alone = [_records(sound.with_faults(one.acts)) for one in drawn]
        if any(not _differing(unfaulted, each) for each in alone):
            continue  # of no consequence in this weather: nothing to be found by
        if not difficulty.behind:
            return drawn
        share = _hidden_share(sound, unfaulted, drawn, alone)
        if share > best[0]:
            best = (share, (drawn[0], replace(drawn[1], behind=drawn[0].row.id)))
        if share >= table.least_share:
            break
    return best[1]


def _drawn(
    able: Sequence[tuple[FaultRow, float]], count: int, sound: UnitAsItStands, dice: Random
) -> tuple[HiddenFault, ...]:
    """Draw faults that can be there together, as often as such units have them."""
    while True:
        rows = dice.choices([row for row, _ in able], [share for _, share in able], k=count)
        if len({row.excludes or row.id for row in rows}) == count:
            break
    return tuple(
        HiddenFault(row, made(row, (dice.random(), dice.random()), sound.unit, sound.meant)) for row in rows
    )


_Records = dict[tuple[str, str], tuple[Part, Value]]
"""What there is to read while the unit runs, by state and by what is read."""


def _records(stands: UnitAsItStands) -> _Records:
    found: _Records = {}
    known: dict[str, dict[str, Value]] = {}
    for one in measurements().offered:
        if one.state is None or (one.state.cooling > stands.meant.compressors):
            continue
        if one.state.id not in known:
            known[one.state.id] = stands.record(state_of(one.state))
        record = known[one.state.id]
        found |= {
            (one.state.id, part.reads): (part, record[part.reads])
            for part in one.parts
            if part.reads in record
        }
    return found


def _differing(one: _Records, other: _Records) -> set[tuple[str, str]]:
    """Name what shows that two units are not the same."""
    return {key for key, (part, value) in one.items() if _tells(part, value, other[key][1])}


def _tells(part: Part, one: Value, other: Value) -> bool:
    if isinstance(one, str) or isinstance(other, str):
        return one != other
    return abs(one - other) > TELLING * max(part.u or 0.0, part.probe_u / 10.0)


def _hidden_share(
    sound: UnitAsItStands, unfaulted: _Records, drawn: Sequence[HiddenFault], alone: Sequence[_Records]
) -> float:
    """Share of what the second fault would show alone that it does not show beside the first. [-]"""
    would_show = _differing(unfaulted, alone[1])
    both = _records(sound.with_faults((*drawn[0].acts, *drawn[1].acts)))
    shows = _differing(alone[0], both)
    return len(would_show - shows) / len(would_show)


def _complaint(faults: Sequence[HiddenFault], dice: Random) -> str:
    """Somebody complains of the first fault, or nobody does."""
    told = [one for fault in faults[:1] for one in fault.row.complaints]
    return dice.choice(told) if told and dice.random() < 2.0 * fault_prior().complaint_fitting else ""
