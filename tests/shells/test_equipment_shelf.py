"""The equipment that comes along: every file loads, every kit plans on a unit it is for, and they are unlike one another."""

from __future__ import annotations

from typing import Any

import pytest
from tests.invented import facts

from ventwright.plan import Plan, WiringState, make_plan
from ventwright.plan.settings import Choice
from ventwright.tables.adapter import Adapter
from ventwright.tables.board import Board
from ventwright.tables.kit import Kit, Term
from ventwright.tables.shelf import find, names
from ventwright.tables.unit_sheet import UnitSheet

MODELS: dict[str, Any] = {"kits": Kit, "boards": Board, "adapters": Adapter, "units": UnitSheet}

FITTING = {
    "two-speed-dry-bulb": "ten-ton-two-speed-gas",
    "single-speed-enthalpy": "five-ton-one-speed-electric",
    "heat-pump-differential": "seven-ton-heat-pump",
    "variable-enthalpy-with-demand-control": "fifteen-ton-variable-gas",
    "damper-for-a-unit-that-decides": "fifteen-ton-variable-gas",
}
FROM_SHEET: dict[str, Any] = {
    "fan_speeds": [],
    "cooling_capacity": None,
    "cooling_stages": None,
    "heating": None,
}


def planned(kit: str, sheet: str, **other: Any) -> Plan:
    """Plan of a kit on a unit of the shelf, 450 cfm of outdoor air."""
    drawn = {"drawn": {"cooling": "450 cfm", "source": "invented sheet"}}
    given = {"ventilation": drawn} | other
    return make_plan(facts(kit=kit, unit={"sheet": sheet, **FROM_SHEET}, **given))


def value(plan: Plan, means: Term, fan: str | None = None) -> str:
    """A planned setting, as shown."""
    return next(one.value.show("us") for one in plan.settings if one.means is means and one.fan == fan)


@pytest.mark.parametrize(
    ("kind", "name"), [(kind, name) for kind in MODELS for name in names(kind)], ids=lambda one: one
)
def test_every_file_of_the_shelf_loads(kind: str, name: str) -> None:
    """The file is in order, is called by its id, and is invented."""
    part = find(kind, name, MODELS[kind])

    assert part.id == name
    assert part.invented


def test_every_kit_has_a_unit_it_fits() -> None:
    """No kit of the shelf is left out of the plans below."""
    assert FITTING.keys() == set(names("kits"))


@pytest.mark.parametrize(("kit", "sheet"), FITTING.items())
def test_every_kit_plans_cleanly(kit: str, sheet: str) -> None:
    """All settings in range and reasoned, nothing that does not fit, wiring whole with an adapter of the shelf."""
    plan = planned(kit, sheet)

    assert plan.concerns == ()
    assert len(plan.settings) == len(plan.kit.settings)
    assert all(one.in_range and one.reason.show("us") and one.source for one in plan.settings)
    assert plan.wiring is not None
    assert plan.wiring.state is WiringState.WHOLE


@pytest.mark.parametrize("edition", ["90.1-2010", "90.1-2022", "IECC-2012", "IECC-2024"])
@pytest.mark.parametrize(("kit", "sheet"), FITTING.items())
def test_every_kit_plans_under_other_codes(kit: str, sheet: str, edition: str) -> None:
    """Whatever the edition lists, each kit has a plan; what the edition does not allow is said, not tripped over."""
    plan = planned(kit, sheet, site={"energy_code": edition, "climate_zone": "4A"})

    allowed = plan.high_limit.allowed
    assert (allowed is False) == ("settings.control_not_allowed" in {one.name for one in plan.concerns})


def test_the_kits_are_unlike() -> None:
    """Each way to decide, one speed and several, three kinds of signal, with and without relief and demand control."""
    kits = [find("kits", name, Kit) for name in names("kits")]
    terms = [{setting.means for setting in kit.settings} for kit in kits]

    assert {kit.high_limit_control for kit in kits} >= {
        "fixed dry bulb", "differential dry bulb", "fixed enthalpy and dry bulb", "differential enthalpy and dry bulb",
    }  # fmt: skip
    assert {(str(kit.damper_signal.closed), str(kit.damper_signal.open)) for kit in kits} >= {
        ("2 V", "10 V"), ("0 V", "10 V"), ("0 %", "100 %"),
    }  # fmt: skip
    assert {1, 2} <= {kit.fan_speeds for kit in kits}
    assert any(kit.variable_fan for kit in kits)
    assert any("heat pump" in kit.heating for kit in kits)
    assert 0 < sum(Term.RELIEF_START in one for one in terms) < len(kits)
    assert 0 < sum(Term.CARBON_DIOXIDE_SET_POINT in one for one in terms) < len(kits)
    labels = [setting.label for kit in kits for setting in kit.settings]
    assert len(labels) == len(set(labels))


def test_three_boards_with_unlike_connectors() -> None:
    """Screw terminals, one socket, another, and two at once."""
    boards = [find("boards", name, Board) for name in names("boards")]

    assert len({tuple(end.described for end in one.connectors) for one in boards}) == len(boards) >= 3


def test_one_minimum_for_one_speed() -> None:
    """A kit with a single minimum gets the guess of the only speed."""
    plan = planned("single-speed-enthalpy", "five-ton-one-speed-electric")

    setting = next(one for one in plan.settings if one.means is Term.MINIMUM_DAMPER_SIGNAL)
    assert setting.si == pytest.approx(round(plan.speeds[0].first_signal or 0.0, 2))
    assert "slowest decides" not in setting.reason.show("us")


