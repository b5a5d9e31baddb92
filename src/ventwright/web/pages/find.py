"""Troubleshooting: the complaint, what may be wrong, the next measurement, and what was repaired."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.job import Worked
from ventwright.quantity import Dimension, System, show
from ventwright.readings import Repaired
from ventwright.readings.fault_finding import COMPLAINT, NOBODY, FaultFinding
from ventwright.readings.practice.shown import measured
from ventwright.tables.measurement import Measurement, measurements
from ventwright.verdict import diagnose
from ventwright.verdict.diagnose import Diagnosis, ReadingEvidence
from ventwright.verdict.diagnose.slices import telling
from ventwright.web.desk import Desk, Opened
from ventwright.web.entries import entry_steps
from ventwright.web.form import Form, Option, Question, answers, filled, mistakes
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.waiting import waiting
from ventwright.web.practice_shown import asked_to_read, practice_complaint, practice_roof, with_shown
from ventwright.web.received import received
from ventwright.web.work import Piece, Steps, Stopped
from ventwright.words import in_words

WEIGHTY = 0.3
"""Natural logarithm of a likelihood ratio from which a reading is said to speak for or against a fault (our own choice)."""


def diagnosing(worked: Worked) -> Steps[Diagnosis]:
    """Find what may be wrong, as a piece of work in slices."""
    slices = diagnose.diagnosing(worked.job.facts, worked.plan, worked.job.readings)
    return (yield from telling(slices, lambda far: (far.done, far.total)))


def _begun(desk: Desk, opened: Opened, worked: Worked) -> Piece:
    return desk.work.begin(f"find {opened.id} {opened.revision}", diagnosing, worked)


async def overview(request: Request) -> Response:
    """Ask for the complaint; where anything was read, begin to work out what may be wrong."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is None:
        return await waiting(request, opened, "find", "Troubleshoot")
    said = _complaint(opened.worked)
    if said is None and "without" not in request.query_params:
        return await page(
            request,
            "find_complaint.html.j2",
            opened=opened,
            stage="find",
            complaints=measurements().complaints,
            nobody=NOBODY,
            told=practice_complaint(opened),
        )
    return await _result(request, desk, opened, opened.worked)


def _complaint(worked: Worked) -> str | None:
    """Return the complaint in words; None where nobody was asked."""
    said = [one for one in worked.job.readings.standing(FaultFinding) if one.measurement == COMPLAINT]
    if not said:
        return None
    words = {one.id: one.words for one in measurements().complaints}
    return words.get(said[-1].found[0].value, "nobody complained")


async def complain(request: Request) -> Response:
    """Enter what somebody inside said."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    steps = await entry_steps(
        desk,
        opened,
        form,
        "fault finding",
        measurement=COMPLAINT,
        found=[{"value": form.get("complaint") or NOBODY}],
    )
    ids = await desk.enter(opened, steps, once=form.get("once"))
    return go_to(request, f"/jobs/{opened.id}/find", said="saved", undo=ids)


async def _result(request: Request, desk: Desk, opened: Opened, worked: Worked) -> Response:
    piece = _begun(desk, opened, worked)
    if not piece.done:
        done, of = piece.progress()
        return await page(request, "find_working.html.j2", opened=opened, stage="find", done=done, of=of)
    try:
        found: Diagnosis = piece.result()
    except Stopped:
        return await page(request, "find_stopped.html.j2", opened=opened, stage="find")
    return await page(
        request, "find.html.j2", opened=opened, stage="find", found=found, complaint=_complaint(worked), chance=in_words,
        speaks=lambda one: _speaks(one.evidence, opened.system), pairs=[_pair(found, one.faults, one.probability) for one in found.together if len(one.faults) > 1],
        not_fitting=_named(worked, found.not_fitting, opened.system),
        following=_measurement(found.next_measurement.id) if found.next_measurement else None, repairs=_repairs(worked),
    )  # fmt: skip


def _named(worked: Worked, ids: Sequence[str], system: System) -> list[str]:
    """Say which entries these are, as whoever made them knows them."""
    return [one.subject(system) for one in worked.job.readings.entries if one.id in ids]


def _pair(found: Diagnosis, faults: Sequence[str], probability: float) -> tuple[str, str]:
    words = {one.id: one.words for one in found.faults}
    return " and ".join(words.get(one, one) for one in faults), in_words(probability)


def _repairs(worked: Worked) -> list[str]:
    return [one.of for one in worked.job.readings.standing(Repaired)]


def _speaks(evidence: Sequence[ReadingEvidence], system: System) -> dict[str, list[str]]:
    """Say which readings speak for a fault and which against it, those that weigh most first."""
    heavy = sorted(evidence, key=lambda one: -abs(one.log_likelihood_ratio))
    said: dict[str, list[str]] = {"for": [], "against": []}
    for one in heavy:
        if abs(one.log_likelihood_ratio) >= WEIGHTY:
            side = "for" if one.log_likelihood_ratio > 0 else "against"
            seen, with_it, without = (
                _value(one.part, value, system)
                for value in (one.seen, one.expected_with, one.expected_without)
            )
            said[side].append(
                f"{_measurement_words(one.measurement)}, {one.part}: {seen} was seen; with it one would expect {with_it}, without it {without}"
            )
    return said


def _value(part: str, value: float | str, system: System) -> str:
    how = measurements().entered.get(part)
    if isinstance(value, str):
        return value
    return show(value, how.dimension, system) if how and how.dimension else f"{value:g}"


def _measurement_words(id_: str) -> str:
    found = next((one for one in measurements().offered if one.id == id_), None)
    return found.what if found else id_


def _measurement(id_: str) -> Measurement:
    found = next((one for one in measurements().offered if one.id == id_), None)
    if found is None:
        raise HTTPException(404)
    return found


async def stop(request: Request) -> Response:
    """Stop working out what may be wrong."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if opened.worked is not None:
        _begun(desk, opened, opened.worked).stop()
    return go_to(request, f"/jobs/{opened.id}")


