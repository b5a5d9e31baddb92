"""How a page is made: templates, the words and numbers in them, and what every page knows of its job."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cache
from importlib.resources import files
from typing import Any
from urllib.parse import urlencode

from jinja2 import Environment, PackageLoader, StrictUndefined
from markupsafe import Markup
from starlette.requests import Request
from starlette.responses import HTMLResponse, RedirectResponse, Response

from ventwright.quantity import Quantity, System
from ventwright.readings.photo import photo_words
from ventwright.store.change import new_id
from ventwright.web.changed import told
from ventwright.web.desk import Desk, Opened
from ventwright.web.lacking import lacking_at, lacking_words
from ventwright.web.language import Translations, chosen, pairs
from ventwright.web.unparted_page import unparted_page
from ventwright.words import Amount, Words


@dataclass(frozen=True, slots=True)
class Stage:
    """One stage of a job: its place in addresses and its title."""

    name: str
    title: str


STAGES = (
    Stage("facts", "Facts"),
    Stage("plan", "Plan"),
    Stage("wire", "Wire"),
    Stage("set", "Set"),
    Stage("balance", "Balance"),
    Stage("prove", "Prove"),
    Stage("restore", "Put back"),
    Stage("find", "Troubleshoot"),
    Stage("record", "Record"),
)


@cache
def static_files() -> dict[str, bytes]:
    """Every file that goes to the browser as it is."""
    folder = files("ventwright.web").joinpath("static")
    return {
        one.name: one.read_bytes()
        for one in sorted(folder.iterdir(), key=lambda one: one.name)
        if one.is_file()
    }


@cache
def edition() -> str:
    """A mark that changes whenever a static file does, so that a browser may keep them for good."""
    content = b"\0".join(name.encode() + held for name, held in static_files().items())
    return hashlib.sha256(content).hexdigest()[:12]


@cache
def environment(language: str = "en") -> Environment:
    """Return the templates in one language, with everything typed escaped."""
    made = Environment(
        loader=PackageLoader("ventwright.web"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
        extensions=["jinja2.ext.i18n"],
    )
    translations = Translations(pairs(language))
    made.install_gettext_translations(translations, newstyle=True)  # type: ignore[attr-defined]
    made.globals.update(new_id=new_id, stages=STAGES, photo_words=photo_words)
    made.filters.update(
        percent=percent, drawing=drawing, capitalize_first=capitalize_first, step_name=step_name,
        lacking_at=lacking_at, lacking_words=lacking_words, in_language=translations.gettext,
    )  # fmt: skip
    return made


def shown(thing: Any, system: System) -> str:
    """Show an amount, a quantity or a sentence in the units of one system; anything else as it is."""
    if isinstance(thing, (Amount, Words, Quantity)):
        return thing.show(system)
    return "" if thing is None else str(thing)


def percent(share: float | None) -> str:
    """Show a share as people say it."""
    return "–" if share is None else f"{100.0 * share:.0f} %"


def capitalize_first(text: str) -> str:
    """Begin a sentence with a capital and leave the rest as it is."""
    return text[:1].upper() + text[1:]


def step_name(id_: str) -> str:
    """Say the id of a step of the tests, or of a measurement, in words."""
    return id_.replace(".", ": ").replace("_", " ")


def drawing(svg: str) -> Markup:
    """Let a drawing of our own making into a page as it is: its texts are escaped where it is drawn."""
    return Markup(svg)  # noqa: S704 - not a text that anybody typed


SAID = {
    "saved": "Saved.",
    "undone": "Taken back.",
    "again": "Entered again.",
    "archived": "Put in the archive.",
    "unarchived": "Taken out of the archive.",
    "imported": "Read in.",
    "nothing": "Nothing was changed.",
    "shared": "Shared.",
    "ended": "Ended.",
}
"""What a page says after a change, by the word in its address: no text from an address is shown."""


async def page(
    request: Request,
    template: str,
    *,
    opened: Opened | None = None,
    stage: str = "",
    status: int = 200,
    **context: Any,
) -> Response:
    """Answer with a page.

    Parameters
    ----------
    template
        File in ``templates``.
    opened
        The job it belongs to, where it belongs to one.
    stage
        Name of the stage it belongs to.
    status
        422 where something that was entered is refused.
    """
    desk = desk_of(request)
    system = opened.system if opened is not None else await desk.system()
    language = chosen(await desk.jobs.setting("language"), request.headers.get("accept-language", ""))
    base = request.scope.get("root_path", "")
    undo, again = (_ids(request.query_params.get(name, "")) for name in ("undo", "again"))
    text = (
        environment(language)
        .get_template(template)
        .render(
            request=request,
            base=base,
            here=_address(request, base),
            language=language,
            file=lambda name: f"{base}/files/{edition()}/{name}",
            job=opened,
            account=getattr(request.state, "account", None),
            system=system,
            show=lambda thing: shown(thing, system),
            stage_here=stage,
            step_here=_step(request, base, stage, opened),
            said=SAID.get(request.query_params.get("said", ""), ""),
            path=request.url.path.removeprefix(base),
            undo=undo,
            redo=again,
            change_words=await _change_words(desk, opened, undo or again),
            **context,
        )
    )
    return HTMLResponse(unparted_page(text), status, headers={"cache-control": "no-store"})


async def _change_words(desk: Desk, opened: Opened | None, ids: str) -> str:
    """Say what was entered or taken back a moment ago."""
    if opened is None or not ids:
        return ""
    return told(await desk.jobs.history(opened.id), ids.split(","), opened).words


def _address(request: Request, base: str) -> str:
    """Return the address of the page with what it was asked with, without the word about the last change."""
    kept = [
        (name, value)
        for name, value in request.query_params.multi_items()
        if name not in {"said", "undo", "again"}
    ]
    return request.url.path.removeprefix(base) + (f"?{urlencode(kept)}" if kept else "")


def _step(request: Request, base: str, stage: str, opened: Opened | None) -> str:
    """Return the step of a stage that a page stands for, from its address; nothing at the head of the stage."""
    if opened is None or not stage:
        return ""
    inside = request.url.path.removeprefix(f"{base}/jobs/{opened.id}/")
    return inside.removeprefix(f"{stage}/") if inside != stage else ""


def _ids(text: str) -> str:
    """Return ids of changes from an address; nothing where something else stands there."""
    return text if text.replace(",", "").isalnum() else ""


def go_to(
    request: Request, path: str, *, said: str = "", undo: Sequence[str] = (), again: Sequence[str] = ()
) -> Response:
    """Send the browser on after a change, with a word about it and a way to take it back, or to let it count again."""
    parts = [f"said={said}"] if said else []
    if undo:
        parts.append("undo=" + ",".join(undo))
    if again:
        parts.append("again=" + ",".join(again))
    mark = "&" if "?" in path else "?"
    address = request.scope.get("root_path", "") + path + (mark + "&".join(parts) if parts else "")
    return RedirectResponse(address, 303)


def desk_of(request: Request) -> Desk:
    """Return the desk of the application that a request came to, in a shop with the eyes of whoever sent it."""
    desk: Desk = getattr(request.state, "desk", None) or request.app.state.desk
    return desk
