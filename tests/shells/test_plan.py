"""The plan: what is decided from the facts, what is guessed and says so, and what does not fit together."""

from __future__ import annotations

from typing import Any

import pytest
from tests.invented import SHOP, facts

from ventwright.errors import Refused
from ventwright.plan import Choice, Compliance, Plan, Weight, make_plan
from ventwright.quantity import HEAT_RATE, TEMPERATURE, read
from ventwright.tables.kit import Term

CFM = 0.3048**3 / 60


def planned(**other: Any) -> Plan:
    """Plan of an invented job."""
    return make_plan(facts(**other))


def value(plan: Plan, means: Term, fan: str | None = None) -> float:
    """Planned value of a setting, in SI."""
    return next(one.si for one in plan.settings if one.means is means and one.fan == fan)


def chosen(label: str, text: str) -> Plan:
    """Plan with one setting chosen by the person."""
    return make_plan(facts(), choices=[Choice(label=label, value=text, reason="for a test")])


def concern_names(plan: Plan) -> set[str]:
    """Names of everything that does not fit."""
    return {concern.name for concern in plan.concerns}


def test_a_good_job_has_no_concerns() -> None:
    """The invented job's own settings bear one another."""
    assert planned().concerns == ()


def test_the_code_sum_stands_beside_the_drawing() -> None:
    """A drawn airflow is used; the code sum for cooling and heating is there too, and the disagreement is said."""
    plan = planned(ventilation={"drawn": {"cooling": "700 cfm", "source": "sheet M-9"}})

    assert plan.ventilation.required == pytest.approx(700 * CFM)
    assert [one.mode for one in plan.ventilation.code_sum] == ["cooling", "heating"]
    assert plan.ventilation.disagreement is not None
    assert "sheet M-9 asks for 700 cfm in cooling" in plan.ventilation.disagreement.show("us")


def test_without_a_drawing_the_larger_mode_counts() -> None:
    """Warm ceiling air reaches people less well: 1116 cfm over 0.8 (62.1 Table 6-4) is what heating needs."""
    plan = planned(ventilation={"drawn": None})

    assert plan.ventilation.required == pytest.approx(1116 / 0.8 * CFM)
    assert plan.ventilation.disagreement is None


def test_several_spaces_as_one_zone_are_a_guess() -> None:
    """Who does not say what a system of several spaces is, learns what was taken; who says it is asked nothing."""
    spaces = [SHOP, SHOP | {"name": "Office", "use": "Office / Office space"}]
    plan = planned(spaces=spaces, ventilation={"drawn": None})
    assert [guess.sentence.show("us") for guess in plan.guesses if guess.what == "ventilation.system"] == [
        "2 spaces are taken as one zone; where each has a supply of its own, say so beside the spaces (ventilation.system: multiple zones)"
    ]
    for given in (
        {"drawn": None, "system": "single zone"},
        {"drawn": {"cooling": "700 cfm", "source": "sheet M-9"}},
    ):
        plan = planned(spaces=spaces, ventilation=given)
        assert "ventilation.system" not in {guess.what for guess in plan.guesses}


def test_default_people_are_a_guess() -> None:
    """People from the standard's default density are marked a guess in the plan."""
    shop = {key: given for key, given in SHOP.items() if key != "people"}
    plan = planned(spaces=[shop])

    assert plan.ventilation.spaces[0].people == pytest.approx(72)
    assert plan.ventilation.spaces[0].people_are_guess
    assert any(guess.what == "spaces.Shop.people" for guess in plan.guesses)


def test_a_drawing_alone_is_enough() -> None:
    """No spaces are needed where the drawings say the airflow."""
    assert planned(spaces=[]).ventilation.code_sum == ()


def test_a_speed_that_cannot_deliver_says_what_to_do() -> None:
    """A low speed that moves less than the air required has no signal and is to be raised."""
    slow = [{"name": "high", "supply_air": "4000 cfm"}, {"name": "low", "supply_air": "900 cfm"}]
    low = planned(unit={"fan_speeds": slow}).speeds[-1]

    assert not low.can_deliver
    assert low.first_signal is None
    assert low.remark is not None
    assert "raise this speed until it can carry it" in low.remark.show("us")


