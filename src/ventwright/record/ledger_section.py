"""The ledger on paper: what was changed for tests, how its return is proved, and what forgetting the rest would cost."""

from __future__ import annotations

from collections.abc import Iterator

from ventwright.readings import LeftSafe, TemporaryChange, Tick
from ventwright.readings.entries import Withdrawn
from ventwright.record.content import Block, Notice, Paragraph, Section, Table, Tone
from ventwright.record.damper_stands import belied, damper_stands
from ventwright.record.subject import Subject
from ventwright.verdict import Line, LineState
from ventwright.verdict.forgotten import all_forgetting


def ledger_section(subject: Subject) -> Section:
    """Temporary changes with the proof that they went back, how the unit was left between visits, what was ticked off."""
    return Section(
        "Changed for tests, and looked at",
        (
            *unfinished(subject),
            *_lines(subject),
            *_taken_back(subject),
            *_forgetting(subject),
            *_left(subject),
            *_ticks(subject),
        ),
    )


def unfinished(subject: Subject) -> Iterator[Notice]:
    """Say first of all that a job with lines that are not proved closed is not finished."""
    lines = subject.verdicts.not_closed
    if lines:
        named = "; ".join(f"{line.point} ({line.state.value})" for line in lines)
        yield Notice(Tone.FAILS, f"NOT FINISHED: open lines: {named}.")


def signed_too_early(subject: Subject) -> Iterator[Notice]:
    """Say that a signature under a job with open lines stands for no finished job."""
    count = len(subject.verdicts.not_closed)
    if count:
        lines = "one line of the ledger is" if count == 1 else f"{count} lines of the ledger are"
        signed = "The signatures here stand" if subject.signatures else "A signature here would stand"
        yield Notice(Tone.FAILS, f"{signed} for no finished job: {lines} not proved closed.")


def _lines(subject: Subject) -> Iterator[Block]:
    lines = subject.verdicts.ledger
    if not lines:
        yield Paragraph("No temporary change was entered.")
        return
    yield Table(("Changed", "It was", "For the test", "State", "Why"), tuple(
        (line.point, line.was, line.changed_to, _state(subject, line), subject.say(line.sentence)) for line in lines
    ), (0.22, 0.16, 0.2, 0.18, 0.24), "Changed for tests")  # fmt: skip


def _taken_back(subject: Subject) -> Iterator[Block]:
    """Changes that somebody withdrew: they count no more, and are not passed over in silence."""
    entries = subject.readings.entries
    withdrawn = {one.corrects: one for one in entries if isinstance(one, Withdrawn)}
    rows = tuple(
        (one.point, one.was, one.changed_to, withdrawn[one.id].note or "–")
        for one in entries
        if isinstance(one, TemporaryChange) and one.id in withdrawn
    )
    if rows:
        yield Table(("Changed", "It was", "For the test", "Why taken back"), rows, (0.26, 0.2, 0.24, 0.3),
                    "Entered as changed for tests, and taken back")  # fmt: skip


def _state(subject: Subject, line: Line) -> str:
    """Say the state, and of a line that is proved when."""
    if line.state is LineState.OPEN:
        return "NOT PUT BACK"
    if line.state is LineState.NOT_PROVED:
        return "put back, NOT PROVED"
    proof = next(one for one in subject.readings.entries if one.id in line.readings)
    return f"proved back {proof.at:%Y-%m-%d %H:%M}"


def _forgetting(subject: Subject) -> Iterator[Block]:
    """What each line that is not closed would cost; nothing is reckoned where all are."""
    lines = subject.verdicts.not_closed
    if not lines:
        return
    costs = all_forgetting(subject.facts, subject.plan, subject.readings)
    yield Table(("Changed", "Forgetting it would cost", "What would prove it back"), tuple(
        (line.point, subject.say(costs[line.id].sentence), subject.say(line.would_prove)) for line in lines
    ), (0.22, 0.46, 0.32), "What forgetting would cost (estimates)")  # fmt: skip


def _left(subject: Subject) -> Iterator[Block]:
    entries = subject.readings.standing(LeftSafe)
    if entries:
        yield Table(("When", "Damper meanwhile", "Why there", "Told"), tuple(
            (f"{one.at:%Y-%m-%d %H:%M}", _damper(subject, one), one.why or "–", one.told or "NOBODY") for one in entries
        ), (0.2, 0.24, 0.3, 0.26), "Left before it was finished")  # fmt: skip


def _damper(subject: Subject, entry: LeftSafe) -> str:
    but = belied(subject, entry)
    return f"{damper_stands(subject, entry)}{'; ' if but else ''}{but}"


def _ticks(subject: Subject) -> Iterator[Block]:
    ticks = subject.readings.standing(Tick)
    if ticks:
        rows = tuple((one.item, one.found, f"{one.at:%Y-%m-%d %H:%M}") for one in ticks)
        yield Table(("Looked at", "Found", "When"), rows, (0.6, 0.2, 0.2), "Looked at")
