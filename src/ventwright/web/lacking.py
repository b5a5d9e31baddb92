"""What a plan still lacks, each with the page on which it is asked."""

from __future__ import annotations

import re

from ventwright.errors import Refusal

PAGES = (
    # where it stands in the document, page within the job, its title
    ("facts.site", "/facts/site", "Site"),
    ("facts.unit", "/facts/unit", "Unit"),
    ("facts.unit.fan_speeds", "/facts/speeds", "Fan speeds"),
    ("facts.spaces", "/facts/spaces", "Spaces"),
    ("facts.ventilation", "/facts/air", "Outdoor air required"),
    ("facts.ventilation.system", "/facts/spaces", "Spaces"),
    ("facts.ventilation.method", "/facts/spaces", "Spaces"),
    ("facts.ventilation.zones", "/facts/spaces", "Spaces"),
    ("facts.kit", "/facts/kit", "Kit"),
    ("facts.instruments", "/facts/instruments", "Instruments"),
    ("facts.weather", "/facts/today", "Today's air"),
    ("facts.as_found", "/facts/found", "As found"),
    ("facts.at_hand", "/facts/hand", "At hand"),
    ("facts.running", "/facts/running", "Through the year"),
    ("facts.harness", "/wire", "Wire"),
    ("facts.power", "/wire/power", "Control power"),
)

_SPACE = re.compile(r"facts\.spaces\[(\d+)\]")


def lacking_at(refusal: Refusal) -> tuple[str, str]:
    """Return the address within the job of the page that asks for what is missing, and its title; the facts where none does."""
    space = _SPACE.match(refusal.where)
    if space:
        return f"/facts/spaces/{space[1]}", "Spaces"
    inside = re.split(r"[\[ ]", refusal.where)[0]
    fitting = [(len(place), at, title) for place, at, title in PAGES if f"{inside}.".startswith(f"{place}.")]
    _, at, title = max(fitting, default=(0, "/facts", "Facts"))
    return at, title


def lacking_words(refusal: Refusal) -> str:
    """Say what is missing; where it stands in the document is left to the page's title beside it."""
    return (refusal.at("") if refusal.where.startswith("facts.") else refusal).sentence
