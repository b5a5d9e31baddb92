"""California's Title 24: ventilation, economizers and high limits against what others encode of it.

Sources:

- Total outdoor air by use, 2016: space table of the open compliance rule set of California's energy commission
  (tests/data/california).
- High limits: ASHRAE Guideline 36, 5.1.17, as an open library of control sequences of a US national laboratory restates
  it for Title 24, in whole °C and kelvins: 24, 23, 22, 21 °C and 0, 1, 2, 3 K below return air by climate zone.
- Capacity from which an economizer is required: more than 54 000 Btu/h (2013 edition read), more than 33 000 Btu/h in
  2022 (pages about the code).
- Equations 120.1-F and 120.1-G: pages about the code.
"""

from __future__ import annotations

import csv
from pathlib import Path
from typing import Any, Final

import pytest
from tests.invented import facts

from ventwright.plan import Compliance, Plan, make_plan
from ventwright.quantity import AIRFLOW, AREA, HEAT_RATE, read
from ventwright.tables import energy_code, ventilation
from ventwright.tables.climate import CALIFORNIA_ZONES, climate_zone
from ventwright.tables.energy_code import HighLimit

CFM: Final = AIRFLOW.us.factor
EDITIONS: Final = ("Title 24-2016", "Title 24-2019", "Title 24-2022")
TOTALS: Final = Path(__file__).parents[1] / "data" / "california" / "title_24_2016_total_ventilation.csv"

SEQUENCES: Final = {
    "fixed": {24: (1, 3, 5, 11, 12, 13, 14, 15, 16), 23: (2, 4, 10), 22: (6, 8, 9), 21: (7,)},
    "below return": {0: (1, 3, 5, 11, 12, 13, 14, 15, 16), 1: (2, 4, 10), 2: (6, 8, 9), 3: (7,)},
}
"""Whole °C, and whole kelvins below return air, by number of the climate zone."""


def _by_zone(table: dict[int, tuple[int, ...]]) -> dict[str, int]:
    return {f"CA {number}": value for value, numbers in table.items() for number in numbers}


def _limits(edition: str, zone: str) -> dict[str, HighLimit]:
    return {limit.control: limit for limit in energy_code.high_limits(edition, zone)}


@pytest.mark.parametrize("edition", EDITIONS)
@pytest.mark.parametrize("zone", CALIFORNIA_ZONES)
def test_high_limits_are_those_of_the_sequences(zone: str, edition: str) -> None:
    """Our °F, rounded to whole °C and kelvins, are the numbers of the library; differential enthalpy is not allowed."""
    limits = _limits(edition, zone)
    fixed, differential = limits["fixed dry bulb"], limits["differential dry bulb"]
    assert fixed.dry_bulb is not None
    assert round(fixed.dry_bulb) == _by_zone(SEQUENCES["fixed"])[zone]
    assert round(differential.below_return) == _by_zone(SEQUENCES["below return"])[zone]
    assert differential.compared_with_return == "dry bulb"
    assert fixed.allowed
    assert differential.allowed
    assert not limits["differential enthalpy"].allowed
    assert not limits["differential enthalpy and dry bulb"].allowed
    both = limits["fixed enthalpy and dry bulb"]
    assert both.allowed
    assert both.dry_bulb is not None
    assert round(both.dry_bulb) == 24


def test_28_btu_per_pound_is_not_66_kilojoules() -> None:
    """The library prints 66 kJ/kg, 28 Btu/lb times 2.326 on the other datum; on ours it is 47.3 kJ/kg."""
    enthalpy = _limits("Title 24-2022", "CA 3")["fixed enthalpy and dry bulb"].enthalpy
    assert enthalpy is not None
    assert enthalpy / 1e3 == pytest.approx(47.3, abs=0.1)


@pytest.mark.parametrize(
    ("edition", "capacity", "required"),
    [
        ("Title 24-2016", "54000 Btu/h", False), ("Title 24-2016", "54001 Btu/h", True), ("Title 24-2019", "4.5 ton", False),
        ("Title 24-2019", "5 ton", True), ("Title 24-2022", "33000 Btu/h", False), ("Title 24-2022", "33001 Btu/h", True),
        ("Title 24-2022", "2.75 ton", False), ("Title 24-2022", "3 ton", True),
    ],
)  # fmt: skip
@pytest.mark.parametrize("zone", ["CA 1", "CA 7", "CA 16"])
def test_an_economizer_is_required_above_the_capacity(
    zone: str, edition: str, capacity: str, required: bool
) -> None:
    """In every zone, and only above it: 4.5 tons are 54 000 Btu/h exactly."""
    rule = energy_code.economizer_rule(edition, zone)
    assert rule.requires(read(capacity, HEAT_RATE).value) is required


@pytest.mark.parametrize("edition", EDITIONS)
def test_what_nobody_read_says_so(edition: str) -> None:
    """Every row carries its doubt: pages about the code, or memory."""
    assert energy_code.economizer_rule(edition, "CA 12").source.doubt
    for zone in energy_code.zones_of(edition):
        assert all(limit.source.doubt for limit in energy_code.high_limits(edition, zone))
    assert energy_code.zones_of(edition) == CALIFORNIA_ZONES
    assert {clause.id for clause in energy_code.clauses(edition)} == {
        "full_outdoor_air", "high_limit_action", "integrated_control", "relief", "damper_leakage", "fault_detection",
    }  # fmt: skip


def _totals() -> list[tuple[str, float]]:
    with TOTALS.open(encoding="utf-8") as file:
        return [(name, float(total)) for name, total in list(csv.reader(file))[1:]]


