"""Every printed number says where it stands and how it was confirmed."""

from __future__ import annotations

import tomllib
from importlib.resources import files
from pathlib import Path
from typing import TYPE_CHECKING, Any

import pytest

from ventwright.tables import (
    carbon_dioxide,
    class_2,
    climate,
    climate_criteria,
    damper_leakage,
    demand_control,
    energy_code,
    sensor_curve,
    signal,
    ventilation,
    wire,
)
from ventwright.tables.data_file import read_sheet
from ventwright.tables.source import CONFIRMED, Source

if TYPE_CHECKING:
    from collections.abc import Iterator

STANDARDS = Path(str(files("ventwright.tables"))) / "standards"
SHEETS = sorted(path.relative_to(STANDARDS).parts for path in STANDARDS.rglob("*.csv"))
FACTS = sorted(STANDARDS.rglob("*.toml"))
HEAD = {"title", "code", "edition", "section", "confirmed", "by", "licence"}


@pytest.mark.parametrize("path", SHEETS, ids="/".join)
def test_a_sheet_says_on_top_where_it_is_from(path: tuple[str, ...]) -> None:
    """Title, document, edition, table, mark, by what, licence."""
    head = read_sheet(*path).head
    assert {name for name in HEAD if head.get(name)} == HEAD
    assert head["confirmed"] in CONFIRMED


@pytest.mark.parametrize("path", FACTS, ids=lambda path: path.name)
def test_every_group_of_rows_in_a_facts_file_has_a_mark(path: Path) -> None:
    """A list of rows has its mark in the row, in its table's sources, or at the top of the file."""
    facts = tomllib.loads(path.read_text(encoding="utf-8"))
    assert facts["title"]
    assert facts["licence"]
    marked = list(_marks(facts))
    assert marked
    assert set(marked) <= set(CONFIRMED)
    if "confirmed" not in facts:
        for part in _parts(facts):
            assert part["sources"], part
            assert all(
                {"editions", "section", "confirmed", "by"} <= source.keys() for source in part["sources"]
            )


def _marks(thing: Any) -> Iterator[str]:
    """Yield every mark in a file."""
    if isinstance(thing, dict):
        if "confirmed" in thing:
            yield thing["confirmed"]
        for value in thing.values():
            yield from _marks(value)
    elif isinstance(thing, list):
        for value in thing:
            yield from _marks(value)


def _parts(facts: dict[str, Any]) -> Iterator[dict[str, Any]]:
    """Yield the tables of a file that hold rows of their own."""
    for value in facts.values():
        if isinstance(value, dict):
            yield value
        elif isinstance(value, list):
            yield from value


def _sources() -> Iterator[tuple[str, Source]]:
    """Yield the source of everything the tables can be asked for."""
    for edition in ventilation.editions():
        yield from ((f"{edition} {row.name}", row.source) for row in ventilation.rates(edition))
        yield from ((f"{edition} {way.id}", way.source) for way in ventilation.distributions(edition))
        yield from ((f"{edition} {clause.id}", clause.source) for clause in ventilation.clauses(edition))
    yield "zone table", ventilation.zone_table("62.1-2016").source
    yield "simplified", ventilation.simplified_efficiency("62.1-2022").source
    for edition in energy_code.editions():
        yield from ((f"{edition} {clause.id}", clause.source) for clause in energy_code.clauses(edition))
        for threshold in energy_code.fan_speed_thresholds(edition):
            yield f"{edition} fan speeds", threshold.source
        for zone in energy_code.zones_of(edition):
            rule = energy_code.economizer_rule(edition, zone)
            yield f"{edition} {zone}", rule.source
            if rule.trade_off_source:
                yield f"{edition} {zone} trade-off", rule.trade_off_source
            if edition not in {"IECC-2006", "IECC-2009"}:
                for limit in energy_code.high_limits(edition, zone):
                    yield f"{edition} {zone} {limit.control}", limit.source
    for zone in climate.ZONES:
        yield f"leakage {zone}", damper_leakage.damper_leakage("90.1-2019", zone, 3).source
    for edition in ("90.1-2007", "90.1-2019", "IECC-2021", "Title 24-2022"):
        yield f"demand control {edition}", demand_control.demand_control_rule(edition).source
    yield from _sources_beside_the_codes()


