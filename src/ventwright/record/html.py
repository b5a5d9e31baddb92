"""The record as one accessible HTML page that needs nothing beside itself."""

from __future__ import annotations

import re
from base64 import b64encode
from datetime import datetime
from typing import TYPE_CHECKING

from ventwright.record.content import Block, Figure, Report, Shot
from ventwright.record.letters import HARD_SPACE, clean, unparted

if TYPE_CHECKING:
    from markupsafe import Markup


def report_html(report: Report, *, made: datetime) -> str:
    """Return a report as one HTML page: no script, no font and no other file is fetched; photos are inside.

    It reflows on a screen 360 px wide and prints on letter and A4 paper.

    Parameters
    ----------
    report
        What is shown.
    made
        When the record was made, with its offset from UTC.

    Returns
    -------
    str
        The page, to be written in UTF-8.
    """
    from jinja2 import Environment, PackageLoader, StrictUndefined

    environment = Environment(
        loader=PackageLoader("ventwright.record"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
        lstrip_blocks=True,
    )
    environment.filters["kind"] = _kind
    environment.filters["clean"] = clean
    environment.filters["flow"] = _flow
    environment.filters["drawing"] = _drawing
    environment.filters["in_page"] = _in_page
    template = environment.get_template("record.html.j2")
    return template.render(
        report=report,
        made=made.isoformat(timespec="seconds"),
        made_words=f"{made:%Y-%m-%d %H:%M} {_offset(made)}".rstrip(),
    )


def _kind(block: Block) -> str:
    """Name the kind of a block, for the template to choose by."""
    return type(block).__name__


def _drawing(figure: Figure) -> Markup:
    """Let a drawing of our own making into the page as it is: its texts are escaped where it is drawn."""
    from markupsafe import Markup

    return Markup(figure.svg)  # noqa: S704 - not a text that anybody typed


def _in_page(shot: Shot) -> str:
    """Return a photo as an address that holds it."""
    return f"data:image/jpeg;base64,{b64encode(shot.content).decode()}"


def _flow(text: str) -> Markup:
    """Return running text in which a browser ends no line between a number and its unit, if the line has room.

    The span keeps plain spaces inside, so that a search and a copied text have them.
    """
    from markupsafe import Markup, escape

    result = Markup("")
    end = 0
    marked = unparted(clean(text))
    for run in re.finditer(rf"\S*(?:{HARD_SPACE}\S*)+", marked):
        result += escape(marked[end : run.start()])
        result += Markup('<span class="q">{}</span>').format(run[0].replace(HARD_SPACE, " "))
        end = run.end()
    return result + escape(marked[end:])


def _offset(made: datetime) -> str:
    """Return the offset from UTC in words, such as "UTC-07:00"."""
    offset = f"{made:%z}"
    return f"UTC{offset[:3]}:{offset[3:]}" if offset else ""
