"""The acceptance sheet: each step of the published procedure, passed, failed, or not yet proved and by when."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from ventwright.evidence import Verdict
from ventwright.plan.concerns import BEYOND_CODE
from ventwright.plan.pick_list import calibration_holds
from ventwright.readings import MixedAir, Noted, Readings, SensorCheck, SupplyAir, Tick
from ventwright.readings.entries import SupplyMethod
from ventwright.record.content import Notice, Pairs, Section, Table, Tone
from ventwright.record.subject import Subject
from ventwright.tables.acceptance import AcceptanceStep, acceptance
from ventwright.tables.kit import Term
from ventwright.verdict.check import Check
from ventwright.verdict.checks import sensors_not_held


@dataclass(frozen=True, slots=True)
class StepOutcome:
    """How a step came out, and by what."""

    verdict: Verdict
    by: str


def acceptance_section(subject: Subject) -> Section:
    """Build the sheet."""
    procedure = acceptance()
    outcomes = [(step, outcome_of(step, subject)) for step in procedure.steps]
    visits = subject.readings.visits
    certificates = "; ".join(
        dict.fromkeys(f"{visit.technician}: {visit.certificate or 'no number given'}" for visit in visits)
    )
    return Section("Acceptance, step by step", (
        Notice(Tone.INFO, procedure.words),
        Pairs((("Certification", certificates or "no visit entered"), ("Instruments", _instruments(subject)))),
        Table(("Step", "Outcome", "Shown by", "Source"), tuple(
            (step.text, spoken(outcome, subject), outcome.by, f"{step.source} ({step.confirmed})") for step, outcome in outcomes
        ), (0.36, 0.2, 0.22, 0.22), "Steps in the order of the published procedure"),
    ), new_page=True)  # fmt: skip


def spoken(outcome: StepOutcome, subject: Subject) -> str:
    """Say an outcome as the sheet does: what is not proved gets a day by which to prove it."""
    if outcome.verdict is Verdict.CANNOT_TELL:
        by = subject.retest_by.isoformat() if subject.retest_by else "____________"
        return f"not yet proved, retest by {by}"
    return "pass" if outcome.verdict is Verdict.PASSES else "FAIL"


def _instruments(subject: Subject) -> str:
    listed = [
        f"{one.name or one.id} (serial {one.serial or 'not given'}, calibrated {one.calibrated or 'not given'}, ± {one.accuracy.show(subject.system)})"
        for one in subject.facts.instruments
    ]
    return "; ".join(listed) or "none entered"


def outcome_of(step: AcceptanceStep, subject: Subject) -> StepOutcome:
    """Decide one step by the check it names, or by what was ticked."""
    kind, _, name = step.decided_by.partition(":")
    match kind:
        case "instruments":
            return _calibrated(subject)
        case "setting":
            return (
                _set_as_table(subject)
                if name == Term.DRY_BULB_HIGH_LIMIT
                else _as_planned(subject, {Term(name)})
            )
        case "sensors":
            return _sensors(subject)
        case "outdoor_air":
            return _worst([speed.flow for speed in subject.verdicts.speeds if speed.flow], "nothing read")
        case "nothing_left":
            entered = [subject.verdicts.nothing_left] if subject.readings.entries else []
            return _worst(entered, "nothing was entered")
        case _:
            return _ticked(step, subject)


def _sensors(subject: Subject) -> StepOutcome:
    """Every sensor of the kit, not only those that somebody held a probe beside."""
    checks = subject.verdicts.sensors
    worst, missing = _worst(checks, "no sensor was checked"), sensors_not_held(subject.plan, checks)
    if worst.verdict is not Verdict.PASSES or not missing:
        return worst
    return StepOutcome(Verdict.CANNOT_TELL, f"not held against a probe: {', '.join(missing)}")


HIGH_LIMITS = {Term.DRY_BULB_HIGH_LIMIT, Term.ENTHALPY_HIGH_LIMIT, Term.RETURN_DIFFERENTIAL}


def _as_planned(subject: Subject, terms: set[Term]) -> StepOutcome:
    """Every setting of these meanings was left as planned."""
    wanted = {f"setting.{one.label}" for one in subject.plan.settings if one.means in terms}
    checks = [check for check in subject.verdicts.settings if check.id in wanted]
    return _worst(checks, "no such setting on this kit")


def _set_as_table(subject: Subject) -> StepOutcome:
    """The high limits, whatever the kit decides by, against the code's table and not against the plan alone."""
    beyond = [one for one in subject.plan.concerns if one.name in BEYOND_CODE]
    if beyond:
        return StepOutcome(Verdict.FAILS, "; ".join(subject.say(one.sentence) for one in beyond))
    if subject.plan.high_limit.allowed is None:
        return StepOutcome(Verdict.CANNOT_TELL, subject.say(subject.plan.high_limit.reason))
    return _as_planned(subject, HIGH_LIMITS)


