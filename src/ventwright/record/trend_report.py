"""What logs show, as a printed matter: findings first, the next measurement with its caution, pictures with their numbers."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from ventwright.quantity import System
from ventwright.readings.trend import REASONS
from ventwright.record.content import Block, Figure, Notice, Pairs, Paragraph, Report, Section, Table, Tone
from ventwright.record.trend_pictures import Picture, pictures
from ventwright.record.trend_words import day, hours_words
from ventwright.tables.caution import cautions
from ventwright.verdict.trend_compared import compared
from ventwright.verdict.trend_findings import KnownUnit, TrendFinding
from ventwright.verdict.trend_judged import Judged
from ventwright.version import VERSION
from ventwright.words import in_words

NOTHING = KnownUnit()


def trend_report(
    judged: Sequence[Judged],
    known: Mapping[str, KnownUnit],
    system: System,
    remarks: Sequence[str] = (),
    note: str = "",
) -> Report:
    """Build the report of one unit or several.

    Parameters
    ----------
    judged
        What was found.
    known
        What a job says of a unit, by its name.
    system
        Units of the words.
    remarks
        What was taken for granted when the files were read.
    note
        Stands in the footer.
    """
    sections = [section for one in judged for section in _unit(one, known.get(one.unit, NOTHING), system)]
    if remarks:
        sections.append(Section("Taken for granted", tuple(Paragraph(one) for one in remarks)))
    names = ", ".join(one.unit for one in judged)
    return Report(
        "What the logs show",
        f"Rooftop unit {names}",
        tuple(sections),
        f"{names} – Ventwright {VERSION}{note}",
    )


def _unit(judged: Judged, known: KnownUnit, system: System) -> Iterator[Section]:
    found, zone = judged.found, judged.zone
    log = Pairs(
        (
            ("Log", f"{day(judged.first, zone)} to {day(judged.last, zone)}"),
            ("Logged", hours_words(found.hours_logged)),
            ("Rows", f"{judged.counts.rows:,} read, {sum(judged.counts.dropped.values()):,} left out"),
        )
    )
    blocks: list[Block] = [log]
    if not found.findings:
        text = "No fault is shown." if found.sound else "Nothing could be judged with these points."
        blocks.append(Notice(Tone.INFO, text))
    for one in found.findings:
        blocks += _finding(one, zone, system)
    if found.sound:
        names = ", ".join(one.replace("_", " ") for one in found.sound)
        blocks.append(Paragraph(f"Judged and not found: {names}."))
    yield Section(f"{found.unit}: what is wrong", tuple(blocks))
    if found.cannot_tell:
        rows = tuple(
            (one.words, one.reason.show(system), one.settle_by.show(system)) for one in found.cannot_tell
        )
        columns = ("Fault", "Why it cannot be told", "What settles it")
        yield Section(f"{found.unit}: cannot tell", (Table(columns, rows, (0.26, 0.37, 0.37)),))
    yield from _as_left(judged, known, system)
    drawn = pictures(found, known, zone, system)
    yield Section(f"{found.unit}: pictures", tuple(Figure(one.svg, one.words, narrow=True) for one in drawn))
    yield _background(judged)
    yield Section(f"{found.unit}: the numbers of the pictures", tuple(map(_numbers, drawn)), new_page=True)


def _finding(one: TrendFinding, zone: str | None, system: System) -> Iterator[Block]:
    yield Notice(Tone.FAILS, f"{one.words[:1].upper()}{one.words[1:]}: {in_words(one.probability)}.")
    yield Pairs(
        (
            ("Seen", f"{day(one.first, zone)} to {day(one.last, zone)}"),
            ("Judged", f"{hours_words(one.hours_judged)} of {hours_words(one.hours_logged)} logged"),
            ("What it does", one.consequence.sentence.show(system)),
            ("Measure next", f"{one.next_measurement.sentence} ({one.next_measurement.minutes:.0f} min)"),
            ("Why that", one.next_measurement.why),
        )
    )
    for caution in cautions():
        if caution.stage == one.next_measurement.caution:
            yield Notice(Tone.CAUTION, caution.text)
    rows = tuple(
        (each.sentence.show(system), hours_words(each.hours_shown), hours_words(each.hours_judged), str(each.days), each.source)
        for each in one.evidence
    )  # fmt: skip
    yield Table(
        ("What a rule saw", "Showed it", "Judged", "Days", "Source"),
        rows,
        (0.4, 0.12, 0.12, 0.08, 0.28),
        "Evidence",
    )


def _as_left(judged: Judged, known: KnownUnit, system: System) -> Iterator[Section]:
    checks = compared(known, judged.found.observed)
    if checks:
        rows = tuple(
            (one.what.show(system), one.verdict.spoken, one.sentence.show(system)
             + ("" if one.shortfall is None else f"; {one.shortfall.settle_by.show(system)}"))
            for one in checks
        )  # fmt: skip
        table = Table(("What", "Verdict", "As left, and as found in the data"), rows, (0.36, 0.14, 0.5))
        yield Section(f"{judged.unit}: as left against as found", (table,))


def _numbers(drawn: Picture) -> Table:
    return Table(drawn.columns, drawn.rows, (1.0,) * len(drawn.columns), drawn.words)


def _background(judged: Judged) -> Section:
    rows = tuple((REASONS[reason], f"{count:,}") for reason, count in judged.counts.dropped.items())
    blocks: list[Block] = [Table(("Rows left out", "How many"), rows, (0.75, 0.25))] if rows else []
    blocks += [Paragraph(one) for one in judged.found.assumed]
    return Section(f"{judged.unit}: read and assumed", tuple(blocks) or (Paragraph("Nothing was left out."),))
