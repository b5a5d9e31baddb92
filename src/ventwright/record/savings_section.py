"""What it saves, on paper: the air people breathe before the money, one range, and how far it can be relied on."""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from ventwright.record.content import Block, Figure, Notice, Paragraph, Section, Table, Tone
from ventwright.record.subject import Subject

if TYPE_CHECKING:
    from ventwright.verdict.savings.owner import OwnersPage


def savings_section(subject: Subject) -> Section:
    """Build the section on what free cooling saves; with no year of weather a published range, marked so."""
    picture = "" if subject.year is None else subject.year.picture
    return Section("What it saves", tuple(_blocks(subject, owner_of(subject), picture)))


def owner_of(subject: Subject) -> OwnersPage:
    """Return what the owner is told: of the year that was reckoned, else with what is published of the climate zone."""
    if subject.year is not None:
        return subject.year.owner
    # imported only where a record is written: no other command has to wait for it
    from ventwright.verdict.savings.owner import owners_page
    from ventwright.verdict.savings.published import published

    known = published(subject.plan)
    return owners_page(
        subject.facts, subject.plan, subject.readings, subject.verdicts, subject.deficiencies, known
    )


def _blocks(subject: Subject, owner: OwnersPage, picture: str) -> Iterator[Block]:
    air = tuple((f"{_begun(subject.say(one))}.",) for one in owner.ventilation)
    yield Table(("Before the money",), air, (1.0,), "The air people breathe")
    if owner.before_repair is not None:
        yield Notice(Tone.CAUTION, f"{_begun(subject.say(owner.before_repair))}.")
    yield Paragraph(f"{_begun(subject.say(owner.money))}.")
    if picture:
        yield Figure(picture, "What each way to run the unit saves in a year", narrow=True)
    for one in owner.marks:
        yield Notice(Tone.INFO, f"{_begun(subject.say(one))}.")


def _begun(sentence: str) -> str:
    """Begin a sentence with a capital letter."""
    return sentence[:1].upper() + sentence[1:]
