"""The owner's view: the record of the jobs of a link, to read and to print, and nothing else."""

from __future__ import annotations

from collections.abc import Awaitable, Callable
from dataclasses import replace

from starlette.requests import Request
from starlette.responses import Response
from starlette.routing import Route

from ventwright.evidence import Verdict
from ventwright.store.seeing import Seeing
from ventwright.store.tokens import Token
from ventwright.web.desk import NoSuchJob, Opened
from ventwright.web.page import desk_of, page
from ventwright.web.pages import record
from ventwright.web.shop.held import held_of
from ventwright.web.shop.visitor import address_of

Answer = Callable[[Request, Opened], Awaitable[Response]]


async def listed(request: Request) -> Response:
    """Show the jobs of a link."""
    token = await _let_in(request)
    if token is None:
        return await _no_good(request)
    rows = await desk_of(request).jobs.jobs()
    return await page(
        request, "shop_owner.html.j2", rows=rows, token=token, secret=request.path_params["secret"]
    )


async def job(request: Request) -> Response:
    """Show how one job stands: what is proved, what is not, and when somebody should look again."""
    return await _of_job(request, _summed_up)


async def printed(request: Request) -> Response:
    """Answer with the record as a page to read and print."""
    return await _of_job(request, lambda asked, _: record.printed(asked))


async def file(request: Request) -> Response:
    """Hand out the record as PDF."""
    request.path_params["name"] = "record.pdf"
    return await _of_job(request, lambda asked, _: record.file(asked))


async def _of_job(request: Request, answer: Answer) -> Response:
    """Let an owner see one of his jobs; any other is not here."""
    token = await _let_in(request)
    if token is None:
        return await _no_good(request)
    opened = await desk_of(request).open(request.path_params["job"])
    await held_of(request).shop.trail.note(
        "looked at by a link", name=token.label, job=opened.id, detail=request.url.path.rpartition("/")[2][:20] if request.url.path.endswith((".pdf", "/page")) else "",
        address=address_of(request), once_an_hour=True,
    )  # fmt: skip
    return await answer(request, opened)


async def _summed_up(request: Request, opened: Opened) -> Response:
    worked = opened.worked
    if worked is None:
        raise NoSuchJob(opened.id)
    checks = list(worked.verdicts.checks())
    return await page(
        request, "shop_owner_job.html.j2", facts=opened,
        checks=checks, passes=worked.verdicts.counted(Verdict.PASSES), record=worked.job.record,
        deficiencies=[one for one in worked.job.verdict.deficiencies if one.closed_on is None], secret=request.path_params["secret"],
    )  # fmt: skip


async def _let_in(request: Request) -> Token | None:
    """Look at the link, and let the pages look with its eyes; None where it is no link (any more)."""
    held, address = held_of(request), address_of(request)
    token = await held.limits.find("owner", request.path_params["secret"], address)
    if token is None:
        return None
    await held.shop.tokens.note_use(token)
    site = token.about.get("site")
    jobs = (
        {str(token.about.get("job"))}
        if site is None
        else {row.id for row in await held.shop.jobs.jobs() if row.site == site}
    )
    seeing = Seeing(name=token.label, role="owner", jobs=frozenset(jobs), address=address)
    request.state.desk = held.seen_by(replace(seeing, units=str(token.about.get("units", ""))))
    return token


async def _no_good(request: Request) -> Response:
    words = "This link was withdrawn or is past its end. Ask whoever gave it to you for a new one."
    return await page(request, "sorry.html.j2", status=404, title="No such link", words=words)


routes = [
    Route("/owner/{secret}", listed),
    Route("/owner/{secret}/{job}", job),
    Route("/owner/{secret}/{job}/page", printed),
    Route("/owner/{secret}/{job}/record.pdf", file),
]