def _sources_beside_the_codes() -> Iterator[tuple[str, Source]]:
    """Yield the source of everything about wires, control power, climate criteria and carbon dioxide."""
    yield from ((f"{row.gauge} AWG {row.conductor}", row.source) for row in wire.wires())
    for volts in (12.0, 24.0, 30.0):
        limits = class_2.class_2(volts)
        assert limits is not None
        yield f"class 2 at {volts:g} V", limits.source
    yield "sources joined", class_2.interconnection()
    for definition in climate_criteria.DEFINITIONS:
        yield from (
            (f"climate {definition}", source) for source in climate_criteria.criteria(definition).sources
        )
    for county in (climate.zone_of_county("Cook", "IL"), climate.elevation_of_county("Cook", "IL")):
        assert county.source is not None
        yield county.place, county.source
    yield "outdoor carbon dioxide", carbon_dioxide.assumed_outdoor()[1]
    for category in ("Office / Office space", "Education / Classroom, ages 5 to 8"):
        yield f"carbon dioxide, {category}", carbon_dioxide.generation(category).source
    for edition in ("Title 24-2016", "Title 24-2019", "Title 24-2022"):
        set_point, sensor = carbon_dioxide.set_point_limit(edition), carbon_dioxide.sensor_limits(edition)
        assert set_point is not None
        assert sensor is not None
        yield f"set point {edition}", set_point.source
        yield f"sensor {edition}", sensor.source


def test_everything_that_can_be_looked_up_has_a_source() -> None:
    """Document, year, place, mark and by what, none of them empty."""
    for name, source in _sources():
        assert all((source.code, source.edition, source.section, source.by)), name
        assert source.confirmed in CONFIRMED, name


def test_doubt_is_told_for_what_nobody_read() -> None:
    """Disputed, secondary and remembered rows speak up; read ones and open data do not."""
    for name, source in _sources():
        assert bool(source.doubt) == (source.confirmed in {"disputed", "secondary", "from memory"}), name


def test_every_curve_and_signal_has_a_source() -> None:
    """A sensor curve says where its coefficients stand and how that was confirmed; doubt is told for what nobody read."""
    assert len(sensor_curve.curves()) > 10
    for curve in sensor_curve.curves():
        assert curve.source, curve.id
        assert curve.confirmed in CONFIRMED, curve.id
        unread = curve.confirmed not in {"read", "open data"}
        assert bool(curve.doubt) == (unread or curve.coefficients_are != "published"), curve.id
    assert all(one.source for one in signal.signals())
    limits = signal.fault_limits()
    assert limits.source
    assert limits.confirmed in CONFIRMED


def test_an_unknown_mark_is_no_mark() -> None:
    """A file cannot invent a way to be confirmed."""
    with pytest.raises(ValueError, match='"hearsay" is no way to confirm a row'):
        Source("ASHRAE 90.1", "2019", "6.5.1", "hearsay", "somebody")


def test_every_exempt_category_is_one_of_the_ventilation_table() -> None:
    """The rule for demand control speaks of categories that can be looked up."""
    rule = demand_control.demand_control_rule("90.1-2019")
    assert [ventilation.rate("62.1-2019", name).name for name in rule.exempt_categories] == list(
        rule.exempt_categories
    )


def test_every_category_is_found_by_its_full_name() -> None:
    """No two rows of an edition share a name, whatever the punctuation."""
    for edition in ventilation.editions():
        for row in ventilation.rates(edition):
            assert ventilation.rate(edition, row.name.upper()) is row
