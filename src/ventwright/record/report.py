"""The commissioning record: what was found, decided, read and shown, and plainly what was not proved."""

from __future__ import annotations

from collections.abc import Iterator

from ventwright.evidence import ACCEPTED_RISK, Verdict
from ventwright.record.acceptance import acceptance_section
from ventwright.record.content import (
    Blanks,
    Block,
    Figure,
    Notice,
    Pairs,
    Paragraph,
    Report,
    Section,
    Shots,
    Table,
    Tone,
)
from ventwright.record.design import codes_section, design_section
from ventwright.record.drawing import Drawing
from ventwright.record.functions import functions_section
from ventwright.record.ledger_section import signed_too_early, unfinished
from ventwright.record.prepared import prepared_sections
from ventwright.record.savings_section import savings_section
from ventwright.record.seen import readings_sections
from ventwright.record.signature import BOX, Signature
from ventwright.record.subject import PRACTICE, Subject
from ventwright.verdict.deficiency import Deficiency

HOW_JUDGED = (
    f"A measured check passes where the true value lies within the limits with a chance of at least {100 * (1 - ACCEPTED_RISK):.0f} %, "
    "every ± counted, and fails where it lies beyond them with that chance; else it cannot be told "
    "(JCGM 106:2012, 7.4 and 8.3.2; the chance is our choice). What stands behind ± holds 95 times in 100."
)


def build_report(subject: Subject) -> Report:
    """Build the record in the order in which an owner reads it: outcome, readings, what remains, what it saves; then the background."""
    footer = f"{subject.title_line} – job {subject.job_id} – {subject.made_with}"
    sections = (
        _outcome(subject),
        *readings_sections(subject),
        functions_section(subject),
        _remaining(subject),
        savings_section(subject),
        _close(subject),
        design_section(subject),
        *prepared_sections(subject),
        acceptance_section(subject),
        codes_section(subject),
        *_photos(subject),
    )
    return Report("Economizer commissioning record", subject.title_line, sections, footer)


def _outcome(subject: Subject) -> Section:
    """What passes, what fails, what is not proved: first of all."""
    verdicts = subject.verdicts
    visits = subject.readings.visits
    identity = [
        (
            "Unit",
            f"{subject.facts.unit.tag}{f', serves {subject.facts.unit.serves}' if subject.facts.unit.serves else ''}",
        ),
        ("Site", ", ".join(part for part in (subject.facts.site.name, subject.facts.site.address) if part)),
        (
            "Visits",
            "; ".join(f"{visit.started:%Y-%m-%d} {visit.technician}" for visit in visits) or "none entered",
        ),
        ("Outcome", ", ".join(f"{verdicts.counted(verdict)} {verdict.listed}" for verdict in Verdict)),
    ]
    blocks: list[Block] = [Pairs(tuple(identity)), *unfinished(subject), *_notices(subject)]
    blocks.append(Table(("Check", "Verdict", "Why"), tuple(
        (subject.say(check.what), check.verdict.listed, subject.say(check.sentence)) for check in verdicts.checks()
    ), (0.36, 0.14, 0.5), "Every check"))  # fmt: skip
    blocks.append(Paragraph(HOW_JUDGED))
    if subject.practice:
        blocks.insert(0, Notice(Tone.INFO, f"This is {PRACTICE}. Its code: {subject.practice}."))
    elif subject.invented:
        blocks.insert(
            0,
            Notice(
                Tone.INFO, "This is an invented example: site, unit, kit, people and readings exist nowhere."
            ),
        )
    return Section("Outcome", tuple(blocks))


def _notices(subject: Subject) -> Iterator[Notice]:
    """Failures first, then what was not proved, each with what would settle it."""
    for check in subject.verdicts.checks():
        if check.verdict is Verdict.FAILS:
            yield Notice(Tone.FAILS, f"{subject.say(check.what)}: {subject.say(check.sentence)}.")
    for check in subject.verdicts.checks():
        if check.shortfall is not None and check.verdict is Verdict.CANNOT_TELL:
            yield Notice(
                Tone.NOT_PROVED,
                f"{subject.say(check.sentence)}. To settle it: {subject.say(check.shortfall.settle_by)}.",
            )


def _remaining(subject: Subject) -> Section:
    """What stays to be done, by whom, and what the plan had to guess."""
    blocks: list[Block] = []
    if subject.deficiencies:
        blocks.append(Table(("What", "How serious", "Who acts", "Due", "Re-test"), tuple(
            (one.what, one.severity, one.who_acts, str(one.due or "–"), _retested(one)) for one in subject.deficiencies
        ), (0.42, 0.12, 0.16, 0.14, 0.16), "Deficiencies"))  # fmt: skip
    else:
        blocks.append(Paragraph("No deficiency was entered."))
    if subject.plan.guesses:
        blocks.append(
            Table(
                ("Guessed, because nobody gave it",),
                tuple((subject.say(one.sentence),) for one in subject.plan.guesses),
                (1.0,),
                "Guesses in this plan",
            )
        )
    blocks.append(Pairs((("Next check", subject.next_check or "not set"),)))
    return Section("What remains", tuple(blocks))


def _retested(deficiency: Deficiency) -> str:
    """Say whether a deficiency is closed, and what the re-test showed."""
    closed = f"closed {deficiency.closed_on}" if deficiency.closed_on else "open"
    return f"{closed}: {deficiency.retest}" if deficiency.retest else closed


def _by_finger(signature: Signature, number: int) -> str:
    """Draw a signature as it was drawn on the screen."""
    drawing, (width, height) = Drawing(), BOX
    drawing.strokes(signature.strokes(), width=2.0)
    drawing.line([(0, height - 1), (width, height - 1)])
    said = f"Signature of {signature.name}"
    return drawing.written(width, height, said, "drawn by finger", f"signature-{number}")


def _photos(subject: Subject) -> Iterator[Section]:
    """The photos that somebody wanted in this record."""
    if subject.photos:
        yield Section("Photos", (Shots(tuple(subject.photos)),), new_page=True)


def _close(subject: Subject) -> Section:
    """Signatures, and how to check that nothing was changed since."""
    signed = Table(("Name", "Role", "Date", "Certificate", "Stands for"), tuple(
        (one.name, one.role, str(one.on), one.certificate or "–", one.statement or "–") for one in subject.signatures
    ), (0.24, 0.14, 0.14, 0.18, 0.3), "Signed")  # fmt: skip
    return Section("Signatures", (
        *signed_too_early(subject),
        *((signed,) if subject.signatures else ()),
        *(Figure(_by_finger(one, number), f"{one.name}, {one.role}, {one.on}", narrow=True, small=True)
          for number, one in enumerate(subject.signatures, start=1) if one.drawn),
        Blanks(("Name", "Role", "Date", "Signature"), 2),
        Paragraph("The job document is attached to this PDF as job.json; everything computed here can be computed again from it "
                  f"with {subject.made_with}. SHA-256 of the attached document: {subject.digest}."),
        Paragraph("The accessible form of this record is the HTML page written beside it. Requirements are stated as found in "
                  "published tables; the authority having jurisdiction decides."),
    ))  # fmt: skip
