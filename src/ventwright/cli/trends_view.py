"""Findings in logs for a person: what is wrong and since when, what to measure next, what cannot be told, as left or not."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import TYPE_CHECKING

from ventwright.cli import show
from ventwright.quantity import System
from ventwright.record.trend_words import day, hours_words
from ventwright.tables.caution import cautions
from ventwright.verdict.trend_compared import compared
from ventwright.verdict.trend_findings import CannotTell, KnownUnit, TrendFinding, UnitFindings
from ventwright.words import in_words

if TYPE_CHECKING:
    from ventwright.readings.trend import Understood
    from ventwright.verdict.trend_judged import Judged


def print_findings(
    understood: Understood, judged: Sequence[Judged], known: Mapping[str, KnownUnit], system: System
) -> None:
    """Print every unit, the findings first, and what was taken for granted."""
    for one in judged:
        _unit(one, known.get(one.unit), system)
    for refusal in understood.refused:
        show.line(f"left out: {refusal.sentence}")
    for remark in understood.remarks:
        show.line(remark)


def _unit(judged: Judged, known: KnownUnit | None, system: System) -> None:
    found, zone = judged.found, judged.zone
    show.heading(f"{found.unit}: {day(judged.first, zone)} to {day(judged.last, zone)}")
    left_out = sum(judged.counts.dropped.values())
    show.line(
        f"{judged.counts.rows:,} lines read, {left_out:,} left out (--look says why); {hours_words(found.hours_logged)} logged."
    )
    if not found.findings:
        show.line("No fault is shown." if found.sound else "Nothing could be judged.")
    for one in found.findings:
        _finding(one, zone, system)
    _sound_and_open(found, system)
    if known is not None:
        _as_left(found, known, system)
    for sentence in found.assumed:
        show.line(f"- {sentence}")


def _finding(one: TrendFinding, zone: str | None, system: System) -> None:
    show.heading(f"{one.words[:1].upper()}{one.words[1:]}: {in_words(one.probability)}")
    show.pairs(
        [
            ("Seen", f"{day(one.first, zone)} to {day(one.last, zone)}"),
            (
                "Judged",
                f"{hours_words(one.hours_judged)} of {hours_words(one.hours_logged)} logged",
            ),
            ("What it does", one.consequence.sentence.show(system)),
            ("Next", f"{one.next_measurement.sentence} ({one.next_measurement.minutes:.0f} min)"),
            ("Why that", one.next_measurement.why),
        ]
    )
    for text in cautions_of(one.next_measurement.caution):
        show.line(f"Caution: {text}")
    show.table(
        ("rule", "showed it", "judged", "on days", "seen"),
        [
            (
                each.rule,
                hours_words(each.hours_shown),
                hours_words(each.hours_judged),
                str(each.days),
                each.sentence.show(system),
            )
            for each in one.evidence
        ],
    )


def cautions_of(stage: str) -> tuple[str, ...]:
    """Return the cautions of a stage of the work."""
    return tuple(one.text for one in cautions() if one.stage == stage)


def _sound_and_open(found: UnitFindings, system: System) -> None:
    if found.sound:
        show.line(f"Judged and not found: {', '.join(one.replace('_', ' ') for one in found.sound)}.")
    if found.cannot_tell:
        show.heading("Cannot tell")
        show.table(("fault", "why", "what settles it"), [_open(one, system) for one in found.cannot_tell])


def _open(one: CannotTell, system: System) -> tuple[str, str, str]:
    return one.words, one.reason.show(system), one.settle_by.show(system)


def _as_left(found: UnitFindings, known: KnownUnit, system: System) -> None:
    checks = compared(known, found.observed)
    if checks:
        show.heading("As left, and as found in the data")
        show.table(
            ("what", "verdict", "why"),
            [(one.what.show(system), one.verdict.spoken, one.sentence.show(system)) for one in checks],
        )
