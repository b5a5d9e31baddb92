"""Start a job: answer questions in a terminal, or get a commented template to fill in.

example: ventwright new my-unit.yaml            (asks)
         ventwright new my-unit.yaml --template (writes the template)
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ventwright.quantity import Dimension

UNFINISHED = ".unfinished.yaml"


@dataclass(frozen=True, slots=True)
class Question:
    """One thing to ask: its key in the document, the words, an example, and how an answer is checked."""

    key: str
    words: str
    example: str
    check: Callable[[str], object]
    required: bool = False


def add_arguments(parser: argparse.ArgumentParser) -> None:
    """Add the file and how to fill it."""
    parser.add_argument("job", type=Path, metavar="JOB", help="file to write, .yaml")
    parser.add_argument("--template", action="store_true", help="write the template, ask nothing")
    parser.add_argument("--si", action="store_true", help="SI units in the document's screens and paper")
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
    asks = sys.stdin.isatty() and not arguments.template
    answers = (
        _ask(path)
        if asks
        else {question.key: question.example for question in questions() if question.required}
    )
    write(path, job_text(answers, si=arguments.si).encode())
    print(f"{path} written. Next: `ventwright check {path}`, then `ventwright plan {path}`.")
    return 0


def questions() -> tuple[Question, ...]:
    """Return what is asked, in the order of the document."""
    from ventwright.quantity import AIRFLOW, AREA, HEAT_RATE, LENGTH, TEMPERATURE
    from ventwright.tables.climate import climate_zone
    from ventwright.tables.shelf import names
    from ventwright.tables.ventilation import rate

    kits = names("kits")
    return (
        Question("facts.site.name", "What is the site called?", "My site", _some_word, True),
        Question("facts.site.climate_zone", "Climate zone", "5A", climate_zone, True),
        Question("facts.site.elevation", "Height above sea level", "650 ft", _reads(LENGTH), True),
        Question("facts.unit.tag", "Tag of the unit", "RTU-1", _some_word, True),
        Question("facts.unit.cooling_capacity", "Cooling capacity", "10 ton", _reads(HEAT_RATE), True),
        Question("facts.unit.lowest_cooling_ambient", "Coldest outdoor air the nameplate allows cooling in", "50 F", _reads(TEMPERATURE)),
        Question("facts.unit.high", "Supply airflow, fan high", "4000 cfm", _reads(AIRFLOW), True),
        Question("facts.unit.low", "Supply airflow, fan low", "2640 cfm", _reads(AIRFLOW), True),
        Question("facts.space.use", "Use of the space, as the ventilation standard names it", "Office / Office space",
                 lambda text: rate("62.1-2019", text), True),
        Question("facts.space.floor_area", "Its floor area", "5000 ft2", _reads(AREA), True),
        Question("facts.space.people", "People at most (blank: the standard's density)", "25", _a_number),
        Question("facts.kit", "Economizer kit", kits[0], _one_of(kits), True),
        Question("facts.weather.outdoor_air", "Outdoor temperature expected", "45 F", _reads(TEMPERATURE)),
        Question("facts.weather.return_air", "Return-air temperature expected", "72 F", _reads(TEMPERATURE)),
    )  # fmt: skip


def _reads(dimension: Dimension) -> Callable[[str], object]:
    from ventwright.quantity import read

    return lambda text: read(text, dimension)


def _some_word(text: str) -> str:
    from ventwright.errors import Refusal, Refused

    if not text.strip():
        raise Refused(Refusal("is needed", "a word or two"))
    return text


def _a_number(text: str) -> float:
    from ventwright.errors import Refusal, Refused

    try:
        return float(text)
    except ValueError:
        raise Refused(Refusal("is not a number", "a number such as 25", given=text)) from None


def _one_of(known: tuple[str, ...]) -> Callable[[str], object]:
    from ventwright.errors import refuse_word

    def check(text: str) -> str:
        if text not in known:
            raise refuse_word(text, known, "a kit on the shelf")
        return text

    return check


def _ask(path: Path) -> dict[str, str]:
    """Ask one question after another; a wrong answer is explained and asked again, an answer given is never lost."""
    from ventwright.errors import Refused
    from ventwright.store import write

    answers: dict[str, str] = {}
    print(
        "Blank takes the value in brackets where one is needed, and leaves the rest open. Ctrl-C keeps what you answered."
    )
    try:
        for question in questions():
            while True:
                text = input(
                    f"{question.words} [{question.example if question.required else 'not known'}]: "
                ).strip()
                text = text or (question.example if question.required else "")
                if not text:
                    break
                try:
                    question.check(text)
                except Refused as refused:
                    print(f"  {refused}")
                    continue
                answers[question.key] = text
                break
    except (KeyboardInterrupt, EOFError):
        kept = path.with_suffix(UNFINISHED)
        write(kept, job_text(answers).encode())
        print(f"\nStopped; your answers are in {kept}.")
        raise KeyboardInterrupt from None
    return answers


def job_text(answers: dict[str, str], *, si: bool = False) -> str:
    """Write a job with comments: what was answered stands, what was not is a comment with an example."""
    from secrets import token_hex

    from ventwright.version import VERSION

    examples = {question.key: question.example for question in questions()}

    def entry(key: str, name: str, indent: int, comment: str) -> str:
        given = answers.get(key)
        text = f"{name}: {_scalar(given if given is not None else examples[key])}"
        return f"{' ' * indent}{'' if given is not None else '# '}{text:<42}# {comment}"

    weather = any(key.startswith("facts.weather") for key in answers)
    return "\n".join([
        "# A Ventwright job. Lines that start with # are comments; take the # away to use an example.",
        "# `ventwright check FILE` names every mistake, `ventwright schema` prints all that may stand here.",
        "schema_version: 1",
        f"id: {token_hex(6)}",
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
        f"    {'energy_code: IECC-2021':<42}# or 90.1-2019 ...; the edition your authority enforces",
        "  unit:",
        entry("facts.unit.tag", "tag", 4, "as painted on the unit"),
        entry("facts.unit.cooling_capacity", "cooling_capacity", 4, "ton, Btu/h or kW"),
        f"    {'cooling_stages: 2':<42}# stages of mechanical cooling",
        f"    {'heating: gas':<42}# gas, electric, heat pump, hot water or none",
        entry("facts.unit.lowest_cooling_ambient", "lowest_cooling_ambient", 4, "nameplate: coldest outdoor air for cooling"),
        f"    {'low_ambient_control: unknown':<42}# fitted, not fitted or unknown",
        f"    {'relief: unknown':<42}# barometric, powered, none or unknown",
        "    fan_speeds:                               # fastest first; basis: design value, fan table, balancing report",
        f"      - {{name: high, supply_air: {answers.get('facts.unit.high', examples['facts.unit.high'])}, basis: design value}}",
        f"      - {{name: low, supply_air: {answers.get('facts.unit.low', examples['facts.unit.low'])}, basis: design value}}",
        "  spaces:                                     # one entry for every use; see `ventwright new --help`",
        "    - name: First space",
        entry("facts.space.use", "use", 6, "occupancy category"),
        entry("facts.space.floor_area", "floor_area", 6, "net occupiable area"),
        entry("facts.space.people", "people", 6, "left out: the standard's default density"),
        "  ventilation:",
        f"    {'standard: 62.1-2019':<42}# 62.1-2016, 62.1-2019 or 62.1-2022",
        '    # drawn: {cooling: 900 cfm, heating: 900 cfm, source: "Sheet M-1, outdoor-air schedule"}',
        entry("facts.kit", "kit", 2, "an id on the shelf, or a .yaml file beside this one"),
        f"  {'' if weather else '# '}weather:",
        entry("facts.weather.outdoor_air", "outdoor_air", 4, "today, for the target temperatures"),
        entry("facts.weather.return_air", "return_air", 4, "today"),
        "  instruments:",
        '    - {id: probe, kind: temperature, name: Hand-held probe, serial: "", accuracy: ± 0.5 F, calibrated: 2026-01-15}',
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
    """Quote what YAML would take for something else."""
    plain = text and text[0] not in "\"'&*!|>%@`[]{}#-?:," and ": " not in text and " #" not in text
    return text if plain else '"' + text.replace("\\", "\\\\").replace('"', '\\"') + '"'
