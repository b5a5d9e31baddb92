"""The part of the record that was decided before the first panel came off: air needed, codes, settings."""

from __future__ import annotations

from ventwright.plan import ModeAir
from ventwright.quantity import AIRFLOW, FRACTION, HEAT_RATE, LENGTH
from ventwright.record.content import Block, Notice, Pairs, Section, Table, Tone
from ventwright.record.subject import Subject
from ventwright.tables.prior import usual
from ventwright.words import Amount


def design_section(subject: Subject) -> Section:
    """Build the section on the design basis."""
    basis, air = subject.plan.basis, subject.plan.ventilation
    stages = (
        f"{basis.cooling_stages or 'not given'} stages of cooling, heating: {basis.heating or 'not given'}"
    )
    capacity = (
        Amount(basis.cooling_capacity, HEAT_RATE).show(subject.system)
        if basis.cooling_capacity
        else "capacity not given"
    )
    required, tolerance = Amount(air.required, AIRFLOW), Amount(air.tolerance, FRACTION)
    height = Amount(basis.elevation, LENGTH).show(subject.system)
    blocks: list[Block] = [Pairs((
        ("Unit", f"{capacity}, {stages}"),
        ("Kit", subject.plan.kit.name),
        ("Place", f"climate zone {basis.climate_zone or 'not known'} ({basis.climate_source}); {height} above sea level"),
        ("Codes", f"{basis.energy_code}, {basis.ventilation_standard}"),
        ("Outdoor air required", f"{subject.say(required)}, from: {air.source}; accepted within {subject.say(tolerance)} of it{_tolerance_from(subject)}"),
        *(_code_sum(subject, one) for one in air.code_sum),
    ))]  # fmt: skip
    if air.disagreement is not None:
        blocks.append(Notice(Tone.CAUTION, f"{subject.say(air.disagreement)}."))
    if air.spaces:
        blocks.append(Table(("Space", "Use", "People", "Breathing-zone air", "Source"), tuple(
            (one.name, one.category, f"{round(one.people, 1):g}{' (guess)' if one.people_are_guess else ''}",
             Amount(one.breathing_zone, AIRFLOW).show(subject.system), f"{one.source}{f'; {one.doubt}' if one.doubt else ''}")
            for one in air.spaces
        ), (0.2, 0.2, 0.15, 0.2, 0.25), "Spaces served"))  # fmt: skip
    blocks.append(Table(("Fan speed", "Supply air", "From", "Outdoor air needed", "Can it?"), tuple(
        (one.name, Amount(one.supply_air, AIRFLOW).show(subject.system), one.supply_basis,
         Amount(one.target_outdoor_air_fraction, FRACTION).show(subject.system), "yes" if one.can_deliver else "NO: raise this speed")
        for one in subject.plan.speeds
    ), (0.16, 0.2, 0.28, 0.2, 0.16), "Outdoor-air share at each fan speed (by mass)"))  # fmt: skip
    return Section("Design basis", tuple(blocks))


def _tolerance_from(subject: Subject) -> str:
    """Name the source of the accepted departure, where the job gives none of its own."""
    given = subject.facts.ventilation
    return "" if given.tolerance else f" ({usual('airflow_tolerance', FRACTION).source})"


def _code_sum(subject: Subject, one: ModeAir) -> tuple[str, str]:
    doubt = f"; {one.doubt}" if one.doubt else ""
    return (
        f"Code sum, {one.mode}",
        f"{subject.say(Amount(one.intake, AIRFLOW))} ({'; '.join(one.distribution)}){doubt}",
    )


def codes_section(subject: Subject) -> Section:
    """Build the section on what the codes ask; long, so it stands last."""
    blocks: list[Block] = [Table(("About", "The code asks", "Stands", "Because", "Source, how confirmed"), tuple(
        (one.title, subject.say(one.asks), one.standing.value, subject.say(one.because), one.standing_on)
        for one in subject.plan.requirements
    ), (0.15, 0.4, 0.1, 0.17, 0.18), "Requirements, in our words")]  # fmt: skip
    blocks.extend(
        Notice(Tone.CAUTION if one.weight == "conflict" else Tone.INFO, f"{subject.say(one.sentence)}.")
        for one in subject.plan.concerns
    )
    return Section("What the codes ask", tuple(blocks), new_page=True)
