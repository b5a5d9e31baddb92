"""Logs of the unit since it was left: handed in, judged while the pages go on, shown with what to measure next."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from starlette.exceptions import HTTPException
from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.errors import Refusal, Refused
from ventwright.readings.trend import Understood
from ventwright.verdict.trend_findings import KnownUnit
from ventwright.verdict.trend_known import known_of
from ventwright.web.desk import Desk, Opened, local_now
from ventwright.web.handed_in import HandedIn
from ventwright.web.page import desk_of, go_to, page
from ventwright.web.pages.record import FOR_PRINTED_PAGE
from ventwright.web.received import received
from ventwright.web.trend_shown import MAP, judging_log, looked, unit_of, unpacked
from ventwright.web.work import Piece, Stopped


def handed_in(request: Request) -> HandedIn:
    """Return the logs that were handed in since the app was started."""
    held: HandedIn = request.app.state.handed_in
    return held


def found_in(job: str) -> str:
    """Name under which what was found is kept."""
    return f"trends of {job}"


def unit_said(job: str) -> str:
    """Name under which it is kept which unit of the logs is that of a job."""
    return f"unit in logs of {job}"


async def overview(request: Request) -> Response:
    """Show what was found; where nothing was, ask for logs."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    piece = handed_in(request).going_on(opened.id)
    if piece is not None:
        return await _going_on(request, desk, opened, piece)
    found = await desk.jobs.setting(found_in(opened.id))
    if not found:
        return await ask_for_logs(request, opened)
    return await page(
        request, "trends.html.j2", opened=opened, found=found, told=found[opened.system],
        again=bool(handed_in(request).paths(opened.id)),
    )  # fmt: skip


async def _going_on(request: Request, desk: Desk, opened: Opened, piece: Piece) -> Response:
    """Say how far the work is; once it is done keep what was found."""
    if not piece.done:
        done, of = piece.progress()
        return await page(request, "trends_working.html.j2", opened=opened, done=done, of=of)
    handed_in(request).goes_on(opened.id, None)
    try:
        found: dict[str, Any] = piece.result()
    except Stopped:
        return await ask_for_logs(request, opened)
    except Refused as refused:
        return await ask_for_logs(request, opened, refused.refusals)
    await desk.jobs.set_setting(found_in(opened.id), found)
    return go_to(request, f"/jobs/{opened.id}/trends")


async def ask_for_logs(request: Request, opened: Opened, refusals: Sequence[Refusal] = ()) -> Response:
    """Ask for logs."""
    found = await desk_of(request).jobs.setting(found_in(opened.id))
    wrong = [{"name": "", "sentence": one.sentence} for one in refusals]
    status = 422 if refusals else 200
    return await page(
        request, "trends_choose.html.j2", opened=opened, status=status, wrong=wrong, found=found
    )


async def choose(request: Request) -> Response:
    """Ask for other logs."""
    return await ask_for_logs(request, await desk_of(request).open(request.path_params["job"]))


async def take(request: Request) -> Response:
    """Take logs in, look at them, and begin; what only a person can say is asked first."""
    form = await received(request)
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    files = [one for one in form.every_file.get("logs", ()) if one[0]]
    if not files:
        missing = Refusal("are missing", "one file or more that a building system or a logger wrote", "logs")
        return await ask_for_logs(request, opened, [missing])
    handed_in(request).hold(opened.id, files)
    return await look_and_begin(request, desk, opened)


async def look_and_begin(request: Request, desk: Desk, opened: Opened) -> Response:
    """Look at the logs of a job with what is said of them; begin, or go on to what has to be asked."""
    mark = handed_in(request).mark(opened.id)
    try:
        understood = await understood_of(request, desk, opened)
    except Refused as refused:
        if handed_in(request).mark(opened.id) == mark:  # not others that were handed in meanwhile
            handed_in(request).forget(opened.id)
        return await ask_for_logs(request, opened, refused.refusals)
    unit = unit_of(understood, opened.tag, await desk.jobs.setting(unit_said(opened.id)) or "")
    if understood.questions or not unit:
        return go_to(request, f"/jobs/{opened.id}/trends/columns")
    key = f"trends {opened.id} {opened.revision} {opened.folder} {mark} {unit}"
    piece = desk.work.begin(key, judging_log, understood, unit, await _known(desk, opened), local_now(""))
    handed_in(request).goes_on(opened.id, piece)
    return go_to(request, f"/jobs/{opened.id}/trends")


async def understood_of(request: Request, desk: Desk, opened: Opened) -> Understood:
    """Look at the logs of a job with the point map that is kept.

    Raises
    ------
    Refused
        None can be read, or the map cannot.
    """
    held = (await desk.jobs.own_files(opened.id)).get(MAP, b"").decode("utf-8", "replace")
    return await desk.work.now(looked, handed_in(request).paths(opened.id), held)


async def _known(desk: Desk, opened: Opened) -> KnownUnit:
    """Return what the job knows of its unit; nothing while it lacks facts."""
    worked = opened.worked
    if worked is None:
        return KnownUnit()
    return await desk.work.now(known_of, worked.job.facts, worked.plan, worked.job.readings, worked.verdicts)


async def again(request: Request) -> Response:
    """Judge the logs once more, with what the job says now."""
    await received(request)
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    if not handed_in(request).paths(opened.id):
        return go_to(request, f"/jobs/{opened.id}/trends/choose")
    return await look_and_begin(request, desk, opened)


async def stop(request: Request) -> Response:
    """Stop the work; the logs stay."""
    opened = await desk_of(request).open(request.path_params["job"])
    piece = handed_in(request).going_on(opened.id)
    if piece is not None:
        piece.stop()
        handed_in(request).goes_on(opened.id, None)
    return go_to(request, f"/jobs/{opened.id}/trends")


async def report(request: Request) -> Response:
    """Answer with what was found as a page to read and print."""
    desk = desk_of(request)
    opened = await desk.open(request.path_params["job"])
    found = await desk.jobs.setting(found_in(opened.id))
    if not found:
        raise HTTPException(404)
    headers = {"content-security-policy": FOR_PRINTED_PAGE, "cache-control": "no-store"}
    text = unpacked(found["report"][opened.system])
    return Response(text, media_type="text/html; charset=utf-8", headers=headers)


routes = [
    Route("/jobs/{job}/trends", overview),
    Route("/jobs/{job}/trends", take, methods=["POST"]),
    Route("/jobs/{job}/trends/choose", choose),
    Route("/jobs/{job}/trends/again", again, methods=["POST"]),
    Route("/jobs/{job}/trends/stop", stop, methods=["POST"]),
    Route("/jobs/{job}/trends/report", report),
]
