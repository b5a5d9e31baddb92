"""Why a fault can neither be found nor ruled out in a log, and what would settle it."""

from __future__ import annotations

from dataclasses import dataclass

from ventwright.quantity import FRACTION
from ventwright.tables.fault_rule import LoggedFault, Rule, RuleSet
from ventwright.tables.point import points
from ventwright.verdict.trend_findings.compared import Candidate
from ventwright.verdict.trend_findings.damper import DamperSeen
from ventwright.verdict.trend_findings.day_sums import DaySums
from ventwright.verdict.trend_findings.shape import COVERAGE, CannotTell, KnownUnit
from ventwright.verdict.trend_findings.weighing import Weighed
from ventwright.words import Amount, Words, words

BY_SHARE = "share_against_signal"
FROM_CARD = {
    "change_over": ("high_limit", "the high limit on the settings card"),
    "minimum_low": ("minimum_signal", "the minimum position on the settings card"),
    "minimum_high": ("minimum_signal", "the minimum position on the settings card"),
}
"""What a check needs of the job: the field of ``KnownUnit``, and its name."""
KINDS = {
    "fan": "the supply fan",
    "cooling": "cooling or compressors",
    "heating": "heating",
    "occupancy": "the occupied hours",
    "cooling_stage": "a compressor",
}
"""Kinds of points that a rule may need, as people say them."""


@dataclass(frozen=True, slots=True)
class Case:
    """What is known of one fault before it is said."""

    fault: LoggedFault
    rules: tuple[tuple[Rule, Weighed], ...]
    silent: tuple[Rule, ...]
    candidates: tuple[Candidate, ...]
    ruled_out: bool

    @property
    def shown(self) -> list[tuple[Rule, Weighed]]:
        """Rules that saw it at all."""
        return [one for one in self.rules if one[1].hours_shown > 0.0]

    @property
    def named(self) -> list[Candidate]:
        """Comparisons of shares that leave no doubt."""
        return [one for one in self.candidates if one.named]


def card_missing(rule: Rule, known: KnownUnit) -> str:
    """Name what a rule needs of the job and what is not known; empty where nothing is missing."""
    name, said = FROM_CARD.get(rule.check, ("", ""))
    held = getattr(known, name) if name else True
    return "" if held not in (None, {}) else said


def spoken_hours(hours: float) -> Words:
    """Say some hours."""
    return Words(f"{hours:.1f} h")


def doubted(case: Case, sensor: str, damper: DamperSeen, hours: float) -> CannotTell:
    """Say that a sensor is wrong that the fault would be seen by."""
    return CannotTell(
        case.fault.id,
        case.fault.words,
        words(f"no share of outdoor air can be believed: {sensor}"),
        words("a log with sound sensors"),
        damper.hours,
        hours,
    )


def hidden(case: Case, damper: DamperSeen, hours: float) -> CannotTell:
    """Say that what was found of the damper hides the fault, or is what the shares show."""
    return CannotTell(
        case.fault.id,
        case.fault.words,
        words("not to be told apart from what was found of the damper"),
        words("a log after the damper is repaired"),
        damper.hours,
        hours,
    )


def cannot_tell(
    case: Case, damper: DamperSeen, sums: DaySums, rules: RuleSet, known: KnownUnit
) -> CannotTell:
    """Say why a fault can neither be found nor ruled out, and what would settle it."""
    hours = max(
        [one.hours_judged for _, one in case.rules] + [damper.hours] * bool(case.candidates), default=0.0
    )
    return CannotTell(
        case.fault.id,
        case.fault.words,
        _reason(case, damper, sums, rules, known),
        words(case.fault.settle),
        hours,
        sums.logged / 3600.0,
    )


def _reason(case: Case, damper: DamperSeen, sums: DaySums, rules: RuleSet, known: KnownUnit) -> Words:
    if case.candidates:
        best = max(case.candidates, key=lambda one: one.effect / one.u)
        times = rules.figures.named.times_expanded
        return words(
            best.what
            + f"; {{effect}} from a sound damper, where {{asked}}, {_so_many_times(times)} the expanded uncertainty, would be beyond doubt",
            share=Amount(best.share, FRACTION),
            other=Amount(best.other, FRACTION),
            effect=Amount(max(0.0, best.effect), FRACTION),
            asked=Amount(times * COVERAGE * best.u, FRACTION),
        )
    if case.rules:
        rule, one = max(case.rules, key=lambda held: held[1].probability)
        if one.hours_shown:
            return words(
                f"{rule.equation}: seen for {{shown}} of {{judged}}, which is too little to be sure",
                shown=spoken_hours(one.hours_shown),
                judged=spoken_hours(one.hours_judged),
            )
        if one.hours_judged < rules.figures.named.least_hours:
            return words(f"hardly ever was there what it takes: {rule.when}")
        return words("judged for {judged} only, without a sign of it", judged=spoken_hours(one.hours_judged))
    by_share = any(rule.id == BY_SHARE for rule in rules.of_fault(case.fault.id))
    if case.silent and not by_share:
        rule = case.silent[0]
        missing = [_said(one) for one in sums.rules[rule.id].missing]
        lacking = missing or [card_missing(rule, known)]
        return words(f"not logged or not known: {', '.join(lacking)}")
    return _no_share(damper, sums, rules)


def _so_many_times(times: float) -> str:
    """Say by how much something is multiplied."""
    return "twice" if times == 2.0 else f"{times:g} times"


def _no_share(damper: DamperSeen, sums: DaySums, rules: RuleSet) -> Words:
    """Say why the shares say nothing of a fault."""
    missing = sums.rules[BY_SHARE].missing
    if missing:
        return words(f"not logged: {', '.join(map(_said, missing))}")
    if damper.hours < rules.figures.named.least_hours:
        return words("hardly ever were fan and damper steady with outdoor and return air far enough apart")
    return words(
        "the damper was not told both to close and to open widely, an hour in all, while its share could be read"
    )


def _said(need: str) -> str:
    """Name what a rule needs."""
    return " or ".join(
        KINDS.get(one) or (points()[one].name if one in points() else one) for one in need.split("|")
    )
