"""Start a job: answer questions in a terminal, or get a commented template to fill in.

example: ventwright new my-unit.yaml            (asks)
         ventwright new my-unit.yaml --template (writes the template)
"""

from __future__ import annotations

import argparse
import re
import sys
from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, get_args

UNFINISHED = ".unfinished.yaml"


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to ask: its key in the document, the words, an example, and how an answer is checked.

    What is not required may be left open; with ``in_template`` its example stands in the template all the same. ``si`` is
    the example where it is another in SI.
    """

    key: str
    words: str
    example: str
    check: Callable[[str], object]
    required: bool = False
    in_template: bool = False
    si: str = ""


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the file and how to fill it."""
    parser.add_argument("job", type=Path, metavar="JOB", help="file to write, .yaml")
    parser.add_argument("--template", action="store_true", help="write the template, ask nothing")
    parser.add_argument(
        "--si", action="store_true", help="SI units in the examples, and in the document's screens and paper"
    )
    parser.add_argument("--force", action="store_true", help="write over a file that exists")


def run(arguments: argparse.Namespace) -> int:
    """Write a new job."""
    from ventwright.errors import Refusal, Refused
    from ventwright.store import write

    path: Path = arguments.job
    if path.suffix not in {".yaml", ".yml"}:
        raise Refused(Refusal("is no name for a new job", "a name that ends in .yaml", given=str(path)))
    if path.exists() and not arguments.force:
        raise Refused(Refusal("exists already", "another name, or --force to write over it", given=str(path)))
    if sys.stdin.isatty() and not arguments.template:
        kept = path.with_suffix(UNFINISHED)
        if kept.exists() and not arguments.force:
            accepted = "its answers carried on under another name, or --force to begin anew"
            raise Refused(Refusal("is left from an earlier start", accepted, given=str(kept)))
        answers = _ask(kept, si=arguments.si)
        write(path, job_text(answers, si=arguments.si, asked=True).encode())
        kept.unlink(missing_ok=True)
    else:
        shown = [
            question for question in questions(si=arguments.si) if question.required or question.in_template
        ]
        answers = {question.key: question.example for question in shown}
        write(path, job_text(answers, si=arguments.si).encode())
    print(f"{path} written. Next: `ventwright check {path}`, then `ventwright plan {path}`.")
    return 0


def questions(*, si: bool = False) -> tuple[Question, ...]:
    """Return what is asked, in the order of the document."""
    from ventwright.entry import Airflow, Area, Elevation, HeatRate, Temperature
    from ventwright.tables.climate import climate_zone
    from ventwright.tables.shelf import names
    from ventwright.tables.ventilation import rate

    asked = (
        Question("facts.site.name", "What is the site called?", "My site", _some_word, True),
        Question("facts.site.climate_zone", "Climate zone", "5A", climate_zone, True),
        Question("facts.site.elevation", "Height above sea level", "650 ft", _reads(Elevation), True, si="200 m"),
        Question("facts.unit.tag", "Tag of the unit", "RTU-1", _some_word, True),
        Question("facts.unit.cooling_capacity", "Cooling capacity", "10 ton", _reads(HeatRate), True, si="35 kW"),
        Question("facts.unit.lowest_cooling_ambient", "Coldest outdoor air the nameplate allows cooling in", "50 F", _reads(Temperature), si="10 °C"),
        Question("facts.unit.high", "Supply airflow, fan high", "4000 cfm", _reads(Airflow), True, si="1900 L/s"),
        Question("facts.unit.low", "Supply airflow, fan low (blank: it has one speed)", "2640 cfm", _reads(Airflow), in_template=True, si="1250 L/s"),
        Question("facts.space.use", "Use of the space, as the ventilation standard names it", "Office / Office space",
                 lambda text: rate("62.1-2019", text), True),
        Question("facts.space.floor_area", "Its floor area", "5000 ft2", _reads(Area), True, si="460 m2"),
        Question("facts.space.people", "People at most (blank: the standard's density)", "25", _a_number),
        Question("facts.kit", "Economizer kit", "two-speed-dry-bulb", _one_of(names("kits")), True),
        Question("facts.weather.outdoor_air", "Outdoor temperature expected", "45 F", _reads(Temperature), si="7 °C"),
        Question("facts.weather.return_air", "Return-air temperature expected", "72 F", _reads(Temperature), si="22 °C"),
    )  # fmt: skip
    return tuple(replace(one, example=one.si) if si and one.si else one for one in asked)


