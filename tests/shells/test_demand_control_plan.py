"""Demand control in the plan: design and low-occupancy air, damper limits at each fan speed, set points."""

from __future__ import annotations

import io
import json
from contextlib import redirect_stdout
from typing import Any

import pytest
from tests.invented import SHOP, facts

from ventwright.cli.demand_control_view import print_demand_control
from ventwright.plan import DemandControlPlan, make_plan
from ventwright.quantity import AIRFLOW
from ventwright.tables.kit import Term
from ventwright.words import plain

CFM = AIRFLOW.us.factor
CLASS = {
    "name": "Class",
    "use": "Education / Classroom, age 9 and up",
    "floor_area": "1000 ft2",
    "people": 35,
}
TWO_SPEEDS = [{"name": "high", "supply_air": "2000 cfm"}, {"name": "low", "supply_air": "1320 cfm"}]


def planned(*spaces: dict[str, Any], **other: Any) -> DemandControlPlan:
    """Plan with demand control fitted."""
    given = {"drawn": None, "demand_control": "fitted"} | other.pop("ventilation", {})
    found = make_plan(
        facts(spaces=list(spaces), ventilation=given, unit={"fan_speeds": TWO_SPEEDS}, **other)
    ).demand_control
    assert found is not None
    return found


def test_a_classroom_by_hand() -> None:
    """62.1, eq. 6-1: 35 x 10 + 1000 x 0.12 = 470 cfm, the floor alone 120; over 0.8 (Table 6-4) 587.5 and 150 cfm.

    At 2000 and 1320 cfm these are 29.4 and 44.5 % by design, 7.5 and 11.4 % at low occupancy.
    """
    plan = planned(CLASS)
    (room,) = plan.spaces
    assert room.design_outdoor_air / CFM == pytest.approx(470)
    assert room.low_outdoor_air / CFM == pytest.approx(120)
    assert plan.design_outdoor_air / CFM == pytest.approx(587.5)
    assert plan.low_outdoor_air / CFM == pytest.approx(150)
    assert [speed.design_outdoor_air_fraction for speed in plan.speeds] == pytest.approx(
        [0.294, 0.445], abs=5e-4
    )
    assert [speed.low_outdoor_air_fraction for speed in plan.speeds] == pytest.approx(
        [0.075, 0.114], abs=5e-4
    )


def test_the_set_point_is_the_steady_state() -> None:
    """0.0105 cfm over 470/35 = 13.43 cfm a person are 782 ppm above 400."""
    (room,) = planned(CLASS).spaces
    assert room.carbon_dioxide_rise == pytest.approx(0.0105 / (470 / 35) * 1e6)
    assert room.carbon_dioxide_set_point == pytest.approx(1181.9, abs=0.1)


def test_small_children_get_a_lower_set_point() -> None:
    """0.003 L/s over 370/25 = 14.8 cfm a person are 430 ppm above 400, not the 709 of adults."""
    small = CLASS | {"use": "Education / Classroom, ages 5 to 8", "people": 25}
    (room,) = planned(small).spaces
    assert room.carbon_dioxide_set_point == pytest.approx(400 + 0.003e-3 / (14.8 * CFM) * 1e6)
    assert room.carbon_dioxide_set_point < 840


def test_the_kits_step_is_taken_below_the_set_point() -> None:
    """Of 829.5 ppm a kit of 10 ppm steps gets 820 and not 830, at which the children would get too little air."""
    small = CLASS | {"use": "Education / Classroom, ages 5 to 8", "people": 25}
    plan = make_plan(
        facts(
            kit="variable-enthalpy-with-demand-control",
            spaces=[small],
            ventilation={"drawn": None, "demand_control": "fitted"},
        )
    )
    (shown,) = [one for one in plan.settings if one.means is Term.CARBON_DIOXIDE_SET_POINT]
    assert shown.si == pytest.approx(820)


def test_a_room_that_needs_no_air_of_its_own_follows_nobody() -> None:
    """A telephone closet (62.1, Table 6-1: no air for people or floor) is left out; the plan is made all the same."""
    closet = {
        "name": "Closet",
        "use": "Miscellaneous / Telephone closets",
        "floor_area": "40 ft2",
        "people": 1,
    }
    assert [space.name for space in planned(CLASS, closet).spaces] == ["Class"]


def test_the_low_limit_opens_less_than_the_design() -> None:
    """At every speed the low limit lies below the design's, and the slow fan needs the larger opening of the two."""
    plan = planned(CLASS)
    for speed in plan.speeds:
        assert speed.low_signal is not None
        assert speed.design_signal is not None
        assert speed.low_signal < speed.design_signal
    fast, slow = plan.speeds
    assert (fast.low_signal or 0.0) <= (slow.low_signal or 0.0)


def test_no_space_no_demand_control() -> None:
    """A shop of 15 people in 1000 ft2 wants none under 90.1-2019, and none is fitted."""
    assert make_plan(facts()).demand_control is None


@pytest.mark.parametrize(
    ("edition", "space", "said"),
    [
        ("90.1-2010", {"floor_area": "4800 ft2", "people": 240}, "less than the 1200 cfm"),
        ("90.1-2010", {"floor_area": "400 ft2", "people": 2}, "less than the 1200 cfm"),
        ("90.1-2019", {}, "no space is both large and dense enough"),
        (
            "90.1-2019",
            {"use": "Retail / Barbershop", "people": 400},
            "both large and dense enough; the use of Shop is excepted",
        ),
    ],
)
def test_where_none_is_asked_for_the_reason_is_the_one_that_holds(
    edition: str, space: dict[str, object], said: str
) -> None:
    """A large, dense space of a unit with little outdoor air is no small or thin one (1,116 cfm are drawn)."""
    plan = make_plan(facts(site={"energy_code": edition}, spaces=[SHOP | space]))
    (asked,) = [one for one in plan.requirements if one.id == "demand_control"]
    assert asked.standing.value == "not required"
    assert said in asked.because.show("us")


