"""ASHRAE 62.1 and California's Title 24: least outdoor air by use of the space, and its distribution, by edition."""

from __future__ import annotations

from dataclasses import dataclass, replace
from functools import cache
from typing import TYPE_CHECKING, Any, Literal

from ventwright.tables.clause import Clause, clauses_of
from ventwright.tables.data_file import Sheet, names, read_facts, read_sheet
from ventwright.tables.lookup import ambiguous, key, not_held, unknown, unknown_edition
from ventwright.tables.rates import AIRFLOW_PER_AREA, AIRFLOW_PER_PERSON, PEOPLE_PER_AREA
from ventwright.tables.source import Source, editions_of, source_for, source_of
from ventwright.words import measured

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

Mode = Literal["cooling", "heating"]
Combination = Literal["sum", "larger"]

PROCEDURE = "ventilation_procedure.toml"


@dataclass(frozen=True, slots=True, kw_only=True)
class Rate:
    """One row of the table of ventilation rates.

    The inch-pound column is stored as printed and converted. The SI column of the standard is printed
    separately and rounded by its own hand (5 cfm stands beside 2.5 L/s), so it differs by a few per cent.
    """

    edition: str
    group: str
    category: str
    people_rate: float = measured(AIRFLOW_PER_PERSON)
    area_rate: float = measured(AIRFLOW_PER_AREA)
    default_density: float | None = measured(PEOPLE_PER_AREA)
    """None where the table gives none: people have to be counted, unless the people rate is zero too."""
    air_class: int | None
    occupied_standby: bool | None
    """May go to zero while nobody is there; None where the data set does not say."""
    printed_name: str
    combination: Combination = "sum"
    """How people and floor area go together: added up, or the larger of the two."""
    least_area_rate: float = measured(AIRFLOW_PER_AREA)
    """What demand control may not go below while the space is occupied."""
    egress_density: float | None = measured(PEOPLE_PER_AREA, default=None)
    """People that the building code counts for the way out, where the code reckons with them."""
    half_of_egress_counts: bool = False
    """No fewer people than half of the egress density may be reckoned with, where seats are not fixed."""
    source: Source

    @property
    def name(self) -> str:
        """Group and category, which no other row of the edition shares."""
        return f"{self.group} / {self.category}"


@dataclass(frozen=True, slots=True)
class Distribution:
    """Zone air distribution effectiveness of one way to bring air into a zone."""

    id: str
    words: str
    mode: Literal["cooling", "heating", "either"]
    effectiveness: float
    source: Source


@dataclass(frozen=True, slots=True)
class ZoneTable:
    """System ventilation efficiency by the largest zone primary outdoor-air fraction: (at most, efficiency)."""

    rows: tuple[tuple[float, float], ...]
    source: Source


@dataclass(frozen=True, slots=True)
class SimplifiedEfficiency:
    """System ventilation efficiency from occupant diversity: slope times diversity plus constant, below a bound."""

    slope: float
    constant: float
    below: float
    otherwise: float
    least_primary_to_zone_outdoor_air: float
    source: Source


def editions() -> tuple[str, ...]:
    """Return the editions with a table of rates, such as "62.1-2019"."""
    return names("standards/ventilation", ".csv")


def edition_named(text: str, where: str = "") -> str:
    """Return an edition by its name: "62.1-2019", "ASHRAE 62.1 2019" or "2019".

    Raises
    ------
    Refused
        No such edition; the ones there are stand in the sentence.
    """
    wanted = key(text).removeprefix("ansi").removeprefix("ashrae").removeprefix("california")
    wanted = wanted.replace("title24part6", "title24")
    for edition in editions():
        if wanted in {key(edition), edition.rpartition("-")[2]}:
            return edition
    raise unknown_edition(text, editions(), "edition of the ventilation standard with a table here", where)


def rate(edition: str, category: str, where: str = "") -> Rate:
    """Return the row of a category.

    Parameters
    ----------
    edition
        Such as "62.1-2019".
    category
        "Retail / Sales", or the category alone where one group only has it; case, spaces and punctuation
        do not matter. The name in the data set serves too.

    Raises
    ------
    Refused
        No such edition or category, or a category that several groups have: the choices are named.
    """
    edition = edition_named(edition, where)
    found = _by_key(edition).get(key(category), ())
    if len(found) > 1:
        raise ambiguous(category, (row.name for row in found), f"category of {edition}", where)
    if not found:
        names_there = [row.name for row in rates(edition)]
        raise unknown(category, names_there, f"category of {edition}", where, category_of)
    return found[0]


def category_of(name: str) -> str:
    """Return the category of a full name, which stands after the group."""
    return name.partition(" / ")[2]


def rates(edition: str) -> tuple[Rate, ...]:
    """Return every row of an edition, by group."""
    return _rates(edition_named(edition))


@cache
def _rates(edition: str) -> tuple[Rate, ...]:
    return tuple(_read_rates(edition, read_sheet("ventilation", f"{edition}.csv")))


