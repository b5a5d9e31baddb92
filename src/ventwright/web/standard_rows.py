"""The tables of codes and standards as rows that can be searched, each with its source and how it was confirmed."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from functools import lru_cache
from typing import Any

from ventwright.errors import Refused
from ventwright.quantity import (
    AIRFLOW,
    AREA,
    ENTHALPY,
    FRACTION,
    HEAT_RATE,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    System,
)
from ventwright.tables import energy_code, ventilation
from ventwright.tables.clause import Clause
from ventwright.tables.demand_control import demand_control_rule
from ventwright.tables.energy_code import HighLimit
from ventwright.tables.rates import AIRFLOW_PER_AREA, AIRFLOW_PER_PERSON, PEOPLE_PER_AREA
from ventwright.tables.source import Source
from ventwright.tables.ventilation import Rate
from ventwright.words import Amount, Words


@dataclass(frozen=True, slots=True)
class StandardRow:
    """One row: the table it stands in, what it is about, what it says, and where that comes from."""

    table: str
    about: str
    says: Words
    source: Source

    @property
    def disputed(self) -> bool:
        """Whether two sources disagree about it."""
        return self.source.confirmed == "disputed"

    def holds(self, words: Iterable[str], system: System) -> bool:
        """Whether every word that is looked for stands in the row."""
        text = " ".join((self.table, self.about, self.says.show(system), str(self.source), self.source.note, self.source.confirmed)).casefold()  # fmt: skip
        return all(word in text for word in words)


def editions() -> dict[str, tuple[str, ...]]:
    """Return the editions by what they are."""
    return {"Energy codes": energy_code.editions(), "Ventilation standards": ventilation.editions()}


@lru_cache(maxsize=64)
def rows_of(edition: str) -> tuple[StandardRow, ...]:
    """Return every row of an edition, as far as it is held here; none of an edition that is not.

    California's code stands among both kinds of editions, and has the rows of both.
    """
    found: list[StandardRow] = []
    if edition in energy_code.editions():
        found += [
            *_economizer(edition),
            *_high_limits(edition),
            *_demand_control(edition),
            *_clauses(energy_code.clauses(edition)),
        ]
    if edition in ventilation.editions():
        found += [*_rates(edition), *_distributions(edition), *_clauses(ventilation.clauses(edition))]
    return tuple(found)


def _economizer(edition: str) -> Iterator[StandardRow]:
    """Yield where an economizer is required, zones with the same answer together."""
    groups: dict[tuple[Any, ...], list[str]] = {}
    for zone in energy_code.zones_of(edition):
        rule = energy_code.economizer_rule(edition, zone)
        groups.setdefault((rule.minimum_capacity, rule.exclusive, rule.source), []).append(zone)
        if rule.efficiency_trade_off is not None and rule.trade_off_source is not None:
            says = Words("cooling {better} more efficient stands in for the economizer", {"better": Amount(rule.efficiency_trade_off, FRACTION)})  # fmt: skip
            yield StandardRow("Instead of an economizer", f"zone {zone}", says, rule.trade_off_source)
    for (capacity, exclusive, source), zones in groups.items():
        says = Words("no economizer is required")
        if capacity is not None:
            word = "above" if exclusive else "from"
            says = Words(f"an economizer is required {word} a cooling capacity of {{least}}", {"least": Amount(capacity, HEAT_RATE)})  # fmt: skip
        yield StandardRow("Economizer required", _zones(zones), says, source)


def _high_limits(edition: str) -> Iterator[StandardRow]:
    groups: dict[tuple[str, tuple[Any, ...]], tuple[list[str], HighLimit]] = {}
    for zone in energy_code.zones_of(edition):
        for one in _if_held(lambda zone=zone: energy_code.high_limits(edition, zone)):  # type: ignore[misc]
            key = (one.control, (one.allowed, one.dry_bulb, one.enthalpy, one.dew_point, one.below_return, one.source))  # fmt: skip
            groups.setdefault(key, ([], one))[0].append(zone)
    for zones, one in groups.values():
        yield StandardRow(
            "What may shut it off", f"{one.control}, {_zones(zones)}", _limit_words(one), one.source
        )


def _if_held(asked: Callable[[], tuple[HighLimit, ...]]) -> tuple[HighLimit, ...]:
    """Return what is held here of an edition; nothing where that is nothing."""
    try:
        return asked()
    except Refused:
        return ()


def _limit_words(one: HighLimit) -> Words:
    if not one.allowed:
        return Words("not allowed")
    parts, amounts = [], {}
    for name, value, dimension in (
        ("dry bulb", one.dry_bulb, TEMPERATURE), ("enthalpy", one.enthalpy, ENTHALPY), ("dew point", one.dew_point, TEMPERATURE),
    ):  # fmt: skip
        if value is not None:
            amounts[name.replace(" ", "_")] = Amount(value, dimension)
            parts.append(f"above {{{name.replace(' ', '_')}}} {name}")
    if one.compared_with_return:
        below = ""
        if one.below_return:
            amounts["below"] = Amount(one.below_return, TEMPERATURE_DIFFERENCE)
            below = " less {below}"
        parts.append(f"above the {one.compared_with_return} of return air{below}")
    return Words("off " + " or ".join(parts), amounts)


def _demand_control(edition: str) -> Iterator[StandardRow]:
    try:
        rule = demand_control_rule(edition)
    except Refused:
        return
    says = Words(
        "in spaces larger than {area} with {density} or more, on units with an economizer, a modulating damper or more than {air} of outdoor air",
        {"area": Amount(rule.minimum_area, AREA), "density": Amount(rule.minimum_density, PEOPLE_PER_AREA), "air": Amount(rule.outdoor_airflow, AIRFLOW)},
    )  # fmt: skip
    yield StandardRow("Outdoor air that follows the people", "required", says, rule.source)


def _clauses(clauses: Iterable[Clause]) -> Iterator[StandardRow]:
    for one in clauses:
        numbers = "; ".join(f"{what}: {value}" for what, value in one.quantities.items())
        lists = "; ".join(f"{what}: {', '.join(things)}" for what, things in one.lists.items())
        yield StandardRow("Clauses, in our words", one.title, Words(". ".join(part for part in (one.text.rstrip("."), numbers, lists) if part)), one.source)  # fmt: skip


def _rates(edition: str) -> Iterator[StandardRow]:
    for one in ventilation.rates(edition):
        yield StandardRow("Outdoor air by use of the space", one.name, _rate_words(one), one.source)


def _rate_words(one: Rate) -> Words:
    amounts = {"person": Amount(one.people_rate, AIRFLOW_PER_PERSON), "area": Amount(one.area_rate, AIRFLOW_PER_AREA)}  # fmt: skip
    joined = "and" if one.combination == "sum" else "or, if larger,"
    text = f"{{person}} {joined} {{area}}"
    if one.default_density is not None:
        amounts["people"] = Amount(one.default_density, PEOPLE_PER_AREA)
        text += "; {people} where nobody counted"
    if one.air_class is not None:
        text += f"; air class {one.air_class}"
    return Words(text, amounts)


def _distributions(edition: str) -> Iterator[StandardRow]:
    try:
        found = ventilation.distributions(edition)
    except Refused:
        return
    for one in found:
        says = Words(f"effectiveness {one.effectiveness:g} in {'cooling and heating' if one.mode == 'either' else one.mode}")  # fmt: skip
        yield StandardRow("How air comes into a zone", one.words, says, one.source)


def _zones(zones: list[str]) -> str:
    return f"zone{'s' if len(zones) > 1 else ''} {' '.join(zones)}"