def test_what_the_code_wants_is_planned_though_nobody_fitted_it() -> None:
    """300 people on 3000 ft2 through an economizer: 90.1-2019, 6.4.3.8 (open data)."""
    hall = {
        "name": "Hall",
        "use": "Public assembly / Places of religious worship",
        "floor_area": "3000 ft2",
        "people": 300,
    }
    for standing, fitted in (("not fitted", False), ("unknown", None)):
        plan = planned(hall, CLASS, ventilation={"demand_control": standing})
        assert plan.fitted is fitted
        assert [space.name for space in plan.spaces] == ["Hall", "Class"]
        assert all(space.required for space in plan.spaces)


def test_only_the_controlled_spaces_lose_their_people() -> None:
    """A stock room beside the hall keeps its people at low occupancy: 3000 x 0.06 + (2 x 10 + 1000 x 0.06), over 0.8."""
    hall = {
        "name": "Hall",
        "use": "Public assembly / Places of religious worship",
        "floor_area": "3000 ft2",
        "people": 300,
    }
    stock = {"name": "Stock", "use": "Warehouses", "floor_area": "1000 ft2", "people": 2}
    plan = planned(hall, stock)
    assert [space.name for space in plan.spaces] == ["Hall"]
    assert plan.low_outdoor_air / CFM == pytest.approx((180 + 80) / 0.8)


def test_low_occupancy_is_never_above_the_drawings() -> None:
    """Where the drawings ask for less than the floor alone would, the design is the limit, and it is said."""
    plan = planned(CLASS, ventilation={"drawn": {"cooling": "100 cfm", "source": "invented sheet M-1"}})
    assert plan.low_outdoor_air / CFM == pytest.approx(100)
    assert any("from the drawings" in remark.show("us") for remark in plan.remarks)


def test_an_empty_hall_may_close() -> None:
    """62.1-2019 marks assembly for occupied standby (open data); a classroom is not."""
    hall = {
        "name": "Hall",
        "use": "Public assembly / Places of religious worship",
        "floor_area": "3000 ft2",
        "people": 300,
    }
    spaces = {space.name: space for space in planned(hall, CLASS).spaces}
    assert spaces["Hall"].may_close_when_empty is True
    assert spaces["Class"].may_close_when_empty is False


def test_california_holds_1000_ppm() -> None:
    """600 ppm above an assumed 400; the floor rate that stays is 0.20 cfm/ft2 of sales floor (from memory)."""
    plan = planned(
        {"name": "Shop", "use": "Retail / Sales", "floor_area": "4800 ft2", "people": 72},
        site={"climate_zone": "CA 3", "energy_code": "Title 24-2022"},
        ventilation={"standard": "Title 24-2022"},
    )
    assert plan.spaces[0].carbon_dioxide_set_point == pytest.approx(1000)
    assert plan.low_outdoor_air / CFM == pytest.approx(960)
    assert plan.sensor is not None
    assert any(
        "a sensor that reads 75 ppm low at the set point leaves out 11.1 %" in one.show("us")
        for one in plan.remarks
    )


def test_a_set_point_below_the_codes_own_stays() -> None:
    """An office floor gets more air than 15 cfm a person: full, it settles below 1000 ppm, and a higher set point would starve it."""
    plan = planned(
        {"name": "Office", "use": "Office / Office", "floor_area": "10000 ft2", "people": 40},
        site={"climate_zone": "CA 3", "energy_code": "Title 24-2022"},
        ventilation={"standard": "Title 24-2022"},
    )
    assert plan.spaces[0].carbon_dioxide_set_point == pytest.approx(400 + 0.0105 / (1500 / 40) * 1e6)


def test_every_source_in_doubt_is_named() -> None:
    """Generation and outdoor air are from memory, and the plan says of which."""
    doubts = planned(CLASS).doubts
    assert any(doubt.startswith("ASHRAE 62.1-2022, informative appendix D: from memory") for doubt in doubts)


def test_what_is_switched_off_is_switched_on_again() -> None:
    """The last remark is the temporary change."""
    assert planned(CLASS).remarks[-1].show("si").endswith("switch it on again at the end (temporary change)")


def test_for_programs_and_for_people() -> None:
    """JSON keys name their SI unit; the page shows the set point, both shares and the first signal."""
    plan = planned(CLASS)
    document = json.loads(json.dumps(plain(plan), allow_nan=False))
    assert document["low_outdoor_air_m3_s"] == pytest.approx(150 * CFM)
    assert document["spaces"][0]["carbon_dioxide_set_point_ppm"] == pytest.approx(1181.9, abs=0.1)
    assert document["speeds"][1]["low_outdoor_air_fraction"] == pytest.approx(0.1136, abs=1e-4)
    out = io.StringIO()
    with redirect_stdout(out):
        print_demand_control(plan, "us")
    page = out.getvalue()
    assert "Demand control (fitted): 150 cfm of outdoor air at low occupancy" in page
    assert "1182 ppm" in page
    assert "29.4 %" in page
    assert "11.4 %" in page


def test_people_by_the_floor_are_said_to_a_tenth() -> None:
    """The standard's density gives 96.8752 people on 60 m2 of lobby; nobody reads that as a count."""
    lobby = {"name": "Lobby", "use": "Public assembly / Lobbies", "floor_area": "60 m2"}
    plan = planned(lobby)
    out = io.StringIO()
    with redirect_stdout(out):
        print_demand_control(plan, "us")
    assert "96.9 " in out.getvalue()
    assert "96.87" not in out.getvalue()
