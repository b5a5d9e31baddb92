"""Clauses of the energy codes: thresholds, fan speeds, fault detection, demand control, damper leakage.

Read in extracts of the code text: IECC-2018 C403.5 and C403.5.5, IECC-2015 C403.4.1, and Washington State
Administrative Code 51-11C-40355 (IECC-based). ASHRAE 90.1-2019, 6.4.3.8, as a design note of a US national
laboratory restates it. Table 6.4.3.4.3 of 90.1 is from memory.
"""

from __future__ import annotations

import pytest

from ventwright.quantity import AIRFLOW, AREA, HEAT_RATE, TEMPERATURE_DIFFERENCE, read
from ventwright.tables import energy_code
from ventwright.tables.clause import Clause
from ventwright.tables.damper_leakage import damper_leakage
from ventwright.tables.demand_control import demand_control_rule
from ventwright.tables.rates import AIRFLOW_PER_AREA, PEOPLE_PER_AREA
from ventwright.words import plain

ASKED_OF_EVERY_ECONOMIZER = {
    *("integrated_control", "control_signal", "full_outdoor_air", "fan_speeds", "fan_speeds_with_economizer"),
    *("ventilation_at_low_speed", "relief", "fault_detection"),
}


def _clauses(edition: str) -> dict[str, Clause]:
    return {clause.id: clause for clause in energy_code.clauses(edition)}


def _required(edition: str, zone: str, capacity: str, *, outside: bool = True) -> bool:
    return energy_code.economizer_rule(edition, zone, outside=outside).requires(
        read(capacity, HEAT_RATE).value
    )


@pytest.mark.parametrize(
    ("edition", "zone", "capacity", "required"),
    [
        ("IECC-2018", "5A", "4.5 ton", True),  # 54 000 Btu/h exactly: the limit itself counts
        ("IECC-2018", "5A", "53999 Btu/h", False),
        ("IECC-2018", "1A", "20 ton", False),
        ("IECC-2012", "8", "33000 Btu/h", True),
        ("IECC-2006", "5A", "10 ton", False),
        ("90.1-2007", "4A", "50 ton", False),
        ("90.1-2007", "3C", "65 kBtu/h", True),
        ("90.1-2019", "2A", "15.8 kW", False),
        ("90.1-2019", "2A", "15.9 kW", True),
    ],
)
def test_when_an_economizer_is_required(edition: str, zone: str, capacity: str, required: bool) -> None:
    """Capacity and zone of the requirement (IECC Table C403.5(1) and its kin; 54 000 Btu/h is 15.83 kW)."""
    assert _required(edition, zone, capacity) is required


def test_a_rooftop_unit_needs_one_earlier_since_2022() -> None:
    """90.1-2022 Table 6.5.1-1: 33 000 Btu/h outside the building, 54 000 Btu/h elsewhere (open data)."""
    assert _required("90.1-2022", "5A", "3 ton", outside=True)
    assert not _required("90.1-2022", "5A", "3 ton", outside=False)


def test_better_efficiency_stands_in() -> None:
    """90.1-2019 Table 6.5.1-2: 49 % in 5A; IECC-2018 Table C403.5(2): 20 % in 4A, none in 5A (open data)."""
    assert energy_code.economizer_rule("90.1-2019", "5A").efficiency_trade_off == pytest.approx(0.49)
    assert energy_code.economizer_rule("IECC-2018", "4A").efficiency_trade_off == pytest.approx(0.20)
    assert energy_code.economizer_rule("IECC-2018", "5A").efficiency_trade_off is None


@pytest.mark.parametrize("edition", ["IECC-2015", "IECC-2018", "IECC-2021", "IECC-2024"])
def test_iecc_clauses(edition: str) -> None:
    """Every topic of C403.5 is there from 2015 on."""
    assert set(_clauses(edition)) >= ASKED_OF_EVERY_ECONOMIZER


@pytest.mark.parametrize("edition", ["90.1-2016", "90.1-2019", "90.1-2022"])
def test_90_1_clauses(edition: str) -> None:
    """The standard adds leakage, staging, sensor accuracy and heating impact (numbers from memory)."""
    more = {"damper_leakage", "staging", "sensor_accuracy", "heating_impact"}
    assert ASKED_OF_EVERY_ECONOMIZER | more <= set(_clauses(edition))


def test_fault_detection() -> None:
    """IECC C403.5.5: three sensors, within 2 °F between 40 and 80 °F, five faults."""
    clause = _clauses("IECC-2018")["fault_detection"]
    assert clause.source.confirmed == "read"
    assert clause.source.section == "C403.5.5"
    assert [name.split()[0] for name in clause.lists["sensors"]] == ["outdoor", "supply", "return"]
    assert len(clause.lists["faults"]) == 5
    band = read(clause.quantities["temperature sensors, band"], TEMPERATURE_DIFFERENCE)
    assert band.value == pytest.approx(1.11, abs=0.005)  # 1.1 K in the SI text
    assert [clause.quantities[f"temperature {end}"] for end in ("from", "to")] == ["40 F", "80 F"]


