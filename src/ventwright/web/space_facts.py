"""The spaces of a job as questions: what each is, whether they are one zone or several, and the air that each zone gets."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from typing import Any

from ventwright.errors import Refused
from ventwright.facts.space import Space, Ventilation, Zone
from ventwright.plan.several_zones import ZONES, method_of, needs_primary_air
from ventwright.tables import ventilation
from ventwright.web.desk import Add, Opened, Put, Step
from ventwright.web.form import Option, Question, question

SEVERAL = "multiple zones"
"""What the document calls it where each zone has a supply of its own."""

SYSTEMS = (
    Option("single zone", "One zone: one thermostat for all of them"),
    Option(SEVERAL, "Several zones: each has its own supply control, and the one that needs most decides"),
    Option("all outdoor air", "Outdoor air alone: nothing comes back to the unit"),
)

DEFAULT_STANDARD = "62.1-2019"
"""Whose rules and names of uses hold where the job names no standard; the plan assumes the same."""

METHODS = {
    "simplified": Option("simplified", "The simplified way of the standard"),
    "zone table": Option("zone table", "The standard's table: by the zone that needs most"),
    "appendix A": Option("appendix A", "Appendix A: zone by zone"),
}
"""How the efficiency of a system of several zones is found, as people choose it."""

AIR_OF_A_ZONE = "The least supply air that the zone gets, such as its box is set to; with its ± where it was measured, such as 480 cfm ± 5 %."
"""What stands below the first of the questions for the air of each zone."""


def edition_of(opened: Opened) -> str:
    """Return the edition of the ventilation standard that holds for a job; the usual one where it names none that is known."""
    try:
        return ventilation.edition_named(_ventilation(opened).get("standard") or DEFAULT_STANDARD)
    except Refused:
        return DEFAULT_STANDARD


def _ventilation(opened: Opened) -> Mapping[str, Any]:
    held: Mapping[str, Any] = opened.facts.get("ventilation") or {}
    return held


def _spaces(opened: Opened) -> Sequence[Mapping[str, Any]]:
    held: Sequence[Mapping[str, Any]] = opened.facts.get("spaces") or ()
    return held


def _zones(opened: Opened) -> Sequence[Mapping[str, Any]]:
    held: Sequence[Mapping[str, Any]] = _ventilation(opened).get("zones") or ()
    return held


def _system(opened: Opened) -> str:
    return str(_ventilation(opened).get("system") or "")


def _zone_of(space: Mapping[str, Any]) -> str:
    return str(space.get("zone") or space.get("name") or "")


def zone_questions(opened: Opened) -> list[Question]:
    """Ask whether the spaces are one zone or several, once there is more than one; then for the air that each zone gets."""
    if len(_spaces(opened)) < 2 and not _system(opened):
        return []
    system = question(
        Ventilation, "system", place="facts.ventilation", label="These spaces are", system=opened.system, options=SYSTEMS,
        help="Unlike rooms on one thermostat are one zone. Several zones need more outdoor air at the unit.",
    )  # fmt: skip
    return [system, *_airflow_questions(opened)]


def _airflow_questions(opened: Opened) -> list[Question]:
    """Ask for each zone's primary air, where the standard needs it or some is held already."""
    edition, method = edition_of(opened), _ventilation(opened).get("method")
    held = any(one.get("least_primary_air") for one in _zones(opened))
    if _system(opened) != SEVERAL or not (needs_primary_air(SEVERAL, method, edition) or held):
        return []
    usual = method_of(None, edition)
    ways = question(
        Ventilation, "method", place="facts.ventilation", label=f"How {edition} counts them together", system=opened.system,
        options=(METHODS[usual], METHODS["appendix A"]), help=f"Left open: {METHODS[usual].label[:1].lower()}{METHODS[usual].label[1:]}.",
    )  # fmt: skip
    asked = [
        question(Zone, "least_primary_air", place=place, label=f"Least primary air, {name}", system=opened.system)
        for name, place in _places(opened).items()
    ]  # fmt: skip
    helped = [replace(one, help="" if number else AIR_OF_A_ZONE) for number, one in enumerate(asked)]
    return [ways, *(replace(one, name=_field(one.place)) for one in helped)]


def _field(place: str) -> str:
    """Name the control of a zone's airflow."""
    return f"primary-{_number_in(place)}"


def _number_in(place: str) -> int:
    """Return the number of the zone at a place."""
    return int(place.removeprefix(f"{ZONES}[").partition("]")[0])


def _places(opened: Opened) -> dict[str, str]:
    """Return where each zone stands in the document; one that does not yet, behind the last."""
    held = [one.get("name") for one in _zones(opened)]
    names = dict.fromkeys(_zone_of(one) for one in _spaces(opened))
    order = [*held, *(name for name in names if name not in held)]
    return {name: f"{ZONES}[{order.index(name) + 1}]" for name in names}


def zones_added(given: Mapping[str, Any], opened: Opened) -> list[Step]:
    """Add the zones that an airflow was given for and that are not in the document yet.

    All that are lacking come in, in their order: so every one stands where its question said.
    """
    new = {name: place for name, place in _places(opened).items() if _is_new(place, opened)}
    airflows = {name: given.get(f"{place}.least_primary_air") for name, place in new.items()}
    if not any(airflows.values()):
        return []
    return [Add(ZONES, {"name": name, **({"least_primary_air": air} if air else {})}) for name, air in airflows.items()]  # fmt: skip


def zones_held(given: Mapping[str, Any], opened: Opened) -> dict[str, Any]:
    """Leave out the answers for zones that are not in the document yet."""
    new = tuple(f"{place}." for place in _places(opened).values() if _is_new(place, opened))
    return {place: value for place, value in given.items() if not (new and place.startswith(new))}


def _is_new(place: str, opened: Opened) -> bool:
    return _number_in(place) > len(_zones(opened))


def zone_follows(opened: Opened, number: int, becomes: Mapping[str, Any] | None) -> list[Step]:
    """Let a zone of the document follow its space: called anew with it, or taken out with the last one in it.

    Parameters
    ----------
    number
        Of the space, from 1.
    becomes
        The space as it will be; None where it is taken out.
    """
    spaces = _spaces(opened)
    old = _zone_of(spaces[number - 1])
    others = {_zone_of(one) for at, one in enumerate(spaces, start=1) if at != number}
    held = [one.get("name") for one in _zones(opened)]
    new = "" if becomes is None else _zone_of(becomes)
    if _system(opened) != SEVERAL or old not in held or old in others or new == old:
        return []
    place = f"{ZONES}[{held.index(old) + 1}]"
    return [Put(f"{place}.name", new) if new and new not in {*others, *held} else Put(place, None)]


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
    zones = {_zone_of(one) for one in _spaces(opened)}
    return f"{names}; {len(zones)} zones" if names and _system(opened) == SEVERAL else names or "not entered"