def test_a_speed_that_may_not_reach_says_so() -> None:
    """Ninety per cent outdoor air is more than most units reach."""
    slow = [{"name": "high", "supply_air": "4000 cfm"}, {"name": "low", "supply_air": "1240 cfm"}]
    low = planned(unit={"fan_speeds": slow}).speeds[-1]

    assert low.can_deliver
    assert low.remark is not None
    assert "few units reach 80 %" in low.remark.show("us")


def test_speeds_are_fastest_first_whatever_the_order() -> None:
    """The order in the file does not matter."""
    swapped = [{"name": "low", "supply_air": "2640 cfm"}, {"name": "high", "supply_air": "4000 cfm"}]

    assert [speed.name for speed in planned(unit={"fan_speeds": swapped}).speeds] == ["high", "low"]


def test_supply_air_may_be_guessed_from_capacity() -> None:
    """Ten tons without an airflow are taken for 4000 cfm, two thirds of it at low speed, both marked guesses."""
    plan = planned(unit={"fan_speeds": [{"name": "high"}, {"name": "low"}]})

    assert [round(speed.supply_air / CFM) for speed in plan.speeds] == [4000, 2640]
    assert all(speed.supply_is_guess for speed in plan.speeds)
    assert {"unit.supply_air", "unit.fan_speeds.low"} <= {guess.what for guess in plan.guesses}


def test_a_share_of_full_speed_is_enough() -> None:
    """A slow speed may be given as a share of the fast one."""
    plan = planned(
        unit={
            "fan_speeds": [
                {"name": "high", "supply_air": "4000 cfm"},
                {"name": "low", "share_of_full": "50 %"},
            ]
        }
    )

    assert plan.speeds[-1].supply_air == pytest.approx(2000 * CFM)


def test_the_fastest_speed_at_its_full_airflow_is_not_a_slower_ones() -> None:
    """The fastest is given as 100 %, only the low one in cfm: 2000 over the usual 66 % of a low speed, and it is a guess."""
    plan = planned(
        unit={
            "fan_speeds": [
                {"name": "high", "share_of_full": "100 %"},
                {"name": "low", "supply_air": "2000 cfm"},
            ]
        }
    )

    assert plan.speed("high").supply_air / CFM == pytest.approx(2000 / 0.66)
    assert plan.speed("low").supply_air / CFM == pytest.approx(2000)
    assert "unit.fan_speeds.high" in {guess.what for guess in plan.guesses}


def test_nothing_to_guess_supply_air_from_is_refused() -> None:
    """Without airflow, sheet and capacity there is nothing to plan with."""
    with pytest.raises(Refused, match="gives no supply airflow; accepted: supply_air for a fan speed"):
        planned(unit={"fan_speeds": [{"name": "high"}], "cooling_capacity": None})


def test_the_data_sheet_fills_what_the_job_leaves_out() -> None:
    """Capacity, stages, fan speeds and lowest ambient come from the sheet; the job's own words win."""
    plan = planned(
        unit={
            "sheet": "ten-ton-two-speed-gas",
            "cooling_capacity": None,
            "fan_speeds": [],
            "cooling_stages": 1,
        }
    )

    assert plan.basis.cooling_capacity == pytest.approx(read("10 ton", HEAT_RATE).value)
    assert [speed.name for speed in plan.speeds] == ["high", "low"]
    assert plan.basis.cooling_stages == 1
    assert plan.basis.lowest_cooling_ambient == pytest.approx(10.0)


@pytest.mark.parametrize(
    ("unit", "fahrenheit", "guess"),
    [
        ({"lowest_cooling_ambient": "40 F"}, 40, False),
        ({"lowest_cooling_ambient": "40.4 F"}, 41, False),
        ({"low_ambient_control": "fitted"}, 35, True),
        ({"low_ambient_control": "fitted", "lowest_cooling_ambient": "0 F"}, 0, False),
        ({"low_ambient_control": "not fitted"}, 55, True),
        ({"low_ambient_control": "unknown"}, 55, True),
    ],
)
def test_compressor_lockout_follows_the_unit(unit: dict[str, Any], fahrenheit: float, guess: bool) -> None:
    """The unit's own lowest ambient, rounded up; near freezing only with low-ambient control; else 55 °F, a guess."""
    setting = next(one for one in planned(unit=unit).settings if one.means is Term.COMPRESSOR_LOCKOUT)

    assert setting.value.show("us") == f"{fahrenheit:.1f} °F"
    assert setting.guess is guess
    assert "acts on cooling only, never on heating" in setting.reason.show("us")