def _questions(measurement: Measurement, opened: Opened) -> list[Question]:
    """Ask for every part of a measurement."""
    asked = []
    for part in measurement.parts:
        how = measurements().entered[part.reads]
        options = tuple(Option(one, one) for one in how.words)
        kind: Any = "quantity" if how.dimension else "choice" if options and not how.joined else "text"
        dimensions: tuple[Dimension, ...] = (how.dimension,) if how.dimension else ()
        dimensions = (
            opened.worked.plan.kit.damper_signal.typed_in if how.signal and opened.worked else dimensions
        )
        help_ = f"One or several of: {', '.join(how.words)}." if how.joined else ""
        asked.append(
            Question(
                _name(part.reads),
                part.reads[:1].upper() + part.reads[1:],
                _name(part.reads),
                kind,
                options=options,
                dimensions=dimensions,
                system=opened.system,
                help=help_,
            )
        )
    return asked


def _name(part: str) -> str:
    """Name the field of a part."""
    return "".join(letter if letter.isalnum() else "-" for letter in part)


async def measure(request: Request) -> Response:
    """Show one measurement: the state, the caution, what to read."""
    opened = await desk_of(request).open(request.path_params["job"])
    return await _measure_page(request, opened, _measurement(request.path_params["measurement"]))


async def _measure_page(
    request: Request, opened: Opened, measurement: Measurement, *, typed: Form | None = None, refusals: Sequence[Refusal] = (), status: int = 200
) -> Response:  # fmt: skip
    questions = _questions(measurement, opened)
    asked = filled(questions, {}, typed=typed.texts if typed else None, refusals=refusals)
    return await page(
        request, "find_measure.html.j2", opened=opened, stage="find", status=status, measurement=measurement, asked=asked, wrong=mistakes(refusals, questions)
    )  # fmt: skip


async def enter_measurement(request: Request) -> Response:
    """Enter what a measurement gave; parts that were not read are left out."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    measurement = _measurement(request.path_params["measurement"])
    roof = practice_roof(opened)
    if roof is not None and asked_to_read(form):
        shown = {_name(reads): value for reads, value in measured(roof, measurement).items()}
        read = with_shown(form, _questions(measurement, opened), shown)
        return await _measure_page(request, opened, measurement, typed=read)
    given = answers(_questions(measurement, opened), form.texts)
    found = [
        {"reads": part.reads, "value": given[_name(part.reads)]}
        for part in measurement.parts
        if given.get(_name(part.reads)) is not None
    ]
    try:
        steps = await entry_steps(
            desk, opened, form, "fault finding", measurement=measurement.id, found=found
        )
        ids = await desk.enter(opened, steps, once=form.get("once"))
    except Refused as refused:
        placed = [_at_part(one, found) for one in refused.refusals]
        return await _measure_page(request, opened, measurement, typed=form, refusals=placed, status=422)
    return go_to(request, f"/jobs/{opened.id}/find?without=1", said="saved", undo=ids)


def _at_part(refusal: Refusal, found: Sequence[dict[str, Any]]) -> Refusal:
    """Place a refusal at the part that it is about."""
    for number, one in enumerate(found, start=1):
        if f"found[{number}]" in refusal.where:
            return refusal.at(_name(one["reads"]))
    return refusal.at("")


async def repaired(request: Request) -> Response:
    """Enter that a fault was put right."""
    desk, form = desk_of(request), await received(request)
    opened = await desk.open(request.path_params["job"])
    steps = await entry_steps(desk, opened, form, "repaired", of=form.get("of"))
    ids = await desk.enter(opened, steps, once=form.get("once"))
    return go_to(request, f"/jobs/{opened.id}/find?without=1", said="saved", undo=ids)


routes = [
    Route("/jobs/{job}/find", overview),
    Route("/jobs/{job}/find/complaint", complain, methods=["POST"]),
    Route("/jobs/{job}/find/stop", stop, methods=["POST"]),
    Route("/jobs/{job}/find/repaired", repaired, methods=["POST"]),
    Route("/jobs/{job}/find/measure/{measurement}", measure),
    Route("/jobs/{job}/find/measure/{measurement}", enter_measurement, methods=["POST"]),
]
