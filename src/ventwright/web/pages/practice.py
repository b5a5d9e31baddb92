"""The practice roof: a job on a unit in software with hidden faults, by choice or by code, and how it ended."""

from __future__ import annotations

from collections.abc import Sequence
from hashlib import sha256
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.job import Worked
from ventwright.readings.practice.code import SEEDS, PracticeCode, read_code
from ventwright.readings.practice.end import Ended, how_it_ended, minutes_of
from ventwright.readings.practice.hidden import hidden_unit
from ventwright.store.change import new_id
from ventwright.tables.practice import practice_table
from ventwright.web.desk import Opened
from ventwright.web.form import Form, Option, Question, filled, mistakes
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.jobs import is_kept
from ventwright.web.pages.waiting import waiting
from ventwright.web.practice_job import played, practice_document
from ventwright.web.practice_shown import practice_complaint
from ventwright.web.received import received
from ventwright.web.work import Stopped


def _questions() -> list[Question]:
    table = practice_table()
    hard = tuple(Option(one.id, f"{one.words}. {one.lead}") for one in table.difficulties)
    days = tuple(Option(one.id, one.words) for one in table.weathers)
    return [
        Question("difficulty", "How hard", "difficulty", "choice", options=hard, required=True),
        Question("weather", "The day", "weather", "choice", options=days, required=True),
        Question("code", "Or a code that somebody gave you", "code", "text",
                 help="Eight letters and digits; it decides everything, whatever is chosen above."),
    ]  # fmt: skip


async def begin(request: Request) -> Response:
    """Ask how hard it is to be and in which weather, or for a code."""
    return await _asked(request, Form(_first_choice()))


def _first_choice() -> dict[str, str]:
    table = practice_table()
    return {"difficulty": table.difficulties[0].id, "weather": table.weathers[1].id}


async def _asked(request: Request, form: Form, refusals: Sequence[Refusal] = ()) -> Response:
    questions = _questions()
    asked = filled(questions, {}, typed=form.texts, refusals=refusals)
    status = 422 if refusals else 200
    return await page(
        request, "practice.html.j2", status=status, asked=asked, wrong=mistakes(refusals, questions)
    )


async def open_job(request: Request) -> Response:
    """Open a job on the practice roof that was asked for."""
    desk, form = desk_of(request), await received(request)
    job = form.get("once") or new_id()
    try:
        code = _code(form, job)
    except Refused as refused:
        return await _asked(request, form, [one.at(one.where or "code") for one in refused.refusals])
    if not await is_kept(desk, job):  # the same form sent twice opens one job
        document = practice_document(code, await desk.system(), job=job)
        await desk.jobs.create(document, device=desk.device)
    return go_to(request, f"/jobs/{job}/practice")


def _code(form: Form, drawn_from: str) -> PracticeCode:
    """Return the code that was typed, or one of the kind that was chosen.

    Raises
    ------
    Refused
        What was typed is no code, or what was chosen is not offered.
    """
    if form.get("code"):
        return read_code(form.get("code"))
    table, places = practice_table(), list[int]()
    for name, offered in (("difficulty", table.difficulties), ("weather", table.weathers)):
        ids = [one.id for one in offered]
        if form.get(name) not in ids:
            words = " or ".join(one.words for one in offered)
            raise Refused(Refusal("is not offered", words, name, form.get(name) or "nothing"))
        places.append(ids.index(form.get(name)))
    seed = int.from_bytes(sha256(drawn_from.encode()).digest()[:8]) % SEEDS
    return PracticeCode(places[0], places[1], seed)


async def shown(request: Request) -> Response:
    """Show the code of a practice job, what was told beforehand and how long it has taken so far."""
    opened, worked = await _practice(request)
    if worked is None:
        return await waiting(request, opened, "", "Practice roof")
    code, table = read_code(opened.practice), practice_table()
    return await page(
        request, "practice_job.html.j2", opened=opened, complaint=practice_complaint(opened), minutes=minutes_of(worked.job.readings),
        difficulty=table.difficulties[code.difficulty], weather=table.weathers[code.weather],
    )  # fmt: skip


async def _practice(request: Request) -> tuple[Opened, Worked | None]:
    opened = await desk_of(request).open(request.path_params["job"])
    if not opened.practice:
        raise HTTPException(404)
    return opened, opened.worked


async def ended(request: Request) -> Response:
    """Tell what was there, what was put right and missed, what was left behind, and how long a best path takes."""
    desk = desk_of(request)
    opened, worked = await _practice(request)
    if worked is None:
        return await waiting(request, opened, "", "Practice roof")
    code = read_code(opened.practice)
    came = how_it_ended(hidden_unit(code), worked.job.readings)
    piece = desk.work.begin(f"practice {code}", played, code)
    best: dict[str, Any] = {"best": None, "done": 0, "of": 1}
    if piece.done:
        try:
            found: Ended = piece.result()
            best["best"] = found
        except Stopped:
            pass
    else:
        best["done"], best["of"] = piece.progress()
    return await page(request, "practice_end.html.j2", opened=opened, came=came, **best)


routes = [
    Route("/practice", begin),
    Route("/practice", open_job, methods=["POST"]),
    Route("/jobs/{job}/practice", shown),
    Route("/jobs/{job}/practice/end", ended),
]
