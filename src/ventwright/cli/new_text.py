"""The text of a new job: what was answered, and comments that say what else may stand there."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from ventwright.cli.new_questions import (
    CODE,
    HEATING,
    SPACE,
    SPEED,
    STANDARD,
    SYSTEM,
    VARIABLE,
    examples,
    numbered,
)

FURTHER = {SYSTEM: "single zone", "facts.unit.reversing_valve": "energized in cooling"}
"""Examples of what is asked only after other answers."""


def job_text(answers: Mapping[str, str], *, si: bool = False, asked: bool = False) -> str:
    """Write a job with comments: what was answered stands, what was not is a comment with an example.

    Where a person was ``asked``, what nobody asked about is a comment too; in the template it stands as an example.
    """
    from secrets import token_hex

    from ventwright.version import VERSION

    lines = _Lines(answers, FURTHER | examples(si=si), si=si, asked=asked)
    entry, example = lines.entry, lines.example
    drawn, accuracy = ("425 L/s", "± 0.3 K") if si else ("900 cfm", "± 0.5 F")
    ventilated = STANDARD in answers or SYSTEM in answers or not asked
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
        entry("facts.site.name", 4, "what people call it"),
        entry("facts.site.climate_zone", 4, "or county and state instead"),
        "    # county: Cook",
        "    # state: Illinois",
        entry("facts.site.elevation", 4, "above sea level; air is thinner higher up"),
        example(CODE, "IECC-2021", 4, "or 90.1-2019 ...; the edition your authority enforces"),
        "  unit:",
        entry("facts.unit.tag", 4, "as painted on the unit"),
        entry("facts.unit.cooling_capacity", 4, "ton, Btu/h or kW"),
        example("facts.unit.cooling_stages", "2", 4, "stages of mechanical cooling"),
        example(HEATING, "gas", 4, "gas, electric, heat pump, hot water or none"),
        *([entry("facts.unit.reversing_valve", 4, "energized in cooling or energized in heating")] if answers.get(HEATING) == "heat pump" else ()),
        entry("facts.unit.lowest_cooling_ambient", 4, "nameplate: coldest outdoor air for cooling"),
        example("facts.unit.low_ambient_control", "unknown", 4, "fitted, not fitted or unknown"),
        example("facts.unit.relief", "unknown", 4, "barometric, powered, none or unknown"),
        *lines.speeds(),
        *lines.spaces(),
        line("ventilation:", 2, "how the outdoor air required is found", stands=ventilated),
        example(STANDARD, "62.1-2019", 4, "62.1-2016, 62.1-2019 or 62.1-2022"),
        entry(SYSTEM, 4, "of several spaces: single zone, multiple zones or all outdoor air"),
        f'    # drawn: {{cooling: {drawn}, heating: {drawn}, source: "Sheet M-1, outdoor-air schedule"}}',
        entry("facts.kit", 2, "an id on the shelf, or a .yaml file beside this one"),
        line("weather:", 2, "expected on the day of the visit", stands=lines.weather),
        entry("facts.weather.outdoor_air", 4, "today, for the target temperatures"),
        entry("facts.weather.return_air", 4, "today"),
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


@dataclass(frozen=True, slots=True)
class _Lines:
    """The lines of a job that hang on the answers."""

    answers: Mapping[str, str]
    usual: Mapping[str, str]
    si: bool
    asked: bool

    @property
    def weather(self) -> bool:
        """Whether the weather stands: the job needs the outdoor air before the return air."""
        return "facts.weather.outdoor_air" in self.answers

    def entry(self, key: str, indent: int, comment: str) -> str:
        """Write an answer, or a comment with its example."""
        name = key.rpartition(".")[2]
        stands = key in self.answers and (self.weather or "weather" not in key)
        return line(f"{name}: {self.value(key)}", indent, comment, stands=stands)

    def example(self, key: str, usual: str, indent: int, comment: str) -> str:
        """Write an answer; where nobody was asked, an example that stands."""
        name, given = key.rpartition(".")[2], self.answers.get(key)
        text = f"{name}: {usual if given is None else _scalar(given)}"
        return line(text, indent, comment, stands=given is not None or not self.asked)

    def value(self, key: str) -> str:
        """Return an answer as it stands in the file; else the example, that of the first of a list."""
        first = re.sub(r"\[\d+\]", "[1]", key)
        text = self.answers[key] if key in self.answers else self.usual.get(key) or self.usual[first]
        return text if key.endswith(".people") else _scalar(text)

    def speeds(self) -> Iterator[str]:
        """Write the speeds of the fan, as named; without names high and low."""
        begun = numbered(self.answers, SPEED)
        variable = f"{SPEED}[1].name" in self.answers
        fastest = "variable, fastest first" if self.answers.get(VARIABLE) == "yes" else "fastest first"
        comment = f"{fastest}; basis: design value, fan table, balancing report"
        yield line("fan_speeds:", 4, comment, stands=begun > 0)
        for number in range(1, max(begun, 1 if variable else 2) + 1):
            name, key = self._speed_name(number), f"{SPEED}[{number}].supply_air"
            airflow = (
                f", supply_air: {self.value(key)}, basis: design value"
                if key in self.answers or not variable
                else ""
            )
            yield f"      {'' if key in self.answers or variable else '# '}- {{name: {name}{airflow}}}"

    def _speed_name(self, number: int) -> str:
        given = self.answers.get(f"{SPEED}[{number}].name")
        return _scalar(given) if given is not None else ("high", "low")[number - 1]

    def spaces(self) -> Iterator[str]:
        """Write the spaces, and a comment with another where there is one at most."""
        begun = numbered(self.answers, SPACE)
        comment = "one entry for every use; `ventwright check` answers a word of yours with the standard's"
        yield line("spaces:", 2, comment, stands=begun > 0)
        for number in range(1, max(begun, 1) + 1):
            here = f"{SPACE}[{number}]"
            yield f"    {'' if begun else '# '}- name: {self.value(f'{here}.name')}"
            yield self.entry(f"{here}.use", 6, "occupancy category")
            yield self.entry(f"{here}.floor_area", 6, "net occupiable area")
            yield self.entry(f"{here}.people", 6, "left out: the standard's default density")
        if begun < 2:
            area = "46 m2" if self.si else "500 ft2"
            yield f"    # - {{name: Store room, use: Miscellaneous / Warehouses, floor_area: {area}, people: 1}}"


def line(text: str, indent: int, comment: str, *, stands: bool) -> str:
    """Write a line of the job with what is to be known of it; one that does not stand is a comment."""
    return f"{' ' * indent}{'' if stands else '# '}{text:<42} # {comment}"


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
