"""The spaces of a job as questions: what each is, and whether they are one zone or several."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Any

from ventwright.facts.space import Space, Ventilation
from ventwright.web.desk import Opened
from ventwright.web.form import Option, Question, question

SEVERAL = "multiple zones"
"""What the document calls it where each zone has a supply of its own."""

SYSTEMS = (
    Option("single zone", "One zone: one thermostat for all of them"),
    Option(SEVERAL, "Several zones: each has its own supply control, and the one that needs most decides"),
    Option("all outdoor air", "Outdoor air alone: nothing comes back to the unit"),
)


def _spaces(opened: Opened) -> Sequence[Mapping[str, Any]]:
    held: Sequence[Mapping[str, Any]] = opened.facts.get("spaces") or ()
    return held


def _system(opened: Opened) -> str:
    return str((opened.facts.get("ventilation") or {}).get("system") or "")


def zone_questions(opened: Opened) -> list[Question]:
    """Ask whether the spaces are one zone or several, once there is more than one."""
    if len(_spaces(opened)) < 2 and not _system(opened):
        return []
    return [
        question(
            Ventilation, "system", place="facts.ventilation", label="These spaces are", system=opened.system, options=SYSTEMS,
            help="Unlike rooms on one thermostat are one zone. Several zones need more outdoor air at the unit.",
        )
    ]  # fmt: skip


def space_questions(opened: Opened, number: int) -> list[Question]:
    """Ask for one space; for its zone where there are several."""

    def ask(name: str, label: str, **changed: Any) -> Question:
        place = f"facts.spaces[{number}]"
        return question(Space, name, place=place, label=label, system=opened.system, **changed)

    asked = [
        ask("name", "What it is called"),
        ask("use", "What it is used for", help="Type a word, such as shop or meeting, and take one of the standard's names that are then offered.", suggest=f"/jobs/{opened.id}/facts/uses"),
        ask("floor_area", "Net floor area"),
        ask("people", "People at most", help="Left open, the standard's usual number for that use is taken."),
    ]  # fmt: skip
    if _system(opened) == SEVERAL:
        asked.append(ask("zone", "Zone", help="Spaces with one supply control carry the same zone; left open, it is a zone of its own."))  # fmt: skip
    return asked


def spaces_line(opened: Opened) -> str:
    """Sum the spaces up in a line."""
    names = ", ".join(str(one.get("name")) for one in _spaces(opened))
    zones = {one.get("zone") or one.get("name") for one in _spaces(opened)}
    return f"{names}; {len(zones)} zones" if names and _system(opened) == SEVERAL else names or "not entered"
