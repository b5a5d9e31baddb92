"""One way to enter a reading from a page: read the form, enter it, or show the page again with what is wrong."""

from __future__ import annotations

from collections.abc import Awaitable, Callable, Sequence
from dataclasses import replace
from typing import Any

from starlette.responses import Response

from ventwright.errors import Refusal, Refused
from ventwright.web.desk import Desk, Opened
from ventwright.web.entries import entry_steps
from ventwright.web.form import Form, Question, answers

Shown = Callable[[Sequence[Refusal]], Awaitable[Response]]
Gone = Callable[[list[str]], Response]


async def enter_reading(
    desk: Desk,
    opened: Opened,
    form: Form,
    what: str,
    questions: Sequence[Question],
    *,
    wrong: Shown,
    done: Gone,
    **more: Any,
) -> Response:
    """Enter one reading.

    Parameters
    ----------
    what
        Kind of entry.
    questions
        What the form asked; the answers are fields of the entry.
    wrong
        Shows the form again, with refusals placed at its questions.
    done
        Goes on, with the ids of the changes.
    more
        Further fields that were not asked.
    """
    given = {
        place: value for place, value in answers(questions, form.texts).items() if value not in (None, False)
    }
    try:
        steps = await entry_steps(desk, opened, form, what, **given, **more)
        return done(await desk.enter(opened, steps, once=form.get("once")))
    except Refused as refused:
        return await wrong([placed(one, questions) for one in refused.refusals])


def placed(refusal: Refusal, questions: Sequence[Question]) -> Refusal:
    """Place a refusal of an entry at the question that it is about, or at none."""
    field = refusal.where.rpartition(".")[2].partition("[")[0]
    return refusal.at(field) if field in {one.place for one in questions} else replace(refusal, where="")
