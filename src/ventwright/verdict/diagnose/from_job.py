"""What a job already knows, as readings of the list: findings, mixed air, sensor checks, settings read back."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from datetime import datetime
from math import hypot
from typing import TypeVar

from ventwright.errors import Refusal, Refused
from ventwright.facts import Facts
from ventwright.physics import mixing
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.plan import Plan, probe_reading
from ventwright.plan.software_unit import software_unit
from ventwright.readings import FaultFinding, MixedAir, Noted, Readings, Repaired, SensorCheck, StepSeen
from ventwright.readings.fault_finding import measurement_named
from ventwright.readings.step_seen import Seen
from ventwright.tables.kit import Term
from ventwright.tables.measurement import measurements
from ventwright.verdict.diagnose.belief import Reading
from ventwright.verdict.diagnose.reader import LEAST_DIFFERENCE, Value
from ventwright.verdict.diagnose.roof import Situation, Values

SHUT, OPEN = 0.05, 0.95
"""Damper signals up to and from which mixed air counts as read with the damper shut, and open. [-]"""
NEAR = 0.03
"""Distance from the planned minimum within which it counts as read at it. [-]"""
FEELS = {"outdoor air": "outdoor sensor", "return air": "return sensor", "mixed air": "mixed sensor", "supply air": "supply sensor"}  # fmt: skip
TERMS = {
    Term.DRY_BULB_HIGH_LIMIT: "high limit",
    Term.MINIMUM_DAMPER_SIGNAL: "minimum position",
    Term.MIXED_AIR_SET_POINT: "set point",
    Term.COMPRESSOR_LOCKOUT: "lockout",
    Term.REVERSING_VALVE: "valve sense",
}
"""Settings of the kit that the list of measurements holds against the plan, in its order."""
AS_PLANNED = 1e-3
"""Difference that is only rounding. [unit of the setting]"""


def situation_of(facts: Facts, plan: Plan, readings: Readings) -> Situation:
    """Put the unit of a job on its roof, in the air that was last read, or that the facts give.

    Raises
    ------
    Refused
        Nobody gave today's air.
    """
    unit = software_unit(facts, plan.basis, plan.kit, plan.settings)
    weather, indoor = unit.weather, unit.indoor
    mixed = readings.standing(MixedAir)
    if mixed:
        last = mixed[-1]
        humidity = 0.5 if weather is None else weather.relative_humidity
        weather = Weather(last.outdoor_air.value, humidity, plan.basis.pressure)
        indoor = Indoor(last.return_air.value, indoor.relative_humidity)
    if weather is None:
        accepted = "outdoor_air and return_air of today, or a reading of mixed air"
        raise Refused(Refusal("is missing", accepted, "facts.weather"))
    return Situation(unit.variants, unit.settings, weather, indoor)


def complaint_of(readings: Readings) -> str | None:
    """Return the latest complaint: empty for a routine visit, None where nobody asked."""
    said = [entry.complaint for entry in readings.standing(FaultFinding) if entry.complaint is not None]
    return said[-1] if said else None


def readings_of(facts: Facts, plan: Plan, readings: Readings, situation: Situation) -> tuple[Reading, ...]:
    """Return everything of a job that says something about a fault, in the order of the entries' kinds.

    What was read before the last repair tells of another unit, and is left out; settings stand as they were last read.
    """
    repairs = readings.standing(Repaired)
    since = repairs[-1].at if repairs else None
    return (
        *_findings(_since(readings.standing(FaultFinding), since)),
        *_steps(_since(readings.standing(StepSeen), since)),
        *_shares(facts, plan, _since(readings.standing(MixedAir), since), situation),
        *_sensors(_since(readings.sensors_checked(), since)),
        *_settings(plan, readings, situation),
    )


Kind = TypeVar("Kind", bound=Noted)


def _since(entries: Iterable[Kind], moment: datetime | None) -> list[Kind]:
    return [entry for entry in entries if moment is None or entry.at > moment]


def _findings(entries: Iterable[FaultFinding]) -> Iterator[Reading]:
    for entry in entries:
        if entry.complaint is None:
            yield Reading(measurement_named(entry.measurement), entry.values(), entry.id)


def _steps(entries: Iterable[StepSeen]) -> Iterator[Reading]:
    """Steps of the functional tests that are measurements of the list."""
    for entry in entries:
        row = measurements().steps.get(entry.step)
        if row is None:
            continue
        word = {Seen.YES: row.yes, Seen.NO: row.no}.get(entry.seen, "") if entry.seen else ""
        value: Value | None = word or (None if entry.read_value is None else entry.read_value.value)
        if value is not None and value != "":
            one = measurement_named((row.simulated if entry.simulated else "") or row.measurement)
            yield Reading(
                one, tuple(value if part.reads == row.reads else None for part in one.parts), entry.id
            )


def _shares(facts: Facts, plan: Plan, entries: Iterable[MixedAir], situation: Situation) -> Iterator[Reading]:
    """Mixed air read with the damper held shut or open, or at the planned minimum with nothing else called."""
    instruments = {one.id: one for one in facts.instruments}
    for entry in entries:
        difference = entry.return_air.value - entry.outdoor_air.value
        state = _state(plan, situation, entry)
        if state is None or abs(difference) < LEAST_DIFFERENCE:
            continue
        share = (entry.return_air.value - entry.before_fan) / difference
        probe = instruments.get(entry.mixed_instrument or entry.instrument or "")
        u = None if probe is None else _probe_u(probe_reading(entry.mean, probe))
        yield Reading(measurement_named(f"share.{state}"), (share,), entry.id, u)


def _probe_u(one: mixing.Reading) -> float:
    """Standard uncertainty of one temperature. [K]"""
    return hypot(one.repeatability_u, one.offset_u)


def _state(plan: Plan, situation: Situation, entry: MixedAir) -> str | None:
    signal = plan.kit.share_of_stroke(entry.damper_signal)
    fastest = entry.speed == plan.speeds[0].name
    if fastest and signal <= SHUT:
        return "forced_shut"
    if fastest and signal >= OPEN:
        return "forced_open"
    ventilating = situation.settings.fan.ventilating
    minimum = situation.settings.minimum
    slow = ventilating < minimum.fastest
    planned = minimum.at_slowest if slow else minimum.at_fastest
    named = plan.speeds[-1].name if slow else plan.speeds[0].name
    return "fan" if entry.speed == named and abs(signal - planned) <= NEAR else None


def _sensors(entries: Iterable[SensorCheck]) -> Iterator[Reading]:
    one = measurement_named("sensors")
    for entry in entries:
        values: Values = tuple(
            entry.bias if part.reads == FEELS[entry.sensor] else None for part in one.parts
        )
        yield Reading(one, values, entry.id)


def _settings(plan: Plan, readings: Readings, situation: Situation) -> Iterator[Reading]:
    """Settings read back against the plan, once one of them differs or all of them were read."""
    left = readings.settings_left()
    planned = [one for one in plan.settings if one.means in TERMS]
    differing: dict[str, None] = {}
    for one in planned:
        entry = left.get(one.label.lower())
        if entry is None:
            continue
        value = plan.kit.setting(one.label).read(entry.value).value
        if abs(value - one.si) > AS_PLANNED:
            side = "" if one.means is Term.REVERSING_VALVE else f" {'low' if value < one.si else 'high'}"
            slow = (
                " at low speed" if one.fan == "slowest" and situation.settings.minimum.slowest < 1.0 else ""
            )
            differing[f"{TERMS[one.means]}{slow}{side}"] = None
    all_read = all(one.label.lower() in left for one in planned)
    if not differing and not (planned and all_read):
        return
    ids = ", ".join(left[one.label.lower()].id for one in planned if one.label.lower() in left)
    word = " + ".join(differing) or "as planned"
    yield Reading(measurement_named("settings"), (word,), ids)


__all__ = ["complaint_of", "readings_of", "situation_of"]
