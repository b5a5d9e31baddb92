"""Carbon dioxide of rooms against published steady states.

Sources: ASHRAE Technical FAQ 35 (about 700 ppm above outdoors at 7.5 L/s or 15 cfm a person); ASHRAE 62.1-2016,
informative appendix D (0.0105 cfm a person at 1.2 met: from memory); guidance page of a US national laboratory on
California's limit (600 ppm above outdoors, 400 ppm where outdoors is not measured) and on what children give off
(0.003 L/s, Persily and de Jonge 2017).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from ventwright.errors import Refused
from ventwright.physics.carbon_dioxide import shortfall_of_low_reading, steady_rise
from ventwright.quantity import AIRFLOW, LENGTH, read
from ventwright.tables import carbon_dioxide, ventilation


def _cfm(value: float) -> float:
    return read(f"{value} cfm", AIRFLOW).value


def test_fifteen_cfm_a_person() -> None:
    """0.0105 cfm over 15 cfm are 700 ppm; the FAQ's "about 700" at 7.5 L/s, within 10 %."""
    adult = carbon_dioxide.generation("Office / Office space")
    assert adult.per_person == pytest.approx(_cfm(0.0105))
    assert "1.2 met" in adult.activity
    assert steady_rise(adult.per_person, _cfm(15)) == pytest.approx(700)
    assert steady_rise(adult.per_person, 7.5e-3) == pytest.approx(700, rel=0.10)


def test_twice_the_people_twice_the_rise() -> None:
    """Mass balance: the rise goes with the people and against the air."""
    assert steady_rise(2e-5, 0.04) == pytest.approx(500)
    assert steady_rise(4e-5, 0.04) == pytest.approx(1000)
    assert steady_rise(2e-5, 0.08) == pytest.approx(250)


def test_no_air_no_steady_state() -> None:
    """Without outdoor air carbon dioxide rises for as long as people stay."""
    with pytest.raises(Refused, match="outdoor airflow to the people"):
        steady_rise(1e-5, 0.0)


@given(st.floats(50, 5000), st.floats(0, 500))
def test_a_sensor_that_reads_low_leaves_air_out(rise: float, error: float) -> None:
    """With the missing share gone, the true rise is the set point's and the error."""
    share = shortfall_of_low_reading(rise, error)
    assert 0.0 <= share < 1.0
    assert steady_rise(1e-5, (1 - share) * 1e-5 / rise * 1e6) == pytest.approx(rise + error)


def test_what_california_sets() -> None:
    """600 ppm above outdoors, which may be taken for 400; sensors within 75 ppm, three to six feet up (from memory)."""
    limit = carbon_dioxide.set_point_limit("Title 24-2022")
    sensor = carbon_dioxide.sensor_limits("Title 24-2016")
    assert limit is not None
    assert (limit.above_outdoor, limit.outdoor_assumed) == (600, 400)
    assert limit.source.confirmed == "secondary"
    assert sensor is not None
    assert (sensor.band, sensor.at_low, sensor.at_high) == (75, 600, 1000)
    assert sensor.height_from == pytest.approx(read("3 ft", LENGTH).value)
    assert sensor.source.doubt.startswith("from memory")
    assert carbon_dioxide.set_point_limit("90.1-2019") is None
    assert carbon_dioxide.sensor_limits("IECC-2021") is None


def test_children_give_off_less() -> None:
    """0.003 L/s: a set point made for adults would leave a class of small children short of air."""
    small = carbon_dioxide.generation("Education / Classroom, ages 5 to 8")
    assert small.per_person == pytest.approx(0.003e-3)
    assert small.per_person < carbon_dioxide.generation("Education / Classroom, age 9 and up").per_person


@pytest.mark.parametrize(
    ("edition", "category"),
    [("62.1-2022", "Education / Classroom, ages 5 to 8"), ("62.1-2019", "Education / Daycare"), ("Title 24-2016", "Education / Day care")],
)  # fmt: skip
def test_the_categories_of_children_are_in_the_tables(edition: str, category: str) -> None:
    """Each name is one that can be looked up, so that none is overlooked by its spelling."""
    assert ventilation.rate(edition, category).name == category
    assert carbon_dioxide.generation(category).activity.startswith("children")


def test_outdoor_air_is_assumed_aloud() -> None:
    """400 ppm, and the source says to measure it."""
    value, source = carbon_dioxide.assumed_outdoor()
    assert value == 400
    assert "measure it" in source.note
