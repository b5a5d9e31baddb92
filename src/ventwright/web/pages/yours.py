"""What is asked once and used in every job: name, certificate, codes, the kit usually fitted, instruments."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.entry import validated
from ventwright.errors import Refused
from ventwright.facts import Instrument
from ventwright.plan.pick_list import calibration_holds
from ventwright.quantity import System
from ventwright.store.change import new_id
from ventwright.tables import energy_code, ventilation
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find, names
from ventwright.web.desk import Desk, local_now
from ventwright.web.form import Option, Question, answers, filled, mistakes, question
from ventwright.web.language import LANGUAGES, SO_FAR
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.received import received

NAMES = ("language", "technician", "certificate", "energy_code", "ventilation_standard", "kit", "speeds")


def _questions() -> list[Question]:
    codes = tuple(Option(one, one) for one in energy_code.editions())
    standards = tuple(Option(one, one) for one in ventilation.editions())
    kits = tuple(Option(one.id, one.name) for one in (find("kits", one, Kit) for one in names("kits")))
    return [
        Question("language", "Language of the pages", "language", "choice", required=True, options=(*(Option(*one) for one in LANGUAGES.items()), Option("", "As this browser asks")), help=SO_FAR),
        Question("technician", "Your name", "technician", "text", help="It stands in the record."),
        Question("certificate", "Licence or certificate number", "certificate", "text", help="Where the law asks for one."),
        Question("energy_code", "Energy code where you mostly work", "energy_code", "choice", options=codes, help="The edition that your authority enforces; a job may say otherwise."),
        Question("ventilation_standard", "Ventilation standard", "ventilation_standard", "choice", options=standards),
        Question("kit", "Kit that you mostly fit", "kit", "choice", options=kits),
    ]  # fmt: skip


async def shown(request: Request) -> Response:
    """Show what is kept of the person."""
    return await _page(request)


async def _page(request: Request, *, typed: Any = None, refusals: Any = (), status: int = 200) -> Response:
    desk = desk_of(request)
    kept = await defaults_of(desk)
    asked = filled(_questions(), kept, typed=typed, refusals=refusals)
    return await page(
        request,
        "yours.html.j2",
        status=status,
        asked=asked,
        wrong=mistakes(refusals, _questions()),
        instruments=[(one, *calibration(one, local_now("").date())) for one in await instruments_of(desk)],
    )


async def keep(request: Request) -> Response:
    """Keep what was entered."""
    desk, form = desk_of(request), await received(request)
    for name, value in answers(_questions(), form.texts).items():
        await desk.jobs.set_setting(name, value)
    return go_to(request, "/yours", said="saved")


async def defaults_of(desk: Desk) -> dict[str, Any]:
    """Return what the person set for every job, by name; what was not set is left out."""
    kept = {name: await desk.jobs.setting(name) for name in (*NAMES, "instruments")}
    return {name: value for name, value in kept.items() if value is not None}


async def instruments_of(desk: Desk) -> list[dict[str, Any]]:
    """Return the instruments in the person's bag, as they go into a job."""
    return list(await desk.jobs.setting("instruments") or [])


def calibration(instrument: Mapping[str, Any], today: date) -> tuple[str, str]:
    """Say how an instrument's calibration stands, as a mark and in words.

    Acceptance wants it within the year that the plan reckons with.
    """
    try:
        until = date.fromisoformat(str(instrument.get("calibrated") or "")) + calibration_holds()
    except (ValueError, OverflowError):
        return "open", "no calibration date: acceptance wants one within a year"
    if until < today:
        return "wrong", f"calibration due since {until}"
    return "done", f"calibration good until {until}"


def instrument_questions(system: System) -> list[Question]:
    """Ask for one instrument."""

    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(Instrument, name, place="", label=label, system=system, **changed)

    off = "0.3 °C" if system == "si" else "0.5 °F"
    return [
        ask("kind", "What it measures", required=True),
        ask("name", "What you call it", kind="text"),
        ask("accuracy", "± of the maker", help=f"With its unit, such as {off} or 3 %: what the instrument may be off, 95 times in 100.", kind="text", required=True),
        ask("repeatability", "± between two readings of one thing", help="If the maker gives it.", kind="text"),
        ask("serial", "Serial number"),
        ask("calibrated", "Last calibrated"),
    ]  # fmt: skip


async def instrument(request: Request) -> Response:
    """Ask for an instrument, new or known."""
    desk = desk_of(request)
    kept = await instruments_of(desk)
    held = next((one for one in kept if one["id"] == request.path_params.get("id")), {})
    asked = filled(instrument_questions(await desk.system()), held)
    return await page(request, "instrument.html.j2", asked=asked, wrong=[], held=held)


def _usual_name(kind: str) -> str:
    """Call an instrument what people call one of its kind, where nobody named it."""
    thing = "probe" if kind in {"temperature", "humidity"} else "instrument" if kind == "other" else "meter"
    return f"{kind} {thing}".capitalize()


def _id_of(typed: Mapping[str, str], once: str) -> str:
    """Make an id that a person recognises on paper, the same for a form that is sent twice."""
    name = typed.get("name") or _usual_name(typed.get("kind") or "other")
    letters = re.sub(r"[^a-z0-9]+", "-", name.lower()).strip("-")[:24] or "instrument"
    return f"{letters}-{once[:4]}"


async def keep_instrument(request: Request) -> Response:
    """Keep an instrument, or take it out of the bag."""
    desk, form = desk_of(request), await received(request)
    named = request.path_params.get("id") or _id_of(form.texts, form.get("once") or new_id())

    def in_bag(held: Sequence[dict[str, Any]] | None, *more: dict[str, Any]) -> list[dict[str, Any]]:
        return [*(one for one in held or () if one["id"] != named), *more]

    if form.get("do") == "take out":
        await desk.jobs.change_setting("instruments", in_bag)
        return go_to(request, "/yours", said="saved")
    questions = instrument_questions(await desk.system())
    given = {key: value for key, value in answers(questions, form.texts).items() if value is not None}
    try:
        validated(Instrument, {"id": named, **given})
    except Refused as refused:
        asked = filled(questions, {}, typed=form.texts, refusals=refused.refusals)
        wrong = mistakes(refused.refusals, questions)
        known = {one["id"] for one in await instruments_of(desk)}
        held = {"id": named} if named in known else {}
        return await page(request, "instrument.html.j2", status=422, asked=asked, wrong=wrong, held=held)
    new = {"id": named, "name": _usual_name(given["kind"]), **given}
    await desk.jobs.change_setting("instruments", lambda held: in_bag(held, new))
    return go_to(request, "/yours", said="saved")


routes = [
    Route("/yours", shown),
    Route("/yours", keep, methods=["POST"]),
    Route("/yours/instrument", instrument),
    Route("/yours/instrument", keep_instrument, methods=["POST"]),
    Route("/yours/instrument/{id}", instrument),
    Route("/yours/instrument/{id}", keep_instrument, methods=["POST"]),
]