def _reads(entry: Any) -> Callable[[str], object]:
    """Read an answer as the document will: a quantity of that kind, within its bounds."""
    typed: Callable[[str], object] = get_args(entry)[1]
    return typed


def _some_word(text: str) -> str:
    from ventwright.errors import Refusal, Refused

    if not text.isprintable():
        raise Refused(Refusal("has signs that cannot be printed", "letters, digits and signs of a keyboard"))
    return text


def _a_number(text: str) -> float:
    from ventwright.errors import Refusal, Refused

    if not re.fullmatch(r"[0-9]{1,6}(\.[0-9]{1,3})?", text):
        raise Refused(Refusal("is not a number of people", "a number such as 25", given=text))
    return float(text)


def _one_of(known: tuple[str, ...]) -> Callable[[str], object]:
    from ventwright.errors import refuse_word

    def check(text: str) -> str:
        if text not in known:
            raise refuse_word(text, known, "a kit on the shelf")
        return text

    return check


def _ask(kept: Path, *, si: bool) -> dict[str, str]:
    """Ask one question after another; a wrong answer is explained and asked again, each one given is kept at once."""
    from ventwright.store import write

    answers: dict[str, str] = {}
    print(
        "Blank takes the value in brackets where one is needed, and leaves the rest open. Ctrl-C keeps what you answered."
    )
    try:
        for question in questions(si=si):
            text = _answer(question)
            if text:
                answers[question.key] = text
                write(kept, job_text(answers, si=si, asked=True).encode())
    except (KeyboardInterrupt, EOFError):
        print(f"\nStopped; your answers are in {kept}." if answers else "\nStopped.")
        raise KeyboardInterrupt from None
    return answers


def _answer(question: Question) -> str:
    """Ask until an answer will do; an empty one leaves open what is not required."""
    from ventwright.errors import Refused

    usual = question.example if question.required else ""
    while True:
        text = input(f"{question.words} [{usual or 'not known'}]: ").strip() or usual
        try:
            if text:
                question.check(text)
        except Refused as refused:
            print(f"  {refused}")
            continue
        return text