def _read_rates(edition: str, sheet: Sheet) -> Iterator[Rate]:
    people = sheet.unit("people rate", AIRFLOW_PER_PERSON).factor
    area = sheet.unit("area rate", AIRFLOW_PER_AREA).factor
    counted = "density" if "density" in sheet.units else "egress density"
    density = sheet.unit(counted, PEOPLE_PER_AREA).factor
    source = source_of({}, sheet.head)
    combination: Combination = "larger" if sheet.head.get("rule") == "larger" else "sum"
    for row in sheet.rows:
        printed = float(row[counted]) * density if row[counted] else None
        yield Rate(
            edition=edition,
            group=row["group"],
            category=row["category"],
            people_rate=float(row["people rate"]) * people,
            area_rate=float(row["area rate"]) * area,
            default_density=_default(printed, counted),
            air_class=int(row["air class"]) if row["air class"] else None,
            occupied_standby={"yes": True, "no": False, "": None}[row["occupied standby"]],
            printed_name=row["name in the data set"] or row["category"],
            combination=combination,
            least_area_rate=float(row.get("least area rate") or row["area rate"]) * area,
            egress_density=printed if counted == "egress density" else None,
            half_of_egress_counts=sheet.head.get("people") == "at least half of the egress density",
            source=source,
        )


def _default(printed: float | None, counted: str) -> float | None:
    """Return the people to reckon with where nobody gives them: as printed, or half of those of the way out."""
    return printed if printed is None or counted == "density" else 0.5 * printed


@cache
def _by_key(edition: str) -> Mapping[str, tuple[Rate, ...]]:
    """Index an edition by full name, by category and by printed name."""
    index: dict[str, tuple[Rate, ...]] = {}
    for row in _rates(edition):
        for name in {key(row.name), key(row.category), key(row.printed_name)}:
            index[name] = (*index.get(name, ()), row)
    return index


def distributions(edition: str) -> tuple[Distribution, ...]:
    """Return every way of air distribution that an edition lists, with its effectiveness.

    A code without such a list asks the same however the air is distributed.
    """
    edition = edition_named(edition)
    table = read_facts(PROCEDURE)["distribution"]
    if source_for(edition, table["sources"]) is None:
        note = "that this code asks the same however the air is distributed"
        source = replace(_rates(edition)[0].source, confirmed="from memory", by="not looked up", note=note)
        return (Distribution("any", "however the air is distributed", "either", 1.0, source),)
    source = _source(edition, table)
    return tuple(
        Distribution(row["id"], row["words"], row["mode"], row["effectiveness"], source)
        for row in table["rows"]
        if edition not in row.get("not_in", "").split()
    )


def distribution(edition: str, named: str, where: str = "") -> Distribution:
    """Return one way of air distribution by its id, such as "ceiling cool".

    Raises
    ------
    Refused
        No such edition, or no such way in it.
    """
    rows = distributions(edition)
    for row in rows:
        if key(row.id) == key(named):
            return row
    raise unknown(named, [row.id for row in rows], f"air distribution of {edition_named(edition)}", where)


def default_distribution(edition: str, mode: Mode) -> Distribution:
    """Return the usual case of a rooftop unit: from the ceiling, back at the ceiling, air well above the room in heating."""
    rows = distributions(edition)
    return (
        rows[0]
        if len(rows) == 1
        else distribution(edition, read_facts(PROCEDURE)["distribution"]["defaults"][mode])
    )


def zone_table(edition: str) -> ZoneTable:
    """Return the older table of system ventilation efficiency.

    Raises
    ------
    Refused
        The edition no longer has it.
    """
    edition = edition_named(edition)
    table = read_facts(PROCEDURE)["zone_table"]
    rows = tuple((row["at_most"], row["efficiency"]) for row in table["rows"])
    return ZoneTable(rows, _source(edition, table, "table of system ventilation efficiency"))


def simplified_efficiency(edition: str) -> SimplifiedEfficiency:
    """Return the coefficients of the simplified system ventilation efficiency.

    Raises
    ------
    Refused
        The edition does not have it yet.
    """
    edition = edition_named(edition)
    table = read_facts(PROCEDURE)["simplified"]
    return SimplifiedEfficiency(
        slope=table["slope"],
        constant=table["constant"],
        below=table["below"],
        otherwise=table["otherwise"],
        least_primary_to_zone_outdoor_air=table["least_primary_to_zone_outdoor_air"],
        source=_source(edition, table, "simplified system ventilation efficiency"),
    )


def clauses(edition: str) -> tuple[Clause, ...]:
    """Return what an edition asks for beside its rates: resetting with the people, density, checking again."""
    return clauses_of(PROCEDURE, edition_named(edition))


def _source(edition: str, table: Mapping[str, Any], what: str = "table") -> Source:
    placed = source_for(edition, table["sources"])
    if placed is None:
        raise not_held(edition, [held for row in table["sources"] for held in editions_of(row)], what)
    return placed[0]
