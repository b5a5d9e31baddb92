"""What `new` asks for a job, one thing after another; what is asked next may hang on what was answered."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from ventwright.cli.new_answers import (
    as_field,
    as_name,
    as_new_speed,
    as_one_of,
    as_people,
    as_quantity,
    as_yes_or_no,
    refuse_unknown_people,
)

CODE, STANDARD = "facts.site.energy_code", "facts.ventilation.standard"
HEATING, VARIABLE = "facts.unit.heating", "fan.variable"
SYSTEM = "facts.ventilation.system"
SPEED, SPACE = "facts.unit.fan_speeds", "facts.spaces"

CALIFORNIA = "Title 24"
USUAL_KIT = "two-speed-dry-bulb"

Answers = Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to ask: its key in the document, the words, an example, and how an answer is checked.

    What is not required may be left open, and ``blank`` says what then holds; ``left_open`` refuses that where it cannot be.
    With ``in_template`` an example stands in the template all the same. ``si`` is the example where it is another in SI.
    """

    key: str
    words: str
    example: str
    check: Callable[[str], object]
    required: bool = False
    in_template: bool = False
    si: str = ""
    blank: str = "not known"
    left_open: Callable[[], object] | None = None

    @property
    def prompt(self) -> str:
        """The question as it is asked, with what an empty answer stands for."""
        if self.required:
            return f"{self.words} [{self.example}]: "
        return f"{self.words}, such as {self.example} [{self.blank}]: "


def questions(answers: Answers, *, si: bool = False) -> Iterator[Question]:
    """Yield what is asked, in the order of the document; ``answers`` grows while they are asked."""
    for one in _all(answers):
        yield replace(one, example=one.si) if si and one.si else one


def examples(*, si: bool = False, template: bool = False) -> dict[str, str]:
    """Return an example for every key, with one space and a fan of two speeds; or those alone that the template claims."""
    found: dict[str, str] = {VARIABLE: "no"}
    for one in questions(found, si=si):
        if one.key == f"{SPACE}[2].name":
            continue
        if not template or one.required or one.in_template:
            found[one.key] = one.example
    return found


def numbered(answers: Answers, part: str) -> int:
    """Return how many items of a list were begun."""
    begun = re.compile(rf"{re.escape(part)}\[(\d+)\]")
    return max((int(found[1]) for key in answers if (found := begun.match(key))), default=0)


def _all(answers: Answers) -> Iterator[Question]:
    from ventwright.entry import Elevation, HeatRate, SupplyAirflow, Temperature
    from ventwright.facts import Unit
    from ventwright.tables.climate import climate_zone
    from ventwright.tables.energy_code import edition_named

    yield Question("facts.site.name", "What is the site called?", "My site", as_name, required=True)
    yield Question("facts.site.climate_zone", "Climate zone", "5A", climate_zone, required=True)
    yield Question(
        "facts.site.elevation",
        "Height above sea level",
        "650 ft",
        as_quantity(Elevation),
        required=True,
        si="200 m",
    )
    yield Question(
        CODE,
        "Energy code and edition that the authority enforces (90.1, IECC or Title 24)",
        "IECC-2021",
        edition_named,
    )
    if answers.get(CODE, "") and (edition := edition_named(answers[CODE])).startswith(CALIFORNIA):
        yield _standard(edition)
    yield Question("facts.unit.tag", "Tag of the unit", "RTU-1", as_name, required=True)
    yield Question(
        "facts.unit.cooling_capacity",
        "Cooling capacity",
        "10 ton",
        as_quantity(HeatRate),
        required=True,
        si="35 kW",
    )
    yield Question(
        HEATING, "Heating (gas, electric, heat pump, hot water or none)", "gas", as_field(Unit, "heating")
    )
    if answers.get(HEATING) == "heat pump":
        words = "Its reversing valve has power (energized in cooling or energized in heating)"
        yield Question(
            "facts.unit.reversing_valve", words, "energized in cooling", as_field(Unit, "reversing_valve")
        )
    yield Question(
        "facts.unit.lowest_cooling_ambient",
        "Coldest outdoor air the nameplate allows cooling in",
        "50 F",
        as_quantity(Temperature),
        si="10 °C",
    )
    yield Question(
        VARIABLE, "Is the speed of its fan variable? (yes or no)", "no", as_yes_or_no, required=True
    )
    if answers.get(VARIABLE) == "yes":
        yield from _speeds(answers)
    else:
        yield Question(
            f"{SPEED}[1].supply_air",
            "Supply airflow, fan high",
            "4000 cfm",
            as_quantity(SupplyAirflow),
            required=True,
            si="1900 L/s",
        )
        yield Question(
            f"{SPEED}[2].supply_air",
            "Supply airflow, fan low",
            "2640 cfm",
            as_quantity(SupplyAirflow),
            in_template=True,
            si="1250 L/s",
            blank="it has one speed",
        )
    yield from _spaces(answers)
    yield _kit(answers)
    yield Question(
        "facts.weather.outdoor_air",
        "Outdoor temperature expected",
        "45 F",
        as_quantity(Temperature),
        si="7 °C",
    )
    yield Question(
        "facts.weather.return_air",
        "Return-air temperature expected",
        "72 F",
        as_quantity(Temperature),
        si="22 °C",
    )


