"""The ways to run the unit that are compared: none, as found, as left, what the code allows, and with each fault."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from enum import StrEnum

from ventwright.facts import Facts
from ventwright.physics.year.way import SensorErrors, Switch, Way
from ventwright.physics.year.year_unit import YearUnit
from ventwright.plan import Allowed, Plan
from ventwright.readings import Readings, Repaired
from ventwright.tables.procedure import MaskingFault, fault_or_step
from ventwright.verdict.savings.inputs import Values, YearInputs
from ventwright.verdict.savings.year_faults import YearFault, year_faults
from ventwright.verdict.savings.year_settings import YearSettings, as_found, as_left, switch_of, way_of


class Kind(StrEnum):
    """Why a strategy is compared."""

    NONE = "no free cooling"
    AS_FOUND = "as found"
    AS_LEFT = "as left"
    ALLOWED = "allowed by the code"
    FAULT = "fault"


@dataclass(frozen=True, slots=True)
class Strategy:
    """One way to run the unit, with its faults, and what its limit is in words of the plan."""

    name: str
    kind: Kind
    settings: YearSettings
    way: Way
    faults: tuple[YearFault, ...] = ()
    limit: Allowed | None = None

    @property
    def same_hours(self) -> tuple[object, ...]:
        """Strategies that share it differ only in when free cooling is allowed, so one reckoning of hours serves them."""
        changed = tuple(id(one) for one in self.faults if one.unit is not None or one.errors is not None)
        return (id(self.settings), *changed)

    def unit(self, known: YearInputs, values: Values) -> YearUnit:
        """The unit as this strategy runs it."""
        unit = known.unit(values, self.settings)
        for one in self.faults:
            unit = unit if one.unit is None else one.unit(unit)
        return unit

    def errors(self, known: YearInputs, values: Values) -> SensorErrors:
        """What its sensors show amiss."""
        errors = known.errors(values)
        for one in self.faults:
            errors = errors if one.errors is None else one.errors(errors)
        return errors

    @property
    def run(self) -> Way:
        """The way, its faults counted in."""
        way = self.way
        for one in self.faults:
            way = way if one.way is None else one.way(way)
        return way


NO_FREE_COOLING, LEFT = "no economizer", "as left"


def strategies(facts: Facts, plan: Plan, readings: Readings, *, humid: bool = True) -> tuple[Strategy, ...]:
    """List what is compared, the year without free cooling first, the unit as it is left second.

    Parameters
    ----------
    facts, plan, readings
        Of the job.
    humid
        Whether the weather knows humidities: without them a control by enthalpy or dew point is left out.
    """
    left = as_left(plan, readings)
    way = way_of(plan, left)
    # a unit without a kit has no lockout but its own: what the nameplate allows
    none = Way(switch=None, lockout=plan.basis.lowest_cooling_ambient)
    sound = Strategy(LEFT, Kind.AS_LEFT, left, way)
    found = as_found(facts, plan, readings)
    return (
        Strategy(NO_FREE_COOLING, Kind.NONE, left, none),
        sound,
        *_as_found(plan, readings, found),
        *_allowed(plan, sound, humid=humid),
        *(replace(sound, name=one.words, kind=Kind.FAULT, faults=(one,)) for one in year_faults() if _applies(one, plan, sound)),
    )  # fmt: skip


def _as_found(plan: Plan, readings: Readings, found: YearSettings | None) -> Iterator[Strategy]:
    """The unit as it was met: its settings then, and the faults that were put right since."""
    faults = tuple(_repaired(readings))
    if found is None and not faults:
        return
    settings = found or as_left(plan, readings)
    yield Strategy("as found", Kind.AS_FOUND, settings, way_of(plan, settings), faults)


def _repaired(readings: Readings) -> Iterator[YearFault]:
    known = {one.id: one for one in reversed(year_faults())}
    for entry in readings.standing(Repaired):
        what = fault_or_step(entry.of)
        ids = (entry.of, *what.includes) if isinstance(what, MaskingFault) else (entry.of,)
        named = next((one for one in ids if one in known), None)
        if named is not None:
            yield known[named]


def _allowed(plan: Plan, sound: Strategy, *, humid: bool) -> Iterator[Strategy]:
    """Every control of the high limit that the edition allows here; one without a printed limit is no strategy."""
    for limit in plan.high_limit.alternatives:
        switch = switch_of(limit)
        by_humidity = "enthalpy" in limit.control or "dew point" in limit.control
        if not limit.allowed or switch == Switch() or (by_humidity and not humid):
            continue
        way = Way(switch=switch, integrated=True, lockout=sound.way.lockout)
        yield replace(sound, name=limit.control, kind=Kind.ALLOWED, way=way, limit=limit)


def _applies(fault: YearFault, plan: Plan, sound: Strategy) -> bool:
    """Whether this unit can have a fault."""
    if fault.id == "one_minimum_position_for_both_speeds":
        return len(plan.speeds) > 1
    if fault.id in {"high_limit_set_too_low", "high_limit_set_too_high"}:
        return sound.way.switch is not None and sound.way.switch.dry_bulb_limit is not None
    if fault.id == "compressor_and_free_cooling_exclude_each_other":
        return sound.way.integrated
    return not (fault.id == "compressor_lockout_too_high" and sound.way.lockout is None)
