"""The tag that stays at a unit that was left before it was finished: what is open, what goes back before power, who knows."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import datetime

from ventwright.errors import shortened
from ventwright.evidence import Verdict
from ventwright.plan import WiringState
from ventwright.plan.concerns import Weight
from ventwright.plan.requirement import Compliance
from ventwright.plan.wiring.before_power import AS_FOUND
from ventwright.readings import ChangeKind, DamperStands, LeftSafe, Tick
from ventwright.record.damper_stands import belied, damper_stands
from ventwright.record.letters import clean
from ventwright.record.pdf_page import Paper
from ventwright.record.subject import Subject
from ventwright.verdict import Line, LineState

LONGEST = 170
"""Letters of one line of the tag: a tag is read at arm's length."""

FEW = 2
"""Checks that a tag names; the rest are counted."""

AFTER_POWER = {ChangeKind.SETTING, ChangeKind.OVERRIDE}
"""What is put back with power on, since it is read back from the controller."""

LOCK_OUT = "Fan and damper move by themselves, and a spring drives the damper when power goes off: lock out before reaching in."


@dataclass(frozen=True, slots=True)
class Tag:
    """One page, final: units chosen, texts cut to length. ``before_power`` comes first and is kept longest."""

    title: str
    subtitle: str
    told: str
    damper: str
    before_power: tuple[str, ...]
    after_power: tuple[str, ...]
    caution: str
    footer: str
    still_open: tuple[str, ...] = ()
    """What keeps the job from being finished besides the lines that are put back."""
    finished: bool = False
    """Whether nothing is open at all."""
    language: str = "en"

    @property
    def steps(self) -> tuple[tuple[str, str], ...]:
        """Everything to put back, each with when."""
        return (
            *(("BEFORE POWER", one) for one in self.before_power),
            *(("With power on", one) for one in self.after_power),
        )


def build_tag(subject: Subject, entry: LeftSafe) -> Tag:
    """Build the tag of a unit as one entry says it was left."""
    lines = subject.verdicts.not_closed
    before = [line for line in lines if line.kind not in AFTER_POWER]
    after = [line for line in lines if line.kind in AFTER_POWER]
    opened = sum(line.state is LineState.OPEN for line in lines)
    unproved = len(lines) - opened
    if lines:
        counted = f"{opened} open, {unproved} put back but not proved"
    else:
        entered = subject.verdicts.ledger
        counted = "every temporary change proved back" if entered else "no temporary change entered"
    others = tuple(still_open(subject, entry))
    finished = not lines and not others
    invented = f"{subject.not_real.upper()} – " if subject.not_real else ""
    return Tag(
        title=f"{'FINISHED' if finished else 'NOT FINISHED'} – unit {shortened(subject.facts.unit.tag)[:40]}",
        subtitle=f"{invented}{_cut(subject.facts.site.name)} – left {entry.at:%Y-%m-%d %H:%M} by {_by(subject, entry)} – {counted}",
        told=f"{_cut(entry.told)}, {entry.at:%Y-%m-%d %H:%M}" if entry.told else "NOBODY YET",
        damper=_damper(subject, entry),
        before_power=(*(() if finished else _cooling(subject)), *(_step(subject, line) for line in before)),
        after_power=tuple(_step(subject, line) for line in after),
        caution=LOCK_OUT,
        footer=f"Job {_cut(subject.job_id)} – {subject.made_with} – {_comes_off(lines, others)}",
        still_open=others,
        finished=finished,
    )


def still_open(subject: Subject, entry: LeftSafe) -> Iterator[str]:
    """Say what is open besides the ledger: a damper that stands elsewhere, checks that fail or cannot be told, what is wrong."""
    away = belied(subject, entry)
    if entry.damper is not DamperStands.AT_VENTILATION or away:
        yield _cut(f"the damper does not stand at ventilation: {away or damper_stands(subject, entry)}")
    checks = [one for one in subject.verdicts.checks() if one.id != "nothing_left"]
    failing = [subject.say(one.what) for one in checks if one.verdict is Verdict.FAILS]
    untold = [subject.say(one.what) for one in checks if one.verdict is Verdict.CANNOT_TELL]
    if failing:
        yield _cut(f"FAILS: {_counted(failing)}")
    if untold:
        yield _cut(f"cannot be told yet: {_counted(untold)}")
    wrong = [one.what for one in subject.deficiencies if one.closed_on is None and one.severity != "remark"]
    if wrong:
        yield _cut(f"not put right: {_counted(wrong)}")
    left = subject.verdicts.nothing_left
    if not subject.verdicts.not_closed and left.verdict is not Verdict.PASSES:
        yield _cut(f"nothing left behind: {subject.say(left.sentence)}")
    yield from _beside_checks(subject)