def _standard(code: str) -> Question:
    """Ask under which edition the outdoor air is found, where the energy code has rules of its own for that."""
    from ventwright.tables.ventilation import edition_named, editions

    example = code if code in editions() else editions()[-1]
    return Question(
        STANDARD, "Edition under which the outdoor air is found", example, edition_named, required=True
    )


def _speeds(answers: Answers) -> Iterator[Question]:
    """Ask for the named speeds of a variable fan, fastest first, until no other is named."""
    from ventwright.entry import SupplyAirflow

    number = 1
    while True:
        name = f"{SPEED}[{number}].name"
        check = partial(as_new_speed, [answers[f"{SPEED}[{one}].name"] for one in range(1, number)])
        if number == 1:
            yield Question(name, "What its fastest speed is called", "full", check, required=True)
        else:
            yield Question(name, "Next slower speed: what it is called", "half", check, blank="no more")
        if name not in answers:
            return
        words = f"Supply airflow at {answers[name]} speed"
        if number == 1:
            yield Question(
                f"{SPEED}[1].supply_air",
                words,
                "4000 cfm",
                as_quantity(SupplyAirflow),
                required=True,
                si="1900 L/s",
            )
        else:
            yield Question(
                f"{SPEED}[{number}].supply_air", words, "2000 cfm", as_quantity(SupplyAirflow), si="950 L/s"
            )
        number += 1


def _spaces(answers: Answers) -> Iterator[Question]:
    """Ask for one space after another until no other is named; what several are to one another is asked then."""
    from ventwright.entry import Area
    from ventwright.facts import Ventilation
    from ventwright.tables.ventilation import rate

    edition = answers.get(STANDARD, "62.1-2019")
    number = 1
    while True:
        here = f"{SPACE}[{number}]"
        if number == 1:
            yield Question(f"{here}.name", "What the space is called", "First space", as_name, required=True)
        else:
            yield Question(
                f"{here}.name", "Another space: what it is called", "Store room", as_name, blank="no more"
            )
        if f"{here}.name" not in answers:
            break
        use = "Office / Office" if edition.startswith(CALIFORNIA) else "Office / Office space"
        yield Question(
            f"{here}.use",
            "Its use, as the ventilation standard names it",
            use,
            partial(rate, edition),
            required=True,
        )
        yield Question(
            f"{here}.floor_area", "Its floor area", "5000 ft2", as_quantity(Area), required=True, si="460 m2"
        )
        space = {name: answers[f"{here}.{name}"] for name in ("name", "use", "floor_area")}
        left_open = partial(refuse_unknown_people, space, edition)
        yield Question(
            f"{here}.people",
            "People in it at most",
            "25",
            as_people,
            blank="the standard's density",
            left_open=left_open,
        )
        number += 1
    if number > 2:
        words = "These are a single zone (one thermostat), multiple zones (a supply control for each) or all outdoor air"
        yield Question(
            SYSTEM, words, "single zone", as_field(Ventilation, "system"), blank="taken as a single zone"
        )


def _kit(answers: Answers) -> Question:
    """Ask for the kit; the usual one is offered where it fits fan and heating, else the first that does."""
    from ventwright.entry import read_value
    from ventwright.facts import Unit
    from ventwright.tables.fitting_kits import fitting_kits
    from ventwright.tables.shelf import names

    heating: Any = read_value(Unit, "heating", answers.get(HEATING))
    variable = answers.get(VARIABLE) == "yes"
    fitting = [
        kit.id
        for kit in fitting_kits(
            fan_speeds=numbered(answers, SPEED) or None, variable=variable, heating=heating
        )
    ]
    example = USUAL_KIT if USUAL_KIT in fitting or not fitting else fitting[0]
    return Question("facts.kit", "Economizer kit", example, as_one_of(names("kits")), required=True)
