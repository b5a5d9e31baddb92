"""Readings made from a form: when, by whom, on which visit."""

from __future__ import annotations

from typing import Any

from ventwright.web.desk import Add, Desk, Opened, Step, local_now, new_id
from ventwright.web.form import Form


async def entry_steps(desk: Desk, opened: Opened, form: Form, what: str, **fields: Any) -> list[Step]:
    """Make the steps that enter one reading, with a visit of today where there is none yet.

    Parameters
    ----------
    what
        Kind of entry, such as "mixed air".
    fields
        What was read; None and empty texts are left out.
    """
    at = local_now(form.get("offset"))
    visit, opening = await visit_of(desk, opened, at.isoformat(timespec="seconds"))
    entry = {"what": what, "id": new_id()[:8], "at": at.isoformat(timespec="seconds"), "visit": visit}
    kept = {name: value for name, value in fields.items() if value not in (None, "", [], {})}
    return [*opening, Add("readings.entries", {**entry, **kept})]


async def visit_of(desk: Desk, opened: Opened, at: str) -> tuple[str, list[Step]]:
    """Return the visit of a moment, and the step that opens it where nobody has come that day."""
    visits = (opened.document.get("readings") or {}).get("visits") or []
    for visit in reversed(visits):
        if str(visit.get("started", ""))[:10] == at[:10] and not visit.get("ended"):
            return str(visit["id"]), []
    new = await visit_for(desk, opened, at)
    return str(new["id"]), [Add("readings.visits", new)]


async def visit_for(desk: Desk, opened: Opened, at: str, purpose: str = "") -> dict[str, Any]:
    """Return a new visit that begins at a moment, with who comes and for what."""
    visits = (opened.document.get("readings") or {}).get("visits") or []
    name = await desk.jobs.setting("technician") or "not named"
    visit = {"id": f"visit-{len(visits) + 1}", "started": at, "technician": name}
    certificate = await desk.jobs.setting("certificate")
    more = {"certificate": certificate, "purpose": purpose}
    return visit | {key: value for key, value in more.items() if value}
