"""From days in whole numbers to what is said of a unit: every fault is found, ruled out, or cannot be told and why."""

from __future__ import annotations

from collections.abc import Iterable

from ventwright.quantity import ENERGY, FRACTION
from ventwright.tables.fault_rule import LoggedFault, Rule, RuleSet
from ventwright.tables.measurement import measurements
from ventwright.verdict.trend_findings.change import CHANGED
from ventwright.verdict.trend_findings.compared import Candidate
from ventwright.verdict.trend_findings.damper import (
    EXCESS,
    LEAKING,
    REVERSED,
    SHORT,
    STUCK,
    DamperSeen,
    damper_seen,
)
from ventwright.verdict.trend_findings.day_sums import DaySums
from ventwright.verdict.trend_findings.log_steps import TEMPERATURE_STEP
from ventwright.verdict.trend_findings.observed import observed, spells
from ventwright.verdict.trend_findings.shape import (
    COVERAGE,
    CannotTell,
    Consequence,
    KnownUnit,
    NextMeasurement,
    RuleEvidence,
    TrendFinding,
    UnitFindings,
)
from ventwright.verdict.trend_findings.unsettled import (
    BY_SHARE,
    Case,
    cannot_tell,
    card_missing,
    doubted,
    hidden,
    spoken_hours,
)
from ventwright.verdict.trend_findings.weighing import Weighed, weighed
from ventwright.words import Amount, words

SENSORS = (
    "air_temperature_sensors_contradict",
    "substitute_resistor_left_on_outdoor_sensor",
    "mixed_air_temperature_sensor_dead",
)
"""Faults that leave no share of outdoor air to be believed."""
HIDDEN = (REVERSED, LEAKING, EXCESS, SHORT, CHANGED)
"""Faults that a damper which does not follow its signal hides."""
ENERGY_U = 0.3
"""Standard uncertainty of an energy over it, for the airflow and the share of the time (our own assumption). [-]"""


def judged(sums: DaySums, rules: RuleSet, known: KnownUnit) -> UnitFindings:
    """Say what a unit's log shows: every fault of the rules is found, ruled out, or cannot be told.

    Parameters
    ----------
    sums
        The log by day, from either engine.
    rules
        What it is held against.
    known
        What a job knows of the unit; nothing of it is needed.
    """
    of_supply = "mixed_temperature" not in _logged(sums, rules)
    damper = damper_seen(sums, rules, known, of_supply=of_supply)
    hours = sums.logged / 3600.0
    found: list[TrendFinding] = []
    open_questions: list[CannotTell] = []
    sound: list[str] = []
    cases = [_case(fault, sums, damper, rules, known) for fault in rules.faults]
    doubtful = [case.fault.words for case in cases if case.fault.id in SENSORS and _sure(case, rules)]
    named: set[str] = set()
    for case in cases:
        by_share = bool(case.candidates) and not case.shown
        if _sure(case, rules) and by_share and doubtful:
            open_questions.append(doubted(case, doubtful[0], damper, hours))
        elif _hides(named, case.fault.id):
            open_questions.append(hidden(case, damper, hours))
        elif _sure(case, rules):
            found.append(_finding(case, damper, rules, known, hours))
            named.add(case.fault.id)
        elif case.ruled_out and not case.shown:
            sound.append(case.fault.id)
        else:
            open_questions.append(cannot_tell(case, damper, sums, rules, known))
    found.sort(key=lambda one: (-one.probability, -one.hours_judged))
    return UnitFindings(
        unit=sums.unit,
        findings=tuple(found),
        cannot_tell=tuple(open_questions),
        sound=tuple(sound),
        observed=observed(sums, damper, rules.figures, known),
        states=spells(sums.runs),
        hours_logged=hours,
        rows=sums.rows,
        assumed=_assumed(rules, known),
    )


def _hides(named: set[str], fault: str) -> bool:
    """Whether what was found leaves nothing to be said of another fault: it explains the shares, or hides them."""
    return (STUCK in named and fault in HIDDEN) or (fault == CHANGED and bool(named.intersection(HIDDEN)))


def _logged(sums: DaySums, rules: RuleSet) -> set[str]:
    """Return the single points that some rule found."""
    missing = {need for seen in sums.rules.values() for need in seen.missing}
    return {need for rule in rules.rules for need in rule.needs if "|" not in need} - missing


def _case(fault: LoggedFault, sums: DaySums, damper: DamperSeen, rules: RuleSet, known: KnownUnit) -> Case:
    own = rules.of_fault(fault.id)
    silent = tuple(rule for rule in own if sums.rules[rule.id].missing or card_missing(rule, known))
    seen = tuple(
        (rule, weighed(sums.rules[rule.id].days, fault, rules.figures, whole_days=rule.check == "still"))
        for rule in own
        if rule not in silent and rule.id != BY_SHARE
    )
    candidates = tuple(one for one in damper.candidates if one.fault == fault.id)
    by_rules = [one.ruled_out for _, one in seen]
    return Case(
        fault,
        seen,
        silent,
        candidates,
        fault.id in damper.sound or (bool(by_rules) and all(by_rules) and not candidates),
    )


