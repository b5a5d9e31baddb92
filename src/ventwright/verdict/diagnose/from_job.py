"""What a job already knows, as readings of the list: findings, mixed air, sensor checks, settings read back.

Every repair makes another unit of it. What was read before has said what else may be wrong, and that is carried over.
"""

from __future__ import annotations

from collections.abc import Generator, Iterable, Iterator
from dataclasses import replace
from datetime import datetime
from math import hypot

from ventwright.errors import Refusal, Refused
from ventwright.facts import Facts
from ventwright.physics import mixing
from ventwright.physics.rooftop.surroundings import Indoor, Weather
from ventwright.plan import Plan, probe_reading
from ventwright.plan.software_reading import NO_SHARE_BELOW, Value
from ventwright.plan.software_unit import software_unit
from ventwright.quantity import VOLTAGE
from ventwright.quantity.dimension import SIGNAL_CURRENT
from ventwright.readings import (
    FaultFinding,
    MixedAir,
    Noted,
    Readings,
    Repaired,
    SensorCheck,
    SettingRead,
    StepSeen,
)
from ventwright.readings.fault_finding import measurement_named
from ventwright.readings.step_seen import Seen
from ventwright.tables.kit import Term
from ventwright.tables.measurement import measurements
from ventwright.tables.procedure import MaskingFault, fault_or_step
from ventwright.tables.unit_prior import unit_prior
from ventwright.verdict.checks import shown_instead
from ventwright.verdict.diagnose.baseline import NEAR, Baseline, as_meant, sound_readings
from ventwright.verdict.diagnose.belief import Belief, MeasurementTaken, first_belief
from ventwright.verdict.diagnose.likelihood import NONE_DIFFERS, SETTINGS
from ventwright.verdict.diagnose.roof import Situation, Values
from ventwright.verdict.diagnose.signature import Signatures, signatures
from ventwright.verdict.diagnose.slices import drained, saying
from ventwright.verdict.ledger import ledger

SHUT, OPEN = 0.05, 0.95
"""Damper signals up to and from which mixed air counts as read with the damper shut, and open: our own assumption. [-]"""
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


def believed(facts: Facts, plan: Plan, readings: Readings, baseline: Baseline | None = None) -> Belief:
    """Work out what is believed of a unit after everything that a job holds, repair by repair.

    Parameters
    ----------
    facts, plan, readings
        Of the job.
    baseline
        The unit as it was left earlier, where that is known.

    Returns
    -------
    Belief
        Its readings are those since the last repair.

    Raises
    ------
    Refused
        Nobody gave today's air.
    """
    return drained(believing(facts, plan, readings, baseline))


def believing(
    facts: Facts, plan: Plan, readings: Readings, baseline: Baseline | None = None
) -> Generator[float, None, Belief]:
    """Work out the same from the same in slices, so that somebody can be told how far it is, or call it off.

    Yields
    ------
    float
        Share of the readings that is done. [-]

    Raises
    ------
    Refused
        Nobody gave today's air.
    """
    readings = _of_the_sensors(facts, plan, readings)
    meant = replace(plan, settings=as_meant(plan, readings, baseline))
    repairs = readings.standing(Repaired)

    def read_on(
        so_far: Readings, belief: Belief | None, since: datetime | None, number: int
    ) -> Generator[float, None, Belief]:
        known = signatures(situation_of(facts, meant, so_far))
        left = () if baseline is None else sound_readings(baseline, meant, known.situation)
        period = _since(so_far, since, anew=belief is None)
        if belief is None:
            belief = first_belief(known, complaint_of(readings), left)
        elif known.situation != belief.signatures.situation:
            belief = replace(belief, signatures=known, as_left=left)
        taken = readings_of(facts, meant, period, known.situation)
        for place, reading in enumerate(taken):
            share = (number + place / len(taken)) / (len(repairs) + 1)
            belief = yield from saying(belief.taking(reading), share)
        return belief

    belief: Belief | None = None
    since: datetime | None = None
    for number, repair in enumerate(repairs):
        until = yield from read_on(_up_to(readings, repair.at), belief, since, number)
        # a repair named by a step, or by a word for several faults, does not say which fault is gone: begin anew
        place = _place(until.signatures, repair)
        belief, since = None if place is None else until.repaired(place), repair.at
    return (yield from read_on(readings, belief, since, len(repairs)))


def _of_the_sensors(facts: Facts, plan: Plan, readings: Readings) -> Readings:
    """Leave out the sensor checks at which something else stood in for the sensor: their bias is not the sensor's."""
    instead = shown_instead(readings, ledger(facts, plan, readings))
    kept = tuple(one for one in readings.standing(Noted) if one.id not in instead)
    return readings.model_copy(update={"entries": kept}) if instead else readings


def _place(known: Signatures, repair: Repaired) -> int | None:
    """Place of the fault that was repaired, where the repair names just one that this unit can have."""
    what = fault_or_step(repair.of)
    included = what.includes if isinstance(what, MaskingFault) else ()
    named = repair.of if repair.of in included else included[0] if len(included) == 1 else ""
    return known.hypotheses.place(named)


def _up_to(readings: Readings, until: datetime) -> Readings:
    """Return what stands of the entries up to a moment."""
    visits = tuple(one for one in readings.visits if one.started <= until)
    kept = tuple(one for one in readings.standing(Noted) if one.at <= until)
    return readings.model_copy(update={"visits": visits, "entries": kept})