@pytest.mark.parametrize(
    ("label", "text", "name"),
    [
        ("Mixed-air target", "46 F", "settings.low_limit_near_set_point"),
        ("Mixed air too cold below", "36 F", "settings.low_limit_below_freeze_protection"),
        ("Outdoor air too warm above", "80 F", "settings.high_limit_above_code"),
        ("Outdoor air too warm above", "63 F", "settings.high_limit_below_code"),
        ("Outdoor air too warm above", "52 F", "settings.set_point_above_high_limit"),
        ("Outdoor air too warm above", "54 F", "settings.lockout_above_high_limit"),
        ("Warm cut-off gap", "1 F", "settings.differential_small"),
        ("Relief fan starts at opening", "30 %", "settings.relief_below_minimum"),
        ("Fresh-air opening, fan slow", "10 %", "settings.low_speed_smaller_opening"),
    ],
)
def test_settings_are_held_against_one_another(label: str, text: str, name: str) -> None:
    """Each way in which settings can contradict one another is named."""
    assert name in concern_names(chosen(label, text))


def test_a_choice_stands_and_shows_the_plan() -> None:
    """A chosen value is used, and its reason names what the plan would have been."""
    setting = next(
        one for one in chosen("Mixed-air target", "55 F").settings if one.label == "Mixed-air target"
    )

    assert setting.chosen
    assert setting.reason.show("us") == "chosen: for a test; the plan would be 53.0 °F"


def test_a_choice_outside_the_kit_is_refused() -> None:
    """What the kit cannot be set to is refused with its range."""
    with pytest.raises(
        Refused, match='"90 F" is outside the range of "Mixed-air target"; accepted: 45 F to 65 F'
    ):
        chosen("Mixed-air target", "90 F")


def test_a_plan_the_kit_cannot_hold_is_a_conflict() -> None:
    """A lockout above the kit's range is said, not clipped."""
    plan = planned(unit={"lowest_cooling_ambient": "70 F"})

    assert "settings.out_of_range" in concern_names(plan)
    assert value(plan, Term.COMPRESSOR_LOCKOUT) == pytest.approx(read("70 F", TEMPERATURE).value)
    assert any(concern.weight is Weight.CONFLICT for concern in plan.concerns)


def test_target_mixed_air_for_todays_air() -> None:
    """28 % of 40 °F outdoor air in 72 °F return air is 63 °F."""
    plan = planned(weather={"outdoor_air": "40 F", "return_air": "72 F"})

    assert plan.speeds[0].target_mixed_air == pytest.approx(read("63.07 F", TEMPERATURE).value, abs=0.01)


def test_unknown_climate_zone_blocks_nothing() -> None:
    """Without a climate zone the plan stands, says what it cannot say, and marks the high limit a guess."""
    plan = planned(site={"climate_zone": None})

    assert plan.high_limit.allowed is None
    assert any(guess.what == "site.climate_zone" for guess in plan.guesses)
    assert {one.id: one.standing for one in plan.requirements}["economizer"] is Compliance.NOT_KNOWN
    assert next(one for one in plan.settings if one.means is Term.DRY_BULB_HIGH_LIMIT).guess


def test_climate_zone_by_county_names_its_map() -> None:
    """A county gives the zone, and the plan says which map it is from."""
    plan = planned(site={"climate_zone": None, "county": "Cook", "state": "Illinois"})

    assert plan.basis.climate_zone == "5A"
    assert "map" in plan.basis.climate_source
    assert plan.high_limit.dry_bulb == pytest.approx(read("70 F", TEMPERATURE).value)


def test_default_editions_are_guesses() -> None:
    """An edition that nobody gave is assumed and said."""
    plan = planned(site={"energy_code": None}, ventilation={"standard": None})

    assert {"site.energy_code", "site.ventilation_standard"} <= {guess.what for guess in plan.guesses}