def _sure(case: Case, rules: RuleSet) -> bool:
    """Whether a fault is named: by a share beyond doubt, or by a rule that showed it long enough."""
    asked = rules.figures.named
    by_share = any(one.named and one.probability >= asked.probability for one in case.candidates)
    return by_share or any(
        one.probability >= asked.probability and one.hours_shown >= asked.least_hours for _, one in case.rules
    )


def _finding(case: Case, damper: DamperSeen, rules: RuleSet, known: KnownUnit, hours: float) -> TrendFinding:
    least = rules.figures.named.probability
    named = [one for one in case.named if one.probability >= least]
    shown = [one for one in case.shown if one[1].probability >= least]
    firsts = [one.first for one in named] + [one.first for _, one in shown]
    lasts = [one.last for one in named] + [one.last for _, one in shown]
    return TrendFinding(
        fault=case.fault.id,
        words=case.fault.words,
        probability=max([one.probability for one in named] + [one.probability for _, one in shown]),
        first=min(firsts),
        last=max(lasts),
        hours_judged=max([damper.hours] * bool(named) + [one.hours_judged for _, one in shown]),
        hours_logged=hours,
        consequence=_consequence(case, named, shown, rules, known),
        next_measurement=next_measurement(case.fault),
        evidence=(*_share_evidence(named, rules), *(_evidence(rule, one) for rule, one in shown)),
    )


def next_measurement(fault: LoggedFault) -> NextMeasurement:
    """Return what to do on the roof about a fault."""
    one = next(one for one in measurements().offered if one.id == fault.measure)
    return NextMeasurement(
        one.id,
        one.sentence,
        measurements().between + one.minutes + (one.state.settle if one.state else 0.0),
        f"a log cannot touch the unit: this shows whether it is so ({fault.words})",
        one.caution,
    )


def _share_evidence(named: list[Candidate], rules: RuleSet) -> Iterable[RuleEvidence]:
    rule = next(one for one in rules.rules if one.id == BY_SHARE)
    for one in named[:1]:
        yield RuleEvidence(
            rule.id,
            words(
                one.what
                + "; {effect} beyond a sound damper, with an expanded uncertainty of {u} (k = 2), over {hours}",
                share=Amount(one.share, FRACTION),
                other=Amount(one.other, FRACTION),
                effect=Amount(one.effect, FRACTION),
                u=Amount(COVERAGE * one.u, FRACTION),
                hours=spoken_hours(one.hours),
            ),
            one.hours,
            one.hours,
            one.days,
            rule.source,
        )


def _evidence(rule: Rule, one: Weighed) -> RuleEvidence:
    return RuleEvidence(
        rule.id,
        words(
            f"{rule.equation}: for {{shown}} of {{judged}} in which it could be judged",
            shown=spoken_hours(one.hours_shown),
            judged=spoken_hours(one.hours_judged),
        ),
        one.hours_judged,
        one.hours_shown,
        one.days,
        rule.source,
    )


def _consequence(
    case: Case, named: list[Candidate], shown: list[tuple[Rule, Weighed]], rules: RuleSet, known: KnownUnit
) -> Consequence:
    """Say what the fault did; in energy where a supply airflow is known."""
    share, kelvin_seconds = case.fault.share, 0.0
    if named:
        best = named[0]
        share = best.share - best.other if case.fault.id != STUCK else -best.effect
        kelvin_seconds = best.hours * 3600.0 * best.difference
    elif shown:
        kelvin_seconds = max(one.hours_shown * 3600.0 * one.difference * TEMPERATURE_STEP for _, one in shown)
    energy = None
    if known.supply_airflow and share and kelvin_seconds:
        heat = rules.figures.air_heat * known.supply_airflow * abs(share) * kelvin_seconds
        energy = Amount(heat, ENERGY, ENERGY_U * heat)
    text = case.fault.consequence
    if energy is not None:
        return Consequence(
            words(text + "; about {energy} of heating or cooling in the hours judged", energy=energy),
            Amount(share, FRACTION),
            energy,
        )
    return Consequence(words(text), Amount(share, FRACTION) if share else None)


def _within(name: str, u: float) -> str:
    """Say within what a sensor is taken to be right. [K]"""
    return f"{name} air within ± {COVERAGE * u:.1f} K ({COVERAGE * u * 1.8:.1f} °F)"


def _assumed(rules: RuleSet, known: KnownUnit) -> tuple[str, ...]:
    """Say what stands in for what was not known."""
    figures = rules.figures
    said = []
    usual = [
        one for one in ("outdoor", "return", "mixed") if f"{one}_temperature" not in known.sensor_accuracy
    ]
    if usual:
        each = (_within(one, getattr(figures.accuracy, f"{one}_temperature")) for one in usual)
        said.append(f"sensor accuracy: {', '.join(each)}, since nothing better is known of the sensors")
    if not known.as_left:
        said.append("damper: any sound one, since no share was recorded as it was left")
    if not known.minimum_signal:
        said.append(
            f"minimum position: up to {figures.on.usual_minimum * 100:.0f} %, unless the log tells it"
        )
    return tuple(said)
