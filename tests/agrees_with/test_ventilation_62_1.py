"""Ventilation rates and procedure against ASHRAE 62.1.

Printed column "combined outdoor air rate" of ASHRAE 62.1-2016, Table 6.2.2.1, read in a reproduction of the
table (secondary). The worked systems V1 to V6 were worked by hand from the equations of 62.1-2022, 6.2 and
appendix A, with rates of its Table 6-1; they are not published.
"""

from __future__ import annotations

import math
from typing import Final

import pytest

from ventwright.quantity import AIRFLOW, AREA
from ventwright.tables import ventilation, ventilation_efficiency, ventilation_procedure
from ventwright.tables.rates import AIRFLOW_PER_AREA, AIRFLOW_PER_PERSON, PEOPLE_PER_AREA
from ventwright.tables.ventilation_procedure import Space

CFM: Final = AIRFLOW.us.factor
SQUARE_FOOT: Final = AREA.us.factor

COMBINED: Final = {
    "Correctional / Cell": 10,
    "Correctional / Dayroom": 7,
    "Correctional / Guard stations": 9,
    "Correctional / Booking/waiting": 9,
    "Education / Daycare": 17,
    "Education / Daycare sickroom": 17,
    "Education / Classroom, ages 5 to 8": 15,
    "Education / Classroom, age 9 and up": 13,
    "Education / Lecture classroom": 8,
    "Education / Lecture hall": 8,
    "Education / Art classroom": 19,
    "Education / Science laboratories": 17,
    "Education / University/college laboratories": 17,
    "Education / Wood/metal shop": 19,
    "Education / Computer lab": 15,
    "Education / Media center": 15,
    "Education / Music/theater/dance": 12,
    "Education / Multiuse assembly": 8,
    "Food and beverage / Restaurant dining rooms": 10,
    "Food and beverage / Cafeteria/fast-food dining": 9,
    "Food and beverage / Bars, cocktail lounges": 9,
    "Food and beverage / Kitchen": 14,
    "Office / Office space": 17,
    "Public assembly / Museums/galleries": 9,
    "Public assembly / Auditorium seating area": 5,
    "Sports and entertainment / Health club/weight rooms": 26,
}
"""cfm per person, as printed (whole numbers)."""


@pytest.mark.parametrize(("category", "printed"), COMBINED.items(), ids=COMBINED)
def test_people_and_area_rate_give_the_printed_combined_rate(category: str, printed: int) -> None:
    """Rp + Ra / density, rounded half up, is the combined rate that the table itself prints."""
    row = ventilation.rate("62.1-2016", category)
    assert row.default_density is not None
    combined = (row.people_rate + row.area_rate / row.default_density) / CFM
    assert (
        math.floor(round(combined, 6) + 0.5) == printed
    )  # six decimals: 13.5 must stay 13.5 after converting


def test_printed_si_rates_differ_as_the_table_rounds_them() -> None:
    """The SI column (5 cfm beside 2.5 L/s, 0.06 cfm/ft2 beside 0.3 L/s m2: 62.1, Table 6-1) is near, not equal."""
    office = ventilation.rate("62.1-2022", "Office space")
    assert office.people_rate * 1e3 == pytest.approx(2.5, rel=0.06)  # rounded to half litres: within 6 %
    assert office.area_rate * 1e3 == pytest.approx(0.3, rel=0.02)  # rounded to 0.1 L/s m2: within 2 %
    assert office.people_rate == pytest.approx(5 * CFM)


def _space(category: str, square_feet: float, people: float | None = None) -> Space:
    row = ventilation.rate("62.1-2022", category)
    area = square_feet * SQUARE_FOOT
    if people is None:
        assert row.default_density is not None
        people = area * row.default_density
    return Space(people, area, row.people_rate, row.area_rate)


def test_v1_classroom_in_cooling() -> None:
    """1000 ft2, 35 people of age 9 and up: 470 cfm at effectiveness 1.0."""
    classroom = _space("Education / Classroom, age 9 and up", 1000, 35)
    effectiveness = ventilation.default_distribution("62.1-2022", "cooling").effectiveness
    breathing_zone = ventilation_procedure.breathing_zone_airflow([classroom])
    intake = ventilation_procedure.single_zone_intake(
        ventilation_procedure.zone_outdoor_airflow(breathing_zone, effectiveness)
    )
    assert breathing_zone / CFM == pytest.approx(470)
    assert intake / CFM == pytest.approx(470)


def test_v2_classroom_in_heating() -> None:
    """The same in heating from the ceiling, effectiveness 0.8: 587.5 cfm."""
    effectiveness = ventilation.default_distribution("62.1-2022", "heating").effectiveness
    classroom = _space("Education / Classroom, age 9 and up", 1000, 35)
    airflow = ventilation_procedure.zone_outdoor_airflow(
        ventilation_procedure.breathing_zone_airflow([classroom]), effectiveness
    )
    assert airflow / CFM == pytest.approx(587.5)


@pytest.mark.parametrize(
    ("category", "square_feet", "people", "cfm"),
    [("Office space", 5000, 25, 425), ("Retail / Sales", 4000, 60, 930)],
    ids=["V3 office", "V4 retail sales"],
)
def test_v3_v4_default_density(category: str, square_feet: float, people: float, cfm: float) -> None:
    """People from the table's default density."""
    space = _space(category, square_feet)
    assert space.people == pytest.approx(people)
    assert ventilation_procedure.breathing_zone_airflow([space]) / CFM == pytest.approx(cfm)


def test_v5_fraction_rises_as_the_fan_slows() -> None:
    """587.5 cfm is 29.4 % of 2000 cfm and 44.5 % of 1320 cfm."""
    fractions = [
        ventilation_efficiency.average_outdoor_air_fraction(587.5 * CFM, supply * CFM)
        for supply in (2000, 1320)
    ]
    assert fractions == pytest.approx([0.294, 0.445], abs=0.0005)  # printed to a tenth of a per cent


