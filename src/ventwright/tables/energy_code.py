"""ASHRAE 90.1, the IECC and California's Title 24: when an economizer is required, what may shut it off, what else they ask."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final

from ventwright.quantity import (
    ENTHALPY,
    FRACTION,
    HEAT_RATE,
    TEMPERATURE,
    TEMPERATURE_DIFFERENCE,
    Dimension,
    read,
)
from ventwright.tables.clause import Clause, clauses_of
from ventwright.tables.climate import CALIFORNIA_ZONES
from ventwright.tables.data_file import ROUNDING, names, read_facts
from ventwright.tables.lookup import key, not_held, unknown, unknown_edition
from ventwright.tables.source import Source, document_of, source_of
from ventwright.words import measured

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping
    from datetime import date

CONTROLS: Final = (
    "fixed dry bulb",
    "differential dry bulb",
    "fixed enthalpy and dry bulb",
    "differential enthalpy and dry bulb",
    "fixed enthalpy",
    "differential enthalpy",
    "electronic enthalpy",
    "dew point and dry bulb",
)
"""High-limit controls in the trade's words. "Differential": outdoor air is compared with return air."""


@dataclass(frozen=True, slots=True, kw_only=True)
class EconomizerRule:
    """Whether one edition asks for an air economizer in one climate zone."""

    code_edition: str
    climate_zone: str
    minimum_capacity: float | None = measured(HEAT_RATE)
    """Cooling capacity of the unit from which on one is required; None where none is."""
    efficiency_trade_off: float | None = measured(FRACTION)
    """Better cooling efficiency that stands in for it; None where the edition knows none here."""
    exclusive: bool = False
    """The capacity itself is not yet enough: California asks for more than it."""
    source: Source
    trade_off_source: Source | None

    def requires(self, cooling_capacity: float) -> bool:
        """Say whether a unit of a cooling capacity [W] must have an economizer, exceptions set aside."""
        if self.minimum_capacity is None:
            return False
        if self.exclusive:
            return cooling_capacity > self.minimum_capacity * (1 + ROUNDING)
        return cooling_capacity >= self.minimum_capacity * (1 - ROUNDING)


@dataclass(frozen=True, slots=True, kw_only=True)
class AirState:
    """Dry bulb [°C] and relative humidity [fraction] of moist air."""

    dry_bulb: float = measured(TEMPERATURE)
    relative_humidity: float = measured(FRACTION)
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class HighLimit:
    """One high-limit control in one edition and climate zone: economizing ends when any of its limits is passed."""

    control: str
    allowed: bool
    dry_bulb: float | None = measured(TEMPERATURE)
    enthalpy: float | None = measured(ENTHALPY)
    """On the datum dry air at 0 °C: 28 Btu/lb is 47.3 kJ/kg, not 65."""
    dew_point: float | None = measured(TEMPERATURE)
    compared_with_return: str
    """What is compared with return air: "dry bulb", "enthalpy" or nothing."""
    below_return: float = measured(TEMPERATURE_DIFFERENCE, default=0.0)
    """By how much outdoor air has to be cooler than return air, in some zones of California."""
    enthalpy_state: AirState | None
    """The state behind ``enthalpy``: away from sea level its enthalpy at site pressure is the limit."""
    source: Source


@dataclass(frozen=True, slots=True, kw_only=True)
class FanSpeedThreshold:
    """From which cooling capacity on a single-zone unit needs more than one fan speed, and between which dates."""

    minimum_capacity: float = measured(HEAT_RATE)
    since: date | None
    until: date | None
    source: Source


def editions() -> tuple[str, ...]:
    """Return the code editions with tables here, such as "90.1-2019" and "IECC-2021"."""
    return names("standards/energy_code", ".toml")


def edition_named(text: str, where: str = "") -> str:
    """Return an edition by its name: "90.1-2019", "ASHRAE 90.1 2019", "iecc 2021", "California Title 24 Part 6 2022".

    Raises
    ------
    Refused
        No such edition; the ones there are stand in the sentence.
    """
    wanted = key(text).removeprefix("ansi").removeprefix("ashrae").removeprefix("ies")
    wanted = wanted.removeprefix("california").replace("title24part6", "title24")
    for edition in editions():
        if key(edition) == wanted:
            return edition
    raise unknown_edition(text, editions(), "edition of an energy code with tables here", where)


def zones_of(code_edition: str) -> tuple[str, ...]:
    """Return the climate zones that an edition knows: those of the other codes, or California's sixteen."""
    return _zones_in(_facts(edition_named(code_edition)))


def economizer_rule(
    code_edition: str, climate_zone: str, *, outside: bool = True, data_center: bool = False
) -> EconomizerRule:
    """Return from which cooling capacity on an edition asks for an air economizer in a climate zone.

    Parameters
    ----------
    code_edition
        Such as "90.1-2019" or "IECC-2021".
    climate_zone
        Such as "5A".
    outside
        The unit stands outside the building, as a rooftop unit does (90.1-2022 and later tell the two apart).
    data_center
        The unit cools computer rooms (90.1-2010 and 2013 have a table of their own for them).

    Raises
    ------
    Refused
        Unknown edition or climate zone; the known ones stand in the sentence.
    """
    edition = edition_named(code_edition)
    facts = _facts(edition)
    zone = _zone(facts, climate_zone)
    place = "outside" if outside else "elsewhere"
    required, source = next(
        found
        for found in _rows(facts, "required", zone)
        if found[0].get("place", place) == place and found[0].get("data_center", data_center) == data_center
    )
    trade_off, trade_off_source = next(_rows(facts, "trade_off", zone), ({}, None))
    return EconomizerRule(
        code_edition=edition,
        climate_zone=zone,
        minimum_capacity=_si(required, "minimum_capacity", HEAT_RATE),
        efficiency_trade_off=_si(trade_off, "efficiency", FRACTION),
        exclusive=required.get("exclusive", False),
        source=source,
        trade_off_source=trade_off_source,
    )