@pytest.mark.parametrize(
    ("capacity", "zone", "standing"),
    [
        ("10 ton", "5A", Compliance.MET),
        ("3 ton", "5A", Compliance.NOT_REQUIRED),
        ("10 ton", "1A", Compliance.NOT_REQUIRED),
    ],
)
def test_whether_an_economizer_is_required(capacity: str, zone: str, standing: Compliance) -> None:
    """54 000 Btu/h and more outside zones 0 and 1: 90.1-2019, Table 6.5.1-1 (open data)."""
    plan = planned(unit={"cooling_capacity": capacity}, site={"climate_zone": zone})

    assert {one.id: one.standing for one in plan.requirements}["economizer"] is standing


def test_fitting_an_economizer_can_bring_demand_control_on() -> None:
    """A large dense space through an economizer wants demand control: 90.1-2019, 6.4.3.8 (open data)."""
    hall = {
        "name": "Hall",
        "use": "Public assembly / Places of religious worship",
        "floor_area": "3000 ft2",
        "people": 300,
    }
    plan = planned(spaces=[hall], ventilation={"drawn": None, "demand_control": "not fitted"})

    assert plan.ventilation.demand_control_required
    assert {one.id: one.standing for one in plan.requirements}["demand_control"] is Compliance.NOT_MET


def test_doubtful_rows_say_so() -> None:
    """Everything from memory or disputed carries its doubt to the plan."""
    plan = planned()

    assert all(
        one.doubt for one in plan.requirements if one.confirmed in {"from memory", "disputed", "secondary"}
    )
    assert any(one.doubt.startswith("from memory") for one in plan.requirements)


ZONES = [
    {"name": "Office", "least_primary_air": "480 cfm"},
    {"name": "Conference", "least_primary_air": "300 cfm"},
    {"name": "Reception", "least_primary_air": "160 cfm"},
]
ROOMS = [
    {"name": "Office", "use": "Office / Office space", "floor_area": "2000 ft2", "people": 10},
    {"name": "Conference", "use": "Conference/meeting", "floor_area": "500 ft2", "people": 25},
    {"name": "Reception", "use": "Reception areas", "floor_area": "400 ft2", "people": 12},
]


@pytest.mark.parametrize(("method", "cooling"), [("simplified", 465.3), ("appendix A", 550.8)])
def test_multiple_zones(method: str, cooling: float) -> None:
    """Three zones, 35 people at once: 349.0 cfm uncorrected, over 0.75 and over 0.6336 (62.1-2022, 6.2.4 and appendix A)."""
    given = {
        "drawn": None, "system": "multiple zones", "method": method, "zones": ZONES, "people_at_once": 35,
        "supply_air": "2200 cfm",
    }  # fmt: skip
    plan = planned(spaces=ROOMS, ventilation=given)

    assert plan.ventilation.code_sum[0].intake / CFM == pytest.approx(cooling, abs=0.1)


def test_multiple_zones_without_airflow_say_what_is_missing() -> None:
    """Appendix A needs the primary airflow of every zone."""
    given = {"drawn": None, "system": "multiple zones", "method": "appendix A", "zones": ZONES[:2]}

    with pytest.raises(
        Refused, match=r'"Reception" has no primary airflow, and 62.1-\d{4} \(appendix A\) needs'
    ):
        planned(spaces=ROOMS, ventilation=given)


def test_a_zone_of_no_space_is_refused() -> None:
    """A zone name that no space uses is a slip."""
    with pytest.raises(
        Refused, match='"Attic" is the zone of no space; accepted: Office, Conference, Reception'
    ):
        planned(
            spaces=ROOMS,
            ventilation={"drawn": None, "system": "multiple zones", "zones": [{"name": "Attic"}]},
        )


def test_mixed_use_in_one_zone_adds_up() -> None:
    """Two uses in one zone are the sum of their people and area terms (62.1, eq. 6-1)."""
    shop, stock = SHOP, {"name": "Stock", "use": "Warehouses", "floor_area": "1000 ft2", "people": 2}
    plan = planned(spaces=[shop, stock], ventilation={"drawn": None})

    assert plan.ventilation.required_cooling / CFM == pytest.approx(1116 + 2 * 10 + 1000 * 0.06)