@pytest.mark.parametrize(("name", "total"), _totals())
def test_total_outdoor_air_of_2016(name: str, total: float) -> None:
    """The larger of area rate and 15 cfm for half the people of the way out is the state's own total, to its rounding."""
    rate = ventilation.rate("Title 24-2016", name)
    use = f"{rate.group} / {rate.category}"
    room = {"name": "Room", "use": use, "floor_area": "10000 ft2"}
    plan = _plan("Title 24-2016", [room])
    # the table's densities are rounded to a hundredth of a person in 1000 ft2
    assert plan.ventilation.required / CFM / 10_000 == pytest.approx(total, rel=1e-4)


def _plan(standard: str, spaces: list[dict[str, Any]], **other: Any) -> Plan:
    site = {"climate_zone": "CA 12", "energy_code": standard}
    return make_plan(
        facts(site=site, spaces=spaces, ventilation={"standard": standard, "drawn": None} | other)
    )


SHOP: Final = {"name": "Shop", "use": "Retail / Sales", "floor_area": "4800 ft2"}


@pytest.mark.parametrize(
    ("standard", "people", "cfm"),
    [
        ("Title 24-2016", None, 1200.0),  # half of 33.33 people in 1000 ft2: 80 people, 15 cfm each
        ("Title 24-2016", 20, 1200.0),  # fewer may not be reckoned with
        ("Title 24-2016", 120, 1800.0),  # 15 cfm for each
        ("Title 24-2022", None, 1200.0),  # 0.25 cfm/ft2 in all
        ("Title 24-2022", 20, 1200.0),  # 300 cfm for the people, 1200 for the floor: the larger counts
        ("Title 24-2022", 120, 1800.0),
    ],
)
def test_the_larger_of_people_and_floor_counts(standard: str, people: float | None, cfm: float) -> None:
    """4800 ft2 of sales floor; no factor for air distribution, so heating asks for no more than cooling."""
    plan = _plan(standard, [SHOP | ({"people": people} if people else {})])
    assert plan.ventilation.required / CFM == pytest.approx(
        cfm, rel=2e-4
    )  # the density is printed to four figures
    assert plan.ventilation.required_cooling == plan.ventilation.required_heating
    assert plan.ventilation.source == f"code sum, {standard}"


def test_people_that_are_raised_are_named() -> None:
    """The plan says that the code reckons with more people than were given."""
    plan = _plan("Title 24-2016", [SHOP | {"people": 20}])
    (guess,) = [one for one in plan.guesses if one.what == "spaces.Shop.people"]
    assert guess.sentence.show("us") == (
        "20 people are given for Shop: Title 24-2016 reckons with at least half of those of the way out, 80, unless the seats are fixed"
    )


def test_zones_of_a_building_add_up() -> None:
    """Several zones: the sum of their air, without a system efficiency (from memory); 1200 and 0.15 x 2000 = 300 cfm."""
    office = {"name": "Office", "use": "Office / Office", "floor_area": "2000 ft2"}
    plan = _plan("Title 24-2022", [SHOP, office], system="multiple zones")
    assert plan.ventilation.required / CFM == pytest.approx(1500)
    assert plan.ventilation.code_sum[0].system_efficiency is None


def test_a_plan_under_title_24() -> None:
    """Zone, high limit, demand control and capacity come together: 71 °F in zone 8, retail is dense by its way out."""
    facts_given = facts(
        site={"climate_zone": "ca8", "energy_code": "California Title 24 Part 6-2022"},
        spaces=[SHOP | {"people": 72}],
        ventilation={"standard": "Title 24-2022", "drawn": None, "demand_control": "not fitted"},
    )
    plan = make_plan(facts_given)
    assert plan.basis.climate_zone == "CA 8"
    assert plan.high_limit.dry_bulb == pytest.approx((71 - 32) / 1.8)
    standing = {one.id: one for one in plan.requirements}
    assert standing["economizer"].standing is Compliance.MET
    assert (
        standing["economizer"].asks.show("us")
        == "an economizer on units above 33,000 Btu/h in climate zone CA 8"
    )
    assert standing["demand_control"].standing is Compliance.NOT_MET
    assert standing["demand_control"].doubt


def test_a_differential_limit_names_its_margin() -> None:
    """Zone 7: outdoor air has to be 6 °F cooler than return air."""
    plan = make_plan(facts(site={"climate_zone": "CA 7", "energy_code": "Title 24-2022"}))
    (row,) = [one for one in plan.high_limit.alternatives if one.control == "differential dry bulb"]
    assert row.below_return == pytest.approx(6 / 1.8)


def test_the_area_of_a_square_foot_is_not_lost() -> None:
    """0.15 cfm/ft2 on 1000 ft2 of storage are 150 cfm, whatever the people."""
    plan = _plan(
        "Title 24-2016",
        [{"name": "Stock", "use": "Storage / Storage and warehouse", "floor_area": "1000 ft2"}],
    )
    assert plan.ventilation.required / CFM == pytest.approx(150)
    assert plan.ventilation.spaces[0].floor_area == pytest.approx(1000 * AREA.us.factor)


@pytest.mark.parametrize(
    "text", ["CA 12", "ca12", "CA-12", "CA_12", "California zone 12", "California climate zone 12", "ca 012"]
)
def test_a_californian_zone_as_people_write_it(text: str) -> None:
    """Sixteen zones of the state's own, in any spelling."""
    assert climate_zone(text).zone == "CA 12"