OFFICE, CONFERENCE, RECEPTION = (
    ("Office space", 2000, 10, 480),
    ("Conference/meeting", 500, 25, 300),
    ("Reception areas", 400, 12, 160),
)


def test_v6_three_zones() -> None:
    """Office, conference and reception on one unit: diversity, simplified efficiency and appendix A."""
    zones = (OFFICE, CONFERENCE, RECEPTION)
    spaces = [_space(category, area, people) for category, area, people, _ in zones]
    outdoor = [ventilation_procedure.breathing_zone_airflow([space]) for space in spaces]
    assert [round(airflow / CFM, 6) for airflow in outdoor] == [170, 155, 84]

    diversity = ventilation_procedure.occupant_diversity(35, [space.people for space in spaces])
    uncorrected = ventilation_procedure.uncorrected_intake(diversity, spaces)
    assert diversity == pytest.approx(0.7447, abs=5e-5)
    assert uncorrected / CFM == pytest.approx(349.0, abs=0.05)

    printed = ventilation.simplified_efficiency("62.1-2022")
    efficiency = ventilation_efficiency.efficiency_from_diversity(diversity, printed)
    assert efficiency == 0.75
    assert ventilation_procedure.multiple_zone_intake(uncorrected, efficiency) / CFM == pytest.approx(
        465.3, abs=0.05
    )
    least = [ventilation_efficiency.least_primary_airflow(airflow, printed) / CFM for airflow in outdoor]
    assert least == pytest.approx([255, 232.5, 126])

    average = ventilation_efficiency.average_outdoor_air_fraction(uncorrected, 2200 * CFM)
    primary = [
        ventilation_efficiency.zone_primary_fraction(airflow, cfm * CFM)
        for airflow, (*_, cfm) in zip(outdoor, zones, strict=True)
    ]
    each = [ventilation_efficiency.zone_efficiency_single_supply(average, fraction) for fraction in primary]
    assert average == pytest.approx(0.1586, abs=5e-5)
    assert primary == pytest.approx([0.3542, 0.5167, 0.5250], abs=5e-5)
    assert each == pytest.approx([0.8045, 0.6420, 0.6336], abs=5e-5)
    intake = ventilation_procedure.multiple_zone_intake(
        uncorrected, ventilation_efficiency.system_efficiency(each)
    )
    assert intake / CFM == pytest.approx(550.8, abs=0.05)


def test_simplified_efficiency_below_the_bound() -> None:
    """0.88 D + 0.22 where D is below 0.60 (62.1-2019, 6.2.4.3, secondary): 0.66 at half."""
    printed = ventilation.simplified_efficiency("62.1-2019")
    assert ventilation_efficiency.efficiency_from_diversity(0.5, printed) == pytest.approx(0.66)
    assert ventilation_efficiency.efficiency_from_diversity(0.6, printed) == 0.75


@pytest.mark.parametrize(
    ("fraction", "efficiency"), [(0.15, 1.0), (0.16, 0.9), (0.25, 0.9), (0.35, 0.8), (0.40, 0.7), (0.55, 0.6)]
)
def test_older_table_of_efficiency(fraction: float, efficiency: float) -> None:
    """62.1-2016, Table 6.2.5.2 (from memory)."""
    printed = ventilation.zone_table("62.1-2016")
    assert ventilation_efficiency.efficiency_from_zone_table(fraction, printed) == efficiency


def test_mixed_use_and_all_outdoor_air_are_sums() -> None:
    """An office with its meeting room is one zone of 325 cfm; on an all-outdoor-air unit two zones add up."""
    office, meeting = _space("Office space", 2000, 10), _space("Conference/meeting", 500, 25)
    assert ventilation_procedure.breathing_zone_airflow([office, meeting]) / CFM == pytest.approx(170 + 155)
    assert ventilation_procedure.all_outdoor_air_intake([170 * CFM, 155 * CFM]) / CFM == pytest.approx(325)


def test_rates_are_read_in_their_units() -> None:
    """1 ft is 0.3048 m exactly (NIST SP 811): cfm/person, cfm/ft2 and people/1000 ft2 in SI."""
    assert AIRFLOW_PER_PERSON.us.factor == pytest.approx(0.3048**3 / 60)
    assert AIRFLOW_PER_AREA.us.factor == pytest.approx(0.3048 / 60)
    assert PEOPLE_PER_AREA.us.factor == pytest.approx(1e-3 / 0.3048**2)


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("retail sales", "Retail / Sales"),
        ("Sales (except as below)", "Retail / Sales"),
        ("OFFICE SPACE", "Office / Office space"),
        ("general / break rooms", "General / Break rooms"),
        ("office/breakrooms", "Office / Breakrooms"),
        ("Classrooms (age 9 plus)", "Education / Classroom, age 9 and up"),
    ],
)
def test_a_category_is_found_as_people_write_it(typed: str, name: str) -> None:
    """By our short name or by the name printed in 62.1-2022, Table 6-1, whatever the case and punctuation."""
    assert ventilation.rate("62.1 2022", typed).name == name


def test_the_two_break_rooms_are_different_rows() -> None:
    """62.1-2022, Table 6-1: 0.06 cfm/ft2 and 25 people in general, 0.12 and 50 in office buildings."""
    general, office = (
        ventilation.rate("2022", name) for name in ("General / Break rooms", "Office / Breakrooms")
    )
    assert office.area_rate == pytest.approx(2 * general.area_rate)
    assert (general.occupied_standby, office.occupied_standby) == (True, False)