def _worst(checks: Sequence[Check], otherwise: str) -> StepOutcome:
    """The sheet passes only what passes everywhere."""
    if not checks:
        return StepOutcome(Verdict.CANNOT_TELL, otherwise)
    for verdict in (Verdict.FAILS, Verdict.CANNOT_TELL):
        named = [check for check in checks if check.verdict is verdict]
        if named:
            return StepOutcome(verdict, _named(named))
    return StepOutcome(Verdict.PASSES, _named(checks))


def _named(checks: Sequence[Check]) -> str:
    """Say checks by what they are about: "sensor, mixed air"."""
    return "; ".join(check.id.replace(".", ", ").replace("_", " ") for check in checks)


def _ticked(step: AcceptanceStep, subject: Subject) -> StepOutcome:
    """A step that only eyes can decide: the latest tick that names it, where no functional test of the same says otherwise."""
    same = {f"step.{one}" for one in step.functional}
    tests = [check for check in subject.verdicts.steps if check.id in same]
    ticked, tested = _tick(step, subject), _worst(tests, "no test of the same")
    if tested.verdict is Verdict.FAILS:
        return tested
    not_told = bool(tests) and tested.verdict is Verdict.CANNOT_TELL
    return tested if not_told and ticked.verdict is Verdict.PASSES else ticked


def _tick(step: AcceptanceStep, subject: Subject) -> StepOutcome:
    """The latest tick that names a step, by its id or by its words."""
    found = [
        tick
        for tick in subject.readings.standing(Tick)
        if tick.item.strip().lower() in {step.id, step.text.lower()}
    ]
    if not found or found[-1].found == "not looked at":
        return StepOutcome(Verdict.CANNOT_TELL, f"nobody ticked {step.id}")
    seen = Verdict.PASSES if found[-1].found == "in order" else Verdict.FAILS
    return StepOutcome(seen, f"seen {found[-1].at:%Y-%m-%d}: {found[-1].found}")


PAPER = {SupplyMethod.BALANCING_REPORT, SupplyMethod.DESIGN_VALUE}
"""Ways of finding a supply airflow that take no instrument on the day."""


def _unnamed(readings: Readings) -> set[str]:
    """Kinds of reading that leave open with what they were taken."""
    supply = [
        one.what for one in readings.standing(SupplyAir)
        if one.instrument is None and one.method not in PAPER
    ]  # fmt: skip
    mixed = [
        one.what for one in readings.standing(MixedAir)
        if one.instrument is None and None in {one.outdoor_instrument, one.return_instrument, one.mixed_instrument}
    ]  # fmt: skip
    beside = [one.what for one in readings.standing(SensorCheck) if one.instrument is None]
    return {*supply, *mixed, *beside}


def _calibrated(subject: Subject) -> StepOutcome:
    """Every instrument that was used had been calibrated within a year on the day it was used."""
    by_id = {one.id: one for one in subject.facts.instruments}
    entries = subject.readings.standing(Noted)
    used = {(name, entry.at.date()) for entry in entries for name in entry.instruments_used().values()}
    if not used:
        return StepOutcome(Verdict.CANNOT_TELL, "no reading names an instrument")
    old = sorted({name for name, day in used if day - (by_id[name].calibrated or day) > calibration_holds()})
    if old:
        return StepOutcome(Verdict.FAILS, f"older than a year: {', '.join(old)}")
    unnamed = sorted(_unnamed(subject.readings))
    if unnamed:
        return StepOutcome(Verdict.CANNOT_TELL, f"no instrument named: {', '.join(unnamed)}")
    unknown = sorted({name for name, _ in used if by_id[name].calibrated is None})
    if unknown:
        return StepOutcome(Verdict.CANNOT_TELL, f"no calibration date: {', '.join(unknown)}")
    later = sorted({name for name, day in used if (by_id[name].calibrated or day) > day})
    if later:
        return StepOutcome(Verdict.CANNOT_TELL, f"calibrated only after it was used: {', '.join(later)}")
    return StepOutcome(Verdict.PASSES, ", ".join(sorted({name for name, _ in used})))
