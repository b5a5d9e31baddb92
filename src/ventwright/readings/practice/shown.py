"""What the instruments show on the practice roof, measurement by measurement, setting by setting, sensor by sensor."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from ventwright.facts import Facts
from ventwright.physics.rooftop.calls import Calls
from ventwright.physics.rooftop.operating import sensed_at
from ventwright.plan import Plan
from ventwright.plan.software_reading import NO_SHARE_BELOW, Seen, Value
from ventwright.quantity import FRACTION, TEMPERATURE, System
from ventwright.readings import Readings, TemporaryChange
from ventwright.readings.practice.as_it_stands import INPUTS, RoofNow, as_it_stands
from ventwright.readings.practice.code import read_code
from ventwright.readings.practice.hidden import HiddenUnit, hidden_unit
from ventwright.readings.practice.instruments import InstrumentErrors
from ventwright.readings.practice.unit_in_state import InState, UnitAsItStands, state_of
from ventwright.tables.measurement import Measurement, Part, measurements
from ventwright.words import Amount

Shown = Amount | str
"""A number with what it measures, or a word."""

POINTS = 8
"""Of a traverse of the mixed air."""
BY_EYE = {"outdoor blades", "return blades", "hood"}
EYE_STEP = 0.05
"""To what an eye tells a share of an opening (our own assumption). [-]"""
BETWEEN_POINTS = 0.1
"""Scatter of mixed air from point to point beside its layers (our own assumption). [K]"""


@dataclass(frozen=True, slots=True)
class PracticeRoof:
    """A job on the practice roof, at the reading that is taken now."""

    hidden: HiddenUnit
    facts: Facts
    plan: Plan
    standing: RoofNow
    number: int
    """Of the reading that is taken now, from 1."""

    @property
    def unit(self) -> UnitAsItStands:
        """The unit as it stands now."""
        return self.standing.unit

    def errors(self) -> InstrumentErrors:
        """Return the errors of this reading."""
        return InstrumentErrors(self.hidden.code, self.number, self.facts.instruments)

    def full_speed_share(self, speed: str) -> float:
        """Return a fan speed as a share of the fastest. [-]"""
        flows = {one.name: one.supply_air for one in self.plan.basis.speeds}
        return flows[speed] / max(flows.values())


def roof_of(code: str, facts: Facts, plan: Plan, readings: Readings) -> PracticeRoof:
    """Put a job on its practice roof.

    Parameters
    ----------
    code
        That the job carries.
    facts, plan, readings
        Of the job.

    Raises
    ------
    Refused
        It is no code.
    """
    hidden = hidden_unit(read_code(code))
    return PracticeRoof(hidden, facts, plan, as_it_stands(hidden, readings), len(readings.entries) + 1)


def measured(roof: PracticeRoof, one: Measurement) -> Mapping[str, Shown]:
    """What every part of a measurement of the list shows, by what is read."""
    record = roof.unit.looks() if one.state is None else roof.unit.record(state_of(one.state))
    errors = roof.errors()
    return {
        part.reads: _with_error(roof, errors, part, record[part.reads])
        for part in one.parts
        if part.reads in record
    }


def _with_error(roof: PracticeRoof, errors: InstrumentErrors, part: Part, value: Value) -> Shown:
    dimension = measurements().entered[part.reads].dimension
    if isinstance(value, str) or dimension is None:
        return str(value)
    if part.probe_u:
        return Amount(_share(roof, errors, value, part.u or 0.0), dimension)
    read = errors.about(value, part.u or 0.0)
    if part.reads in BY_EYE:
        return Amount(min(1.0, max(0.0, EYE_STEP * round(read / EYE_STEP))), dimension)
    if part.reads == "damper signal":
        read = min(read, 1.0)
    return Amount(max(0.0, read) if dimension is FRACTION else read, dimension)


def _share(roof: PracticeRoof, errors: InstrumentErrors, share: float, layers_u: float) -> float:
    """Share of outdoor air as three probe readings give it, in air that is not quite mixed. [-]"""
    outdoor, returned = roof.unit.weather.dry_bulb, roof.unit.indoor.dry_bulb
    mixed = returned - share * (returned - outdoor)
    layered = layers_u * max(0.25, 4.0 * abs(share * (1.0 - share)))
    read = [errors.temperature(one) for one in (outdoor, returned, mixed)]
    difference = read[1] - read[0]
    if abs(difference) < NO_SHARE_BELOW:
        return errors.about(share, 0.3)
    return errors.about(min(1.2, max(-0.2, (read[1] - read[2]) / difference)), layered)


def sensor(roof: PracticeRoof, named: str, instrument: str = "") -> Mapping[str, Shown]:
    """What the controller shows of one of its sensors, and what a probe beside it shows."""
    seen = roof.unit.seen(InState(Calls(fan=True)))
    errors = roof.errors()
    place, field = INPUTS[named]
    shows = getattr(seen.whole.shown(sensed_at(seen.state)), field)
    beside = {
        "outdoor": seen.outdoor, "return": seen.state.returned.dry_bulb,
        "mixed": seen.state.mixed.dry_bulb, "supply": seen.state.supply.dry_bulb,
    }[place.value]  # fmt: skip
    probe = Amount(errors.temperature(beside, instrument), TEMPERATURE)
    return {"probe": probe} if shows is None else {"shown": Amount(float(shows), TEMPERATURE), "probe": probe}


def setting(roof: PracticeRoof, label: str) -> Shown:
    """What the controller shows of one of the kit's settings."""
    known = roof.hidden.plan.kit.setting(label)
    return Amount(roof.standing.settings[known.label.lower()], known.dimension)


def put_back(roof: PracticeRoof, change: TemporaryChange, readings: Readings) -> Mapping[str, Shown]:
    """What is seen at a change once it has been put back: nothing is entered by looking."""
    if change.label is not None:
        return {"value": change.was}
    kept = tuple(
        one for one in readings.entries if one.id != change.id and getattr(one, "change", "") != change.id
    )
    without = readings.model_copy(update={"entries": kept})
    after = PracticeRoof(roof.hidden, roof.facts, roof.plan, as_it_stands(roof.hidden, without), roof.number)
    return (
        sensor(after, change.sensor)
        if change.sensor is not None
        else {"read_back": f"as it was: {change.was}"}
    )


def eye(seen: Seen, system: System) -> list[str]:
    """What an eye and a meter see of a unit that runs, for a step that asks whether it is so."""
    state = seen.state
    said = [
        f"signal at the damper {Amount(seen.commands.damper_signal, FRACTION).show(system)}",
        f"outdoor blades about {Amount(round(state.outdoor_blades, 1), FRACTION).show(system)} open",
        "the fan runs" if state.fan_running else "the fan stands",
        _compressors(seen),
        "heat on" if state.heating_load > 0.0 else "heat off",
    ]
    if state.fan_running:
        said.append(f"supply air {Amount(state.supply.dry_bulb, TEMPERATURE).show(system)}")
    return said


def _compressors(seen: Seen) -> str:
    if seen.state.chattering:
        return "a contactor chatters"
    running = seen.state.cooling_stages
    return {0: "no compressor cools", 1: "one compressor cools"}.get(running, f"{running} compressors cool")


__all__ = ["PracticeRoof", "Shown", "eye", "measured", "put_back", "roof_of", "sensor", "setting"]