def _since(readings: Readings, moment: datetime | None, *, anew: bool) -> Readings:
    """Return what was entered after a moment; settings stand as they were last read, and count again once one was read."""
    if moment is None:
        return readings
    later = [one for one in readings.standing(Noted) if one.at > moment]
    again = anew or any(isinstance(one, SettingRead) for one in later)
    settings = [one for one in readings.standing(SettingRead) if one.at <= moment] if again else []
    return readings.model_copy(update={"entries": (*settings, *later)})


def situation_of(facts: Facts, plan: Plan, readings: Readings) -> Situation:
    """Put the unit of a job on its roof, in the air that was last read, that the visit found, or that the facts give.

    Raises
    ------
    Refused
        Nobody gave today's air.
    """
    unit = software_unit(facts, plan.basis, plan.kit, plan.settings)
    weather, indoor = unit.weather, unit.indoor
    mixed = readings.standing(MixedAir)[-1:]
    visits = [one for one in readings.visits if one.outdoor_air is not None][-1:]
    outdoor = [one.outdoor_air.value for one in mixed]
    outdoor += [
        one.outdoor_air.value
        for one in visits
        if one.outdoor_air is not None and not any(entry.at >= one.started for entry in mixed)
    ]
    if outdoor:
        humidity = unit_prior().outdoor_humidity if weather is None else weather.relative_humidity
        weather = Weather(outdoor[-1], humidity, plan.basis.pressure)
    if mixed:
        indoor = Indoor(mixed[-1].return_air.value, indoor.relative_humidity)
    if weather is None:
        accepted = "outdoor_air and return_air of today, the visit's outdoor_air, or a reading of mixed air"
        raise Refused(Refusal("is missing", accepted, "facts.weather"))
    return Situation(unit.variants, unit.settings, weather, indoor)


def complaint_of(readings: Readings) -> str | None:
    """Return the latest complaint: empty for a routine visit, None where nobody asked."""
    said = [entry.complaint for entry in readings.standing(FaultFinding) if entry.complaint is not None]
    return said[-1] if said else None


def readings_of(
    facts: Facts, plan: Plan, readings: Readings, situation: Situation
) -> tuple[MeasurementTaken, ...]:
    """Return everything of a job that says something about a fault, in the order of the entries' kinds."""
    return (
        *_findings(plan, readings.standing(FaultFinding)),
        *_steps(plan, readings.standing(StepSeen)),
        *_shares(facts, plan, readings.standing(MixedAir), situation),
        *_sensors(readings.sensors_checked()),
        *_settings(plan, readings, situation),
    )


def _findings(plan: Plan, entries: Iterable[FaultFinding]) -> Iterator[MeasurementTaken]:
    sent = plan.kit.damper_signal
    for entry in entries:
        if entry.complaint is None:
            yield MeasurementTaken(measurement_named(entry.measurement), entry.values(sent), entry.id)


def _steps(plan: Plan, entries: Iterable[StepSeen]) -> Iterator[MeasurementTaken]:
    """Steps of the functional tests that are measurements of the list."""
    for entry in entries:
        row = measurements().steps.get(entry.step)
        if row is None:
            continue
        word = {Seen.YES: row.yes, Seen.NO: row.no}.get(entry.seen, "") if entry.seen else ""
        value: Value | None = word or _read(plan, entry)
        if value is not None and value != "":
            one = measurement_named((row.simulated if entry.simulated else "") or row.measurement)
            yield MeasurementTaken(
                one, tuple(value if part.reads == row.reads else None for part in one.parts), entry.id
            )


def _read(plan: Plan, entry: StepSeen) -> float | None:
    """What was read at a step, a damper's voltage or current as the share of its stroke; None where the kit has no such signal."""
    if entry.read_value is None or entry.read_value.dimension not in {VOLTAGE, SIGNAL_CURRENT}:
        return None if entry.read_value is None else entry.read_value.value
    signal = plan.kit.damper_signal
    return (
        plan.kit.share_of_stroke(entry.read_value) if signal.dimension == entry.read_value.dimension else None
    )


def _shares(
    facts: Facts, plan: Plan, entries: Iterable[MixedAir], situation: Situation
) -> Iterator[MeasurementTaken]:
    """Mixed air read with the damper held shut or open, or at the planned minimum with nothing else called."""
    instruments = {one.id: one for one in facts.instruments}
    for entry in entries:
        difference = entry.return_air.value - entry.outdoor_air.value
        state = _state(plan, situation, entry)
        if state is None or abs(difference) < NO_SHARE_BELOW:
            continue
        share = (entry.return_air.value - entry.before_fan) / difference
        probe = instruments.get(entry.mixed_instrument or entry.instrument or "")
        u = None if probe is None else _probe_u(probe_reading(entry.mean, probe))
        yield MeasurementTaken(measurement_named(f"share.{state}"), (share,), entry.id, u)


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


def _sensors(entries: Iterable[SensorCheck]) -> Iterator[MeasurementTaken]:
    one = measurement_named("sensors")
    for entry in entries:
        values: Values = tuple(
            entry.bias if part.reads == FEELS[entry.sensor] else None for part in one.parts
        )
        yield MeasurementTaken(one, values, entry.id)


def _settings(plan: Plan, readings: Readings, situation: Situation) -> Iterator[MeasurementTaken]:
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
    word = measurements().entered[SETTINGS].read(" + ".join(differing) or NONE_DIFFERS)
    yield MeasurementTaken(measurement_named(SETTINGS), (word,), ids)


__all__ = ["believed", "complaint_of", "readings_of", "situation_of"]
