"""The sections of the facts: what each asks, in which words, and how it is summed up in a line."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from ventwright.facts import AsFound, AtHand, Site, Unit, Ventilation, Weather
from ventwright.facts.space import DrawnOutdoorAir
from ventwright.facts.unit import FanSpeed
from ventwright.quantity import LENGTH
from ventwright.tables import energy_code, ventilation
from ventwright.tables.kit import Kit
from ventwright.tables.shelf import find, names
from ventwright.tables.unit_sheet import UnitSheet
from ventwright.web.desk import Opened, Step
from ventwright.web.form import Option, Question, question
from ventwright.web.own_part import own_beside
from ventwright.web.running_facts import energy_line, energy_questions, running_line, running_questions
from ventwright.web.space_facts import spaces_line, zone_questions, zones_added, zones_held
from ventwright.words import Amount

Given = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Section:
    """One small screen of facts.

    ``guesses`` begins the names of the guesses that its answers would replace; ``completed`` lets a section put more
    into the document than was asked, such as the part that an answer stands in; ``adds`` says what it adds to lists.
    """

    name: str
    title: str
    lead: str
    asks: Callable[[Opened], list[Question]]
    sums_up: Callable[[Opened], str]
    guesses: tuple[str, ...] = ()
    then: str = ""
    follows: Callable[[Opened], list[tuple[str, str]]] = field(default=lambda _: [])
    completes: Callable[[Given, Opened], Given] = field(default=lambda given, _: given)
    adds: Callable[[Given, Opened], list[Step]] = field(default=lambda _given, _opened: [])

    def questions(self, opened: Opened) -> list[Question]:
        """Return what is asked."""
        return self.asks(opened)

    def summary(self, opened: Opened) -> str:
        """Sum the section up in a line."""
        return self.sums_up(opened)

    def derived(self, opened: Opened) -> list[tuple[str, str]]:
        """Return what follows from the answers, and is never typed."""
        return self.follows(opened)

    def completed(self, given: Given, opened: Opened) -> Given:
        """Return the answers as they go into the document."""
        return self.completes(given, opened)

    def added(self, given: Given, opened: Opened) -> list[Step]:
        """Return what the answers add to lists of the document."""
        return self.adds(given, opened)


def _listed(*parts: object) -> str:
    return ", ".join(str(one) for one in parts if one)


def _options(values: tuple[str, ...]) -> tuple[Option, ...]:
    return tuple(Option(one, one) for one in values)


def _site(opened: Opened) -> list[Question]:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(Site, name, place="facts.site", label=label, system=opened.system, **changed)

    return [
        ask("name", "What people call the site"),
        ask("elevation", "Height above sea level", help="Left open, the middle of the county is taken; without a county, the sea."),
        ask("address", "How to find it", kind="long"),
        ask("energy_code", "Energy code", kind="choice", options=_options(energy_code.editions()), help="The edition that the authority enforces there."),
        ask("storeys", "Storeys above ground", help="In taller buildings dampers may leak less."),
        ask("note", "Note", kind="long", help="Hatch, ladder, keys, whom to tell."),
    ]  # fmt: skip


def _place_follows(opened: Opened) -> list[tuple[str, str]]:
    if opened.worked is None:
        return []
    basis = opened.worked.plan.basis
    return [
        ("Climate zone", f"{basis.climate_zone or 'not known'} ({basis.climate_source})"),
        (
            "Elevation",
            Amount(basis.elevation, LENGTH).show(opened.system) + _guessed(opened, "site.elevation"),
        ),
        ("Energy code", basis.energy_code),
    ]


def _guessed(opened: Opened, what: str) -> str:
    guesses = opened.worked.plan.guesses if opened.worked else ()
    return " (guess)" if any(one.what == what for one in guesses) else ""


def _unit(opened: Opened) -> list[Question]:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(Unit, name, place="facts.unit", label=label, system=opened.system, **changed)

    sheets = tuple(Option(one, find("units", one, UnitSheet).name) for one in names("units"))
    asked = [
        ask("tag", "Tag on the unit", help="As painted on it, such as R-2."),
        ask("serves", "What it serves"),
        ask("sheet", "Data sheet", kind="choice", options=sheets, help="Where the unit is one of these, the rest follows."),
        ask("cooling_capacity", "Cooling capacity", usual="ton"),
        ask("cooling_stages", "Stages of mechanical cooling"),
        ask("heating", "Heating"),
        ask("relief", "How excess air leaves the building"),
        ask("lowest_cooling_ambient", "Coldest outdoor air for cooling", help="From the nameplate."),
        ask("low_ambient_control", "Low-ambient control"),
        ask("serial", "Serial number"),
    ]  # fmt: skip
    if (opened.facts.get("unit") or {}).get("heating") == "heat pump":
        asked.insert(6, ask("reversing_valve", "Reversing valve has power"))
    return asked


def _speeds(opened: Opened) -> list[Question]:
    asked = []
    for number, speed in enumerate((opened.facts.get("unit") or {}).get("fan_speeds") or [], start=1):
        place = f"facts.unit.fan_speeds[{number}]"
        called = speed.get("name", number)
        for name, label in (
            ("supply_air", f"Supply airflow at {called} speed"),
            ("basis", "Where this comes from"),
        ):
            one = question(FanSpeed, name, place=place, label=label, system=opened.system, required=False)
            asked.append(_renamed(one, f"{name}-{number}"))
    return asked


def _renamed(one: Question, name: str) -> Question:
    from dataclasses import replace

    return replace(one, name=name)


def _air(opened: Opened) -> list[Question]:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(
            Ventilation, name, place="facts.ventilation", label=label, system=opened.system, **changed
        )

    def drawn(name: str, label: str, **changed: Any) -> Question:
        place, system = "facts.ventilation.drawn", opened.system
        return question(
            DrawnOutdoorAir, name, place=place, label=label, system=system, required=False, **changed
        )

    return [
        ask("standard", "Ventilation standard", kind="choice", options=_options(ventilation.editions())),
        drawn("cooling", "Outdoor air on the drawings, cooling", help="From drawings or a balancing report: it goes before the sum over the spaces."),
        drawn("heating", "Outdoor air on the drawings, heating"),
        drawn("source", "Where it is written", help="Sheet, schedule, report and date."),
        ask("demand_control", "Demand-controlled ventilation"),
    ]  # fmt: skip


def _drawn_whole(given: Given, opened: Opened) -> Given:
    """Take the drawn airflow out as a whole where its number was cleared."""
    if given.get("facts.ventilation.drawn.cooling") is None:
        kept = {place: value for place, value in given.items() if ".drawn." not in place}
        had = (opened.facts.get("ventilation") or {}).get("drawn")
        return kept | ({"facts.ventilation.drawn": None} if had else {})
    return given


def _kit(opened: Opened) -> list[Question]:
    kits = tuple(Option(one, find("kits", one, Kit).name) for one in names("kits"))
    own = tuple(Option(*one) for one in own_beside(opened.folder, "kit"))
    held = str(opened.facts.get("kit") or "")
    other = () if not held or held in {one.value for one in (*kits, *own)} else (Option(held, held),)
    return [
        Question("kit", "Economizer kit", "facts.kit", "choice", required=True, options=(*kits, *own, *other))
    ]


def _kit_line(opened: Opened) -> str:
    """Return the name that a person knows the kit by; what is on no shelf is shown as it stands."""
    held = opened.facts.get("kit")
    options = _kit(opened)[0].options
    return next((one.label for one in options if one.value == held), str(held or "not chosen"))


def _today(opened: Opened) -> list[Question]:
    def ask(name: str, label: str) -> Question:
        return question(
            Weather, name, place="facts.weather", label=label, system=opened.system, required=False
        )

    return [ask("outdoor_air", "Outdoor temperature"), ask("return_air", "Return-air temperature")]


def _weather_whole(given: Given, opened: Opened) -> Given:
    if given.get("facts.weather.outdoor_air") is None and not given.get("facts.weather.return_air"):
        return {"facts.weather": None} if opened.facts.get("weather") else {}
    return given


def _found(opened: Opened) -> list[Question]:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(AsFound, name, place="facts.as_found", label=label, system=opened.system, **changed)

    return [
        ask("damper_position", "Where the damper stood", help="In per cent of its stroke, or volts of its signal."),
        ask("condition", "What was seen", kind="long", help="One thing a line: filter, seals, coil, hood, wiring."),
        ask("by", "Seen by"),
        ask("on", "Day"),
    ]  # fmt: skip


def _lines(given: Given, _: Opened) -> Given:
    place = "facts.as_found.condition"
    text = given.get(place)
    return given | {
        place: [line.strip() for line in str(text).splitlines() if line.strip()] if text else None
    }


def _hand(opened: Opened) -> list[Question]:
    def ask(name: str, label: str, **changed: Any) -> Question:
        return question(AtHand, name, place="facts.at_hand", label=label, system=opened.system, **changed)

    return [
        ask("people", "How many people come", required=False),
        ask("decade_box", "A box of switched resistors is carried"),
        ask("packs", "Warm and cold packs are carried"),
    ]


def _of(opened: Opened, part: str) -> Mapping[str, Any]:
    held: Mapping[str, Any] = opened.facts.get(part) or {}
    return held


def _today_line(opened: Opened) -> str:
    held = _of(opened, "weather")
    named = (("outdoors", held.get("outdoor_air")), ("return air", held.get("return_air")))
    return _listed(*(f"{what} {value}" for what, value in named if value)) or "not entered"


def _hand_line(opened: Opened) -> str:
    held = _of(opened, "at_hand")
    count = held.get("people", 1)
    carried = (
        name for key, name in (("decade_box", "resistors"), ("packs", "warm and cold packs")) if held.get(key)
    )
    return _listed("1 person" if count == 1 else f"{count} people", *carried)


SECTIONS: dict[str, Section] = {
    one.name: one
    for one in (
        Section("site", "Site", "Where the unit stands, and under which codes.", _site,
                lambda o: _listed(_of(o, "site").get("name"), _of(o, "site").get("county"), _of(o, "site").get("climate_zone")),
                ("site",), follows=_place_follows),
        Section("unit", "Unit", "What stands on the roof. Leave open what you don't know.", _unit,
                lambda o: _listed(_of(o, "unit").get("tag"), _of(o, "unit").get("cooling_capacity"), _of(o, "unit").get("heating")),
                ("unit.",)),
        Section("speeds", "Fan speeds", "What the fan is thought to move. A reading of your own goes before it.", _speeds,
                lambda o: _listed(*(one.get("name") for one in _of(o, "unit").get("fan_speeds") or [])) or "from the data sheet",
                ("unit.supply_air", "unit.fan_speeds")),
        Section("spaces", "Spaces", "Their use and size say how much outdoor air they need.", zone_questions, spaces_line, ("spaces", "ventilation.system"),
                completes=zones_held, adds=zones_added),
        Section("air", "Outdoor air required", "From the spaces, or from the drawings.", _air,
                lambda o: _listed(_of(o, "ventilation").get("standard"), (_of(o, "ventilation").get("drawn") or {}).get("cooling")) or "from the spaces",
                ("site.ventilation",), completes=_drawn_whole),
        Section("kit", "Kit", "What is fitted.", _kit, _kit_line),
        Section("instruments", "Instruments", "What you read with, and how far each can be trusted.", lambda _: [],
                lambda o: _listed(*(one.get("name") or one.get("id") for one in o.facts.get("instruments") or [])) or "none"),
        Section("today", "Today's air", "As it is now, or as it is expected.", _today,
                _today_line,
                completes=_weather_whole),
        Section("found", "As found", "Before anything is touched: the only evidence of what the work changed.", _found,
                lambda o: _listed(_of(o, "as_found").get("damper_position"), *(_of(o, "as_found").get("condition") or [])) or "not entered",
                completes=_lines),
        Section("hand", "At hand", "People and things for the tests. What is not carried, no test is simulated with.", _hand,
                _hand_line),
        Section("running", "Through the year", "For what it saves. What you leave open is assumed as a range, and said.", running_questions, running_line),
        Section("energy", "Machine and prices", "For what it saves, in energy and in money.", energy_questions, energy_line),
    )
}  # fmt: skip
"""Every section by its name, in the order in which the page lists them."""
