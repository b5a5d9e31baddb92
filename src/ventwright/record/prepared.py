"""The part of the record that was prepared before the roof: what to take, how the wires run, whether power holds."""

from __future__ import annotations

from collections.abc import Iterator

from ventwright.evidence import Verdict
from ventwright.plan import PowerPlan, WiringPlan
from ventwright.plan.wiring.landing import Landing
from ventwright.quantity import APPARENT_POWER, FRACTION, LENGTH
from ventwright.record.content import Block, Figure, Notice, Pairs, Paragraph, Section, Table, Tone
from ventwright.record.subject import Subject
from ventwright.record.wiring_drawing import draw_wiring
from ventwright.words import Amount

AT_HAND = {True: "at hand", False: "NOT AT HAND", None: "not said"}


def prepared_sections(subject: Subject) -> Iterator[Section]:
    """Build the sections on parts, wiring and control power, each where the job tells of it."""
    yield _parts(subject)
    if subject.plan.wiring is not None:
        yield _wiring(subject, subject.plan.wiring)
    if subject.plan.power is not None:
        yield _power(subject, subject.plan.power)


def _parts(subject: Subject) -> Section:
    rows = tuple(
        (subject.say(one.what), one.kind, subject.say(one.why), AT_HAND[one.at_hand])
        for one in subject.plan.pick_list
    )
    return Section(
        "Parts and tools",
        (
            Table(
                ("Take", "Kind", "For", "On the truck"),
                rows,
                (0.36, 0.13, 0.35, 0.16),
                "For the truck, the evening before",
            ),
        ),
    )


def _wiring(subject: Subject, wiring: WiringPlan) -> Section:
    """State, what to do before power, where each wire lands, and the drawing."""
    blocks: list[Block] = [Pairs((
        ("Kit", subject.plan.kit.name), ("Unit's board", wiring.board_name),
        ("Wiring", f"{wiring.state.value}: {subject.say(wiring.sentence)}"),
    ))]  # fmt: skip
    blocks += [
        Notice(Tone.CAUTION if one.weight == "conflict" else Tone.INFO, f"{subject.say(one.sentence)}.")
        for one in wiring.findings
    ]
    if wiring.before_power:
        steps = tuple(
            (str(number), subject.say(one.do)) for number, one in enumerate(wiring.before_power, start=1)
        )
        blocks.append(Table(("Step", "Before power"), steps, (0.1, 0.9), "Before power"))
    if wiring.landings:
        rows = tuple(
            (one.function, f"{one.kit_cavity} {one.kit_colour}", _way(one), _lands(one), one.standing)
            for one in wiring.landings
        )
        blocks.append(
            Table(
                ("Function", "Kit", "On the way", "Unit", "Stands"),
                rows,
                (0.26, 0.15, 0.21, 0.26, 0.12),
                "Where every wire lands",
            )
        )
    if wiring.lanes:
        title = f"Wiring: {subject.plan.kit.name} to {wiring.board_name}"
        blocks.append(Figure(draw_wiring(wiring, subject.plan.kit.name), title))
    return Section("Wiring", tuple(blocks))


def _way(one: Landing) -> str:
    return "; ".join(f"{hop.enters} to {hop.leaves} {hop.colour}".strip() for hop in one.way) or "–"


def _lands(one: Landing) -> str:
    return f"{one.board_end} {one.board_cavity} {one.board_colour}".strip() if one.board_end else "nowhere"


def _power(subject: Subject, power: PowerPlan) -> Section:
    """The budget of each transformer, the runs, and what does not pass."""
    shown = {Verdict.PASSES: "holds", Verdict.FAILS: "DOES NOT HOLD", Verdict.CANNOT_TELL: "cannot tell"}
    blocks: list[Block] = [Pairs((("Control power", shown[power.verdict]),))]
    blocks.append(Table(("Transformer", "Rating", "Running", "While stroking", "Loading"), tuple(
        (one.name, subject.say(Amount(one.rating, APPARENT_POWER)) + (" (guess)" if one.rating_is_guess else ""),
         subject.say(Amount(one.running_power, APPARENT_POWER)), subject.say(Amount(one.stroking_power, APPARENT_POWER)),
         subject.say(Amount(one.loading_fraction, FRACTION)))
        for one in power.transformers
    ), (0.28, 0.2, 0.18, 0.18, 0.16), "Transformers"))  # fmt: skip
    if power.runs:
        blocks.append(Table(("Run", "Wire", "Length", "Drop", "Longest allowed"), tuple(
            (one.name, f"{one.gauge} AWG {one.conductor}", subject.say(Amount(one.length, LENGTH)),
             subject.say(Amount(one.drop_fraction, FRACTION)), subject.say(Amount(one.longest_run, LENGTH)))
            for one in power.runs
        ), (0.28, 0.2, 0.16, 0.16, 0.2), "Runs of wire"))  # fmt: skip
    tones = {Verdict.FAILS: Tone.FAILS, Verdict.CANNOT_TELL: Tone.NOT_PROVED}
    for one in power.findings:
        if one.verdict in tones:
            todo = f" To do: {subject.say(one.do)}." if one.do is not None else ""
            blocks.append(
                Notice(tones[one.verdict] if one.stops else Tone.INFO, f"{subject.say(one.sentence)}.{todo}")
            )
    blocks.append(Table(("Check", "Verdict", "Source"), tuple(
        (subject.say(one.sentence), one.verdict.spoken, one.source or "–") for one in power.findings
    ), (0.57, 0.13, 0.3), "What the control power was held against"))  # fmt: skip
    if all(one.verdict is Verdict.PASSES for one in power.findings):
        blocks.append(Paragraph("Every check of the control power passes."))
    return Section("Control power", tuple(blocks))