def test_one_minimum_for_two_speeds_follows_the_slowest() -> None:
    """On a two-speed unit the one opening has to do for the slow fan; that it is too wide for the fast one is advice."""
    plan = planned("single-speed-enthalpy", "ten-ton-two-speed-gas")

    setting = next(one for one in plan.settings if one.means is Term.MINIMUM_DAMPER_SIGNAL)
    assert setting.si == pytest.approx(round(plan.speeds[-1].first_signal or 0.0, 2))
    assert "the slowest decides" in setting.reason.show("us")
    assert "kit.too_few_fan_speeds" in {one.name for one in plan.concerns}


def test_a_variable_fan_has_its_minimum_at_both_ends() -> None:
    """Slowest and fastest each have an opening, the slowest the wider."""
    plan = planned("damper-for-a-unit-that-decides", "fifteen-ton-variable-gas")
    by_fan = {one.fan: one.si for one in plan.settings if one.means is Term.MINIMUM_DAMPER_SIGNAL}

    assert by_fan["slowest"] > by_fan["fastest"]


def test_the_enthalpy_limit_is_the_codes() -> None:
    """28 Btu/lb in 90.1-2019, table 6.5.1.1.3; at height that of the same state, rounded down to the kit's step."""
    assert (
        value(planned("single-speed-enthalpy", "five-ton-one-speed-electric"), Term.ENTHALPY_HIGH_LIMIT)
        == "28.0 Btu/lb"
    )
    high = planned("single-speed-enthalpy", "five-ton-one-speed-electric", site={"elevation": "5300 ft"})
    setting = next(one for one in high.settings if one.means is Term.ENTHALPY_HIGH_LIMIT)
    assert high.high_limit.enthalpy is not None
    assert high.high_limit.enthalpy - 0.5 * 2326 - 1 <= setting.si <= high.high_limit.enthalpy + 1


def test_an_enthalpy_limit_above_the_code_is_a_conflict() -> None:
    """A choice of 30 Btu/lb runs past the code's 28."""
    choice = Choice(label="Outdoor heat content too high above", value="30 Btu/lb", reason="for a test")
    plan = make_plan(facts(kit="single-speed-enthalpy"), choices=[choice])

    assert "settings.enthalpy_limit_above_code" in {one.name for one in plan.concerns}


@pytest.mark.parametrize(
    ("given", "shown", "guess"),
    [
        ({"reversing_valve": "energized in heating"}, "energized in heating", False),
        ({"reversing_valve": "energized in cooling"}, "energized in cooling", False),
        ({"heating": "heat pump"}, "energized in cooling", True),
    ],
)
def test_the_valve_follows_the_unit(given: dict[str, Any], shown: str, guess: bool) -> None:
    """What the unit does is set; not known, the kit's default is a guess that says what to look at."""
    plan = make_plan(facts(kit="heat-pump-differential", unit=given))
    setting = next(one for one in plan.settings if one.means is Term.REVERSING_VALVE)

    assert setting.value.show("us") == shown
    assert setting.guess is guess
    assert "damper opens in winter" in setting.reason.show("us")


def test_a_valve_sense_is_chosen_by_its_words() -> None:
    """The choice reads the words whatever the case, and refuses others with what they are."""
    setting = find("kits", "heat-pump-differential", Kit).setting("Valve has power in")

    assert setting.read("Energized in Heating").value == 1.0
    with pytest.raises(
        ValueError,
        match='"always" is not one of the words for this; accepted: "energized in cooling" or "energized in heating"',
    ):
        setting.read("always")


def test_demand_control_sets_its_openings() -> None:
    """With demand control fitted the empty house takes the floor's share; without, both openings are alike."""
    fitted = planned("variable-enthalpy-with-demand-control", "fifteen-ton-variable-gas",
                     ventilation={"drawn": None, "demand_control": "fitted"})  # fmt: skip
    without = planned("variable-enthalpy-with-demand-control", "fifteen-ton-variable-gas")
    by_term = {(one.means, one.fan): one for one in fitted.settings}

    low, design = (
        by_term[term, "slowest"].si for term in (Term.LOW_OCCUPANCY_DAMPER_SIGNAL, Term.MINIMUM_DAMPER_SIGNAL)
    )
    assert low < design
    assert fitted.demand_control is not None
    set_point = by_term[Term.CARBON_DIOXIDE_SET_POINT, None]
    # steps of 10 ppm, never past what the spaces allow
    allowed = min(one.carbon_dioxide_set_point for one in fitted.demand_control.spaces)
    assert allowed - 10.0 < set_point.si <= allowed
    assert value(without, Term.LOW_OCCUPANCY_DAMPER_SIGNAL, "slowest") == value(
        without, Term.MINIMUM_DAMPER_SIGNAL, "slowest"
    )


def test_an_empty_house_wider_than_a_full_one_is_a_conflict() -> None:
    """The low-occupancy opening may not pass the design one."""
    choice = Choice(label="Empty house opening, fan at its slowest", value="90 %", reason="for a test")
    plan = make_plan(facts(kit="variable-enthalpy-with-demand-control"), choices=[choice])

    assert "settings.low_occupancy_above_design" in {one.name for one in plan.concerns}


@pytest.mark.parametrize(
    ("kit", "heating", "wrong"),
    [
        ("two-speed-dry-bulb", "heat pump", True),
        ("two-speed-dry-bulb", "gas", False),
        ("heat-pump-differential", "gas", True),
        ("damper-for-a-unit-that-decides", "heat pump", False),
    ],
)
def test_a_kit_for_another_heating_is_a_conflict(kit: str, heating: str, wrong: bool) -> None:
    """A gas kit on a heat pump does not see the valve: that is said before anything is fitted."""
    plan = make_plan(facts(kit=kit, unit={"heating": heating}))

    assert ("kit.not_for_this_heating" in {one.name for one in plan.concerns}) is wrong