def high_limits(code_edition: str, climate_zone: str) -> tuple[HighLimit, ...]:
    """Return every high-limit control, whether an edition allows it in a climate zone, and its settings.

    A control that the edition does not list is returned as not allowed, and its source says so; so is one
    whose row is disputed.

    Raises
    ------
    Refused
        Unknown edition or climate zone, or an edition of which no high limits are held here.
    """
    edition = edition_named(code_edition)
    facts = _facts(edition)
    zone = _zone(facts, climate_zone)
    if "high_limit" not in facts:
        raise not_held(
            edition, (known for known in editions() if "high_limit" in _facts(known)), "high limits"
        )
    listed = {row["control"]: (row, source) for row, source in _rows(facts, "high_limit", zone)}
    return tuple(_high_limit(control, listed.get(control), edition, facts) for control in CONTROLS)


def fan_speed_thresholds(code_edition: str) -> tuple[FanSpeedThreshold, ...]:
    """Return from which cooling capacity on a single-zone unit needs more than one fan speed, by date.

    Empty where the edition asks for none.
    """
    facts = _facts(edition_named(code_edition))
    return tuple(
        FanSpeedThreshold(
            minimum_capacity=read(row["minimum_capacity"], HEAT_RATE).value,
            since=row.get("since"),
            until=row.get("until"),
            source=source,
        )
        for row, source in _rows(facts, "fan_speeds", None)
    )


def clauses(code_edition: str) -> tuple[Clause, ...]:
    """Return what an edition asks of an economizer besides its high limit, in our words, as far as it is held here."""
    edition = edition_named(code_edition)
    return tuple(
        _with_capacities(clause, edition) if clause.id == "fan_speeds" else clause
        for clause in clauses_of("economizer_clauses.toml", edition)
    )


def _with_capacities(clause: Clause, edition: str) -> Clause:
    """Add the capacities of the edition, as printed, to the clause about fan speeds."""
    capacities = {}
    for row in _facts(edition)["fan_speeds"]["rows"]:
        dates = " ".join(f"{word} {row[word]}" for word in ("since", "until") if word in row)
        capacities["least cooling capacity" + (f" ({dates})" if dates else "")] = row["minimum_capacity"]
    return Clause(
        clause.id, clause.title, clause.text, {**clause.quantities, **capacities}, clause.lists, clause.source
    )


def _facts(edition: str) -> Mapping[str, Any]:
    return read_facts("energy_code", f"{edition}.toml")


def _rows(
    facts: Mapping[str, Any], table: str, zone: str | None
) -> Iterator[tuple[Mapping[str, Any], Source]]:
    """Yield the rows of one table that hold in a climate zone, each with its source."""
    part = facts.get(table, {"rows": []})
    notes = [note for zones, note in facts.get("zone_notes", {}).items() if zone in zones.split()]
    for row in part["rows"]:
        if zone is None or row["zones"] == "all" or zone.replace(" ", "") in row["zones"].split():
            yield row, source_of(row, {**facts, "section": part["section"]}, *notes)


def _zone(facts: Mapping[str, Any], given: str) -> str:
    """Return a climate zone as the tables name it: "5A", or "CA 12" in California's."""
    zones = _zones_in(facts)
    wanted = given.strip().upper()
    if wanted not in zones:
        raise unknown(given, zones, "climate zone of these tables")
    return wanted


def _zones_in(facts: Mapping[str, Any]) -> tuple[str, ...]:
    """Return the zones of an edition; "CA12" in a file is "CA 12", since spaces part them."""
    zones = {zone for row in facts["required"]["rows"] for zone in row["zones"].split()}
    californian = [zone for zone in CALIFORNIA_ZONES if zone.replace(" ", "") in zones]
    return tuple(californian or sorted(zones))


def _high_limit(
    control: str, listed: tuple[Mapping[str, Any], Source] | None, edition: str, facts: Mapping[str, Any]
) -> HighLimit:
    section = facts["high_limit"]["section"]
    row, source = listed or (
        {"allowed": False},
        source_of({}, {**facts, "section": section}, "not a control that this edition lists"),
    )
    allowed = row.get("allowed", True)
    fixed_enthalpy = allowed and control.startswith("fixed enthalpy")
    compared = control.removeprefix("differential ").removesuffix(" and dry bulb")
    return HighLimit(
        control=control,
        allowed=allowed,
        dry_bulb=_si(row, "dry_bulb", TEMPERATURE),
        enthalpy=_si(row, "enthalpy", ENTHALPY),
        dew_point=_si(row, "dew_point", TEMPERATURE),
        compared_with_return=compared if control.startswith("differential") else "",
        below_return=_si(row, "below_return", TEMPERATURE_DIFFERENCE) or 0.0,
        enthalpy_state=_enthalpy_state(edition) if fixed_enthalpy else None,
        source=source,
    )


def _enthalpy_state(edition: str) -> AirState:
    facts = read_facts("high_limit_state.toml")
    return AirState(
        dry_bulb=read(facts["dry_bulb"], TEMPERATURE).value,
        relative_humidity=read(facts["relative_humidity"], FRACTION).value,
        source=source_of(facts, document_of(edition)),
    )


def _si(row: Mapping[str, Any], name: str, dimension: Dimension) -> float | None:
    """Return a printed quantity of a row in SI, or None where the row has none."""
    return read(row[name], dimension).value if name in row else None