def job_text(answers: Mapping[str, str], *, si: bool = False, asked: bool = False) -> str:
    """Write a job with comments: what was answered stands, what was not is a comment with an example.

    Where a person was ``asked``, what nobody asked about is a comment too; in the template it stands as an example.
    """
    from secrets import token_hex

    from ventwright.version import VERSION

    examples = {question.key: question.example for question in questions(si=si)}

    def value(key: str) -> str:
        text = answers.get(key, examples[key])
        return text if key == "facts.space.people" else _scalar(text)

    def entry(key: str, name: str, indent: int, comment: str) -> str:
        text = f"{name}: {value(key)}"
        return line(text, indent, comment, stands=key in answers and (weather or "weather" not in key))

    def example(text: str, indent: int, comment: str) -> str:
        return line(text, indent, comment, stands=not asked)

    def speed(name: str, key: str) -> str:
        text = f"- {{name: {name}, supply_air: {value(key)}, basis: design value}}"
        return f"      {'' if key in answers else '# '}{text}"

    def line(text: str, indent: int, comment: str, *, stands: bool) -> str:
        return f"{' ' * indent}{'' if stands else '# '}{text:<42} # {comment}"

    drawn, accuracy = ("425 L/s", "± 0.3 K") if si else ("900 cfm", "± 0.5 F")
    weather = "facts.weather.outdoor_air" in answers
    speeds = "facts.unit.high" in answers or "facts.unit.low" in answers
    space = any(key.startswith("facts.space.") for key in answers)
    return "\n".join([
        "# A Ventwright job. Lines that start with # are comments; take the # away to use an example.",
        "# `ventwright check FILE` names every mistake, `ventwright schema` prints all that may stand here.",
        "schema_version: 1",
        f"id: {_scalar(token_hex(6))}",
        f"units: {'si' if si else 'us'}                                 # units of screens and paper: us or si",
        f"made_with: ventwright {VERSION}",
        "",
        "facts:",
        "  site:",
        entry("facts.site.name", "name", 4, "what people call it"),
        entry("facts.site.climate_zone", "climate_zone", 4, "or county and state instead"),
        "    # county: Cook",
        "    # state: Illinois",
        entry("facts.site.elevation", "elevation", 4, "above sea level; air is thinner higher up"),
        example("energy_code: IECC-2021", 4, "or 90.1-2019 ...; the edition your authority enforces"),
        "  unit:",
        entry("facts.unit.tag", "tag", 4, "as painted on the unit"),
        entry("facts.unit.cooling_capacity", "cooling_capacity", 4, "ton, Btu/h or kW"),
        example("cooling_stages: 2", 4, "stages of mechanical cooling"),
        example("heating: gas", 4, "gas, electric, heat pump, hot water or none"),
        entry("facts.unit.lowest_cooling_ambient", "lowest_cooling_ambient", 4, "nameplate: coldest outdoor air for cooling"),
        example("low_ambient_control: unknown", 4, "fitted, not fitted or unknown"),
        example("relief: unknown", 4, "barometric, powered, none or unknown"),
        line("fan_speeds:", 4, "fastest first; basis: design value, fan table, balancing report", stands=speeds),
        speed("high", "facts.unit.high"),
        speed("low", "facts.unit.low"),
        line("spaces:", 2, "one entry for every use; `ventwright check` answers a word of yours with the standard's", stands=space),
        f"    {'' if space else '# '}- name: First space",
        entry("facts.space.use", "use", 6, "occupancy category"),
        entry("facts.space.floor_area", "floor_area", 6, "net occupiable area"),
        entry("facts.space.people", "people", 6, "left out: the standard's default density"),
        line("ventilation:", 2, "how the outdoor air required is found", stands=not asked),
        example("standard: 62.1-2019", 4, "62.1-2016, 62.1-2019 or 62.1-2022"),
        f'    # drawn: {{cooling: {drawn}, heating: {drawn}, source: "Sheet M-1, outdoor-air schedule"}}',
        entry("facts.kit", "kit", 2, "an id on the shelf, or a .yaml file beside this one"),
        line("weather:", 2, "expected on the day of the visit", stands=weather),
        entry("facts.weather.outdoor_air", "outdoor_air", 4, "today, for the target temperatures"),
        entry("facts.weather.return_air", "return_air", 4, "today"),
        "  # instruments:",
        f'  #   - {{id: probe, kind: temperature, name: Hand-held probe, serial: "", accuracy: {accuracy}, calibrated: 2026-01-15}}',
        "  # truck: [nine-way-to-loose-wires]             # adapters at hand; `ventwright harness FILE` finds the chain",
        "  # harness:",
        "  #   board: plain-two-stage                     # the unit's control board: an id, or a .yaml file beside this one",
        "  # power:",
        "  #   transformers:",
        "  #     - {name: unit transformer, rating: 40 VA, supply: 208 V, tap: 208 V}",
        "  #   loads:",
        "  #     - {name: economizer controller, apparent_power: 5 VA, when: always on}",
        "  # running:                                   # through the year, for `ventwright savings`; else as a usual office",
        "  #   weekdays: 7-19",
        "  #   internal_gains: 12 kW                    # or balance_point: 48 F ± 4 F; see docs/savings.md",
        "  #   electricity_price: 0.21",
        "  # as_found:",
        "  #   damper_position: 20 %",
        "  #   condition: [filter clean, seals whole]",
        "",
        "# readings grow by `ventwright read`; see `ventwright read --help`",
        "readings:",
        "  visits: []",
        "  entries: []",
        "",
    ])  # fmt: skip


def _scalar(text: str) -> str:
    """Quote what YAML would take for something else, and what would end an entry in braces."""
    import json

    from ventwright.document import read_document
    from ventwright.errors import Refused

    plain = text[:1].isalnum()
    try:
        forms = f"- {text} # as an item\n- x: {text} # as an entry\n- [{text}]\n"
        plain = plain and read_document(forms, "")[0] == [text, {"x": text}, [text]]
    except Refused:
        plain = False
    return text if plain else json.dumps(text, ensure_ascii=False)