def _beside_checks(subject: Subject) -> Iterator[str]:
    """Say what no check tells: what is not in order, power, a harness that is not whole, a code not met, settings that do not fit."""
    last = {tick.item.strip().lower(): tick for tick in subject.readings.standing(Tick)}
    amiss = [tick.item for tick in last.values() if tick.found == "not in order"]
    if amiss:
        yield _cut(f"not in order: {_counted(amiss)}")
    power, wiring = subject.plan.power, subject.plan.wiring
    if power is not None and power.verdict is not Verdict.PASSES:
        yield f"control power {'FAILS' if power.verdict is Verdict.FAILS else 'cannot be told yet'}"
    if wiring is not None and wiring.state is not WiringState.WHOLE:
        yield f"the kit's harness: {wiring.state.value}"
    unmet = [one.title for one in subject.plan.requirements if one.standing is Compliance.NOT_MET]
    if unmet:
        yield _cut(f"the code asks, and is not met: {_counted(unmet)}")
    against = [subject.say(one.sentence) for one in subject.plan.concerns if one.weight is Weight.CONFLICT]
    if against:
        yield _cut(f"does not fit: {_counted(against)}")


def _counted(named: list[str]) -> str:
    """Name a few and count the rest, which the record lists."""
    rest = len(named) - FEW
    return "; ".join(named[:FEW]) + (f"; and {rest} more, in the record" if rest > 0 else "")


def _comes_off(lines: tuple[Line, ...], others: tuple[str, ...]) -> str:
    if not lines and not others:
        return "nothing is open: this tag may come off"
    return f"this tag comes off when {'every line is proved' if lines else 'what is still open is settled'}"


def tag_text(tag: Tag) -> str:
    """Return the tag as plain text, every line of it."""
    steps = [f"  {number}. {when}: {step}" for number, (when, step) in enumerate(tag.steps, start=1)]
    return clean(
        "\n".join([
            tag.title, tag.subtitle, *(f"Still open: {one}" for one in tag.still_open), "", f"Told: {tag.told}", f"Damper meanwhile: {tag.damper}", "",
            "To put back:", *(steps or ["  nothing"]), "", tag.caution, tag.footer, "",
        ])
    )  # fmt: skip


def tag_files(
    subject: Subject, entry: LeftSafe, *, made: datetime, paper: Paper = "letter"
) -> dict[str, bytes]:
    """Write the tag.

    Returns
    -------
    dict
        File name to content: tag.pdf, one page with the job document inside, and tag.txt.

    Raises
    ------
    Refused
        ``made`` has no offset from UTC.
    """
    from ventwright.record.pdf_tag import tag_pdf

    tag = build_tag(subject, entry)
    carried: Mapping[str, bytes] = subject.own_files
    return {
        "tag.pdf": tag_pdf(
            tag,
            paper=paper,
            attachment=subject.document,
            own_files=carried,
            made=made,
            producer=subject.made_with,
        ),
        "tag.txt": tag_text(tag).encode(),
    }


def _by(subject: Subject, entry: LeftSafe) -> str:
    visit = next((one for one in subject.readings.visits if one.id == entry.visit), None)
    return _cut(entry.by or (visit.technician if visit is not None else "no name given"))


def _damper(subject: Subject, entry: LeftSafe) -> str:
    said = [one for one in (_cut(entry.why) if entry.why else "", belied(subject, entry)) if one]
    if not said and entry.damper is DamperStands.AT_VENTILATION:
        said = ["people breathe meanwhile"]
    return _cut(f"{damper_stands(subject, entry)}{': ' if said else ''}{'; '.join(said)}", 2 * LONGEST)


def _cooling(subject: Subject) -> Iterator[str]:
    """Say what brings mechanical cooling back: what joined call and compressor before the kit came in between."""
    wiring = subject.plan.wiring
    for one in (AS_FOUND,) if wiring is None else wiring.restore:
        said = f"mechanical cooling, where the kit is not in and proved: {subject.say(one)}"
        yield _cut(said, 2 * LONGEST)


def _step(subject: Subject, line: Line) -> str:
    """Say what a line of the ledger wants put back."""
    if line.state is LineState.OPEN:
        return _cut(f"{line.point}: now {line.changed_to}, put back {line.was}")
    settle = "" if line.would_prove is None else f"; to prove it: {subject.say(line.would_prove)}"
    return _cut(f"{line.point}: said to be back at {line.was}, not proved{settle}")


def _cut(text: str, longest: int = LONGEST) -> str:
    """Return a text as a tag can hold it."""
    line = shortened(text) if len(text) <= LONGEST else " ".join(text.split())
    return line if len(line) <= longest else f"{line[: longest - 1]}…"