def test_what_has_to_be_proved_names_the_difference_needed() -> None:
    """Each fan speed is to be proved, with the outdoor-return difference that the best probe needs."""
    plan = planned(weather={"outdoor_air": "70 F", "return_air": "72 F"})
    first = plan.to_prove[0]

    assert first.id == "outdoor_air.high"
    assert first.difference_needed is not None
    assert first.difference_needed > 2 / 1.8
    assert first.today is not None
    assert "is too little" in first.today.show("us")


def test_cautions_come_with_the_plan() -> None:
    """Roof, live parts, moving dampers and gas are named, each with its source."""
    cautions = planned().cautions

    assert {"roof", "open the unit", "damper and fan", "gas heat", "leave"} <= {one.stage for one in cautions}
    assert all(one.source for one in cautions)


def test_cautions_follow_what_the_unit_has() -> None:
    """Gas heat is no matter of a heat pump; what a wide damper does to a building with any flame in it is of every unit."""
    stages = {
        heating: {one.stage for one in planned(unit={"heating": heating}).cautions}
        for heating in ("gas", "heat pump", "electric", "none", None)
    }

    assert "gas heat" in stages["gas"] & stages[None]
    assert not any("gas heat" in stages[heating] for heating in ("heat pump", "electric", "none"))
    assert all("building pressure" in one for one in stages.values())


@pytest.mark.parametrize("edition", ["90.1-2004", "90.1-2022", "90.1-2025", "IECC-2012"])
def test_demand_control_without_a_rule_is_not_known(edition: str) -> None:
    """An edition of which no rule is held neither asks for it nor excuses it: it says where to look."""
    plan = planned(site={"energy_code": edition})
    found = next(one for one in plan.requirements if one.id == "demand_control")

    assert found.standing is Compliance.NOT_KNOWN
    assert "look it up in the code that holds locally" in found.because.show("us")
    assert found.standing_on == f"{edition}; not held here"


def test_an_edition_with_a_rule_says_what_to_tell() -> None:
    """Where it is required and nobody said whether it is there, that is asked, not called unknown."""
    dense = SHOP | {"people": 200}
    plan = planned(spaces=[dense], ventilation={"drawn": None})
    found = next(one for one in plan.requirements if one.id == "demand_control")

    assert found.standing is Compliance.NOT_KNOWN
    assert found.because.show("us").endswith("say whether it is fitted")


def test_a_supply_airflow_that_no_such_unit_moves_is_asked_about() -> None:
    """Ten times the air of ten tons is a slip of unit or digit, and so is a tenth; what is met goes without a word."""
    doubtful = planned(unit={"fan_speeds": [{"name": "high", "supply_air": "20900 L/s"}]})
    (asked,) = [one for one in doubtful.concerns if one.name == "unit.supply_air_for_capacity"]

    assert asked.weight is Weight.ADVICE
    assert "20,900 L/s" in asked.sentence.show("si")
    assert "44,285 cfm, and units of 120,000 Btu/h are met with 1500 cfm to 8000 cfm" in asked.sentence.show(
        "us"
    )
    for supply, known in (("400 cfm", True), ("1600 cfm", False), ("7900 cfm", False), ("8100 cfm", True)):
        plan = planned(
            unit={"fan_speeds": [{"name": "high", "supply_air": supply}]},
            ventilation={"drawn": {"cooling": "300 cfm", "source": "invented"}},
        )
        assert ("unit.supply_air_for_capacity" in concern_names(plan)) is known, supply
    unknown = planned(
        unit={"cooling_capacity": None, "fan_speeds": [{"name": "high", "supply_air": "20900 L/s"}]}
    )
    assert "unit.supply_air_for_capacity" not in concern_names(unknown)


def test_every_unknown_name_is_told_at_once() -> None:
    """A wrong zone, code, standard and use are one refusal each, all in one answer."""
    with pytest.raises(Refused) as caught:
        planned(
            site={"climate_zone": "99Z", "energy_code": "90.1-2099"},
            spaces=[SHOP | {"use": "Retail / Salez"}, SHOP],
        )

    assert [refusal.where for refusal in caught.value.refusals] == [
        "facts.site.climate_zone", "facts.site.energy_code", "facts.spaces[1].use",
    ]  # fmt: skip