def test_fan_speeds() -> None:
    """IECC-2015 C403.4.1: 75 000 Btu/h, 65 000 from 2016 on; low speed within 66 % of speed and 40 % of power."""
    quantities = _clauses("IECC-2015")["fan_speeds"].quantities
    assert quantities["least cooling capacity (until 2015-12-31)"] == "75000 Btu/h"
    assert quantities["least cooling capacity (since 2016-01-01)"] == "65000 Btu/h"
    assert quantities["low speed at most, share of full speed"] == "66 %"
    assert quantities["low speed at most, share of full power"] == "40 %"


def test_an_edition_without_a_fan_rule_has_no_fan_clause() -> None:
    """90.1-2007 asks nothing of single-zone units (open data)."""
    assert energy_code.fan_speed_thresholds("90.1-2007") == ()
    assert "fan_speeds" not in _clauses("90.1-2007")


def _demand_control(edition: str, **changes: object) -> bool:
    facts: dict[str, object] = {
        "floor_area": read("600 ft2", AREA).value,
        "density": read("50 people/1000 ft2", PEOPLE_PER_AREA).value,
        "system_outdoor_airflow": read("1200 cfm", AIRFLOW).value,
        "air_economizer": True,
        "modulating_damper": False,
        "category": "General / Conference/meeting",
    }
    return demand_control_rule(edition).holds_for(**{**facts, **changes})  # type: ignore[arg-type]


@pytest.mark.parametrize(
    ("changes", "holds"),
    [
        ({}, True),
        ({"air_economizer": False}, False),
        ({"air_economizer": False, "modulating_damper": True}, True),
        ({"air_economizer": False, "system_outdoor_airflow": read("3001 cfm", AIRFLOW).value}, True),
        ({"system_outdoor_airflow": read("749 cfm", AIRFLOW).value}, False),
        ({"floor_area": read("500 ft2", AREA).value}, False),
        ({"density": read("24 people/1000 ft2", PEOPLE_PER_AREA).value}, False),
        ({"density": read("25 people/1000 ft2", PEOPLE_PER_AREA).value}, True),
        ({"category": "Education / Science laboratories"}, False),
    ],
    ids=str,
)
def test_where_outdoor_air_must_follow_the_people(changes: dict[str, object], holds: bool) -> None:
    """90.1-2019, 6.4.3.8: over 500 ft2, 25 people per 1000 ft2, economizer or damper or 3000 cfm, not below 750 cfm."""
    assert _demand_control("90.1-2019", **changes) is holds


def test_demand_control_density_by_edition() -> None:
    """90.1-2007: 40 people per 1000 ft2; IECC-2018: 25, 2021: 15 (from memory, and it says so)."""
    densities = {
        edition: demand_control_rule(edition).minimum_density * 1000 * read("1 ft2", AREA).value
        for edition in ("90.1-2007", "90.1-2019", "IECC-2018", "IECC-2021")
    }
    assert densities == pytest.approx({"90.1-2007": 40, "90.1-2019": 25, "IECC-2018": 25, "IECC-2021": 15})
    assert demand_control_rule("IECC-2021").source.doubt.startswith("from memory, check before relying on it")
    assert demand_control_rule("90.1-2019").source.doubt == ""


@pytest.mark.parametrize(
    ("zone", "storeys", "intake_gravity", "intake_motorized", "relief_gravity"),
    [
        ("2A", 5, 20, 4, 20),
        ("3C", 1, 20, 10, 20),
        ("4A", 2, None, 10, 20),
        ("5B", 3, None, 10, None),
        ("7", 1, None, 4, 20),
    ],
)
def test_damper_leakage(
    zone: str,
    storeys: int,
    intake_gravity: float | None,
    intake_motorized: float,
    relief_gravity: float | None,
) -> None:
    """90.1 Table 6.4.3.4.3, cfm/ft2 at 1.0 in.w.g. (249 Pa), from memory."""
    limits = damper_leakage("90.1-2019", zone, storeys)
    factor = AIRFLOW_PER_AREA.us.factor
    assert limits.intake_motorized / factor == pytest.approx(intake_motorized)
    assert (limits.intake_gravity and limits.intake_gravity / factor) == pytest.approx(intake_gravity)
    assert (limits.relief_gravity and limits.relief_gravity / factor) == pytest.approx(relief_gravity)
    assert limits.test_pressure == pytest.approx(249.1, abs=0.05)
    assert limits.source.edition == "2019"


def test_results_name_their_units_as_plain_data() -> None:
    """Every quantity of a rule has its SI unit in its key, and the source goes with it."""
    rule = plain(energy_code.economizer_rule("90.1-2019", "5A"))
    assert rule["minimum_capacity_W"] == pytest.approx(15826, abs=1)  # 54 000 Btu/h of 0.293071 W
    assert rule["source"]["confirmed"] == "open data"
